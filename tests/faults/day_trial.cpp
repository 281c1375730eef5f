#include "tests/faults/day_trial.hpp"

#include <algorithm>
#include <stdexcept>

#include "tests/faults/day.hpp"
#include "tests/faults/forked.hpp"
#include "tests/faults/trial_instrument.hpp"

namespace pairmark::sim {
namespace {

EepromBytes memory_of(const std::string& elf, Memory memory) {
    if (memory == Memory::used) return used_memory(elf);
    EepromBytes blank;
    blank.fill(0xFF);
    return blank;
}

uint64_t key_of(const Cut& cut) {
    return cut.index * 2 + (cut.at == Cut::At::write ? 1 : 0);
}

}  // namespace

EepromBytes used_memory(const std::string& elf) {
    constexpr unsigned slots = 45;  // SPEC.md, "EEPROM"
    Board board(elf);
    HostModel host(board, trial_profile());
    board.power_on();
    const auto wait = [&](const auto& done) { return board.run_until(done, uint64_t{20} * clock_hz); };
    if (!wait([&] { return host.greeted() && host.profile_in_force(); }))
        throw std::runtime_error("the adapter does not get ready");
    board.run_for(clock_hz / 2);
    for (unsigned i = 0; i < slots; ++i) {
        for (const char byte : trial_capture(100 + i))
            board.instrument_port().feed(static_cast<uint8_t>(byte));
        if (!wait([&] { return host.readings().size() == i + 1; }))
            throw std::runtime_error("the adapter does not take reading " + std::to_string(i));
        board.run_for(clock_hz / 2);
    }
    return board.eeprom().cells();
}

Series try_cuts(const std::string& elf, Memory memory, uint64_t count) {
    const EepromBytes cells = memory_of(elf, memory);
    Series series;
    {
        Day day(elf, cells);
        series.whole = day.play();
        series.writes = day.writes();
        series.milliseconds = day.milliseconds();
        series.readings = day.readings();
    }
    if (!series.whole.broken.empty()) return series;
    std::multimap<uint64_t, Cut> plan;
    for (const Cut& cut : cut_series(count, series.writes, series.milliseconds))
        plan.emplace(key_of(cut), cut);

    Forked children([&](const std::string& id, const Forked::Report& report) {
        ++series.tried;
        series.torn += report.torn;
        series.again += report.again;
        if (!report.text.empty()) series.broken.push_back({id, report.text});
    });
    Day day(elf, cells);
    day.on_place = [&](Cut::At at, uint64_t index) {
        if (children.is_child()) return;
        Cut here;
        here.at = at;
        here.index = index;
        const auto [from, to] = plan.equal_range(key_of(here));
        for (auto it = from; it != to; ++it) {
            if (!children.fork(id_of(it->second))) continue;
            day.lose_power(it->second);
            return;
        }
    };
    const Promise promise = day.play();
    if (children.is_child()) children.report({promise.broken, promise.torn, promise.again});
    children.wait_for_all();
    return series;
}

Promise replay_cut(const std::string& elf, Memory memory, const Cut& cut) {
    Day day(elf, memory_of(elf, memory));
    bool lost = false;
    day.on_place = [&](Cut::At at, uint64_t index) {
        if (lost || at != cut.at || index != cut.index) return;
        lost = true;
        day.lose_power(cut);
    };
    return day.play();
}

}  // namespace pairmark::sim
