// `pairmark label`: one label from typed powers.
#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"

using namespace pairmark::tests;

namespace {

/// Asks for a label with these words beside two plain lenses; the words win where both say something.
Run make_label(const FreshFolder& folder, Words words, const std::string& right = "-1.25 -0.50 85",
               const std::string& left = "+2.00") {
    Words all{"label", "--right", right, "--left", left, "--out", (folder / "label.pdf").string()};
    all.insert(all.end(), words.begin(), words.end());
    return call(all);
}

}  // namespace

TEST_CASE("A label from typed powers is a PDF") {
    for (const Words& words :
         {Words{}, Words{"--centres", "62"}, Words{"--additions", "2.00 2.25", "--kind", "segment"},
          Words{"--single-vision", "--frame-size", "52-18-140", "--wearer", "adult"},
          Words{"--style", "women", "--rim", "cord", "--extra", "Saal 4", "--size", "80x50", "--dpi", "300"},
          Words{"--additions", "2.00 2.25", "--kind", "progressive", "--addition-by", "back"},
          Words{"--date", "2026-02-28", "--place", "Box 7-12", "--programme", "Lesesaal"}}) {
        CAPTURE(words);
        const FreshFolder folder;
        const Run run = make_label(folder, words);
        CHECK(run.status == 0);
        CHECK(run.err.empty());
        const std::string document = bytes_of(folder / "label.pdf");
        CHECK(document.rfind("%PDF-", 0) == 0);
        CHECK_THAT(document, Catch::Contains("%%EOF"));
    }
}

TEST_CASE("Either cylinder form, and a true minus sign, make the same label") {
    const FreshFolder minus;
    const FreshFolder plus;
    const FreshFolder sign;
    const Words day{"--date", "2026-11-24"};
    REQUIRE(make_label(minus, day).status == 0);
    REQUIRE(make_label(plus, day, "-1.75 +0.50 175").status == 0);
    REQUIRE(make_label(sign, day, "\u22121.25 \u22120.50 85").status == 0);
    CHECK(bytes_of(minus / "label.pdf") == bytes_of(plus / "label.pdf"));
    CHECK(bytes_of(minus / "label.pdf") == bytes_of(sign / "label.pdf"));
}

TEST_CASE("What makes no label is refused with status 2 and a reason, and no file is written") {
    struct Row {
        Words words;
        const char* right;
        const char* says;
    };
    const char* const plain = "-1.25 -0.50 85";
    for (const Row& row : {
             Row{{}, "nonsense", "sphere cylinder axis"},
             Row{{}, "", "sphere cylinder axis"},
             Row{{}, "-1.25 -0.50", "sphere cylinder axis"},
             Row{{}, "-1.25 -0.50 85 3", "sphere cylinder axis"},
             Row{{}, "nan", "sphere cylinder axis"},
             Row{{}, "30.25", "within 30 D"},
             Row{{}, "-1 -12.25 85", "within 12 D"},
             Row{{}, "-1 -0.50 181", "axis"},
             Row{{}, "-1 -0.50 -5", "axis"},
             Row{{"--additions", "2.00"}, plain, "right and the left addition"},
             Row{{"--additions", "2.00 x"}, plain, "right and the left addition"},
             Row{{"--additions", "2.00 9.00"}, plain, "right and the left addition"},
             Row{{"--additions", "2.00 2.00"}, plain, "kind"},
             Row{{"--additions", "2.00 2.00", "--kind", "bi"}, plain, "kind"},
             Row{{"--additions", "2.10 2.00", "--kind", "segment"}, plain, "quarter"},
             Row{{"--centres", "5"}, plain, "10 to 120 mm"},
             Row{{"--centres", "far"}, plain, "centres"},
             Row{{"--number", "A1-A-00001-?"}, plain, "number"},
             Row{{"--date", "2026-02-30"}, plain, "date"},
             Row{{"--place", ""}, plain, "place"},
             Row{{"--frame-size", "52-18"}, plain, "as in 52-18-140"},
             Row{{"--frame-size", "52-4-140"}, plain, "from 5 to 40, not 4"},
             Row{{"--wearer", "dog"}, plain, "wearer"},
             Row{{"--style", "womn"}, plain, "did you mean \"women\"?"},
             Row{{"--rim", "half"}, plain, "full, cord, none"},
             Row{{"--addition-by", "back"}, plain, "addition"},
             Row{{"--additions", "2.00 2.00", "--kind", "segment", "--addition-by", "side"},
                 plain,
                 "front, back"},
             Row{{"--additions", "2.00 2.00", "--kind", "segment", "--single-vision"},
                 plain,
                 "single vision"},
             Row{{"--extra", "眼镜"}, plain, "U+773C"},
             Row{{"--size", "30x12"}, plain, "from 40x20 to 100x60"},
             Row{{"--size", "60"}, plain, "as in \"60x40\""},
             Row{{"--dpi", "600"}, plain, "dpi"},
             Row{{"--spectacles", "20x12"}, plain, "from 30x12 to 100x60"},
             Row{{"--programme", "眼镜"}, plain, "U+773C"},
             Row{{"--place", std::string(300, 'W')}, plain, "place"},
         }) {
        CAPTURE(row.words, row.right);
        const FreshFolder folder;
        const Run run = make_label(folder, row.words, row.right);
        CHECK(run.status == 2);
        CHECK_THAT(run.err, Catch::Contains(row.says));
        CHECK_FALSE(std::filesystem::exists(folder / "label.pdf"));
    }
}

TEST_CASE("A label for the spectacles is a second page, and a size is another document") {
    const FreshFolder one;
    const FreshFolder two;
    const FreshFolder wide;
    const Words day{"--date", "2026-11-24"};
    REQUIRE(make_label(one, day).status == 0);
    REQUIRE(make_label(two, {"--date", "2026-11-24", "--spectacles", "40x20"}).status == 0);
    REQUIRE(make_label(wide, {"--date", "2026-11-24", "--size", "80x50"}).status == 0);
    CHECK_THAT(bytes_of(one / "label.pdf"), Catch::Contains("/Count 1"));
    CHECK_THAT(bytes_of(two / "label.pdf"), Catch::Contains("/Count 2"));
    CHECK(bytes_of(wide / "label.pdf") != bytes_of(one / "label.pdf"));
}

TEST_CASE("A file that cannot be written is named, with status 1") {
    const Run run = call({"label", "--right", "-1", "--left", "-1", "--out", "/nowhere/label.pdf"});
    CHECK(run.status == 1);
    CHECK_THAT(run.err, Catch::Contains("/nowhere/label.pdf") && Catch::Contains("permissions"));
}
