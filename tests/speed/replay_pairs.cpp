// How many pairs a second are paired and graded again from their events, in memory: no disk, no rendering.
// Not a test: prints figures, judges nothing.
#include <chrono>
#include <cstdio>
#include <ctime>
#include <string>
#include <utility>
#include <vector>

#include "host/bench/pipeline.hpp"
#include "host/bench/replay.hpp"
#include "host/label/number.hpp"
#include "host/record/sha256.hpp"

namespace {

using namespace pairmark;

constexpr int pairs = 100'000;
constexpr int runs = 5;

record::Event lens(std::int64_t sequence, record::Eye eye, int sphere, int cylinder) {
    record::ReadingTaken taken;
    taken.id = record::AdapterEventId{"0123456789ABCDEF", 1, static_cast<std::uint32_t>(sequence), 7};
    taken.reading.lenses = {{eye,
                             {optics::Dioptre::hundredths(sphere), optics::Dioptre::hundredths(cylinder),
                              cylinder == 0 ? 0.0 : static_cast<double>(1 + sequence % 180)},
                             {},
                             {}}};
    taken.reading.step = optics::Dioptre::hundredths(25);
    taken.age_ms = 12;
    return {sequence, "2026-11-24T22:50:00.123Z", taken};
}

/// Pairs as a bench sees them: spheres to ±6 D, nearly a third with a cylinder too strong to keep. A number
/// follows each pair that is kept.
std::vector<record::Event> long_day() {
    std::vector<record::Event> events;
    bench::Pipeline judge;
    std::int64_t sequence = 0;
    std::int64_t counter = 0;
    const auto happen = [&](record::Event event) {
        event.sequence = ++sequence;
        (void)judge.apply(event);
        events.push_back(std::move(event));
    };
    const std::string rules{grading::default_rules_text()};
    happen({0, "2026-11-24T22:49:00.000Z", record::TextInForce{"settings", record::sha256("s"), "{}"}});
    happen({0, "2026-11-24T22:49:00.000Z", record::TextInForce{"rules", record::sha256(rules), rules}});
    for (int i = 0; i < pairs; ++i) {
        const int sphere = 25 * (i % 49) - 600;
        const int cylinder = -25 * (i % 13);
        happen(lens(sequence + 1, record::Eye::right, sphere, cylinder));
        happen(lens(sequence + 1, record::Eye::left, sphere + 25, cylinder));
        const record::Pair* pair = judge.table().find(i + 1);
        if (pair == nullptr || pair->state != record::PairState::decided) continue;
        record::Numbered numbered;
        numbered.pair = pair->id;
        numbered.series = "A";
        numbered.counter = ++counter;
        numbered.number = label::print_number({"A1", "A", counter});
        numbered.date = "2026-11-24";
        numbered.place = "Box 1-01";
        happen({0, "2026-11-24T22:50:01.000Z", numbered});
    }
    return events;
}

template <typename Work>
void measure(const char* what, Work work) {
    for (int run = 0; run < runs; ++run) {
        const std::clock_t processor = std::clock();
        const auto begin = std::chrono::steady_clock::now();
        const std::int64_t kept = work();
        const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
        const double processor_time = static_cast<double>(std::clock() - processor) / CLOCKS_PER_SEC;
        std::printf("%-16s %9.0f pairs/s by the clock, %9.0f by processor time; %lld of %d kept\n", what,
                    pairs / took.count(), pairs / processor_time, static_cast<long long>(kept), pairs);
    }
}

}  // namespace

int main() {
    const std::vector<record::Event> events = long_day();
    std::printf("%zu events\n", events.size());
    measure("Pipeline::apply", [&events] {
        bench::Pipeline pipeline;
        std::int64_t kept = 0;
        for (const record::Event& event : events)
            for (const bench::Outcome& outcome : pipeline.apply(event))
                if (outcome.what == bench::Outcome::What::settled &&
                    pipeline.table().find(outcome.pair)->state == record::PairState::decided)
                    ++kept;
        return kept;
    });
    measure("whole replay",
            [&events] { return bench::replay(events, std::nullopt, {}).count(record::Decision::keep); });
}
