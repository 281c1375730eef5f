// What nobody should do to a store: statements and bytes past the program.
#pragma once

#include <sqlite3.h>

#include <cstdint>
#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <string>

namespace pairmark::tests {

/// Opens a database as another program would, and keeps it open.
class RawDatabase {
  public:
    explicit RawDatabase(const std::filesystem::path& path) {
        if (sqlite3_open(path.c_str(), &database_) != SQLITE_OK) throw std::runtime_error("no database");
    }
    ~RawDatabase() { sqlite3_close(database_); }
    RawDatabase(const RawDatabase&) = delete;
    RawDatabase& operator=(const RawDatabase&) = delete;

    void run(const std::string& sql) {
        char* said = nullptr;
        if (sqlite3_exec(database_, sql.c_str(), nullptr, nullptr, &said) != SQLITE_OK) {
            const std::string why = said == nullptr ? "?" : said;
            sqlite3_free(said);
            throw std::runtime_error(sql + ": " + why);
        }
    }
    std::int64_t number(const std::string& sql) {
        sqlite3_stmt* statement = nullptr;
        if (sqlite3_prepare_v2(database_, sql.c_str(), -1, &statement, nullptr) != SQLITE_OK)
            throw std::runtime_error(sql);
        const std::int64_t value =
            sqlite3_step(statement) == SQLITE_ROW ? sqlite3_column_int64(statement, 0) : -1;
        sqlite3_finalize(statement);
        return value;
    }

  private:
    sqlite3* database_ = nullptr;
};

inline void run_raw(const std::filesystem::path& path, const std::string& sql) {
    RawDatabase(path).run(sql);
}

/// The first page of a table; pages are counted from 1.
inline std::int64_t root_page(const std::filesystem::path& path, const std::string& table) {
    return RawDatabase(path).number("SELECT rootpage FROM sqlite_schema WHERE name = '" + table + "'");
}

/// Writes garbage over one page. The store must be closed.
inline void destroy_page(const std::filesystem::path& path, std::int64_t page) {
    const std::int64_t size = RawDatabase(path).number("PRAGMA page_size");
    std::fstream file(path, std::ios::binary | std::ios::in | std::ios::out);
    file.seekp((page - 1) * size);
    file << std::string(static_cast<std::size_t>(size), 'Z');
    if (!file) throw std::runtime_error("the page was not written");
}

}  // namespace pairmark::tests
