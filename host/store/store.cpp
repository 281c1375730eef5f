#include "host/store/store.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdio>
#include <ctime>
#include <stdexcept>

#include "host/store/connection.hpp"
#include "host/store/generation.hpp"
#include "host/store/schema.hpp"

namespace pairmark::store {
namespace {

constexpr const char* first_series = "A";

/// 64 bits as 16 upper-case hex digits.
std::string draw_id(const RandomBits& random_bits) {
    std::array<char, 17> text{};
    std::snprintf(text.data(), text.size(), "%016llX", static_cast<unsigned long long>(random_bits()));
    return text.data();
}

std::string moment_now() {
    const auto now = std::chrono::system_clock::now().time_since_epoch();
    const auto ms = std::chrono::duration_cast<std::chrono::milliseconds>(now).count();
    const std::time_t seconds = ms / 1000;
    std::tm parts{};
    ::gmtime_r(&seconds, &parts);
    std::array<char, 32> day{};
    std::array<char, 40> text{};
    if (std::strftime(day.data(), day.size(), "%Y-%m-%dT%H:%M:%S", &parts) == 0) return "";
    std::snprintf(text.data(), text.size(), "%s.%03dZ", day.data(), static_cast<int>(ms % 1000));
    return text.data();
}

/// Writes a new generation into file and database, so that a cut at any moment leaves two that fit.
void renew_generation(Connection& connection, const std::string& series) {
    Generation generation{draw_id(connection.random_bits), connection.meta("generation"), connection.inode(),
                          series};
    write_generation(connection.generation_path(), generation);
    connection.set_meta("generation", generation.current);
    generation.before.reset();
    write_generation(connection.generation_path(), generation);
}

bool fits(const Generation& file, std::uint64_t inode, const std::string& in_database) {
    return file.inode == inode && (file.current == in_database || file.before == in_database);
}

/// Makes or checks the tables, and says whether the database is the one that its generation file knows.
void prepare(Connection& connection) {
    const std::uint64_t inode = connection.inode();
    connection.run_script("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON;");
    const std::optional<Generation> file = read_generation(connection.generation_path());
    const Generation fresh{draw_id(connection.random_bits), std::nullopt, inode, first_series};
    const bool made = prepare_schema(connection, draw_id(connection.random_bits), moment_now(), first_series,
                                     fresh.current);
    if (made) {
        // A generation file without its database: numbers of its series may be out on envelopes.
        connection.restored_or_copied = file.has_value();
        if (!file) write_generation(connection.generation_path(), fresh);
        return;
    }
    if (!std::filesystem::exists(connection.generation_path()) &&
        connection.number("SELECT count(*) FROM event") == 0) {
        // The very first start was cut before it could write the file. Where nothing was ever kept, no number
        // was given either.
        write_generation(connection.generation_path(),
                         {connection.meta("generation").value_or(""), std::nullopt, inode,
                          connection.meta("series").value_or(first_series)});
        return;
    }
    const bool same = file && fits(*file, inode, connection.meta("generation").value_or(""));
    connection.restored_or_copied = !same;
    if (same)
        renew_generation(connection, later_series(file->series, connection.meta("series").value_or("")));
}

}  // namespace

Transaction::Transaction(Connection& connection, Kind kind) : connection_(&connection) {
    if (connection.in_transaction()) throw std::logic_error("store: a transaction inside another");
    if (kind == Kind::writes) {
        connection.use("BEGIN IMMEDIATE").run();
        return;
    }
    connection.use("BEGIN").run();
    try {
        // A reading transaction begins with its first read.
        (void)connection.number("SELECT count(*) FROM sqlite_schema");
    } catch (...) {
        connection.use("ROLLBACK").run();
        throw;
    }
}

Transaction::~Transaction() {
    if (connection_ == nullptr || !connection_->in_transaction()) return;
    try {
        connection_->use("ROLLBACK").run();
    } catch (const std::exception&) {
        // The next transaction says what is wrong; what was not committed is gone in any case.
    }
}

void Transaction::commit() {
    if (connection_ == nullptr) throw std::logic_error("store: a transaction was committed twice");
    connection_->use("COMMIT").run();
    connection_ = nullptr;
}

Store::Store(std::unique_ptr<Connection> connection) : connection_(std::move(connection)) {}
Store::Store(Store&&) noexcept = default;
Store& Store::operator=(Store&&) noexcept = default;
Store::~Store() = default;

Store Store::open(const std::filesystem::path& path, RandomBits random_bits) {
    const std::filesystem::path real = with_real_folder(path);
    refuse_unless_plain(real);
    Lock lock = take_lock(beside(real, ".lock"));
    for (const char* suffix : {"-wal", "-shm", "-journal", ".generation"}) {
        refuse_unless_plain(beside(real, suffix));
    }
    const std::uint64_t inode = own_file(real);
    try {
        auto connection = std::make_unique<Connection>(real, std::move(lock), inode);
        connection->random_bits = std::move(random_bits);
        prepare(*connection);
        return Store(std::move(connection));
    } catch (const StoreFailure& failure) {
        throw StoreFault(failure.trouble);
    }
}

Transaction Store::begin() {
    return Transaction(*connection_);
}

Transaction Store::snapshot() const {
    return Transaction(*connection_, Transaction::Kind::reads);
}

std::optional<StoreFailure> Store::attempt(const std::function<void()>& work) {
    try {
        Transaction transaction = begin();
        work();
        transaction.commit();
        return std::nullopt;
    } catch (const StoreFailure& failure) {
        return failure;
    }
}

std::string Store::id() const {
    return connection_->meta("store").value_or("");
}
std::string Store::created() const {
    return connection_->meta("created").value_or("");
}
std::string Store::series() const {
    return connection_->meta("series").value_or(first_series);
}
bool Store::was_restored_or_copied() const {
    return connection_->restored_or_copied;
}

std::string Store::start_new_series() {
    Transaction transaction = begin();
    try {
        const std::filesystem::path path = connection_->generation_path();
        const std::optional<Generation> file = read_generation(path);
        const std::string next = next_series(later_series(series(), file ? file->series : first_series));
        // The file first: a cut between the two makes the next start begin a later series, never the same one
        // twice.
        const Generation generation{draw_id(connection_->random_bits), std::nullopt, connection_->inode(),
                                    next};
        write_generation(path, generation);
        connection_->set_meta("series", next);
        connection_->set_meta("generation", generation.current);
        transaction.commit();
        connection_->restored_or_copied = false;
        return next;
    } catch (const StoreFault& fault) {
        throw StoreFailure(FailureKind::broken, fault.trouble);
    }
}

void Store::go_on_after(std::string_view given) {
    const std::string own = series();
    // The generation file follows at the next opening, which takes the later of the two.
    if (later_series(own, given) == given) connection_->set_meta("series", next_series(given));
}

std::int64_t Store::imported_to() const {
    return connection_->number("SELECT CAST(value AS INTEGER) FROM meta WHERE key = 'imported_to'");
}
void Store::set_imported_to(std::int64_t sequence) {
    connection_->set_meta("imported_to", std::to_string(sequence));
}

void Store::limit_size(std::int64_t bytes) {
    const std::int64_t page = connection_->number("PRAGMA page_size");
    const std::int64_t pages = std::max<std::int64_t>(1, (bytes + page - 1) / page);
    // A pragma takes no parameters; this one gets a number.
    connection_->run_script(("PRAGMA max_page_count = " + std::to_string(pages)).c_str());
}

}  // namespace pairmark::store
