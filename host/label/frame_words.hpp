// The facts of frame and wearer in the words of the label.
#pragma once

#include <string>
#include <vector>

#include "host/record/label.hpp"

namespace pairmark::label {

/// "52□18 140" as the boxing system writes it (ISO 8624), "size M", "child", "women's", "cord rim", "single
/// vision"; only what the facts hold, in this order.
std::vector<std::string> frame_words(const record::LabelFacts& facts);

/// Nullopt if `size` is S, M, L or three numbers like "52-18-140": boxed width 20 to 80, distance between
/// lenses 5 to 40, side 60 to 180 mm; else what was expected.
std::optional<std::string> fault_in_frame_size(const std::string& size);

}  // namespace pairmark::label
