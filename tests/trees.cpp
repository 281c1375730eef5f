#include "tests/trees.hpp"

namespace pairmark::tests {

std::string in_source_tree(const std::string& file) {
    std::string path = PAIRMARK_SOURCE_TREE;
    path += '/';
    path += file;
    return path;
}

std::string in_build_tree(const std::string& file) {
    std::string path = PAIRMARK_BUILD_TREE;
    path += '/';
    path += file;
    return path;
}

}  // namespace pairmark::tests
