// The built program, run as a person runs it: words in, words and an exit status out.
#pragma once

#include <sys/wait.h>

#include <cstdlib>
#include <sstream>
#include <string>
#include <vector>

#include "tests/store/fresh_folder.hpp"
#include "tests/trees.hpp"

namespace pairmark::tests {

using Words = std::vector<std::string>;

struct Run {
    int status = -1;
    std::string out;
    std::string err;
};

inline Words lines_of(const std::string& text) {
    Words lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);)
        lines.push_back(line);
    return lines;
}

/// Runs `pairmark WORDS...` with `input` on its standard input; a program that never ends is stopped after
/// 60 s and has the status 124.
inline Run call(const Words& words, const std::string& input = {}) {
    const FreshFolder folder;
    write_file(folder / "in", input);
    std::string command = "timeout 60 '" + tests::in_build_tree("pairmark") + "'";
    for (const std::string& word : words) {
        command += " '";
        for (const char c : word)
            command += c == '\'' ? std::string("'\\''") : std::string(1, c);
        command += "'";
    }
    command += " <'" + (folder / "in").string() + "' >'" + (folder / "out").string() + "' 2>'" +
               (folder / "err").string() + "'";
    const int status = std::system(command.c_str());  // NOLINT(cert-env33-c): words of the tests' own
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, bytes_of(folder / "out"), bytes_of(folder / "err")};
}

}  // namespace pairmark::tests
