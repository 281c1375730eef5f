#include <catch2/catch.hpp>

#include "host/record/json.hpp"
#include "tests/store/fresh_folder.hpp"

using namespace pairmark;
using record::PrintOutcome;
using store::Store;
using tests::facts_of;

namespace {

void put_pair(Store& opened, std::int64_t id) {
    record::Pair pair;
    pair.id = id;
    opened.put_pair(pair);
}

record::PrintIntent intent_of(const std::string& number, int copy, std::string document) {
    record::PrintIntent intent;
    intent.pair = 1;
    intent.facts = facts_of(number);
    intent.facts.copy = copy;
    intent.rules_hash = std::string(64, 'a');
    intent.document = std::move(document);
    return intent;
}

}  // namespace

TEST_CASE("A pair is kept as it was last put, with the newest event and its verdict") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    put_pair(opened, 2);
    put_pair(opened, 1);
    CHECK_FALSE(opened.pair(3));
    CHECK_FALSE(opened.pair(1)->verdict);
    CHECK(opened.pair(1)->last_event == 0);

    record::Event event = tests::noted("something");
    opened.append(event);
    record::Pair pair;
    pair.id = 1;
    pair.state = record::PairState::turned_down;
    opened.put_pair(pair, R"({"verdict":"discard"})");
    const auto stored = opened.pair(1);
    REQUIRE(stored);
    CHECK(stored->state == "turned-down");
    CHECK(stored->verdict == R"({"verdict":"discard"})");
    CHECK(stored->last_event == 1);
    CHECK(nlohmann::json::parse(stored->body)["id"] == 1);
    REQUIRE(opened.pairs().size() == 2);
    CHECK(opened.pairs()[1].id == 2);
}

TEST_CASE("A counter is never given twice, not even after its label was made void") {
    const tests::FreshFolder folder;
    {
        Store opened = Store::open(folder / "s.db");
        put_pair(opened, 1);
        CHECK(opened.next_counter("A") == 1);
        opened.put_label(1, "A", 1, facts_of("K-A-1"));
        opened.put_label(1, "A", 2, facts_of("K-A-2"));
        CHECK(opened.next_counter("A") == 3);
        CHECK(opened.void_label("K-A-2"));
        CHECK_FALSE(opened.void_label("K-A-9"));
        CHECK(opened.next_counter("A") == 3);
        CHECK(opened.next_counter("B") == 1);
    }
    Store opened = Store::open(folder / "s.db");
    CHECK(opened.next_counter("A") == 3);
    CHECK(opened.label("K-A-2")->is_void);
    CHECK_FALSE(opened.label("K-A-1")->is_void);
    CHECK_THROWS_AS(opened.put_label(1, "A", 2, facts_of("K-A-2b")), std::logic_error);
    CHECK_THROWS_AS(opened.put_label(1, "A", 3, facts_of("K-A-1")), std::logic_error);
    CHECK(opened.next_counter("A") == 3);
}

TEST_CASE("Labels are listed in the order in which they were given, with their facts") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    put_pair(opened, 1);
    for (const char* number : {"K-A-2", "K-A-1", "K-A-3"}) {
        record::LabelFacts facts = facts_of(number);
        facts.place = std::string("box of ") + number;
        opened.put_label(1, "A", number[4] - '0', facts);
    }
    const auto labels = opened.labels();
    REQUIRE(labels.size() == 3);
    CHECK(labels[0].number == "K-A-2");
    CHECK(labels[1].number == "K-A-1");
    CHECK(labels[2].number == "K-A-3");
    CHECK(labels[2].place == "box of K-A-3");
    CHECK(labels[2].facts.place == "box of K-A-3");
    CHECK(labels[2].counter == 3);
    CHECK(labels[2].date == "2026-11-24");
}

TEST_CASE("A label without its pair, or an intent without its label, cannot be committed") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    {
        store::Transaction transaction = opened.begin();
        opened.put_label(7, "A", 1, facts_of("K-A-1"));
        CHECK_THROWS_AS(transaction.commit(), std::logic_error);
    }
    CHECK(opened.labels().empty());
    {
        store::Transaction transaction = opened.begin();
        opened.put_label(7, "A", 1, facts_of("K-A-1"));
        put_pair(opened, 7);  // the order within a transaction is free
        transaction.commit();
    }
    CHECK(opened.labels().size() == 1);
    store::Transaction transaction = opened.begin();
    opened.put_intent(intent_of("K-A-2", 0, "x"));
    CHECK_THROWS_AS(transaction.commit(), std::logic_error);
}

TEST_CASE("A print intent keeps its document to the byte, and its outcome as it was last set") {
    const tests::FreshFolder folder;
    std::string document = "%PDF-1.3\n";
    for (int i = 0; i < 256; ++i) {
        document += static_cast<char>(i);
    }
    std::int64_t id = 0;
    {
        Store opened = Store::open(folder / "s.db");
        put_pair(opened, 1);
        opened.put_label(1, "A", 1, facts_of("K-A-1"));
        id = opened.put_intent(intent_of("K-A-1", 0, document));
        CHECK(opened.set_outcome(id, PrintOutcome::in_doubt, "the printer's word is missing"));
        CHECK_FALSE(opened.set_outcome(id + 1, PrintOutcome::printed, ""));
    }
    const Store opened = Store::open(folder / "s.db");
    const auto intent = opened.intent(id);
    REQUIRE(intent);
    CHECK(intent->document == document);
    CHECK(intent->outcome == PrintOutcome::in_doubt);
    CHECK(intent->say == "the printer's word is missing");
    CHECK(intent->facts.number == "K-A-1");
    CHECK(intent->rules_hash == std::string(64, 'a'));
    CHECK(intent->pair == 1);
    CHECK(opened.intent("K-A-1", 0)->id == id);
    CHECK_FALSE(opened.intent("K-A-1", 1));
    CHECK_FALSE(opened.intent(id + 1));
}

TEST_CASE("A label has one intent a copy, and intents are listed by outcome in their order") {
    const tests::FreshFolder folder;
    Store opened = Store::open(folder / "s.db");
    put_pair(opened, 1);
    for (int i = 1; i <= 3; ++i) {
        opened.put_label(1, "A", i, facts_of("K-A-" + std::to_string(i)));
        opened.put_intent(intent_of("K-A-" + std::to_string(i), 0, ""));
    }
    CHECK_THROWS_AS(opened.put_intent(intent_of("K-A-1", 0, "")), std::logic_error);
    const std::int64_t copy = opened.put_intent(intent_of("K-A-1", 1, "c"));
    opened.set_outcome(opened.intent("K-A-2", 0)->id, PrintOutcome::printed, "");
    const auto waiting = opened.intents(PrintOutcome::waiting);
    REQUIRE(waiting.size() == 3);
    CHECK(waiting[0].label == "K-A-1");
    CHECK(waiting[1].label == "K-A-3");
    CHECK(waiting[2].id == copy);
    CHECK(waiting[2].copy == 1);
    CHECK(opened.intents(PrintOutcome::printed).size() == 1);
    CHECK(opened.intents(PrintOutcome::held).empty());
    CHECK(opened.intents().size() == 4);
}
