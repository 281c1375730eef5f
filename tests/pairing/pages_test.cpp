// docs/pairs.md tells people what the room does; here the two are held together.
#include <catch2/catch.hpp>
#include <fstream>
#include <map>
#include <stdexcept>
#include <string>

#include "host/pairing/question.hpp"
#include "tests/trees.hpp"

namespace pairmark::pairing {

TEST_CASE("docs/pairs.md has a row for every question, with every answer, first the one that go on gives") {
    std::ifstream file(pairmark::tests::in_source_tree("docs/pairs.md"));
    REQUIRE(file);
    std::map<std::string, std::string> rows;  // the last cell, by the word that the first one holds
    for (std::string line; std::getline(file, line);) {
        if (!line.starts_with("| `")) continue;
        const auto id = line.substr(3, line.find('`', 3) - 3);
        rows[id] = line.substr(line.rfind('|', line.size() - 2));
    }
    CHECK(rows.size() == ask::all.size());
    for (const std::string_view id : ask::all) {
        INFO(id);
        const std::string answers = rows[std::string(id)];
        const record::Question put = question(id);
        CHECK_FALSE(put.say.empty());
        if (put.choices.empty()) CHECK(answers.find("none") != std::string::npos);
        std::size_t from = 0;
        for (const std::string& choice : put.choices) {
            INFO(choice);
            from = answers.find("`" + choice + "`", from);
            REQUIRE(from != std::string::npos);
        }
    }
}

TEST_CASE("a question that does not exist is a broken invariant") {
    CHECK_THROWS_AS(question("why"), std::logic_error);
}

}  // namespace pairmark::pairing
