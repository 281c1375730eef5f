// The words that rules are written in stand in the schema and on the page for people, all of them.
#include <catch2/catch.hpp>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "host/grading/quantity.hpp"
#include "host/grading/state.hpp"
#include "host/record/mark.hpp"
#include "tests/trees.hpp"

using namespace pairmark;
using Json = nlohmann::json;

namespace {

std::string text_of(const std::string& file) {
    std::ifstream in(pairmark::tests::in_source_tree(file), std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

/// The schema's alternatives that have `member` as a constant, by that constant.
std::map<std::string, Json> alternatives(const Json& schema, const char* member) {
    std::map<std::string, Json> found;
    for (const Json& one : schema.at("$defs").at("condition").at("oneOf")) {
        if (one.at("properties").contains(member))
            found[one["properties"][member]["const"]] = one["properties"];
    }
    return found;
}

}  // namespace

TEST_CASE("The schema knows every quantity with its limits, and no other") {
    const Json schema = Json::parse(text_of("host/grading/rules.schema.json"));
    const auto known = alternatives(schema, "quantity");
    CHECK(known.size() == grading::quantity_words().size());
    for (const grading::QuantityWord& word : grading::quantity_words()) {
        CAPTURE(word.name);
        REQUIRE(known.contains(std::string(word.name)));
        const Json& members = known.at(std::string(word.name));
        CHECK(members.contains("lens") == word.of_one_lens);
        CHECK(members.contains("measured") == word.as_on_label);
        for (const char* bound : {"over", "at_least", "under", "at_most"}) {
            CHECK(members.at(bound).at("minimum") == word.least);
            CHECK(members.at(bound).at("maximum") == word.most);
        }
    }
}

TEST_CASE("The schema knows every mark with its values, and no other") {
    const Json schema = Json::parse(text_of("host/grading/rules.schema.json"));
    const auto known = alternatives(schema, "mark");
    const Json& granted = schema.at("properties").at("take_for_granted").at("properties");
    CHECK(known.size() == record::mark_vocabulary().size());
    for (const record::MarkWord& mark : record::mark_vocabulary()) {
        CAPTURE(mark.name);
        const std::string name(mark.name);
        REQUIRE(known.contains(name));
        REQUIRE(granted.contains(name));
        const Json& items = known.at(name).at("is").at("items");
        // A mark that takes more than its words has them as the first of two alternatives.
        CHECK(items.contains("anyOf") == !mark.form.empty());
        CHECK(granted.at(name) == items);
        const Json& words = mark.form.empty() ? items : items.at("anyOf").at(0);
        CHECK(words.contains("enum") == !mark.values.empty());
        if (!mark.values.empty()) CHECK(words.at("enum") == Json(mark.values));
    }
}

TEST_CASE(
    "The page for people lists every quantity, and every mark with its values and what looking over says of "
    "it") {
    const std::string page = text_of("docs/rules.md");
    for (const grading::QuantityWord& word : grading::quantity_words()) {
        CAPTURE(word.name);
        CHECK(page.find("| `" + std::string(word.name) + "` |") != std::string::npos);
    }
    for (const record::MarkWord& mark : record::mark_vocabulary()) {
        std::string row = "| `" + std::string(mark.name) + "` | ";
        for (const std::string_view value : mark.values) {
            row += (value == mark.values.front() ? "`" : ", `") + std::string(value) + "`";
        }
        if (mark.values.empty()) row += "any text";
        if (!mark.form.empty()) {
            const std::string form(mark.form);
            const std::size_t example = form.rfind(' ') + 1;
            row += ", or " + form.substr(0, example) + "`" + form.substr(example) + "`";
        }
        row += mark.in_order.empty() ? " | - |" : " | `" + std::string(mark.in_order) + "` |";
        CAPTURE(row);
        CHECK(page.find(row) != std::string::npos);
    }
}

TEST_CASE("The schema and the page for people know every state with its values, and no other") {
    const Json schema = Json::parse(text_of("host/grading/rules.schema.json"));
    const std::string page = text_of("docs/rules.md");
    const auto known = alternatives(schema, "state");
    CHECK(known.size() == grading::state_words().size());
    for (const grading::StateWord& word : grading::state_words()) {
        CAPTURE(word.name);
        REQUIRE(known.contains(std::string(word.name)));
        CHECK(known.at(std::string(word.name)).at("is").at("items").at("enum") ==
              Json(std::vector<std::string>(word.values.begin(), word.values.end())));
        std::string row = "| `" + std::string(word.name) + "` | ";
        for (const std::string_view value : word.values)
            row += (value == word.values.front() ? "`" : ", `") + std::string(value) + "`";
        CHECK(page.find(row + " |") != std::string::npos);
    }
}

TEST_CASE("The vocabulary of quantities is in the order of its enumeration") {
    for (const grading::QuantityWord& word : grading::quantity_words()) {
        CHECK(grading::word_of(word.quantity).name == word.name);
        CHECK(grading::find_quantity(word.name) == &word);
    }
    CHECK(grading::find_quantity("sphere") == nullptr);
}
