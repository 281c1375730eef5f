#include "host/label/sheet.hpp"

#include <catch2/catch.hpp>
#include <limits>
#include <string>
#include <vector>

#include "host/label/refused.hpp"
#include "tests/label/facts_for_tests.hpp"

namespace {

using namespace pairmark;
using namespace pairmark::label;
using namespace pairmark::label_tests;

std::vector<record::LabelFacts> numbered(int count) {
    std::vector<record::LabelFacts> labels;
    for (int i = 1; i <= count; ++i) {
        labels.push_back(usual_facts());
        labels.back().number = print_number({"K7", "A", i});
    }
    return labels;
}

std::string refusal(int count, const record::LabelPaper& paper, const SheetGrid& grid, int skip) {
    try {
        (void)render_sheet(numbered(count), paper, grid, skip);
        return "none";
    } catch (const LabelRefused& refused) {
        return refused.what();
    }
}

}  // namespace

TEST_CASE("a sheet needs as many pages as its cells say") {
    const record::LabelPaper paper;
    record::LabelPaper with_small;
    with_small.for_spectacles = record::LabelSize{40, 20};
    CHECK(pages_of(1, paper, {}, 0) == 1);
    CHECK(pages_of(21, paper, {}, 0) == 1);
    CHECK(pages_of(22, paper, {}, 0) == 2);
    CHECK(pages_of(20, paper, {}, 2) == 2);
    CHECK(pages_of(11, with_small, {}, 0) == 2);
}

TEST_CASE("the same labels give the same sheet") {
    const auto labels = numbered(22);
    const std::string once = render_sheet(labels, {}, {}, 3);
    CHECK(once == render_sheet(labels, {}, {}, 3));
    CHECK(once != render_sheet(labels, {}, {}, 4));
}

TEST_CASE("a grid that cannot be is refused with the reason") {
    SheetGrid narrow;
    narrow.pitch_x_mm = 59;
    SheetGrid beyond;
    beyond.left_mm = 40;
    SheetGrid many;
    many.columns = 6;
    SheetGrid not_a_number;
    not_a_number.top_mm = std::numeric_limits<double>::quiet_NaN();
    CHECK_THAT(refusal(1, {}, narrow, 0), Catch::Contains("overlap"));
    CHECK_THAT(refusal(1, {}, beyond, 0), Catch::Contains("A4"));
    CHECK_THAT(refusal(1, {}, many, 0), Catch::Contains("1 to 5 columns"));
    CHECK_THAT(refusal(1, {}, not_a_number, 0), Catch::Contains("A4"));
    CHECK_THAT(refusal(1, {}, {}, 21), Catch::Contains("21 cells"));
    CHECK_THAT(refusal(1, {}, {}, -1), Catch::Contains("cannot be left out"));
    CHECK_THAT(refusal(0, {}, {}, 0), Catch::Contains("no label"));
    CHECK(refusal(1, {}, {}, 20) == "none");
}
