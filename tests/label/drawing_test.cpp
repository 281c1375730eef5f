// Where things stand, on every size: nothing over anything else, no letters smaller than docs/label.md says.
#include "host/label/drawing.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "host/label/draw.hpp"
#include "host/label/refused.hpp"
#include "tests/label/sizes_for_tests.hpp"

namespace {

using namespace pairmark;
using namespace pairmark::label;
using namespace pairmark::label_tests;

struct Box {
    double left, top, right, bottom;
};

bool overlap(const Box& a, const Box& b) {
    constexpr double touch = 0.01;
    return a.left < b.right - touch && b.left < a.right - touch && a.top < b.bottom - touch &&
           b.top < a.bottom - touch;
}

// Capitals and what hangs below them.
Box box_of(const PlacedText& text, const Measure& measure) {
    const double capitals = text.size_pt * capital_mm_per_pt;
    const double pad = text.reversed ? Document::box_pad_mm(text.size_pt) : 0;
    return {text.x_mm, text.baseline_mm - capitals - pad,
            text.x_mm + measure(text.text, text.size_pt) + 2 * pad, text.baseline_mm + pad};
}

Drawing compose(const record::LabelFacts& facts, const record::LabelSize& size, int dpi) {
    Document document;
    return compose_label(facts, layout_for(size, dpi), measure_with(document));
}

const PlacedText& find(const Drawing& drawing, const std::string& text) {
    const auto found = std::find_if(drawing.texts.begin(), drawing.texts.end(),
                                    [&](const PlacedText& placed) { return placed.text == text; });
    INFO(text);
    REQUIRE(found != drawing.texts.end());
    return *found;
}

std::string refusal(const record::LabelFacts& facts, const record::LabelSize& size) {
    try {
        (void)compose(facts, size, 203);
        return "none";
    } catch (const LabelRefused& refused) {
        return refused.where();
    }
}

}  // namespace

TEST_CASE("on every size nothing stands on anything else, nothing in the margin") {
    Document measuring;
    const Measure measure = measure_with(measuring);
    for (const record::LabelSize& size : usual_sizes())
        for (const int dpi : {203, 300})
            for (const record::LabelFacts& facts : {usual_facts(), fullest_facts_for(size)}) {
                CAPTURE(size.width_mm, size.height_mm, dpi);
                const Drawing drawing = compose(facts, size, dpi);
                std::vector<Box> boxes;
                for (const PlacedText& text : drawing.texts)
                    boxes.push_back(box_of(text, measure));
                const PlacedCode& code = *drawing.code;
                const double module = code.dots_per_module * code.dot_mm;
                const double quiet = 4 * module;
                boxes.push_back({code.x_mm - quiet, code.y_mm - quiet, code.x_mm + code.code.side * module,
                                 code.y_mm + code.code.side * module});
                for (std::size_t i = 0; i < boxes.size(); ++i) {
                    CHECK(boxes[i].left >= 1.19);
                    CHECK(boxes[i].top >= 1.0);
                    CHECK(boxes[i].right <= size.width_mm - 1.0);
                    CHECK(boxes[i].bottom <= size.height_mm - 1.19);
                    for (std::size_t j = 0; j < i; ++j) {
                        CAPTURE(i, j, drawing.texts[j].text);
                        CHECK_FALSE(overlap(boxes[i], boxes[j]));
                    }
                }
            }
}

TEST_CASE("letters are nowhere smaller than docs/label.md says, and nothing is larger than the powers") {
    for (const record::LabelSize& size : usual_sizes()) {
        CAPTURE(size.width_mm, size.height_mm);
        const record::LabelFacts facts = fullest_facts_for(size);
        const Drawing drawing = compose(facts, size, 203);
        const double power =
            drawing.texts[0].text == facts.place ? find(drawing, "R −15.50 −10.50 × 085").size_pt : 0;
        const double power_mm = power * capital_mm_per_pt;
        CHECK(power_mm >= std::min(0.05 * size.width_mm, 0.08 * size.height_mm + 0.4) - 0.001);
        CHECK(power_mm >= 1.99);
        const double taller = std::clamp((size.height_mm - 30) / 10, 0.0, 1.0);
        for (const PlacedText& text : drawing.texts) {
            CAPTURE(text.text);
            CHECK(text.size_pt * capital_mm_per_pt >= 1.25 + 0.25 * taller - 0.001);
            CHECK(text.size_pt <= power + 0.2);
        }
        CHECK(find(drawing, facts.place).size_pt * capital_mm_per_pt >=
              (size.width_mm < 50 ? 1.5 : 1.5 + 0.3 * taller) - 0.001);
        CHECK(find(drawing, facts.number).size_pt * capital_mm_per_pt >= 1.35 + 0.15 * taller - 0.001);
    }
}

TEST_CASE("every size says place, powers, centre distance, date, caution and number, and larger ones more") {
    for (const record::LabelSize& size : usual_sizes()) {
        CAPTURE(size.width_mm, size.height_mm);
        const record::LabelFacts facts = fullest_facts_for(size);
        const Drawing drawing = compose(facts, size, 203);
        std::string all;
        for (const PlacedText& text : drawing.texts)
            all += text.text + ' ';
        for (const char* part :
             {"CABINET 4 ROW 12", "R −15.50 −10.50 × 085", "L −20.00 −12.25 × 180", "CD 102.5 mm",
              "2026-11-24", "Only after an", "eye examination.", "Add R +3.00 L +3.25", "progressive, front",
              "COPY 12 TYPED", "K7AB-ABC-12345-F"})
            CHECK_THAT(all, Catch::Contains(part));
        const bool small = size.height_mm < 30 || size.width_mm < 50;
        CHECK((all.find("SE R −20.75 L −26.125") != std::string::npos) == !small);
        const bool has_programme = size.height_mm >= 34 && size.width_mm >= 50;
        CHECK((all.find(facts.programme) != std::string::npos) == has_programme);
        CHECK(drawing.texts.back().text == facts.number);
        CHECK(drawing.texts.front().text == facts.place);
    }
}

TEST_CASE("the frame's facts are said in the label's words") {
    record::LabelFacts facts = usual_facts();
    facts.frame_size = "52-18-140";
    facts.wearer = "adult";
    facts.style = "women";
    facts.rim = "cord";
    facts.single_vision = true;
    facts.extra = "Очки для всех";
    const Drawing drawing = compose(facts, {100, 60}, 203);
    std::string all;
    for (const PlacedText& text : drawing.texts)
        all += text.text + " / ";
    // Broken between words only.
    CHECK_THAT(all, Catch::Contains("52□18 140 · adult") && Catch::Contains("women's") &&
                        Catch::Contains("cord rim") && Catch::Contains("single vision") &&
                        Catch::Contains("Очки для всех"));
}

TEST_CASE("what does not fit is refused by name") {
    record::LabelFacts facts = usual_facts();
    facts.frame_size = "52-18-140";
    facts.wearer = "adult";
    facts.style = "women";
    facts.rim = "cord";
    facts.extra = "Call the office";
    CHECK(refusal(facts, {40, 20}) == "label");
    CHECK(refusal(facts, {60, 40}) == "none");
    facts.extra = std::string(70, 'm');
    CHECK(refusal(facts, {60, 40}) == "extra line");
    facts = usual_facts();
    facts.place = std::string(40, 'W');
    CHECK(refusal(facts, {60, 40}) == "place");
    CHECK(refusal(facts, {100, 60}) == "place");
}

TEST_CASE("a label too narrow for its powers at a legible size refuses them by the lens") {
    Layout narrow = layout_for({60, 40}, 203);
    narrow.width_mm = 50;
    Document document;
    try {
        (void)compose_label(facts_of(lens(200), lens(-1550, -1050, 85)), narrow, measure_with(document));
        FAIL("a label was made");
    } catch (const LabelRefused& refused) {
        CHECK(refused.where() == "left lens");
    }
}

TEST_CASE("a size or a print head that is none of ours is refused with what is possible") {
    const struct {
        double width;
        double height;
        int dpi;
    } rows[] = {{39.5, 20, 203}, {40, 19, 203}, {101, 60, 203}, {100, 61, 203}, {60, 40, 600}, {60, 40, 0}};
    for (const auto& row : rows) {
        CAPTURE(row.width, row.height, row.dpi);
        CHECK_THROWS_AS(layout_for({row.width, row.height}, row.dpi), LabelRefused);
    }
    CHECK_THROWS_WITH(layout_for({30, 20}, 203), Catch::Contains("30 x 20 mm") && Catch::Contains("40 x 20"));
    CHECK_THROWS_AS(layout_for({std::nan(""), 40}, 203), LabelRefused);
}

TEST_CASE(
    "the spectacles' own label holds the widest powers, its number and COPY in every size that it may have") {
    Document document;
    const Measure measure = measure_with(document);
    for (const record::LabelSize size :
         {record::LabelSize{30, 12}, {40, 12}, {40, 20}, {50, 25}, {100, 60}}) {
        CAPTURE(size.width_mm, size.height_mm);
        const Drawing drawing = compose_spectacles_label(fullest_facts(), size, measure);
        REQUIRE(drawing.texts.size() == 3);
        for (const PlacedText& text : drawing.texts) {
            CHECK(text.x_mm + measure(text.text, text.size_pt) <= size.width_mm - 0.79);
            CHECK(text.size_pt * capital_mm_per_pt >= 1.3 - 0.001);
        }
        CHECK(drawing.texts[2].text == "K7AB-ABC-12345-F COPY 12");
        CHECK(drawing.texts[1].baseline_mm - drawing.texts[0].baseline_mm >
              drawing.texts[1].size_pt * capital_mm_per_pt);
    }
    CHECK_THROWS_AS(compose_spectacles_label(usual_facts(), {29, 12}, measure), LabelRefused);
    CHECK_THROWS_AS(compose_spectacles_label(usual_facts(), {40, 11}, measure), LabelRefused);
}

TEST_CASE(
    "an addition beyond +3.00 asks to be checked, on every size, and +3.00 does not (common practice, no "
    "published source)") {
    record::LabelFacts facts = usual_facts();
    facts.addition_kind = "segment";
    facts.addition_by = "back";
    for (const record::LabelSize& size : usual_sizes()) {
        CAPTURE(size.width_mm, size.height_mm);
        for (const int left : {300, 325}) {
            facts.right_addition = hundredths(300);
            facts.left_addition = hundredths(left);
            std::string all;
            for (const PlacedText& text : compose(facts, size, 203).texts)
                all += text.text + ' ';
            CHECK_THAT(all, Catch::Contains("segment, back"));
            CHECK((all.find("segment, back, check") != std::string::npos) == (left > 300));
        }
    }
}
