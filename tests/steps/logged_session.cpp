#include "tests/steps/logged_session.hpp"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <stdexcept>

#include "host/bench/timers.hpp"
#include "host/store/session.hpp"
#include "tests/trees.hpp"

namespace pairmark::steps {
namespace {

using record::Eye;

std::int16_t hundredths(optics::Dioptre value) {
    // Towards zero, as an instrument cuts an eighth.
    return static_cast<std::int16_t>(std::trunc(value.value() * 100 + (value.value() < 0 ? -1e-6 : 1e-6)));
}

protocol::EyeCode code_of(const std::optional<Eye>& eye) {
    if (!eye) return protocol::EyeCode::none;
    return *eye == Eye::right ? protocol::EyeCode::right : protocol::EyeCode::left;
}

protocol::StepCode step_of(optics::Dioptre step) {
    if (step == optics::Dioptre::hundredths(25)) return protocol::StepCode::quarter;
    if (step == optics::Dioptre::millionths(125'000)) return protocol::StepCode::eighth;
    return protocol::StepCode::hundredth;
}

protocol::LensFields fields_of(const record::LensReading& lens) {
    protocol::LensFields fields;
    fields.eye = code_of(lens.eye);
    fields.sphere = hundredths(lens.power.sphere);
    fields.cylinder = hundredths(lens.power.cylinder);
    fields.axis = fields.cylinder == 0 ? 0 : static_cast<std::uint8_t>(std::lround(lens.power.axis));
    if (lens.addition) {
        fields.has_addition = true;
        fields.addition = hundredths(*lens.addition);
    }
    if (lens.prism) {
        fields.has_prism = true;
        fields.horizontal_prism = hundredths(lens.prism->horizontal);
        fields.vertical_prism = hundredths(lens.prism->vertical);
    }
    return fields;
}

AdapterEvent begin_event(const record::AdapterEventId& id) {
    AdapterEvent event;
    event.adapter = id.adapter;
    for (std::size_t i = 0; i < sizeof event.line.id; ++i)
        event.line.id[i] = static_cast<std::uint8_t>(std::stoul(id.adapter.substr(2 * i, 2), nullptr, 16));
    event.line.crc = id.record_crc;
    event.line.event.epoch = static_cast<std::uint16_t>(id.epoch);
    event.line.event.number = id.number;
    return event;
}

AdapterEvent event_of(const record::ReadingTaken& taken) {
    AdapterEvent event = begin_event(*taken.id);
    protocol::EventFields& fields = event.line.event;
    fields.kind = protocol::EventKind::reading;
    fields.first_after_reset = taken.first_after_reset;
    fields.step = step_of(taken.reading.step);
    for (const record::LensReading& lens : taken.reading.lenses)
        fields.lens[fields.lens_count++] = fields_of(lens);
    if (taken.reading.centres_mm) {
        fields.has_centres = true;
        fields.centres = static_cast<std::int16_t>(std::lround(*taken.reading.centres_mm * 10));
    }
    event.line.age_known = taken.age_ms.has_value();
    event.line.age_ms = taken.age_ms.value_or(0);
    // Whatever made it late then, this does now.
    event.link_healthy = !taken.late;
    return event;
}

AdapterEvent event_of(const record::KeyPressed& pressed) {
    AdapterEvent event = begin_event(pressed.id);
    protocol::EventFields& fields = event.line.event;
    fields.kind = protocol::EventKind::key;
    switch (pressed.key) {
        case record::Key::go_on:
            fields.key = protocol::Key::go_on;
            break;
        case record::Key::turn_down:
            fields.key = protocol::Key::turn_down;
            break;
        case record::Key::undo:
            fields.key = protocol::Key::undo;
            break;
        case record::Key::set_aside:
            fields.key = protocol::Key::set_aside;
            break;
    }
    fields.long_press = pressed.long_press;
    event.line.age_known = true;
    event.link_healthy = !pressed.late;
    return event;
}

class Reader {
  public:
    explicit Reader(LoggedSession& session) : session_(session) {}

    void take(const record::Event& event) {
        at_ = bench::moment_of(event.at).value();
        std::visit([this](const auto& body) { take(body); }, event.body);
    }

  private:
    void take(const record::Started& started) {
        session_.config.bench = started.bench;
        add(Start{});
    }
    void take(const record::TextInForce& text) {
        if (text.role == "rules") {
            session_.rules = text.text;
            return;
        }
        const bench::Settings settings = bench::parse_settings(text.text);
        session_.config.programme = settings.programme;
        session_.config.looked_over_earlier = settings.looked_over_earlier;
        session_.config.filing = settings.filing;
        session_.config.label = settings.label;
    }
    void take(const record::Greeted& greeted) { add(greeted); }
    void take(const record::ReadingTaken& taken) {
        add(event_of(taken));
        ++session_.events;
    }
    void take(const record::KeyPressed& pressed) {
        add(event_of(pressed));
        ++session_.events;
    }
    void take(const record::Acted& acted) {
        add(acted);
        session_.inputs.back().act = acts_++;
    }
    void take(const record::TimedOut& timed_out) { add(HalfPairOld{timed_out.pair}); }
    // What the program did itself: it is to do it again.
    void take(const record::Numbered&) {}
    void take(const record::Printed&) {}
    void take(const record::Noted&) {}

    template <typename What>
    void add(What what) {
        session_.inputs.push_back({at_, std::move(what), 0});
    }

    LoggedSession& session_;
    std::chrono::system_clock::time_point at_;
    std::size_t acts_ = 0;
};

}  // namespace

const record::Greeted* LoggedSession::greeting_before(std::size_t i) const {
    while (i-- > 0)
        if (const auto* greeted = std::get_if<record::Greeted>(&inputs[i].what)) return greeted;
    return nullptr;
}

std::filesystem::path folder_of_sessions() {
    return tests::in_source_tree("tests/sessions");
}

std::vector<std::string> logged_names() {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(folder_of_sessions()))
        if (entry.path().extension() == ".jsonl") names.push_back(entry.path().stem().string());
    std::sort(names.begin(), names.end());
    return names;
}

LoggedSession read_logged(const std::string& name) {
    std::ifstream in(folder_of_sessions() / (name + ".jsonl"));
    LoggedSession session;
    session.name = name;
    Reader reader(session);
    for (const record::Event& event : store::read_session(in))
        reader.take(event);
    if (session.inputs.empty() || !std::holds_alternative<Start>(session.inputs.front().what))
        throw std::runtime_error("session " + name + " does not begin with a start");
    return session;
}

}  // namespace pairmark::steps
