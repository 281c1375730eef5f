// firmware/budgets.json against the real image: measured, compared, printed.
#include <catch2/catch.hpp>
#include <cstdio>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>

#include "protocol/profile_items.hpp"
#include "tests/faults/adapter_bench.hpp"
#include "tests/faults/trial_instrument.hpp"
#include "tests/trees.hpp"

namespace pairmark::sim {
namespace {

using Figures = std::map<std::string, uint64_t>;

/// Sections of the image as avr-size tells them, which the build needs anyway.
void weigh(Figures& figures) {
    const std::string command = "avr-size -A -d " + tests::in_build_tree("firmware/pairmark-adapter.elf");
    std::FILE* pipe = popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::map<std::string, uint64_t> sections;
    char line[200];
    while (std::fgets(line, sizeof line, pipe) != nullptr) {
        char name[64];
        unsigned long long size = 0;
        if (std::sscanf(line, "%63s %llu", name, &size) == 2) sections[name] = size;
    }
    REQUIRE(pclose(pipe) == 0);
    REQUIRE(sections[".text"] > 0);
    figures["flash"] = sections[".text"] + sections[".data"];
    figures["variables"] = sections[".data"] + sections[".bss"] + sections[".noinit"];
}

/// A profile that tries every cut of a capture with a CRC over nearly all of it, the dearest step there is.
std::vector<uint8_t> dearest_profile() {
    using namespace protocol;
    const std::vector<uint8_t> items = {item_changing,
                                        5,
                                        0,
                                        255,  // any bytes
                                        item_check_sum,
                                        3,
                                        16,
                                        3,
                                        0,
                                        0,
                                        0x21,
                                        0x10,
                                        0xFF,
                                        0xFF,
                                        0,
                                        0,  // CRC-16 of all of them, raw
                                        item_number,
                                        quantity_sphere,
                                        sign_always,
                                        2 | point_dot,
                                        0,
                                        5,
                                        6};  // a shape must have a sphere
    std::vector<uint8_t> profile = trial_profile();
    profile.resize(17);
    profile.insert(profile.end(), {0, static_cast<uint8_t>(items.size()), 0});
    profile.insert(profile.end(), items.begin(), items.end());
    return profile;
}

/// Everything that the adapter does, both ports busy.
void go_through_everything(AdapterBench& bench) {
    unsigned asked = 0;
    for (unsigned i = 0; i < 2500; ++i) {
        if (bench.board.instrument_port().on_wire() < 20)
            bench.print(i % 5 == 4 ? "nonsense\r\n" : trial_capture(i % 48));
        if (bench.board.host_port().on_wire() < 40) {
            switch (asked++ % 6) {
                case 0:
                    bench.say("@ASK what=status");
                    break;
                case 1:
                    bench.say("@ASK what=refused");
                    break;
                case 2:
                    bench.say("@CUE n=" + std::to_string(asked) + " show=ask");
                    break;
                case 3:
                    bench.say("@DANCE to=this");
                    break;
                case 4:
                    bench.say("@PART at=0 of=70 hex=" + std::string(128, '0'));
                    break;
                default:
                    bench.say("@PING n=" + std::to_string(asked));
            }
        }
        bench.board.pins().press(BoardKey::go_on, i % 300 < 100);
        bench.pass(1);
        for (const Said& one : bench.take_all())
            if (one.kind == "EVENT") bench.acknowledge(one);
    }
}

void watch(Figures& figures) {
    AdapterBench bench;
    REQUIRE(bench.set_up(trial_profile()));
    bench.board.watch_closely();
    bench.board.power_cut();
    bench.board.power_on();
    REQUIRE(!bench.hear("HELLO", 3000).kind.empty());
    REQUIRE(bench.greet());
    go_through_everything(bench);
    while (bench.status("wait") > 0)
        bench.acknowledge(bench.hear("EVENT", 5000));
    REQUIRE(bench.upload(trial_profile()));

    AdapterBench slow;
    REQUIRE(slow.set_up(dearest_profile()));
    slow.board.watch_closely();
    // No two cuts end in the same bytes, and no CRC holds.
    std::string capture;
    for (unsigned i = 0; i < 254; ++i)
        capture += static_cast<char>(' ' + i * 7 % 90);
    slow.print(capture + "\r\n");
    const auto lit = [&] { return slow.board.pins().is_lit(Lamp::refused); };
    REQUIRE(slow.board.run_until([&] { return slow.board.instrument_port().on_wire() == 0; }, clock_hz));
    const uint64_t last_byte = slow.board.cycle();
    REQUIRE(slow.board.run_until(lit, uint64_t{3} * clock_hz));
    figures["decode"] = slow.board.cycle() - last_byte;
    CHECK(slow.hear("REFUSED", 1000).value("why") == "too_many_ways_to_read_it");
    CHECK(slow.board.resets() == 1);
    CHECK(bench.board.resets() == 2);

    figures["masked"] = std::max(bench.board.longest_masked(), slow.board.longest_masked());
    for (AdapterBench* one : {&bench, &slow})
        for (UartModel* port : {&one->board.host_port(), &one->board.instrument_port()})
            figures["latency"] = std::max(figures["latency"], port->longest_wait());
    figures["stack"] = std::max(bench.board.deepest_stack(), slow.board.deepest_stack());
    // The adapter's own figure, from the paint that the stack has washed off, says the same: what STATUS
    // tells a technician can be believed.
    constexpr uint64_t ram = 8192;
    const uint64_t washed = ram - figures["variables"] - bench.status("stack");
    CHECK(washed >= bench.board.deepest_stack());
    CHECK(washed <= bench.board.deepest_stack() + 16u);
}

}  // namespace

TEST_CASE("the image stays within its budgets of flash, RAM, stack, masked interrupts and decoding") {
    std::ifstream file(tests::in_source_tree("firmware/budgets.json"));
    const nlohmann::json budgets = nlohmann::json::parse(file);
    Figures figures;
    weigh(figures);
    watch(figures);
    REQUIRE(budgets.size() == figures.size());
    for (const auto& [name, figure] : figures) {
        const nlohmann::json& budget = budgets.at(name);
        std::printf("%-10s %9llu of %9llu %s\n", name.c_str(), static_cast<unsigned long long>(figure),
                    static_cast<unsigned long long>(budget.at("ceiling").get<uint64_t>()),
                    budget.at("unit").get<std::string>().c_str());
        INFO(name);
        CHECK(figure > 0);
        CHECK(figure <= budget.at("ceiling").get<uint64_t>());
    }
}

}  // namespace pairmark::sim
