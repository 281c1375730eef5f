// Power cut at every write of the memory, at the byte and just behind it; then again while recovering from
// the first cut.
#include <map>
#include <set>

#include "tests/firmware/workbench.hpp"

using namespace pairmark::firmware;
using namespace pairmark::firmware::testing;

namespace {

/// A host that keeps what it is told for good, like the real store.
class Keeper {
  public:
    void serve(Workbench& bench, std::uint32_t ms) {
        for (std::uint32_t passed = 0; passed < ms && !bench.board->is_dead(); passed += 5) {
            bench.pass(5);
            for (const Said& one : bench.hear())
                answer(bench, one);
        }
    }
    /// How many different events told this sphere.
    std::size_t count(int sphere) const {
        std::size_t found = 0;
        for (const auto& [number, event] : events_) {
            if (event.value("s") == std::to_string(sphere)) ++found;
        }
        return found;
    }
    std::size_t size() const { return events_.size(); }
    bool clashed() const { return clashed_; }

  private:
    void answer(Workbench& bench, const Said& one) {
        if (one.kind == "HELLO") return bench.greet(one.value("id") == "none" ? " give=" + our_id : "");
        if (one.kind != "EVENT") return;
        const auto known = events_.find({one.value("ep"), one.value("n")});
        if (known == events_.end()) {
            events_.emplace(std::pair{one.value("ep"), one.value("n")}, one);
        } else if (known->second.value("rec") != one.value("rec")) {
            clashed_ = true;
        }
        bench.acknowledge(one);
    }
    std::map<std::pair<std::string, std::string>, Said> events_;
    bool clashed_ = false;
};

/// Prints a lens and waits until it is accepted, refused or cut; true if the accepted cue was given.
bool measure(Workbench& bench, Keeper& host, int sphere) {
    bench.forget_lamps();
    bench.board->instrument_writes(print_lens('R', sphere, -50, 90));
    host.serve(bench, 600);
    return bench.lamp_was_lit(Cue::accepted);
}

NativeEeprom prepared() {
    Workbench bench;
    bench.set_up();
    Keeper host;
    measure(bench, host, 100);
    REQUIRE(host.count(100) == 1);
    return bench.eeprom;
}

/// Boots, lets the host take everything, three times more, so that a torn byte has its chance to read
/// otherwise.
void settle(Workbench& bench, Keeper& host) {
    for (int boot = 0; boot < 4; ++boot) {
        bench.power_on();
        host.serve(bench, 2500);
    }
}

/// One day with cuts: returns false when the first cut lay behind the day's last write.
bool try_cut(const NativeEeprom& memory, std::uint64_t first, bool finished,
             std::optional<std::uint64_t> second, bool* second_fell = nullptr) {
    INFO("cut at write " << first << (finished ? ", finished" : ", torn") << ", then at "
                         << (second ? std::to_string(*second) : "none"));
    Workbench bench;
    bench.eeprom = memory;
    bench.eeprom.reseed(
        static_cast<std::uint32_t>(first * 131 + second.value_or(0) * 7 + (finished ? 3 : 1)));
    bench.power_on();
    Keeper host;
    host.serve(bench, 1500);
    bench.board->cut_at_write(first, finished);
    bool accepted = measure(bench, host, 200);
    const bool fell = bench.board->is_dead();
    if (second) {
        bench.forget_lamps();
        bench.power_on();
        bench.board->cut_at_write(*second);
        host.serve(bench, 2500);
        accepted = accepted || bench.lamp_was_lit(Cue::accepted);
        if (second_fell != nullptr) *second_fell = bench.board->is_dead();
    }
    bench.forget_lamps();
    settle(bench, host);
    accepted = accepted || bench.lamp_was_lit(Cue::accepted);
    CHECK(measure(bench, host, 300));
    host.serve(bench, 500);
    settle(bench, host);
    CHECK_FALSE(host.clashed());
    CHECK(host.count(300) == 1);
    CHECK(host.count(200) <= 1);
    if (accepted) CHECK(host.count(200) == 1);
    CHECK(host.size() == host.count(200) + host.count(300) + host.count(100));
    CHECK(bench.settings_are_sound());
    return fell;
}

}  // namespace

TEST_CASE("an accepted reading is neither lost nor doubled, wherever the power is cut while it is stored") {
    const NativeEeprom memory = prepared();
    for (const bool finished : {false, true}) {
        std::uint64_t cut = 0;
        while (try_cut(memory, cut, finished, std::nullopt))
            ++cut;
        CHECK(cut > 48);  // the record, its cue and its acknowledgement
    }
}

TEST_CASE("a second cut while recovering from the first loses and doubles nothing either") {
    const NativeEeprom memory = prepared();
    std::uint64_t furthest = 0;
    for (std::uint64_t first = 3; first < 60; first += 4) {
        bool fell = true;
        for (std::uint64_t second = first % 3; fell; second += 3) {
            fell = false;
            try_cut(memory, first, first % 8 == 3, second, &fell);
            furthest = std::max(furthest, second);
        }
    }
    CHECK(furthest > 80);  // settings twice, a torn slot blanked or a record moved
}

TEST_CASE("a torn record makes the epoch rise before a number is given, and is rewritten") {
    Workbench bench;
    bench.eeprom = prepared();
    bench.power_on();
    Keeper host;
    host.serve(bench, 1500);
    bench.board->cut_at_write(20);
    measure(bench, host, 200);
    REQUIRE(bench.board->is_dead());
    REQUIRE(bench.eeprom.torn() == 1);
    bench.power_on();
    const std::vector<Said> hello = bench.hear("HELLO", 2000);
    REQUIRE(!hello.empty());
    CHECK(hello[0].value("ep") == "2");
    CHECK(bench.eeprom.torn() == 0);
    bench.power_on();
    const std::vector<Said> again = bench.hear("HELLO", 2000);
    REQUIRE(!again.empty());
    CHECK(again[0].value("ep") == "2");
}

TEST_CASE("the first events of an adapter are safe too: power cut at every write from a blank memory on") {
    for (std::uint64_t cut = 0;; ++cut) {
        INFO("cut at write " << cut);
        Workbench bench(static_cast<std::uint32_t>(cut + 1));
        bench.board->cut_at_write(cut);
        Keeper host;
        host.serve(bench, 4000);
        const bool fell = bench.board->is_dead();
        bench.power_on();
        host.serve(bench, 4000);
        CHECK(bench.settings_are_sound());
        CHECK(bench.adapter->settings().values().has_id);
        if (!fell) break;
    }
}

TEST_CASE("a record with any one bit wrong is no record at the next start") {
    constexpr std::size_t outbox = 0x780;  // SPEC.md, "EEPROM"
    Workbench bench;
    bench.set_up();
    bench.measure(print_lens('R', -125, 50, 85));
    REQUIRE(bench.adapter->outbox().waiting() == 1);
    const NativeEeprom whole = bench.eeprom;
    std::size_t record = outbox;
    while (bench.eeprom.cells().at(record) == 0xFF)
        record += pairmark::protocol::record_size;
    for (std::size_t bit = 0; bit < 8 * pairmark::protocol::record_size; ++bit) {
        const std::size_t at = bit / 8;
        if (at == pairmark::protocol::record_cue_at || at == pairmark::protocol::record_acked_at) continue;
        CAPTURE(bit);
        bench.eeprom = whole;
        bench.eeprom.cells().at(record + at) ^= static_cast<std::uint8_t>(1U << bit % 8);
        bench.power_on();
        CHECK(bench.adapter->outbox().waiting() == 0);
        CHECK(bench.adapter->counters().torn == 1);
    }
}
