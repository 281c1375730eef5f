// A small RAII face for SQLite's C interface. Values reach SQL by bound parameters only.
#pragma once

#include <sqlite3.h>

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "host/store/fault.hpp"
#include "host/store/files.hpp"
#include "host/store/random_bits.hpp"

namespace pairmark::store {

class Connection;

/// A prepared statement, taken from its connection's stock and given back when it is destroyed.
class Statement {
  public:
    Statement(Connection& connection, std::string_view sql, sqlite3_stmt* statement)
        : connection_(connection), sql_(sql), statement_(statement) {}
    ~Statement();
    Statement(const Statement&) = delete;
    Statement& operator=(const Statement&) = delete;

    /// Binds the parameters ?1, ?2, ... Texts are copied.
    template <typename... Values>
    Statement& with(const Values&... values) {
        int index = 0;
        (bind(++index, values), ...);
        return *this;
    }
    Statement& with_blob(int index, std::string_view bytes);
    /// True if there is a row. Throws StoreFailure, or std::logic_error where a constraint was broken.
    bool step();
    /// For a statement without rows.
    void run() { step(); }

    std::int64_t whole(int column) const { return sqlite3_column_int64(statement_, column); }
    std::string text(int column) const;  // bytes of a text or a blob
    bool is_null(int column) const { return sqlite3_column_type(statement_, column) == SQLITE_NULL; }

  private:
    void bind(int index, std::int64_t value);
    void bind(int index, std::string_view value);
    void bind(int index, const std::string& value) { bind(index, std::string_view(value)); }
    void bind(int index, const char* value) { bind(index, std::string_view(value)); }
    void check(int code);
    template <typename Value>
    void bind(int index, const std::optional<Value>& value) {
        if (value) bind(index, *value);  // else it stays NULL
    }

    Connection& connection_;
    std::string_view sql_;
    sqlite3_stmt* statement_;
};

enum class Access { read_write, read_only };

/// The open database, with the lock that keeps others out of it; who only reads needs none.
class Connection {
  public:
    /// Opens an existing file, whose inode this is. Throws StoreFault.
    Connection(std::filesystem::path path, Lock lock, std::uint64_t inode,
               Access access = Access::read_write);
    ~Connection();
    Connection(const Connection&) = delete;
    Connection& operator=(const Connection&) = delete;

    /// `sql` must outlive the connection: a literal.
    Statement use(std::string_view sql);
    /// Runs statements without parameters and rows, such as the schema.
    void run_script(const char* sql);
    std::int64_t number(std::string_view sql);  // the first column of the first row, 0 if there is none

    std::optional<std::string> meta(std::string_view key);
    void set_meta(std::string_view key, std::string_view value);

    bool in_transaction() const { return sqlite3_get_autocommit(database_) == 0; }
    const std::filesystem::path& path() const { return path_; }
    std::uint64_t inode() const { return inode_; }
    std::filesystem::path generation_path() const { return beside(path_, ".generation"); }

    /// Throws what SQLite's result code means.
    [[noreturn]] void fail(int code) const;

    bool restored_or_copied = false;
    RandomBits random_bits;  // none where the store is only read

  private:
    friend class Statement;
    void give_back(std::string_view sql, sqlite3_stmt* statement) noexcept;

    std::filesystem::path path_;
    Lock lock_;  // outlives the database handle
    // Asked once, before SQLite has the file: closing another descriptor of it would drop SQLite's own locks.
    std::uint64_t inode_;
    sqlite3* database_ = nullptr;
    std::unordered_map<std::string_view, std::vector<sqlite3_stmt*>> stock_;
};

}  // namespace pairmark::store
