// What the bench tells people (and scripts): one call a happening, one line of text or of JSON.
#pragma once

#include <cstdint>
#include <optional>
#include <ostream>
#include <string>

#include "host/record/label.hpp"
#include "host/record/pair.hpp"
#include "host/record/verdict.hpp"

namespace pairmark::bench {

class Announcer {
  public:
    enum class Form { text, json };
    Announcer(std::ostream& out, Form form) : out_(out), form_(form) {}

    /// A sentence of one kind: "link", "profile", "said", "refused", "trouble", "void". `word` is a short
    /// state where there is one.
    void tell(const std::string& kind, const std::string& say, const std::string& word = {});
    /// A lens was measured and is stored.
    void reading(const record::LensReading& lens);
    /// A pair has a verdict, or a question. `number`, `place` and `file` are empty where no label was made.
    void pair(const record::Pair& pair, const record::Verdict& verdict, const std::string& number,
              const std::string& place, const std::string& file);

  private:
    void line(const std::string& text);
    std::ostream& out_;
    Form form_;
};

/// The pair in one line: "  12  R −1.25 −0.50 × 085   L +2.00 DS   keep   stock   A1-A-00012-M  Box 1-12"; a
/// refused one with its reasons.
std::string pair_line(const record::Pair& pair, const record::Verdict& verdict, const std::string& number,
                      const std::string& place);

/// Outside text for a terminal: control characters and bytes that are not UTF-8 as \xHH.
std::string escaped(const std::string& text);

}  // namespace pairmark::bench
