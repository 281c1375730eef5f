// Where the files of the source tree and of the build tree lie, for the tests that use them.
#pragma once

#include <string>

namespace pairmark::tests {

/// The path of `file`, given from the project's root. Not inline on purpose: with the root as a literal in
/// every test, GCC 12 reasoned about its length, and its false warnings (errors here) depended on where the
/// project lay.
std::string in_source_tree(const std::string& file);

/// The path of a built `file`, given from the root of the build that these tests belong to.
std::string in_build_tree(const std::string& file);

}  // namespace pairmark::tests
