#include "host/label/qr_text.hpp"

#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <string>

#include "tests/label/facts_for_tests.hpp"

namespace {

using namespace pairmark::label_tests;
using pairmark::label::BadQrText;
using pairmark::label::parse_qr_text;
using pairmark::label::qr_text;
using pairmark::record::LabelFacts;

void check_same(const LabelFacts& a, const LabelFacts& b) {
    CHECK(a.number == b.number);
    CHECK(a.date == b.date);
    CHECK(a.place == b.place);
    CHECK(a.right == b.right);
    CHECK(a.left == b.left);
    CHECK(a.right_equivalent == b.right_equivalent);
    CHECK(a.left_equivalent == b.left_equivalent);
    CHECK(a.right_addition == b.right_addition);
    CHECK(a.left_addition == b.left_addition);
    CHECK(a.addition_kind == b.addition_kind);
    CHECK(a.addition_by == b.addition_by);
    CHECK(a.centres_mm == b.centres_mm);
    CHECK(a.typed == b.typed);
    CHECK(a.copy == b.copy);
}

LabelFacts make_facts(std::mt19937& random) {
    const auto pick = [&random](int least, int most) {
        return least + static_cast<int>(random() % static_cast<unsigned>(most - least + 1));
    };
    const auto any_lens = [&pick] {
        const int cylinder = -25 * pick(0, 48);
        return lens(25 * pick(-80, 80), cylinder, cylinder == 0 ? 0 : pick(1, 180));
    };
    const auto right = any_lens();
    LabelFacts facts = facts_of(right, any_lens());
    facts.number = pairmark::label::print_number({"K7", "AB", pick(1, 999'999)});
    facts.programme.clear();
    facts.place = pick(0, 1) == 0 ? "BOX " + std::to_string(pick(1, 99)) : "Полка AT TYPED COPY";
    facts.typed = pick(0, 1) == 1;
    facts.copy = pick(0, 3);
    facts.centres_mm = pick(500, 800) / 10.0;
    if (pick(0, 2) == 0) facts.centres_mm.reset();
    if (pick(0, 1) == 1) {
        facts.right_addition = hundredths(25 * pick(1, 16));
        facts.left_addition = hundredths(25 * pick(1, 16));
        facts.addition_kind = pick(0, 1) == 0 ? "segment" : "progressive";
        facts.addition_by = std::array{"", "front", "back"}[static_cast<std::size_t>(pick(0, 2))];
    }
    return facts;
}

}  // namespace

TEST_CASE("the QR text says the label's facts in the documented form") {
    LabelFacts facts = usual_facts();
    CHECK(qr_text(facts) ==
          "PM1 " + facts.number + " R-1.25-0.50X085 L+2.00DS SE-1.50/+2.00 CD62.0 2026-11-24 AT BOX 12");
    facts = fullest_facts();
    CHECK(qr_text(facts) == "PM1 " + facts.number +
                                " R-15.50-10.50X085 L-20.00-12.25X180 SE-20.75/-26.125 ADD+3.00/+3.25 PROG "
                                "CD102.5 2026-11-24 TYPED COPY12 AT CABINET 4 ROW 12");
    facts = facts_of(lens(0), lens(0, -100, 180));
    facts.centres_mm.reset();
    CHECK(qr_text(facts) ==
          "PM1 " + facts.number + " R0.00DS L0.00-1.00X180 SE0.00/-0.50 CD- 2026-11-24 AT BOX 12");
}

TEST_CASE("how the additions were measured follows their kind") {
    LabelFacts facts = fullest_facts();
    facts.addition_by = "back";
    CHECK_THAT(qr_text(facts), Catch::Contains(" ADD+3.00/+3.25 PROG BACK CD102.5 "));
}

TEST_CASE("the number is read from a low label's text and from a whole one") {
    using pairmark::label::number_text;
    using pairmark::label::parse_number;
    const LabelFacts facts = usual_facts();
    CHECK(number_text(facts.number) == "PM1 " + facts.number);
    CHECK(parse_number(number_text(facts.number)) == facts.number);
    CHECK(parse_number(qr_text(facts)) == facts.number);
    std::string wrong = number_text(facts.number);
    wrong.back() = wrong.back() == 'A' ? 'B' : 'A';
    for (const std::string& text :
         {wrong, std::string("PM1 "), std::string("PM1"), std::string(), "PM2 " + facts.number,
          "PM1 " + facts.number + " ", "PM1 " + facts.number + " R-1.25", std::string(600, 'A')}) {
        CAPTURE(text);
        CHECK_THROWS_AS(parse_number(text), pairmark::label::BadQrText);
    }
}

TEST_CASE("facts read back from the QR text are the facts, but for the programme's name") {
    check_same(parse_qr_text(qr_text(usual_facts())), usual_facts());
    check_same(parse_qr_text(qr_text(fullest_facts())), fullest_facts());
    std::mt19937 random(7);
    for (int i = 0; i < 2000; ++i) {
        const LabelFacts facts = make_facts(random);
        CAPTURE(qr_text(facts));
        check_same(parse_qr_text(qr_text(facts)), facts);
    }
}

TEST_CASE("text that is no label's is refused") {
    const std::string good = qr_text(usual_facts());
    REQUIRE_NOTHROW(parse_qr_text(good));
    const auto with = [&good](const std::string& from, const std::string& to) {
        std::string text = good;
        return text.replace(text.find(from), from.size(), to);
    };
    const std::string rows[] = {
        "",
        "PM1",
        "https://example.org/",
        with("PM1", "PM2"),
        with("X085", "X85"),
        with("X085", "X000"),
        with("X085", "X181"),
        with("-1.25", "-1.250"),
        with("-1.25", "-01.25"),
        with("-1.25", "-1.3"),
        with("-1.25", "1.25"),
        with("-0.50X", "+0.50X"),
        with("+2.00DS", "+2.00"),
        with("+2.00DS", "2.00DS"),
        with("SE-1.50", "SE-1.25"),
        with("CD62.0", "CD62"),
        with("CD62.0", "CD62.05"),
        with("CD62.0", "CD"),
        with("2026-11-24", "2026-11-31"),
        with(" AT BOX 12", ""),
        with("BOX 12", ""),
        with("BOX 12", "BOX 12 "),
        with(" AT", " COPY0 AT"),
        with(" AT", " COPY01 AT"),
        with(" AT", " TYPED TYPED AT"),
        with(" AT", "  AT"),
        with(" CD", " ADD+2.00/+2.00 CD"),
        with(" CD", " ADD+2.00/+2.00 HALF CD"),
        with(" CD", " ADD+2.00 SEG CD"),
        good + '\n',
        ' ' + good,
        good + std::string(1, '\0'),
        good + std::string(1000, 'A'),
        std::string(100'000, '9'),
    };
    for (const std::string& row : rows) {
        CAPTURE(row.substr(0, 120));
        CHECK_THROWS_AS(parse_qr_text(row), BadQrText);
    }
}

TEST_CASE(
    "a QR text cut anywhere before its place, or with any one byte changed, is refused or says itself "
    "again") {
    const std::string good = qr_text(fullest_facts());
    for (std::size_t length = 0; length <= good.find(" AT ") + 4; ++length)
        REQUIRE_THROWS_AS(parse_qr_text(good.substr(0, length)), BadQrText);
    for (std::size_t at = 0; at < good.size(); ++at)
        for (int c = 0; c < 256; ++c) {
            std::string text = good;
            text[at] = static_cast<char>(c);
            CAPTURE(at, c);
            try {
                const LabelFacts facts = parse_qr_text(text);
                REQUIRE(qr_text(facts) == text);
            } catch (const BadQrText& bad) {
                REQUIRE_FALSE(std::string(bad.what()).empty());
            }
        }
}
