#include "tests/days/day.hpp"

#include <algorithm>
#include <exception>

#include "host/bench/verify_store.hpp"
#include "tests/days/troubles.hpp"
#include "tests/days/volunteer.hpp"

namespace pairmark::days {
namespace {

using record::PairState;
using record::PrintOutcome;

constexpr unsigned evening_ms = 240'000;
constexpr unsigned everything_had_its_time_ms = 45'000;

class Evening {
  public:
    explicit Evening(World& world) : world_(world), screen_(world.screen()) {}
    std::vector<std::string> look() {
        readings();
        labels();
        lamps();
        const bench::Verified verified = bench::verify_store(world_.store());
        for (const std::string& damage : verified.damage)
            say("I10: " + damage);
        for (const bench::StoreDifference& difference : verified.differences)
            say("I10: " + difference.sentence());
        return broken_;
    }

  private:
    void say(const std::string& what) { broken_.push_back(what); }

    void readings() {
        for (const Ledger::Measured& one : world_.ledger.lenses) {
            const auto held =
                std::count_if(screen_.readings().begin(), screen_.readings().end(),
                              [&one](const Screen::Held& reading) { return one.lens.is(reading.lens); });
            if (held != static_cast<std::int64_t>(one.accepted))
                say("I1: lens " + one.lens.text() + " was accepted " + std::to_string(one.accepted) +
                    " times, the store holds " + std::to_string(held));
        }
        for (const Screen::Held& reading : screen_.readings())
            if (std::none_of(world_.ledger.lenses.begin(), world_.ledger.lenses.end(),
                             [&reading](const Ledger::Measured& one) { return one.lens.is(reading.lens); }))
                say("I2: event " + std::to_string(reading.event) + " is a reading that nobody measured");
        if (screen_.keys() != world_.ledger.keys_accepted)
            say("I1: " + std::to_string(world_.ledger.keys_accepted) +
                " key presses were accepted, the store holds " + std::to_string(screen_.keys()));
        if (screen_.acts() != world_.ledger.acts_done)
            say("I1: " + std::to_string(world_.ledger.acts_done) +
                " acts were answered as done, the store holds " + std::to_string(screen_.acts()));
        for (const std::string& sentence : screen_.misplaced())
            say("I3: " + sentence);
    }

    void labels() {
        const auto labels = world_.store().labels();
        for (std::int64_t id = 1; id <= screen_.table().count(); ++id) {
            const record::Pair& pair = *screen_.table().find(id);
            const std::string& number = screen_.table().number(id);
            const auto in_force = std::count_if(
                labels.begin(), labels.end(),
                [id](const store::StoredLabel& label) { return label.pair == id && !label.is_void; });
            const bool kept = pair.state == PairState::decided || pair.state == PairState::labelled;
            if (kept && number.empty() && in_force == 0 && screen_.label_is_refused(id)) continue;
            if (in_force != (kept ? 1 : 0) || number.empty() == kept)
                say("I4: pair " + std::to_string(id) + " is " + std::string(record::word(pair.state)) +
                    " and has " + std::to_string(in_force) + " numbers in force (" + number + ")");
        }
        for (const store::StoredLabel& label : labels)
            label_came_out_rightly(label);
        for (const FakePrinter::Sheet& sheet : world_.printer.pile)
            if (!sheet.was_in_force) say("I6: label " + sheet.number + " came out after it was void");
    }

    void lamps() {
        const auto doubts = world_.store().intents(PrintOutcome::in_doubt);
        const bool needs = !doubts.empty();
        const AdapterBox& box = world_.box();
        const bool lit = world_.wait([&box] { return box.lamp(firmware::Cue::printer); }, 1000);
        if (broken_.empty() && lit != needs)
            say(std::string("I9: the printer's lamp is ") + (lit ? "lit" : "dark") + " and " +
                std::to_string(doubts.size()) + " labels are in doubt");
        if (world_.wait([&box] { return box.lamp(firmware::Cue::host_absent); }, 1500))
            say("I9: the adapter misses its computer");
    }

    std::int64_t sheets_of(const std::string& number, int copy) const {
        return std::count_if(
            world_.printer.pile.begin(), world_.printer.pile.end(),
            [&](const FakePrinter::Sheet& sheet) { return sheet.number == number && sheet.copy == copy; });
    }

    void label_came_out_rightly(const store::StoredLabel& label) {
        const std::vector<store::StoredIntent> intents = world_.store().intents_of(label.number);
        if (intents.empty()) return say("I7: label " + label.number + " was never to be printed");
        for (const store::StoredIntent& intent : intents)
            intent_went_rightly(intent, label.is_void);
    }

    void intent_went_rightly(const store::StoredIntent& intent, bool is_void) {
        const std::string name =
            "label " + intent.label + (intent.copy > 0 ? " copy " + std::to_string(intent.copy) : "");
        const std::string outcome(record::word(intent.outcome));
        const bool doubted = world_.printer.doubted.contains({intent.label, intent.copy});
        const std::int64_t sheets = sheets_of(intent.label, intent.copy);
        if (sheets > 1)
            say("I5: " + name + " came out " + std::to_string(sheets) + " times (" + outcome + ")");
        if (is_void && intent.outcome != PrintOutcome::void_) say("I7: void " + name + " is " + outcome);
        switch (intent.outcome) {
            case PrintOutcome::printed:
                if (sheets != 1)
                    say("I5: " + name + " is printed and came out " + std::to_string(sheets) + " times");
                if (doubted) say("I7: " + name + " may have come out, or not, and is called printed");
                break;
            case PrintOutcome::in_doubt:
                if (!doubted) say("I7: " + name + " is in doubt, and nobody doubted");
                break;
            case PrintOutcome::confirmed:
                if (sheets != 1)
                    say("I5: " + name + " was confirmed and came out " + std::to_string(sheets) + " times");
                break;
            case PrintOutcome::void_:  // its number, or a copy took its place
                break;
            default:
                say("I7: " + name + " is left " + outcome + " (" + intent.say + ")");
        }
    }

    World& world_;
    Screen& screen_;
    std::vector<std::string> broken_;
};

void spend(World& world, std::uint64_t seed, DayReport& report) {
    Chance plan(seed, 10);
    world.setup.config.late_after = std::chrono::seconds(plan.between(5, 30));
    world.setup.config.half_pair_after = std::chrono::minutes(1);
    Volunteer volunteer(world, Chance(seed, 11));
    Troubles troubles(world, Chance(seed, 12));
    world.start_daemon();
    world.wait(plan.between(0, 8000));
    troubles.begin();
    const std::string fault = volunteer.work(plan.between(10, 40));
    if (!fault.empty()) report.broken.push_back("the day could not go on: " + fault);
    troubles.end();
    // Each adapter tells what it has, also the one that was taken away.
    for (int each = 0; each < 2; ++each) {
        if (!world.wait([&] { return world.box().has_told_all(); }, evening_ms))
            report.broken.push_back("I8: " + std::to_string(world.box().waiting()) +
                                    " events wait in an adapter");
        world.exchange_adapters();
    }
    world.wait(everything_had_its_time_ms);
    volunteer.tidy_up();
    world.wait(everything_had_its_time_ms);
    // A slow printer has a pile of work left.
    (void)world.wait(
        [&] {
            return world.store().intents(PrintOutcome::waiting).empty() &&
                   world.store().intents(PrintOutcome::sending).empty();
        },
        evening_ms);
    const std::vector<std::string> broken = Evening(world).look();
    report.broken.insert(report.broken.end(), broken.begin(), broken.end());
}

}  // namespace

DayReport play_day(std::uint64_t seed, bool wants_story, Without without) {
    DayReport report;
    World world(seed);
    world.wants_story = wants_story;
    world.printer.prints_twice = without == Without::printing_once;
    world.printer.asks_nobody = without == Without::asking_before_printing;
    world.box().cues_without_keeping = without == Without::keeping_before_cue;
    world.ports.acknowledges = without == Without::storing_before_acknowledging;
    try {
        spend(world, seed, report);
        for (const store::StoredLabel& label : world.store().labels())
            if (label.is_void) ++report.voided;
    } catch (const std::exception& error) {
        report.broken.push_back(std::string("the day ended with an exception: ") + error.what());
    }
    report.story = world.story();
    report.met = world.met;
    report.readings = static_cast<unsigned>(world.screen().readings().size());
    report.pairs = static_cast<unsigned>(world.screen().table().count());
    report.numbers = world.screen().numbers();
    report.in_doubt = static_cast<unsigned>(world.printer.doubted.size());
    report.late = world.screen().late();
    report.again = world.ledger.again;
    report.torn = world.box().torn() + world.other_box().torn();
    report.greetings = world.ports.opened();
    report.ms = world.now_ms();
    return report;
}

}  // namespace pairmark::days
