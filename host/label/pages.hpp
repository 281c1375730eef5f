// Sheets of several pages: what stands on each, and blocks that flow over them.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "host/label/path.hpp"

namespace pairmark::label {

/// Millimetres from the page's top left corner. `grey`: 0 is black, 1 white.
struct Written {
    std::string text;
    double size_pt;
    double x_mm;
    double baseline_mm;
    double grey = 0;
};

/// The shapes lie beneath the texts.
struct Page {
    Picture shapes;
    std::vector<Written> texts;
    double used_mm = 0;  // by its blocks
};

/// Something that stands on one page whole.
struct Block {
    double height_mm = 0;
    bool stays_with_next = false;  // as a heading does
    std::function<void(Page&, double top_mm)> put = nullptr;
    /// Where this block begins a page, it stands above it: the heading that the reader would look for.
    std::shared_ptr<const Block> again = nullptr;
};

/// The blocks in order from `top_mm` to `bottom_mm` of as many pages as they need. A block higher than a page
/// reaches over its end: the caller looks for that.
std::vector<Page> flowed(const std::vector<Block>& blocks, double top_mm, double bottom_mm);

}  // namespace pairmark::label
