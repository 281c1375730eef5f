// The adapter's lamps as the bench asks for them: none says what is no longer so.
#include "host/bench/lamps.hpp"

#include <catch2/catch.hpp>

#include "tests/bench/bench.hpp"

using namespace pairmark;
using namespace pairmark::tests;
using protocol::Key;

namespace {

struct Shown {
    Words cues;
    bench::Lamps lamps{[this](const std::string& show) { cues.push_back(show); }};
};

}  // namespace

TEST_CASE("A verdict goes out with its own pair's, and no other's") {
    Shown at;
    at.lamps.verdict(4, "keep");
    at.lamps.no_verdict(3);
    CHECK(at.cues == Words{"keep"});
    at.lamps.no_verdict(4);
    at.lamps.no_verdict(4);
    CHECK(at.cues == Words{"keep", "clear"});
    at.lamps.verdict(5, "ask");
    at.lamps.reading_taken();  // the adapter put it out by itself
    at.lamps.no_verdict(5);
    CHECK(at.cues == Words{"keep", "clear", "ask"});
}

TEST_CASE("The printer's lamp is asked for once and taken back once, and the verdict beside it stays") {
    Shown at;
    at.lamps.verdict(1, "keep");
    at.lamps.needs_person(true);
    at.lamps.needs_person(true);
    at.lamps.needs_person(false);
    at.lamps.needs_person(false);
    CHECK(at.cues == Words{"keep", "printer", "clear", "keep"});
    at.lamps.needs_person(true);
    at.lamps.no_verdict(1);
    CHECK(at.cues == Words{"keep", "printer", "clear", "keep", "printer", "clear", "printer"});
}

TEST_CASE("A greeted adapter shows nothing of before, but what still needs a person") {
    Shown at;
    at.lamps.verdict(1, "keep");
    at.lamps.greeted();
    CHECK(at.cues == Words{"keep", "clear"});
    at.lamps.needs_person(true);
    at.lamps.greeted();
    CHECK(at.cues == Words{"keep", "clear", "printer", "clear", "printer"});
}

TEST_CASE("What is taken back has no lamp any more: a label, a refusal, a pair set aside") {
    struct Row {
        const char* what;
        bool measured;
        std::optional<Key> key;
        const char* lamp;
    };
    for (const Row& row : {Row{"a label", true, std::nullopt, "keep"},
                           Row{"a pair turned down by sight", false, Key::turn_down, "discard"},
                           Row{"a pair set aside by sight", false, Key::set_aside, "ask"}}) {
        CAPTURE(row.what);
        Bench bench;
        bench.start();
        if (row.measured) bench.measure_kept_pair();
        if (row.key) bench.press(*row.key);
        CHECK(bench.cues == Words{row.lamp});
        bench.press(Key::undo);
        CHECK(bench.cues == Words{row.lamp, "clear"});
    }
}

TEST_CASE("A question at the bench is cued as one, also while a lens is missing") {
    Bench bench;
    bench.start();
    bench.measure({right_lens(-125)});
    bench.measure({right_lens(-400)});
    CHECK(bench.state(1) == record::PairState::open);
    CHECK(bench.cues == Words{"ask"});
    (void)bench.act("answer", 1, "other-lens");
    CHECK(bench.cues.back() == "discard");  // by the example's rules, once it is answered
}

TEST_CASE("A capture that equals the pair before is shown as a question, whatever the rules would say") {
    Bench bench;
    bench.start();
    bench.measure({right_lens(-125), left_lens(-150)});
    bench.measure({right_lens(-400), left_lens(-150)});
    CHECK(bench.cues == Words{"keep", "ask"});
    CHECK(bench.sorting->pipeline().verdict(bench.pair(2)).decision == record::Decision::ask);
}
