// A rule's condition as a sentence: nothing that decides may be lost on the way to paper.
#include "host/grading/in_words.hpp"

#include <catch2/catch.hpp>
#include <set>

#include "host/record/mark.hpp"
#include "tests/grading/pairs.hpp"

using namespace pairmark;
using namespace pairmark::tests;

namespace {

std::string words_of(const std::string& condition) {
    const grading::Rules rules =
        rules_with(R"("rules": [{"id": "r", "verdict": "ask", "say": "Hm", "when": )" + condition + "}]");
    return grading::in_words(rules.rules.front().when);
}

std::string quantity(const grading::QuantityWord& word, const std::string& members) {
    return R"({"quantity": ")" + std::string(word.name) + R"(", )" + members + "}";
}

}  // namespace

TEST_CASE("A quantity against a limit is a sentence with both and the unit") {
    CHECK(words_of(R"({"quantity": "cylinder", "lens": "either", "over": 2})") ==
          "the cylinder of a lens is over 2.00 D");
    CHECK(words_of(R"({"quantity": "largest_meridian", "lens": "both", "at_most": 8.125})") ==
          "the largest meridian of both lenses is at most +8.125 D");
    CHECK(words_of(R"({"quantity": "smallest_meridian", "lens": "left", "under": -10})") ==
          "the smallest meridian of the left lens is under \u221210.00 D");
    CHECK(words_of(R"({"quantity": "spherical_equivalent", "lens": "right", "at_least": 0})") ==
          "the spherical equivalent of the right lens is at least 0.00 D");
    CHECK(words_of(R"({"quantity": "centre_distance", "at_most": 54.5})") ==
          "the distance between the optical centres is at most 54.5 mm");
    CHECK(words_of(R"({"quantity": "centre_distance", "over": 60})") ==
          "the distance between the optical centres is over 60 mm");
    CHECK(words_of(R"({"quantity": "difference_any_meridian", "over": 1.5, "measured": true})") ==
          "the largest difference of the lenses in any meridian, as measured, is over 1.50 D");
    CHECK(words_of(R"({"quantity": "difference_sphere", "over": 1})") ==
          "the difference of the spheres in minus cylinder is over 1.00 D");
}

TEST_CASE("Every quantity has words of its own with every limit, and no name of the file's shows in them") {
    std::set<std::string> all;
    std::size_t count = 0;
    for (const grading::QuantityWord& word : grading::quantity_words()) {
        CAPTURE(word.name);
        for (const char* bound : {"over", "at_least", "under", "at_most"}) {
            grading::Condition condition;
            condition.kind = grading::Condition::Kind::quantity;
            condition.quantity = word.quantity;
            condition.limit = word.least + 1;
            condition.bound = bound == std::string("over")       ? grading::Bound::over
                              : bound == std::string("at_least") ? grading::Bound::at_least
                              : bound == std::string("under")    ? grading::Bound::under
                                                                 : grading::Bound::at_most;
            const std::string text = grading::in_words(condition);
            CHECK(text.find('_') == std::string::npos);
            CHECK(text.find(bound == std::string("at_least") ? " is at least "
                            : bound == std::string("at_most")
                                ? " is at most "
                                : std::string(" is ") + bound + " ") != std::string::npos);
            CHECK(text.ends_with(" " + std::string(word.unit)));
            all.insert(text);
            ++count;
        }
        if (!word.of_one_lens) continue;
        for (const char* lens : {"of both lenses", "of the right lens", "of the left lens"}) {
            const std::string which = std::string(lens) == "of both lenses"      ? "both"
                                      : std::string(lens) == "of the right lens" ? "right"
                                                                                 : "left";
            const std::string text = words_of(
                quantity(word, R"("lens": ")" + which + R"(", "over": )" + std::to_string(word.most)));
            CHECK_THAT(text, Catch::Contains(lens));
            all.insert(text);
            ++count;
        }
    }
    CHECK(all.size() == count);
}

TEST_CASE("A mark is said with its values, a yes or no without") {
    CHECK(words_of(R"({"mark": "broken", "is": ["yes"]})") == "marked broken");
    CHECK(words_of(R"({"mark": "clean", "is": ["no"]})") == "marked not clean");
    CHECK(words_of(R"({"mark": "clean", "is": ["yes", "no"]})") == "marked clean: yes or no");
    CHECK(words_of(R"({"mark": "tint", "is": ["light", "dark", "changing"]})") ==
          "marked tint: light, dark or changing");
    CHECK(words_of(R"({"mark": "lens_type", "is": ["segment"]})") == "marked lens type: segment");
    CHECK(words_of(R"({"mark": "carrier", "is": ["Bag 7"]})") == "marked carrier: Bag 7");
}

TEST_CASE("Every value of every mark is said") {
    for (const record::MarkWord& mark : record::mark_vocabulary())
        for (const std::string_view value : mark.values) {
            grading::Condition condition;
            condition.kind = grading::Condition::Kind::mark;
            condition.mark = mark.name;
            condition.values = {std::string(value), "another"};
            CHECK_THAT(grading::in_words(condition),
                       Catch::Contains(": " + std::string(value) + " or another"));
        }
}

TEST_CASE("What is joined says how, and what belongs together stands in brackets") {
    const std::string a = R"({"quantity": "cylinder", "over": 2})";
    const std::string b = R"({"mark": "broken", "is": ["yes"]})";
    const std::string c = R"({"mark": "child", "is": ["yes"]})";
    CHECK(words_of(R"({"all": [)" + a + "," + b + "]}") ==
          "the cylinder of a lens is over 2.00 D and marked broken");
    CHECK(words_of(R"({"any": [)" + b + "," + a + "]}") ==
          "marked broken or the cylinder of a lens is over 2.00 D");
    CHECK(words_of(R"({"any": [)" + b + "," + c + "," + a + "]}") ==
          "any of: marked broken; marked child; the cylinder of a lens is over 2.00 D");
    CHECK(words_of(R"({"all": [)" + b + R"(, {"any": [)" + c + "," + a + "]}]}") ==
          "marked broken and (marked child or the cylinder of a lens is over 2.00 D)");
    CHECK(words_of(R"({"not": )" + b + "}") == "not marked broken");
    CHECK(words_of(R"({"not": {"not": )" + b + "}}") == "it is not so that not marked broken");
    CHECK(words_of(R"({"not": {"all": [)" + b + "," + c + "]}}") ==
          "it is not so that (marked broken and marked child)");
    CHECK(words_of(R"({"all": [)" + a + "]}") == "the cylinder of a lens is over 2.00 D");
}

TEST_CASE("A limit that is negated is said as its opposite, of both lenses where it was of one") {
    const auto negated = [](const char* lens, const char* bound) {
        return words_of(R"({"not": {"quantity": "cylinder", "lens": ")" + std::string(lens) + R"(", ")" +
                        bound + R"(": 2}})");
    };
    CHECK(negated("either", "over") == "the cylinder of both lenses is at most 2.00 D");
    CHECK(negated("both", "at_most") == "the cylinder of a lens is over 2.00 D");
    CHECK(negated("right", "under") == "the cylinder of the right lens is at least 2.00 D");
    CHECK(negated("left", "at_least") == "the cylinder of the left lens is under 2.00 D");
}

TEST_CASE("A condition and its negated words are never both true, nor both false") {
    // The words are those of another condition: it must be the opposite, of every pair.
    for (const char* lens : {"either", "both", "right", "left"})
        for (const char* bound : {"over", "at_least", "under", "at_most"}) {
            const std::string text =
                R"({"quantity": "cylinder", "lens": ")" + std::string(lens) + R"(", ")" + bound + R"(": 1})";
            const std::string said = words_of(R"({"not": )" + text + "}");
            const grading::Rules straight = discarding(text);
            for (const char* other_lens : {"either", "both", "right", "left"})
                for (const char* other_bound : {"over", "at_least", "under", "at_most"}) {
                    const grading::Rules other =
                        discarding(R"({"quantity": "cylinder", "lens": ")" + std::string(other_lens) +
                                   R"(", ")" + other_bound + R"(": 1})");
                    if (grading::in_words(other.rules.front().when) != said) continue;
                    for (const double right : {-0.5, -1.0, -1.5})
                        for (const double left : {-0.5, -1.0, -1.5}) {
                            const record::Pair pair = pair_of(measured(1, right, 90), measured(1, left, 90));
                            CAPTURE(text, said, right, left);
                            CHECK(discards(straight, pair) != discards(other, pair));
                        }
                }
        }
}

TEST_CASE("A value that would look like its limit keeps the decimals that tell them apart") {
    const grading::QuantityWord& word = grading::word_of(grading::Quantity::difference_any_meridian);
    CHECK(grading::value_in_words(word, 1.50001, 1.5) == "1.50001 D");
    CHECK(grading::value_in_words(word, 1.5, 1.5) == "1.50 D");
    const grading::QuantityWord& with_sign = grading::word_of(grading::Quantity::smallest_meridian);
    CHECK(grading::value_in_words(with_sign, -0.25, 1) == "\u22120.25 D");
    CHECK(grading::value_in_words(with_sign, -0.000001, 1) == "0.00 D");
}

TEST_CASE("A state is a sentence, also where it is not so") {
    CHECK(words_of(R"({"state": "instrument_check", "is": ["due", "failed"]})") ==
          "the instrument check is due or failed");
    CHECK(words_of(R"({"state": "power_varies", "is": ["yes"]})") ==
          "a lens was measured at two places and has two powers");
    CHECK(words_of(R"({"not": {"state": "source", "is": ["typed"]}})") ==
          "it is not so that the source is typed");
}
