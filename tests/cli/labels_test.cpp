// `pairmark labels list`: nothing that is kept is missing from it.
#include <catch2/catch.hpp>

#include "host/label/number.hpp"
#include "tests/cli/program.hpp"
#include "tests/cli/stock.hpp"

using namespace pairmark;
using namespace pairmark::tests;

namespace {

Run list_labels(const FreshFolder& folder, const Words& more = {}) {
    write_file(folder / "bench.json", "{}");
    Words all{"labels", "list", "--config", (folder / "bench.json").string()};
    all.insert(all.end(), more.begin(), more.end());
    return call(all);
}

void put_intent(store::Store& store, int nth, record::PrintOutcome outcome, const std::string& say) {
    record::PrintIntent intent;
    intent.pair = nth;
    intent.facts = store.label(stock_number(nth)).value().facts;
    intent.document = "a label";
    intent.outcome = outcome;
    intent.say = say;
    (void)store.put_intent(intent);
}

record::Event lens(std::uint32_t number, record::Eye eye) {
    record::ReadingTaken taken;
    taken.id = record::AdapterEventId{"0011223344556677", 1, number, number};
    taken.reading.step = optics::Dioptre::hundredths(25);
    record::LensReading one;
    one.eye = eye;
    one.power = {optics::Dioptre::hundredths(-125), optics::Dioptre(), 0};
    taken.reading.lenses.push_back(one);
    return {0, "2026-11-24T12:00:00.000Z", taken};
}

}  // namespace

TEST_CASE("Labels that have not come out are listed with the reason, those that have with --all") {
    const FreshFolder folder;
    {
        store::Store store = store::Store::open(folder / "pairmark.db");
        put_labels(store, 1, 3);
        put_intent(store, 1, record::PrintOutcome::printed, "");
        put_intent(store, 2, record::PrintOutcome::in_doubt, "in doubt: \x1b[2J look for it");
        put_intent(store, 3, record::PrintOutcome::failed, "paper out");
    }
    const Run run = list_labels(folder);
    CHECK(run.status == 0);
    const Words lines = lines_of(run.out);
    REQUIRE(lines.size() == 3);
    CHECK_THAT(lines[0], Catch::StartsWith(stock_number(2)) && Catch::Contains("in-doubt") &&
                             Catch::Contains("\\x1B[2J look for it"));
    CHECK_THAT(lines[1], Catch::StartsWith(stock_number(3)) && Catch::Contains("failed") &&
                             Catch::Contains("paper out"));
    CHECK(lines[2] == "2 labels have not come out");
    CHECK(lines_of(list_labels(folder, {"--all"}).out).size() == 4);
}

TEST_CASE("A kept pair that has no number yet stands in the list, with what was said of it") {
    const FreshFolder folder;
    {
        store::Store store = store::Store::open(folder / "pairmark.db");
        std::uint32_t number = 0;
        for (int pair = 1; pair <= 2; ++pair)
            for (const record::Eye eye : {record::Eye::right, record::Eye::left}) {
                record::Event event = lens(++number, eye);
                (void)store.append(event);
            }
        record::Event note{
            0, "2026-11-24T12:00:01.000Z",
            record::Noted{"label-refused", "pair 2: its kind of addition is not known; say it"}};
        (void)store.append(note);
    }
    const Run run = list_labels(folder);
    CHECK(run.err.empty());
    const Words lines = lines_of(run.out);
    REQUIRE(lines.size() == 3);
    CHECK_THAT(lines[0], Catch::Contains("pair 1 ") && Catch::Contains("kept") &&
                             Catch::Contains("not made yet; the bench makes it"));
    CHECK_THAT(lines[1],
               Catch::Contains("pair 2 ") && Catch::Contains("its kind of addition is not known; say it"));
    CHECK(lines[2] == "2 labels have not come out");
}

TEST_CASE("What became of a label in doubt is said in one way") {
    const FreshFolder folder;
    write_file(folder / "bench.json", "{}");
    for (const Words& said : {Words{}, Words{"--on-envelope", "--print-again"}}) {
        Words all{"labels", "resolve", "--config", (folder / "bench.json").string(), stock_number(1)};
        all.insert(all.end(), said.begin(), said.end());
        const Run run = call(all);
        CHECK(run.status == 2);
        CHECK_THAT(run.err, Catch::Contains("say one of --on-envelope and --print-again"));
    }
}
