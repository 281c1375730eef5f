// The facts of frame and wearer in the words of the label.
#pragma once

#include <string>
#include <vector>

#include "host/record/label.hpp"

namespace pairmark::label {

/// "52□18 140" as the boxing system writes it (ISO 8624), "size M", "child", "women's", "cord rim", "single
/// vision"; only what the facts hold, in this order.
std::vector<std::string> frame_words(const record::LabelFacts& facts);

}  // namespace pairmark::label
