// The print outbox with a printer that answers when the test says.
#include "host/printing/outbox.hpp"

#include <catch2/catch.hpp>
#include <optional>
#include <set>

#include "host/label/number.hpp"
#include "tests/store/fresh_folder.hpp"
#include "tests/store/full_disk.hpp"

using namespace pairmark;
using namespace pairmark::printing;
using record::PrintOutcome;
using Words = std::vector<std::string>;

namespace {

/// Takes one job at a time and answers when it is told to.
class SlowPrinter final : public Printer {
  public:
    std::string name() const override { return "the tests' printer"; }
    void print(Job job, Begins begins, Done done) override {
        jobs.push_back(job.number + (job.copy > 0 ? "#" + std::to_string(job.copy) : ""));
        documents.push_back(job.document);
        begins_ = std::move(begins);
        done_ = std::move(done);
        if (at_once) answer(*at_once);
    }
    bool begin() { return begins_(); }
    void answer(PrintOutcome outcome, const std::string& say = {}) {
        const Done done = std::exchange(done_, nullptr);
        done({outcome, say});
    }
    Words jobs;
    Words documents;
    std::optional<PrintOutcome> at_once;

  private:
    Begins begins_;
    Done done_;
};

struct Desk {
    Desk() { reopen(); }

    /// Ends the outbox and its store as a cut would, and begins anew.
    void reopen() {
        outbox.reset();
        store.reset();
        store.emplace(store::Store::open(folder / "bench.db"));
        printer = std::make_unique<SlowPrinter>();
        told.clear();
        outbox.emplace(Outbox::Seams{
            *store, *printer,
            [](const record::LabelFacts& facts) { return "COPY " + std::to_string(facts.copy); },
            [] { return std::string("2026-11-24T12:00:00.000Z"); }, [](const record::Event&) {},
            [this](const std::string& say) { told.push_back(say); },
            [this](const std::string& say) { troubles.push_back(say); },
            [this](std::int64_t, const std::string& number) { return !taken_back.contains(number); },
            [this] { return hold; }, [](std::int64_t, const std::string&, bool) {}, [] {},
            [this] { ++again_asked; }});
        store->for_each_event([this](const record::Event& event) { outbox->saw(event); });
        outbox->start();
        outbox->again();
    }

    /// A label whose intent is durable. Returns its number.
    std::string add(int counter) {
        record::PrintIntent intent;
        intent.pair = counter;
        intent.facts.number = label::print_number({"A1", "A", counter});
        intent.facts.date = "2026-11-24";
        intent.document = "label " + std::to_string(counter);
        record::Pair pair;
        pair.id = counter;
        store->put_pair(pair);
        store->put_label(counter, "A", counter, intent.facts);
        intent.id = store->put_intent(intent);
        outbox->add(intent);
        return intent.facts.number;
    }
    PrintOutcome outcome(const std::string& number, int copy = 0) const {
        return store->intent(number, copy).value().outcome;
    }
    std::string act(const char* name, const std::string& number = {}) {
        record::Acted act;
        act.act = name;
        act.text = number;
        return outbox->act(act);
    }
    std::string take_back(const std::string& number) {
        taken_back.insert(number);
        return outbox->take_back(number);
    }

    tests::FreshFolder folder;
    std::optional<store::Store> store;
    std::unique_ptr<SlowPrinter> printer;
    std::optional<Outbox> outbox;
    std::optional<std::string> hold;
    std::set<std::string> taken_back;
    Words told;
    Words troubles;
    int again_asked = 0;
};

}  // namespace

TEST_CASE("One label at a time, in the order of the intents, and the outcome is kept") {
    Desk desk;
    const std::string first = desk.add(1);
    const std::string second = desk.add(2);
    CHECK(desk.printer->jobs == Words{first});
    CHECK_FALSE(desk.outbox->is_out(first));
    desk.printer->answer(PrintOutcome::printed);
    CHECK(desk.outbox->is_out(first));
    CHECK(desk.printer->jobs == Words{first, second});
    desk.printer->answer(PrintOutcome::printed);
    CHECK(desk.outcome(first) == PrintOutcome::printed);
    CHECK(desk.outcome(second) == PrintOutcome::printed);
    CHECK(desk.printer->documents == Words{"label 1", "label 2"});
    CHECK_FALSE(desk.outbox->needs_person());
}

TEST_CASE("Sending is durable before a byte leaves: after a cut the label is in doubt and never sent again") {
    Desk desk;
    const std::string number = desk.add(1);
    CHECK(desk.printer->begin());
    CHECK(desk.outcome(number) == PrintOutcome::sending);
    desk.reopen();
    CHECK(desk.outcome(number) == PrintOutcome::in_doubt);
    CHECK(desk.printer->jobs.empty());
    CHECK(desk.outbox->needs_person());
    REQUIRE(desk.told.size() == 1);
    CHECK_THAT(desk.told[0], Catch::Contains(number) && Catch::Contains("pairmark labels resolve"));
    desk.reopen();
    desk.outbox->again();
    CHECK(desk.printer->jobs.empty());
    SECTION("a person found it on the envelope") {
        CHECK(desk.act("print-confirm", number) == "label " + number + " counts as printed");
        CHECK(desk.outcome(number) == PrintOutcome::confirmed);
        CHECK_FALSE(desk.outbox->needs_person());
        CHECK(desk.printer->jobs.empty());
    }
    SECTION("a person did not find it: the second print says COPY") {
        desk.printer->at_once = PrintOutcome::printed;
        CHECK(desk.act("print-again", number) == "copy 1 of label " + number + " is printed");
        CHECK(desk.printer->jobs == Words{number + "#1"});
        CHECK(desk.printer->documents == Words{"COPY 1"});
        CHECK(desk.outcome(number) == PrintOutcome::void_);
        CHECK(desk.outcome(number, 1) == PrintOutcome::printed);
        CHECK_FALSE(desk.outbox->needs_person());
    }
}

TEST_CASE("What failed goes out again unmarked, once it can") {
    Desk desk;
    desk.printer->at_once = PrintOutcome::failed;
    const std::string first = desk.add(1);
    const std::string second = desk.add(2);
    CHECK(desk.outcome(first) == PrintOutcome::failed);
    CHECK(desk.again_asked > 0);
    CHECK(desk.told.size() == 2);
    desk.outbox->again();
    CHECK(desk.told.size() == 2);  // said once
    desk.printer->at_once = PrintOutcome::printed;
    desk.outbox->again();
    CHECK(desk.outcome(first) == PrintOutcome::printed);
    CHECK(desk.outcome(second) == PrintOutcome::printed);
    CHECK(desk.printer->jobs == Words{first, second, first, second, first, second});
}

TEST_CASE(
    "What the printer answered is remembered while the store is full: it is written again, not printed "
    "again") {
    Desk desk;
    const std::string number = desk.add(1);
    {
        const tests::FullDisk full;
        desk.printer->answer(PrintOutcome::printed);
        desk.outbox->again();
    }
    CHECK(desk.outcome(number) == PrintOutcome::waiting);
    CHECK(desk.outbox->is_out(number));
    CHECK(desk.troubles.size() == 2);
    desk.outbox->again();
    CHECK(desk.outcome(number) == PrintOutcome::printed);
    CHECK(desk.printer->jobs.size() == 1);
}

TEST_CASE("Waiting once more is no answer: nothing is written of it") {
    Desk desk;
    const std::string first = desk.add(1);
    desk.printer->answer(PrintOutcome::failed, "paper out");
    const std::string second = desk.add(2);
    desk.outbox->again();  // the second is being printed, so the first waits
    desk.outbox->again();
    CHECK(desk.outcome(first) == PrintOutcome::failed);
    int told = 0;
    desk.store->for_each_event([&](const record::Event&) { ++told; });
    CHECK(told == 1);
    desk.printer->answer(PrintOutcome::printed);
    desk.printer->answer(PrintOutcome::printed);
    CHECK(desk.printer->jobs == Words{first, second, first});
    CHECK(desk.outcome(first) == PrintOutcome::printed);
}

TEST_CASE("Where sending cannot be made durable, nothing may leave") {
    Desk desk;
    const std::string number = desk.add(1);
    {
        const tests::FullDisk full;
        CHECK_FALSE(desk.printer->begin());
        desk.printer->answer(PrintOutcome::failed, "nothing was sent");
    }
    desk.reopen();
    CHECK(desk.printer->jobs == Words{number});
}

TEST_CASE("A number that is taken back says what to do with its label") {
    struct Row {
        const char* what;
        std::function<void(Desk&)> before;
        const char* say;
    };
    const Row rows[] = {
        {"printed", [](Desk& desk) { desk.printer->answer(PrintOutcome::printed); }, "tear up label %"},
        {"failed", [](Desk& desk) { desk.printer->answer(PrintOutcome::failed, "paper out"); },
         "label % is void; it was not printed"},
        {"held", [](Desk& desk) { desk.printer->answer(PrintOutcome::held, "held: another file"); },
         "label % is void; it was not printed"},
        {"being sent", [](Desk& desk) { (void)desk.printer->begin(); }, "tear up label % if it is there"},
        {"in doubt", [](Desk& desk) { desk.printer->answer(PrintOutcome::in_doubt, "in doubt: reset"); },
         "tear up label % if it is there"},
        {"handed over before a cut", [](Desk& desk) { desk.reopen(); }, "tear up label % if it is there"},
        {"begun before a cut, and failed since",
         [](Desk& desk) {
             desk.reopen();
             desk.printer->answer(PrintOutcome::failed, "no folder");
         },
         "tear up label % if it is there"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.what);
        Desk desk;
        const std::string number = desk.add(1);
        row.before(desk);
        std::string expected = row.say;
        expected.replace(expected.find('%'), 1, number);
        CHECK(desk.take_back(number) == expected);
        CHECK(desk.outcome(number) == PrintOutcome::void_);
        CHECK(desk.store->label(number).value().is_void);
        const auto asked = desk.printer->jobs.size();
        desk.outbox->again();
        CHECK(desk.printer->jobs.size() == asked);
        CHECK_THAT(desk.act("print-again", number), Catch::Contains("is void"));
    }
}

TEST_CASE("A number taken back before its first byte left is not sent, and its late answer changes nothing") {
    Desk desk;
    const std::string number = desk.add(1);
    (void)desk.take_back(number);
    CHECK_FALSE(desk.printer->begin());
    desk.printer->answer(PrintOutcome::failed, "not begun");
    CHECK(desk.outcome(number) == PrintOutcome::void_);
    CHECK_FALSE(desk.outbox->needs_person());
}

TEST_CASE("A void that the store could not keep is kept later") {
    Desk desk;
    const std::string number = desk.add(1);
    desk.printer->answer(PrintOutcome::printed);
    {
        const tests::FullDisk full;
        CHECK(desk.take_back(number) == "tear up label " + number);
    }
    CHECK_FALSE(desk.store->label(number).value().is_void);
    CHECK(desk.outbox->needs_person());
    desk.outbox->again();
    CHECK(desk.store->label(number).value().is_void);
}

TEST_CASE(
    "Labels that a person holds wait, over a restart too, and come out in order when they are resumed") {
    Desk desk;
    desk.printer->at_once = PrintOutcome::printed;
    CHECK_THAT(desk.act("print-hold"), Catch::Contains("pairmark labels resume"));
    CHECK(desk.act("print-hold") == "labels are held already");
    const std::string first = desk.add(1);
    const std::string second = desk.add(2);
    CHECK(desk.printer->jobs.empty());
    CHECK(desk.outbox->needs_person());
    desk.reopen();
    desk.printer->at_once = PrintOutcome::printed;
    CHECK(desk.printer->jobs.empty());
    REQUIRE(desk.told.size() == 1);
    CHECK_THAT(desk.told[0], Catch::Contains("labels are held"));
    CHECK(desk.act("print-resume") == "labels are printed again");
    CHECK(desk.printer->jobs == Words{first, second});
    CHECK(desk.act("print-resume") == "labels are not held; nothing was done");
}

TEST_CASE("A label that the printer held waits for a person, who releases it") {
    Desk desk;
    const std::string number = desk.add(1);
    desk.printer->answer(PrintOutcome::held, "held: something else lies there");
    desk.outbox->again();
    CHECK(desk.printer->jobs.size() == 1);
    desk.reopen();
    CHECK(desk.printer->jobs.empty());
    CHECK_THAT(desk.told.at(0), Catch::Contains("something else lies there"));
    desk.printer->at_once = PrintOutcome::printed;
    CHECK(desk.act("print-release", number) == "label " + number + " is printed");
    CHECK(desk.outcome(number) == PrintOutcome::printed);
    CHECK(desk.act("print-release", number) == "label " + number + " is not held; nothing was done");
}

TEST_CASE("What the bench itself holds goes out by itself") {
    Desk desk;
    desk.hold = std::string(Outbox::held_by_ourselves) + " is behind";
    const std::string number = desk.add(1);
    CHECK(desk.outcome(number) == PrintOutcome::held);
    CHECK(desk.outbox->waits_for_hold());
    CHECK(desk.printer->jobs.empty());
    const std::string second = desk.add(2);
    desk.hold.reset();
    desk.outbox->again();
    CHECK(desk.printer->jobs == Words{number});
    CHECK(desk.outcome(second) == PrintOutcome::waiting);  // for its turn, and no longer held
    desk.printer->answer(PrintOutcome::printed);
    CHECK(desk.printer->jobs == Words{number, second});
}

TEST_CASE("Copies count, and each is a print of its own") {
    Desk desk;
    desk.printer->at_once = PrintOutcome::printed;
    const std::string number = desk.add(1);
    CHECK(desk.act("print-again", number) == "copy 1 of label " + number + " is printed");
    CHECK(desk.act("print-again", number) == "copy 2 of label " + number + " is printed");
    CHECK(desk.printer->jobs == Words{number, number + "#1", number + "#2"});
    CHECK_THAT(desk.act("print-again", "A1-A-00009-X"), Catch::Contains("there is no label"));
    desk.printer->at_once = PrintOutcome::failed;
    (void)desk.act("print-again", number);
    CHECK_THAT(desk.act("print-again", number), Catch::Contains("has not come out yet; it needs no copy"));
}
