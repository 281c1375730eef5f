// Text that is not rules: every mistake by its place, what was expected, the nearest valid word; never a
// crash.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <random>

#include "host/grading/nearest_word.hpp"
#include "tests/grading/pairs.hpp"

using namespace pairmark;
using grading::BadRules;
using grading::Mistake;

namespace {

std::vector<Mistake> mistakes_in(const std::string& text) {
    try {
        (void)grading::parse_rules(text);
    } catch (const BadRules& bad) {
        return bad.mistakes;
    }
    return {};
}

std::string with_rule(const std::string& rule) {
    return R"({"name":"T","date":"2026-01-01","rules":[)" + rule + "]}";
}

std::string with_condition(const std::string& condition) {
    return with_rule(R"({"id":"a","verdict":"ask","say":"S","when":)" + condition + "}");
}

struct Row {
    std::string text;
    const char* place;
    const char* says;  // part of the sentence
};

void check(const std::vector<Row>& rows) {
    for (const Row& row : rows) {
        CAPTURE(row.text);
        const std::vector<Mistake> mistakes = mistakes_in(row.text);
        REQUIRE(mistakes.size() == 1);
        CHECK(mistakes[0].place == row.place);
        CHECK_THAT(mistakes[0].say, Catch::Contains(row.says));
    }
}

}  // namespace

TEST_CASE("Text that is not JSON is refused with the line and column where it ends to be") {
    check({{"", "line 1, column 1", "not JSON"},
           {"{\"name\": \"x\"\n  \"date\": 1}", "line 2, column 8", "comma"},
           {"[1, 2", "line 1, column 5", "not JSON"},
           {"{\"name\": 1e999}", "the whole text", "too large"},
           {std::string("{\"na\xff\": 1}"), "line 1, column 5", "not JSON"},
           {"[]", "the whole text", "expected an object, not a list"},
           {std::string(300'000, ' '), "the whole text", "at most 262144 bytes"}});
}

TEST_CASE("Each mistake around the rules is told with its place") {
    check({{R"({"date":"2026-01-01","rules":[]})", "name", "missing; expected the programme's name"},
           {R"({"name":"T","rules":[]})", "date", "missing"},
           {R"({"name":"T","date":"2026-02-30","rules":[]})", "date",
            "expected a day as in 2026-03-01, not \"2026-02-30\""},
           {R"({"name":"T","date":"2026-01-01"})", "rules", "missing; expected a list of rules"},
           {R"({"name":"T","date":"2026-01-01","rules":{}})", "rules", "expected a list"},
           {R"({"name":"","date":"2026-01-01","rules":[]})", "name", "expected a text of 1 to 200"},
           {R"({"name":"a\u0000b","date":"2026-01-01","rules":[]})", "name", "on one line"},
           {R"({"name":"T","date":"2026-01-01","rules":[],"goldtray":"G"})", "the whole text",
            "did you mean \"gold_tray\"?"},
           {R"({"name":"T","date":"2026-01-01","rules":[],"name":"U"})", "\"name\"", "stands twice"},
           {R"({"name":"T","date":"2026-01-01","rules":[],"trays":{"kepe":"x"}})", "trays",
            "did you mean \"keep\"?"},
           {R"({"name":"T","date":"2026-01-01","rules":[],"trays":{"keep":3}})", "trays.keep",
            "expected a text"},
           {R"({"name":"T","date":"2026-01-01","rules":[],"take_for_granted":true})", "take_for_granted",
            "expected an object"},
           {R"({"name":"T","date":"2026-01-01","rules":[],"take_for_granted":{"looked_over":1}})",
            "take_for_granted.looked_over", "expected true or false, not 1"},
           {R"({"name":"T","date":"2026-01-01","rules":[],"take_for_granted":{"looked_ovr":true}})",
            "take_for_granted", "did you mean \"looked_over\"?"},
           {R"({"name":"T","date":"2026-01-01","rules":[],"take_for_granted":{"tint":"drak"}})",
            "take_for_granted.tint", "did you mean \"dark\"?"},
           {R"({"name":"T","date":"2026-01-01","rules":[],"take_for_granted":{"addition":"none"}})",
            "take_for_granted.addition", "expected a number from 0 to 10"}});
}

TEST_CASE("Each mistake in a rule is told with its place") {
    const std::string when = R"("when":{"quantity":"cylinder","over":2})";
    check({{with_rule("3"), "rules[0]", "expected an object, not 3"},
           {with_rule(R"({"verdict":"ask","say":"S",)" + when + "}"), "rules[0].id", "missing"},
           {with_rule(R"({"id":"a","say":"S",)" + when + "}"), "rules[0].verdict",
            "\"keep\", \"discard\" or \"ask\""},
           {with_rule(R"({"id":"a","verdict":"ask",)" + when + "}"), "rules[0].say", "missing"},
           {with_rule(R"({"id":"a","verdict":"ask","say":"S"})"), "rules[0].when",
            "missing; expected a condition"},
           {with_rule(R"({"id":"a","verdict":"discrad","say":"S",)" + when + "}"), "rules[0].verdict",
            "not \"discrad\"; did you mean \"discard\"?"},
           {with_rule(R"({"id":"a","verdict":"ask","say":"S","trai":"x",)" + when + "}"), "rules[0]",
            "did you mean \"tray\"?"},
           {with_rule(R"({"id":"half-pair","verdict":"ask","say":"S",)" + when + "}"), "rules[0].id",
            "set aside"},
           {with_rule(R"({"id":"a","verdict":"ask","say":"S",)" + when +
                      R"(},{"id":"a","verdict":"ask","say":"S",)" + when + "}"),
            "rules[1].id", "\"a\" is the id of another rule"}});
}

TEST_CASE("Each mistake in a condition is told with its place") {
    check(
        {{with_condition("[]"), "rules[0].when", "expected a condition"},
         {with_condition("{}"), "rules[0].when",
          "exactly one of \"quantity\", \"mark\", \"state\", \"all\", \"any\" or \"not\""},
         {with_condition(R"({"quantty":"cylinder","over":2})"), "rules[0].when",
          "did you mean \"quantity\"?"},
         {with_condition(R"({"quantity":"cylinder","over":2,"mark":"tint"})"), "rules[0].when",
          "exactly one of"},
         {with_condition(R"({"quantity":"cilinder","over":2})"), "rules[0].when.quantity",
          "did you mean \"cylinder\"?"},
         {with_condition(R"({"quantity":"cylinder"})"), "rules[0].when", "a limit is missing"},
         {with_condition(R"({"quantity":"cylinder","over":2,"under":3})"), "rules[0].when",
          "more than one limit"},
         {with_condition(R"({"quantity":"cylinder","over":"2"})"), "rules[0].when.over",
          "expected a number from 0 to 20 (D;"},
         {with_condition(R"({"quantity":"cylinder","over":-2})"), "rules[0].when.over",
          "without sign), not -2"},
         {with_condition(R"({"quantity":"centre_distance","under":200})"), "rules[0].when.under",
          "from 10 to 120 (mm;"},
         {with_condition(R"({"quantity":"cylinder","over":2,"lens":"eihter"})"), "rules[0].when.lens",
          "did you mean \"either\"?"},
         {with_condition(R"({"quantity":"difference_sphere","over":2,"lens":"both"})"), "rules[0].when.lens",
          "of the pair"},
         {with_condition(R"({"quantity":"cylinder","over":2,"measured":"yes"})"), "rules[0].when.measured",
          "true or false"},
         {with_condition(R"({"quantity":"centre_distance","over":60,"measured":true})"),
          "rules[0].when.measured", "never rounded"},
         {with_condition(R"({"mark":"tnit","is":["dark"]})"), "rules[0].when.mark", "did you mean \"tint\"?"},
         {with_condition(R"({"mark":"tint"})"), "rules[0].when.is", "missing"},
         {with_condition(R"({"mark":"tint","is":"dark"})"), "rules[0].when.is", "expected a list"},
         {with_condition(R"({"mark":"tint","is":[]})"), "rules[0].when.is", "expected a list"},
         {with_condition(R"({"mark":"tint","is":["none","darc"]})"), "rules[0].when.is[1]",
          "did you mean \"dark\"?"},
         {with_condition(R"({"all":[]})"), "rules[0].when.all", "expected a list of 1 to 100 conditions"},
         {with_condition(R"({"any":[{"quantity":"cylinder","over":1},{"not":{"mark":"tint","is":[7]}}]})"),
          "rules[0].when.any[1].not.is[0]", "expected a text"}});
}

TEST_CASE("All mistakes are listed, not only the first") {
    const std::vector<Mistake> mistakes = mistakes_in(
        R"({"nam":"T","date":"x","rules":[{"id":"a","when":{"quantity":"cylnder","ovr":2},"verdict":"kep"},7]})");
    CHECK(mistakes.size() == 8);
    try {
        (void)grading::parse_rules("{}");
        FAIL("empty rules were taken");
    } catch (const BadRules& bad) {
        CHECK_THAT(bad.what(), Catch::Contains("\n  name: missing") && Catch::Contains("\n  rules: missing"));
    }
}

TEST_CASE("Conditions nested too deep are refused, however deep") {
    const auto nested = [](int depth) {
        std::string condition = R"({"quantity":"cylinder","over":2})";
        for (int i = 0; i < depth; ++i) {
            condition = "{\"not\":" + condition + "}";
        }
        return with_condition(condition);
    };
    CHECK(mistakes_in(nested(12)).empty());
    REQUIRE(mistakes_in(nested(13)).size() == 1);
    CHECK_THAT(mistakes_in(nested(13))[0].say, Catch::Contains("at most 12 levels"));
    CHECK(mistakes_in(nested(20'000)).size() == 1);
    CHECK(mistakes_in(with_condition(std::string(200'000, '['))).size() == 1);
}

TEST_CASE(
    "Changed at random, rules are either taken whole or refused with mistakes, and nothing else happens") {
    const std::string sound(grading::default_rules_text());
    const std::vector<std::string> pieces{
        "{",    "}",      "[",      "]",        ",",        ":",         "\"",       "null",    "-1",
        "1e99", "true",   "\"is\"", "\xff",     "\"over\"", "\"not\"",   "\"all\"",  "\"any\"", "[[[[",
        "\\u",  "\"id\"", "2.0",    "\"tint\"", "\"lens\"", "\"rules\"", "\"mark\"", " ",       ""};
    std::mt19937 random(20'260'101);
    int taken = 0;
    int refused = 0;
    for (int i = 0; i < 4'000; ++i) {
        std::string text = sound;
        for (unsigned changes = 1 + random() % 4; changes > 0; --changes) {
            const std::size_t at = random() % text.size();
            text.replace(at, random() % 12, pieces[random() % pieces.size()]);
        }
        try {
            const grading::Rules rules = grading::parse_rules(text);
            const auto pair = tests::pair_of(tests::measured(-1), tests::measured(-2, -1, 90));
            const record::Verdict verdict = grading::grade(rules, pair);
            CHECK((!verdict.reasons.empty() || verdict.decision == record::Decision::keep));
            ++taken;
        } catch (const BadRules& bad) {
            CHECK_FALSE(bad.mistakes.empty());
            ++refused;
        }
    }
    CHECK(taken > 20);
    CHECK(refused > 500);
}

TEST_CASE("JSON of any shape is refused or taken, never stumbled over") {
    std::mt19937 random(7);
    const std::vector<std::string> names{
        "name",  "date",     "rules", "id",  "when", "verdict", "tray", "say",      "quantity",
        "mark",  "is",       "all",   "any", "not",  "over",    "lens", "measured", "take_for_granted",
        "trays", "gold_tray"};
    const std::vector<nlohmann::json> leaves{nullptr, true,         -1,    2.5, "cylinder", "tint",
                                             "dark",  "2026-01-01", "ask", "",  "addition"};
    const auto any_json = [&](const auto& self, int depth) -> nlohmann::json {
        const unsigned kind = random() % (depth > 5 ? 1U : 4U);
        if (kind <= 1) return leaves[random() % leaves.size()];
        nlohmann::json json = kind == 2 ? nlohmann::json::array() : nlohmann::json::object();
        for (unsigned n = random() % 5; n > 0; --n) {
            if (kind == 2) {
                json.push_back(self(self, depth + 1));
            } else {
                json[names[random() % names.size()]] = self(self, depth + 1);
            }
        }
        return json;
    };
    for (int i = 0; i < 4'000; ++i) {
        nlohmann::json rules{{"name", "T"}, {"date", "2026-01-01"}, {"rules", nlohmann::json::array()}};
        rules["rules"].push_back(
            {{"id", "a"}, {"verdict", "ask"}, {"say", "S"}, {"when", any_json(any_json, 0)}});
        if (i % 2 == 0) rules[names[random() % names.size()]] = any_json(any_json, 0);
        try {
            const grading::Rules taken = grading::parse_rules(rules.dump());
            CHECK(taken.rules.size() <= 1);
        } catch (const BadRules& bad) {
            CHECK_FALSE(bad.mistakes.empty());
        }
    }
}

TEST_CASE("Words are as far apart as letters must be changed, a swap of neighbours counting once") {
    using grading::letters_apart;
    CHECK(letters_apart("", "") == 0);
    CHECK(letters_apart("tint", "tint") == 0);
    CHECK(letters_apart("tnit", "tint") == 1);
    CHECK(letters_apart("tin", "tint") == 1);
    CHECK(letters_apart("", "over") == 4);
    CHECK(letters_apart("kitten", "sitting") == 3);  // the usual example of the distance; from memory
    const std::vector<std::string_view> words{"over", "under"};
    CHECK(grading::nearest_word("ovr", words) == "over");
    CHECK(grading::nearest_word("OVER", words) == "over");
    CHECK(grading::nearest_word("id", words).empty());
    CHECK(grading::one_of(words) == "\"over\" or \"under\"");
}
