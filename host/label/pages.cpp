#include "host/label/pages.hpp"

namespace pairmark::label {

std::vector<Page> flowed(const std::vector<Block>& blocks, double top_mm, double bottom_mm) {
    std::vector<Page> pages(1);
    double at = top_mm;
    for (std::size_t i = 0; i < blocks.size(); ++i) {
        double needed = blocks[i].height_mm;
        for (std::size_t next = i; next + 1 < blocks.size() && blocks[next].stays_with_next; ++next)
            needed += blocks[next + 1].height_mm;
        if (at > top_mm && at + needed > bottom_mm) {
            pages.emplace_back();
            at = top_mm;
            if (const Block* heading = blocks[i].again.get()) {
                heading->put(pages.back(), at);
                at += heading->height_mm;
            }
        }
        if (blocks[i].put) blocks[i].put(pages.back(), at);
        at += blocks[i].height_mm;
        pages.back().used_mm = at - top_mm;
    }
    return pages;
}

}  // namespace pairmark::label
