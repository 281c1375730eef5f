// The bench's memory: events in one order, and what follows from them, in one SQLite file.
//
// Beside the database `D` lie `D.lock` (held while it is open), `D.generation` (see generation.hpp) and,
// while it is open, `D-wal` and `D-shm`. A commit is durable when it returns: write-ahead log, synchronous
// FULL. Everything but events, texts, quarantine and the documents of print intents can be made again from
// the events.
//
// Failures at run time: StoreFailure, see fault.hpp. A call against its own contract (a number given twice, a
// transaction inside another) is a std::logic_error.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "host/record/event.hpp"
#include "host/record/pair.hpp"
#include "host/store/fault.hpp"
#include "host/store/random_bits.hpp"
#include "host/store/rows.hpp"

namespace pairmark::store {

class Connection;

/// All or nothing: what is done to the store between `begin` and `commit` is kept as a whole. Rolled back
/// when it is destroyed without a commit. Must not outlive its Store.
class Transaction {
  public:
    enum class Kind { writes, reads };
    explicit Transaction(Connection& connection, Kind kind = Kind::writes);
    ~Transaction();
    Transaction(Transaction&& other) noexcept : connection_(std::exchange(other.connection_, nullptr)) {}
    Transaction& operator=(Transaction&&) = delete;
    Transaction(const Transaction&) = delete;
    Transaction& operator=(const Transaction&) = delete;

    /// Durable when it returns. Throws StoreFailure, and then nothing was kept.
    void commit();

  private:
    Connection* connection_;
};

class Store {
  public:
    /// Opens the store at `path`, or makes a new one with mode 0600. Throws StoreFault if it is a link or not
    /// a plain file of the user's own, if another process has it open, if a newer version of the program
    /// wrote it, or if it is not a store at all.
    /// `random_bits` names the store and its generations; a trial that is to be played again brings its own.
    static Store open(const std::filesystem::path& path, RandomBits random_bits = random_bits_of_the_system);
    /// Opens the store at `path` to look into it, also while another process has it open: only the functions
    /// that are const may be used. Throws StoreFault if there is none, and as `open` does.
    static Store open_to_read(const std::filesystem::path& path);
    Store(Store&&) noexcept;
    Store& operator=(Store&&) noexcept;
    ~Store();

    Transaction begin();
    /// The store as it is now, until the Transaction is destroyed: what another process commits meanwhile is
    /// not seen. For a store opened to read, too. Nothing may be written inside it.
    Transaction snapshot() const;
    /// Runs `work` in a transaction and commits it. A StoreFailure on the way is given back as a value, and
    /// nothing of `work` was kept; other exceptions pass.
    std::optional<StoreFailure> attempt(const std::function<void()>& work);

    /// 16 upper-case hex digits, drawn when the store was made.
    std::string id() const;
    std::string created() const;  // a moment, UTC
    std::string series() const;   // of the labels to come: "A", ..., "Z", "AA", ...

    /// True if, when it was opened, the store had been restored from elsewhere or copied; until
    /// `start_new_series`.
    bool was_restored_or_copied() const;
    /// Begins the next series, in which no number was ever given, and makes this store the one that goes on.
    /// Returns it. Not inside a transaction.
    std::string start_new_series();
    /// Numbers of `series` were given elsewhere: the next number here comes in a later series. Changes
    /// nothing if that is so already. Inside a transaction. Precondition: capital letters only.
    void go_on_after(std::string_view series);

    /// The newest event that was imported and did not happen here; 0: none. A kept pair whose events all came
    /// with the import gets no number from this store: its label belongs to the bench that measured it.
    std::int64_t imported_to() const;
    void set_imported_to(std::int64_t sequence);

    /// Appends an event, gives it the next sequence number and returns that. A text in force is kept once,
    /// however often it comes into force. An event that JSON could not carry (see record/json.hpp) is refused
    /// with BadRecord. An adapter's event that is already known is a broken contract: ask `find` first.
    std::int64_t append(record::Event& event);
    std::int64_t last_sequence() const;  // 0: no event yet
    std::string last_moment() const;     // `at` of the newest event; empty: none
    Known find(const record::AdapterEventId& id) const;
    std::uint32_t last_number(std::string_view adapter, std::uint32_t epoch) const;  // 0: none
    /// Hands out events in order, from sequence `from` on. Throws BadRecord with the sequence if a stored one
    /// is damaged. `take` must not append.
    void for_each_event(const std::function<void(const record::Event&)>& take, std::int64_t from = 1) const;

    /// Keeps a text under its hash; the same again changes nothing.
    void put_text(std::string_view role, std::string_view hash, std::string_view text);
    std::optional<std::string> text(std::string_view hash) const;

    /// Keeps a pair as it is now, with its verdict as JSON text if there is one.
    void put_pair(const record::Pair& pair, const std::optional<std::string>& verdict = std::nullopt);
    std::optional<StoredPair> pair(std::int64_t id) const;
    std::vector<StoredPair> pairs() const;  // by id

    /// The counter after the highest that was ever used in `series`, void or not; from 1.
    std::int64_t next_counter(std::string_view series) const;
    /// Number, date and place are those of the facts.
    void put_label(std::int64_t pair, std::string_view series, std::int64_t counter,
                   const record::LabelFacts& facts);
    /// False if there is no such number.
    bool void_label(std::string_view number);
    std::optional<StoredLabel> label(std::string_view number) const;
    std::vector<StoredLabel> labels() const;  // in the order in which they were given

    /// Keeps an intent whose label was put, with the outcome that it has; returns its id. A label has one
    /// intent a copy.
    std::int64_t put_intent(const record::PrintIntent& intent);
    /// False if there is no such intent.
    bool set_outcome(std::int64_t id, record::PrintOutcome outcome, std::string_view say);
    std::optional<record::PrintIntent> intent(std::int64_t id) const;  // whole, with its document
    std::optional<record::PrintIntent> intent(std::string_view number, int copy) const;
    std::vector<StoredIntent> intents() const;                              // by id
    std::vector<StoredIntent> intents_of(std::string_view number) const;    // by copy
    std::vector<StoredIntent> intents(record::PrintOutcome outcome) const;  // by id

    void quarantine(std::string_view at, const record::AdapterEventId& id, std::string_view line);
    std::vector<Quarantined> quarantined() const;  // by id

    /// Looks every page of the database over, table by table. A sentence for each damage: which table and
    /// page, and what to do; empty: none. Reads the whole file. `looking` hears each table's name before it
    /// is read.
    std::vector<std::string> damage(const std::function<void(const std::string& table)>& looking = {}) const;

    // Rows as they lie there (see rows.hpp), for `pairmark verify`; and the writers that put them right. The
    // writers replace what is there. They belong inside a transaction.
    void for_each_event_row(const std::function<void(const EventRow&)>& take) const;  // by sequence
    std::vector<LabelRow> label_rows() const;                                         // as they were given
    std::vector<IntentRow> intent_rows() const;                                       // by id
    void put_event_index(std::int64_t sequence, const std::optional<record::AdapterEventId>& id);
    void put_pair_row(const StoredPair& row);
    void remove_pair_row(std::int64_t id);
    void put_label_row(const LabelRow& row);
    void remove_label_row(std::string_view number);
    /// Frees the row's counter, so that it can be written anew while another row has the one that it should.
    void unsettle_label_row(std::string_view number);
    /// The intent's pair and rules; its outcome has `set_outcome`.
    void put_intent_row(std::int64_t id, std::int64_t pair, std::string_view rules_hash);
    void remove_intent_row(std::int64_t id);

    /// The database may not grow beyond this many bytes (rounded up to its pages); what would exceed it fails
    /// as if the disk were full. For small media. Lasts until the store is closed.
    void limit_size(std::int64_t bytes);

  private:
    explicit Store(std::unique_ptr<Connection> connection);
    std::unique_ptr<Connection> connection_;
};

}  // namespace pairmark::store
