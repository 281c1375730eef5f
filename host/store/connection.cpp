#include "host/store/connection.hpp"

#include <cerrno>
#include <stdexcept>

namespace pairmark::store {
namespace {

/// How long another program's lock is waited for, e.g. one that looks into the database by hand.
/// Milliseconds.
constexpr int patience_ms = 500;

FailureKind kind_of(int code) {
    switch (code & 0xFF) {
        case SQLITE_FULL:
            return FailureKind::disk_full;
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
            return FailureKind::busy;
        case SQLITE_READONLY:
        case SQLITE_PERM:
        case SQLITE_AUTH:
        case SQLITE_CANTOPEN:
            return FailureKind::forbidden;
        case SQLITE_CORRUPT:
        case SQLITE_NOTADB:
            return FailureKind::damaged;
        default:
            return FailureKind::broken;
    }
}

Trouble trouble_of(FailureKind kind, const std::filesystem::path& path, const char* said) {
    const std::string where = path.string();
    switch (kind) {
        case FailureKind::disk_full:
            return {"there is no room for the store", where, "free some space on this disk"};
        case FailureKind::busy:
            return {"another program holds the store's lock", where,
                    "close the program that looks into the database"};
        case FailureKind::forbidden:
            return {"the store's files can't be written", where,
                    "check that the folder and the files belong to the user that runs this"};
        case FailureKind::damaged:
            return {"the store is damaged", where, "keep the files as they are and put back the newest copy"};
        case FailureKind::broken:
            break;
    }
    return {std::string("the disk can't be read or written: ") + said, where, "look at the disk's health"};
}

/// Why the write-ahead log could not be written last: errno, 0 if nothing is known.
int last_error_of_log(sqlite3* database) {
    sqlite3_file* log = nullptr;
    int error = 0;
    if (sqlite3_file_control(database, "main", SQLITE_FCNTL_JOURNAL_POINTER, &log) == SQLITE_OK &&
        log != nullptr && log->pMethods != nullptr)
        (void)log->pMethods->xFileControl(log, SQLITE_FCNTL_LAST_ERRNO, &error);
    return error;
}

}  // namespace

Statement::~Statement() {
    connection_.give_back(sql_, statement_);
}

void Statement::check(int code) {
    if (code != SQLITE_OK) connection_.fail(code);
}

void Statement::bind(int index, std::int64_t value) {
    check(sqlite3_bind_int64(statement_, index, value));
}

void Statement::bind(int index, std::string_view value) {
    // A null pointer would bind NULL, which an empty text is not.
    const char* data = value.data() == nullptr ? "" : value.data();
    check(sqlite3_bind_text64(statement_, index, data, value.size(), SQLITE_TRANSIENT, SQLITE_UTF8));
}

Statement& Statement::with_blob(int index, std::string_view bytes) {
    const char* data = bytes.data() == nullptr ? "" : bytes.data();
    check(sqlite3_bind_blob64(statement_, index, data, bytes.size(), SQLITE_TRANSIENT));
    return *this;
}

bool Statement::step() {
    const int code = sqlite3_step(statement_);
    if (code == SQLITE_ROW) return true;
    if (code != SQLITE_DONE) connection_.fail(code);
    return false;
}

std::string Statement::text(int column) const {
    const auto* bytes = static_cast<const char*>(sqlite3_column_blob(statement_, column));
    const int size = sqlite3_column_bytes(statement_, column);
    return bytes == nullptr ? std::string() : std::string(bytes, static_cast<std::size_t>(size));
}

Connection::Connection(std::filesystem::path path, Lock lock, std::uint64_t inode, Access access)
    : path_(std::move(path)), lock_(std::move(lock)), inode_(inode) {
    const int mode = access == Access::read_only ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE;
    const int code = sqlite3_open_v2(path_.c_str(), &database_, mode | SQLITE_OPEN_NOFOLLOW, nullptr);
    if (code != SQLITE_OK) {
        const Trouble why = trouble_of(kind_of(code), path_, sqlite3_errstr(code));
        sqlite3_close(database_);
        throw StoreFault(why);
    }
    sqlite3_extended_result_codes(database_, 1);
    sqlite3_busy_timeout(database_, patience_ms);
}

Connection::~Connection() {
    for (auto& [sql, statements] : stock_) {
        for (sqlite3_stmt* statement : statements) {
            sqlite3_finalize(statement);
        }
    }
    sqlite3_close_v2(database_);
}

Statement Connection::use(std::string_view sql) {
    auto& ready = stock_[sql];
    if (!ready.empty()) {
        sqlite3_stmt* statement = ready.back();
        ready.pop_back();
        return Statement(*this, sql, statement);
    }
    sqlite3_stmt* statement = nullptr;
    const int code = sqlite3_prepare_v3(database_, sql.data(), static_cast<int>(sql.size()),
                                        SQLITE_PREPARE_PERSISTENT, &statement, nullptr);
    if (code != SQLITE_OK) fail(code);
    return Statement(*this, sql, statement);
}

void Connection::give_back(std::string_view sql, sqlite3_stmt* statement) noexcept {
    sqlite3_reset(statement);
    sqlite3_clear_bindings(statement);
    try {
        stock_[sql].push_back(statement);
    } catch (...) {
        sqlite3_finalize(statement);
    }
}

void Connection::run_script(const char* sql) {
    const int code = sqlite3_exec(database_, sql, nullptr, nullptr, nullptr);
    if (code != SQLITE_OK) fail(code);
}

std::int64_t Connection::number(std::string_view sql) {
    Statement statement = use(sql);
    return statement.step() ? statement.whole(0) : 0;
}

std::optional<std::string> Connection::meta(std::string_view key) {
    Statement statement = use("SELECT value FROM meta WHERE key = ?1");
    if (!statement.with(key).step()) return std::nullopt;
    return statement.text(0);
}

void Connection::set_meta(std::string_view key, std::string_view value) {
    use("INSERT INTO meta (key, value) VALUES (?1, ?2) ON CONFLICT (key) DO UPDATE SET value = ?2")
        .with(key, value)
        .run();
}

void Connection::fail(int code) const {
    const std::string said = sqlite3_errmsg(database_);
    const int base = code & 0xFF;
    if (base == SQLITE_CONSTRAINT || base == SQLITE_ERROR || base == SQLITE_MISUSE || base == SQLITE_RANGE ||
        base == SQLITE_MISMATCH) {
        throw std::logic_error("store: " + said);
    }
    FailureKind kind = kind_of(code);
    // SQLite knows only ENOSPC as a full disk; a quota and a limit on a file's size are no other thing to
    // people.
    const int error = last_error_of_log(database_);
    if (kind == FailureKind::broken && (error == EDQUOT || error == EFBIG)) kind = FailureKind::disk_full;
    throw StoreFailure(kind, trouble_of(kind, path_, said.c_str()));
}

}  // namespace pairmark::store
