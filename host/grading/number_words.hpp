// Numbers in reasons and sentences.
#pragma once

#include <string>

namespace pairmark::grading {

/// Two decimals, up to four where they say something, and more only where the value would else seem to equal
/// `limit`. A point, an ASCII minus, never "-0.00".
std::string decimal(double value, double limit);

}  // namespace pairmark::grading
