// Events of every kind from one seed, and their comparison field by field.
#pragma once

#include <array>
#include <random>
#include <string>

#include "host/record/event.hpp"
#include "host/record/sha256.hpp"

namespace pairmark::tests {

class RandomEvents {
  public:
    explicit RandomEvents(std::uint64_t seed) : random_(seed) {}

    static constexpr std::size_t kinds = std::variant_size_v<record::EventBody>;

    /// An event of the kind that stands at `kind` in EventBody, without a sequence number.
    record::Event make(std::size_t kind) {
        record::Event event;
        event.at = "2026-" + two(1, 12) + "-" + two(1, 28) + "T" + two(0, 23) + ":" + two(0, 59) + ":" +
                   two(0, 59) + ".0" + two(0, 99) + "Z";
        event.body = body(kind);
        return event;
    }
    record::Event make() { return make(below(kinds)); }

    std::uint64_t below(std::uint64_t limit) { return random_() % limit; }
    bool coin() { return below(2) == 0; }

    record::Reading reading() {
        record::Reading reading;
        const std::array<std::int64_t, 3> steps{250'000, 125'000, 10'000};
        reading.step = optics::Dioptre::millionths(steps[below(3)]);
        const bool two_lenses = coin();
        const bool named = coin();
        if (named)
            reading.lenses.push_back(lens(two_lenses || coin() ? record::Eye::right : record::Eye::left));
        if (!named) reading.lenses.push_back(lens(std::nullopt));
        if (two_lenses) reading.lenses.push_back(named ? lens(record::Eye::left) : lens(std::nullopt));
        if (coin()) reading.centres_mm = 10 + static_cast<double>(below(1101)) / 10;
        if (coin()) reading.source = record::Source::typed;
        return reading;
    }

  private:
    std::string two(int least, int most) {
        const int n = least + static_cast<int>(below(static_cast<std::uint64_t>(most - least + 1)));
        return std::string(1, static_cast<char>('0' + n / 10)) + static_cast<char>('0' + n % 10);
    }

    std::string hex(std::size_t digits) {
        std::string out;
        for (std::size_t i = 0; i < digits; ++i) {
            out += "0123456789ABCDEF"[below(16)];
        }
        return out;
    }

    /// Text with the characters that are hard on quoting, escaping and encoding.
    std::string text() {
        static const std::array<const char*, 12> pieces{"frame",  " ",          "\"",   "\\",
                                                        "\n",     "'; --",      "\t",   "\u2212",
                                                        "\u00e9", "\U0001F453", "\x01", "</script>"};
        std::string out;
        for (std::uint64_t n = below(8); n > 0; --n) {
            out += pieces[below(pieces.size())];
        }
        return out;
    }

    std::uint32_t count() { return static_cast<std::uint32_t>(coin() ? below(10) : random_()); }

    optics::Dioptre dioptres(std::int64_t most) {
        const auto span = static_cast<std::uint64_t>(2 * most * 1'000'000 + 1);
        const std::int64_t any = static_cast<std::int64_t>(below(span)) - most * 1'000'000;
        return optics::Dioptre::millionths(coin() ? any : any / 125'000 * 125'000);
    }

    record::LensReading lens(std::optional<record::Eye> eye) {
        record::LensReading lens;
        lens.eye = eye;
        lens.power.sphere = dioptres(60);
        if (coin()) lens.power.cylinder = dioptres(60);
        if (lens.power.cylinder != optics::Dioptre()) {
            lens.power.axis =
                coin() ? static_cast<double>(1 + below(180)) : static_cast<double>(1 + below(1799)) / 10;
        }
        if (coin()) lens.addition = dioptres(6);
        if (coin()) lens.prism = record::Prism{dioptres(10), dioptres(10)};
        return lens;
    }

    record::AdapterEventId id() { return {hex(16), count(), 1 + count() / 2, count()}; }

    std::int64_t pair() { return 1 + static_cast<std::int64_t>(random_() >> 2); }

    record::Marks marks() {
        record::Marks marks;
        for (const record::MarkWord& mark : record::mark_vocabulary()) {
            if (coin()) continue;
            marks[std::string(mark.name)] =
                mark.values.empty() ? "tray \u2116 7" : std::string(mark.values[below(mark.values.size())]);
        }
        return marks;
    }

    record::EventBody body(std::size_t kind) {
        switch (kind) {
            case 0:
                return record::Started{"0.1." + two(0, 99), hex(16), text(), text()};
            case 1: {
                const std::string said = text();
                return record::TextInForce{coin() ? "rules" : "settings", record::sha256(said), said};
            }
            case 2:
                return record::Greeted{hex(16), count(), text(), text(), text(), coin(), coin(), count()};
            case 3: {
                record::ReadingTaken taken;
                taken.reading = reading();
                if (coin()) taken.id = id();
                if (coin()) taken.age_ms = count();
                taken.first_after_reset = coin();
                taken.late = coin();
                return taken;
            }
            case 4:
                return record::KeyPressed{id(), static_cast<record::Key>(below(4)), coin(), coin()};
            case 5: {
                static const std::array<const char*, 8> acts{"mark",      "in-order", "turn-down", "undo",
                                                             "set-aside", "answer",   "release",   "go-on"};
                record::Acted acted{acts[below(acts.size())], std::nullopt, marks(), text()};
                if (coin()) acted.pair = pair();
                return acted;
            }
            case 6:
                return record::TimedOut{"half-pair", pair()};
            case 7:
                return record::Numbered{pair(), "P-" + hex(6), "A", pair(), "2026-02-" + two(1, 28), text()};
            case 8: {
                static const std::array<const char*, 8> outcomes{
                    "waiting", "sending", "printed", "confirmed", "failed", "held", "in-doubt", "void"};
                return record::Printed{"P-" + hex(6), static_cast<int>(below(100)), outcomes[below(8)],
                                       text()};
            }
            default:
                return record::Noted{"link " + two(0, 99), text()};
        }
    }

    std::mt19937_64 random_;
};

namespace fields {
using namespace record;
inline auto of(const Started& e) {
    return std::tie(e.version, e.store, e.bench, e.series);
}
inline auto of(const TextInForce& e) {
    return std::tie(e.role, e.hash, e.text);
}
inline auto of(const Greeted& e) {
    return std::tie(e.adapter, e.epoch, e.firmware, e.board, e.why, e.reset, e.changed, e.missing);
}
inline auto of(const ReadingTaken& e) {
    return std::tie(e.id, e.reading, e.age_ms, e.first_after_reset, e.late);
}
inline auto of(const KeyPressed& e) {
    return std::tie(e.id, e.key, e.long_press, e.late);
}
inline auto of(const Acted& e) {
    return std::tie(e.act, e.pair, e.values, e.text);
}
inline auto of(const TimedOut& e) {
    return std::tie(e.what, e.pair);
}
inline auto of(const Numbered& e) {
    return std::tie(e.pair, e.number, e.series, e.counter, e.date, e.place);
}
inline auto of(const Printed& e) {
    return std::tie(e.number, e.copy, e.outcome, e.say);
}
inline auto of(const Noted& e) {
    return std::tie(e.what, e.say);
}
}  // namespace fields

inline bool same(const record::Event& a, const record::Event& b) {
    if (a.sequence != b.sequence || a.at != b.at || a.body.index() != b.body.index()) return false;
    return std::visit(
        [&b](const auto& body) {
            return fields::of(body) == fields::of(std::get<std::decay_t<decltype(body)>>(b.body));
        },
        a.body);
}

}  // namespace pairmark::tests
