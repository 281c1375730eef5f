#include "tests/days/troubles.hpp"

#include "tests/bench/lines.hpp"

namespace pairmark::days {

using namespace std::chrono_literals;

const std::vector<Troubles::Named>& Troubles::all() {
    static const std::vector<Named> list = {
        {"replug", &Troubles::replug},
        {"another port name", &Troubles::another_name},
        {"adapter reset", &Troubles::adapter_reset},
        {"power cut", &Troubles::power_cut},
        {"power cut while writing", &Troubles::cut_while_writing},
        {"wire noise", &Troubles::wire_noise},
        {"half line", &Troubles::half_line},
        {"stalled host", &Troubles::host_stalls},
        {"silent adapter", &Troubles::dead_cable},
        {"paper out", &Troubles::no_paper},
        {"printer in doubt", &Troubles::printer_doubts},
        {"printer holds", &Troubles::names_taken},
        {"printer's bad day", &Troubles::printer_has_a_bad_day},
        {"disk full", &Troubles::disk_full},
        {"daemon killed", &Troubles::daemon_killed},
        {"clock ahead", &Troubles::clock_ahead},
        {"clock back", &Troubles::clock_back},
        {"second adapter", &Troubles::second_adapter},
        {"port taken", &Troubles::port_taken},
    };
    return list;
}

Troubles::Troubles(World& world, Chance chance) : world_(world), chance_(chance) {
    world_.ports.plug_in(path_, world_.box());
    world_.printer.kind = chance_.one_in(3) ? FakePrinter::Kind::folder : FakePrinter::Kind::device;
    world_.printer.late_one_in = chance_.below(4);
    const bool resets = chance_.one_in(4);
    for (AdapterBox* box : {&world_.box(), &world_.other_box()}) {
        box->resets_on_open = resets;
        box->on_cut = [this] { power_back_soon(); };
    }
}

void Troubles::begin() {
    world_.after(chance_.between(1000, 20'000), [this] { next(); });
}

void Troubles::next() {
    if (over_) return;
    const Named& named = all()[chance_.below(static_cast<unsigned>(all().size()))];
    ++world_.met[named.name];
    world_.tell(std::string("trouble: ") + named.name);
    (this->*named.trouble)();
    // Now and then they come one upon the other.
    world_.after(chance_.one_in(4) ? chance_.between(5, 500) : chance_.between(500, 30'000),
                 [this] { next(); });
}

void Troubles::for_a_while(unsigned least_ms, unsigned most_ms, std::function<void()> undo) {
    world_.after(chance_.between(least_ms, most_ms), [this, undo = std::move(undo)] {
        if (!over_) undo();
    });
}

void Troubles::plug_in() {
    if (!world_.ports.is_plugged(path_)) world_.ports.plug_in(path_, world_.box());
}

void Troubles::replug() {
    world_.ports.unplug(path_);
    for_a_while(200, 20'000, [this] { plug_in(); });
}

void Troubles::another_name() {
    world_.ports.unplug(path_);
    path_ = "/dev/ttyACM" + std::to_string(++names_ % 7);
    // A board that is fed by that cable loses its power too.
    if (chance_.one_in(2)) {
        world_.box().cut();
        power_back_soon();
    }
    for_a_while(200, 8000, [this] { plug_in(); });
}

void Troubles::adapter_reset() {
    world_.box().reset(chance_.one_in(2) ? firmware::ResetCause::watchdog : firmware::ResetCause::brown_out);
}

void Troubles::power_back_soon() {
    world_.tell("the adapter lost its power");
    if (chance_.one_in(2)) world_.ports.unplug(path_);
    world_.after(chance_.between(20, 6000), [this] {
        if (!world_.box().has_power()) world_.box().power_on();
        plug_in();
    });
}

void Troubles::power_cut() {
    world_.box().cut();
    power_back_soon();
}

void Troubles::cut_while_writing() {
    if (world_.box().has_power()) world_.box().cut_at_write(chance_.below(60));
}

void Troubles::wire_noise() {
    world_.ports.disturb(chance_.between(20, 600));
    for_a_while(500, 20'000, [this] { world_.ports.disturb(0); });
}

void Troubles::half_line() {
    // From byte 0 on it is a whole one, said to nobody before anybody was greeted.
    const std::string line = tests::event_text(tests::reading(41, {tests::right_lens(-2900)}));
    const unsigned from = chance_.below(static_cast<unsigned>(line.size()));
    const std::string half = line.substr(from, chance_.between(1, 200));
    world_.ports.on_open = [this, half](const std::string& path) { world_.ports.inject(path, half); };
    replug();
}

void Troubles::host_stalls() {
    world_.stall(true);
    for_a_while(100, 25'000, [this] { world_.stall(false); });
}

void Troubles::dead_cable() {
    world_.ports.silence(true);
    for_a_while(500, 40'000, [this] { world_.ports.silence(false); });
}

void Troubles::no_paper() {
    world_.printer.mood = FakePrinter::Mood::out_of_paper;
    for_a_while(1000, 40'000, [this] { world_.printer.mood = FakePrinter::Mood::good; });
}

void Troubles::printer_doubts() {
    world_.printer.mood = FakePrinter::Mood::doubtful;
    for_a_while(500, 10'000, [this] { world_.printer.mood = FakePrinter::Mood::good; });
}

void Troubles::names_taken() {
    world_.printer.mood = FakePrinter::Mood::taken_names;
    for_a_while(500, 10'000, [this] { world_.printer.mood = FakePrinter::Mood::good; });
}

void Troubles::printer_has_a_bad_day() {
    world_.printer.mood = FakePrinter::Mood::bad_day;
    for_a_while(1000, 30'000, [this] { world_.printer.mood = FakePrinter::Mood::good; });
}

void Troubles::disk_full() {
    world_.fill_disk(true);
    for_a_while(500, 40'000, [this] { world_.fill_disk(false); });
}

void Troubles::daemon_killed() {
    world_.kill_daemon();
    for_a_while(10, 20'000, [this] {
        if (!world_.daemon_runs()) world_.start_daemon();
    });
}

void Troubles::clock_ahead() {
    world_.wall_shift += std::chrono::minutes(chance_.between(1, 3000));
    for_a_while(1000, 20'000, [this] { world_.wall_shift = Milliseconds(0); });
}

void Troubles::clock_back() {
    world_.wall_shift -= std::chrono::minutes(chance_.between(1, 3000));
    for_a_while(1000, 20'000, [this] { world_.wall_shift = Milliseconds(0); });
}

/// Somebody plugs in another adapter, which has nothing to tell, beside the right one or in its place.
void Troubles::second_adapter() {
    if (world_.other_box().has_power() || !world_.box().has_power()) return;
    world_.other_box().power_on();
    const std::string beside = "/dev/ttyACM8";
    if (chance_.one_in(2)) world_.ports.unplug(path_);
    world_.ports.plug_in(beside, world_.other_box());
    for_a_while(2000, 30'000, [this, beside] {
        if (!world_.ports.is_plugged(beside)) return;
        world_.ports.unplug(beside);
        world_.other_box().cut();
        plug_in();
    });
}

void Troubles::port_taken() {
    const std::string path = path_;
    world_.ports.unplug(path);
    world_.ports.take(path, true);
    world_.after(chance_.between(100, 900), [this] { plug_in(); });
    for_a_while(1000, 15'000, [this, path] { world_.ports.take(path, false); });
}

void Troubles::end() {
    over_ = true;
    world_.tell("all troubles are over");
    world_.ports.disturb(0);
    world_.ports.silence(false);
    world_.ports.on_open = nullptr;
    for (unsigned nth = 0; nth < 9; ++nth)
        world_.ports.take("/dev/ttyACM" + std::to_string(nth), false);
    world_.ports.unplug("/dev/ttyACM8");
    world_.other_box().cut();
    world_.printer.mood = FakePrinter::Mood::good;
    world_.wall_shift = Milliseconds(0);
    if (world_.stalled()) world_.stall(false);
    world_.fill_disk(false);
    if (!world_.daemon_runs()) world_.start_daemon();
    if (!world_.box().has_power()) world_.box().power_on();
    plug_in();
}

}  // namespace pairmark::days
