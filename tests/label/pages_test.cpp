// Blocks that flow over pages.
#include "host/label/pages.hpp"

#include <catch2/catch.hpp>

namespace {

using namespace pairmark::label;

Block block(const std::string& name, double height, bool stays_with_next = false) {
    return {height, stays_with_next, [name](Page& page, double top) {
                page.texts.push_back({name, 9, 0, top});
            }};
}

std::string story(const std::vector<Page>& pages) {
    std::string text;
    for (const Page& page : pages) {
        text += "|";
        for (const Written& one : page.texts)
            text += " " + one.text + "@" + std::to_string(static_cast<int>(one.baseline_mm));
    }
    return text;
}

}  // namespace

TEST_CASE("blocks stand beneath each other, and on the next page where they do not fit whole") {
    const auto pages = flowed({block("a", 40), block("b", 50), block("c", 20), block("d", 5)}, 10, 110);
    CHECK(story(pages) == "| a@10 b@50| c@10 d@30");
    CHECK(pages[0].used_mm == 90);
    CHECK(pages[1].used_mm == 25);
    CHECK(story(flowed({block("a", 40), block("b", 60)}, 10, 110)) == "| a@10 b@50");
}

TEST_CASE("a heading goes to the next page with what stands beneath it, and so do two") {
    CHECK(story(flowed({block("a", 80), block("heading", 10, true), block("b", 20)}, 0, 100)) ==
          "| a@0| heading@0 b@10");
    CHECK(story(flowed({block("a", 70), block("one", 10, true), block("two", 10, true), block("b", 20)}, 0,
                       100)) == "| a@0| one@0 two@10 b@20");
}

TEST_CASE("what begins a page stands beneath its heading once more, and nowhere else") {
    const auto heading = std::make_shared<const Block>(block("again", 10));
    std::vector<Block> blocks{block("a", 40), block("b", 40), block("c", 40)};
    blocks[1].again = blocks[2].again = heading;
    CHECK(story(flowed(blocks, 0, 100)) == "| a@0 b@40| again@0 c@10");
}

TEST_CASE("a block higher than a page gets a page, which says how much it uses") {
    const auto pages = flowed({block("a", 10), block("b", 300)}, 0, 100);
    CHECK(story(pages) == "| a@0| b@0");
    CHECK(pages[1].used_mm == 300);
}
