// The sheet of criteria that volunteers hang on the wall: one or two A4 pages, from the rules in force.
#pragma once

#include <stdexcept>
#include <string>

#include "host/record/criteria.hpp"

namespace pairmark::label {

/// The sheet was not made. `what()` is the whole sentence: what is too long or cannot be drawn, and the next
/// step.
struct CriteriaRefused : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// The sheet as PDF bytes, font embedded; the same bytes for the same criteria. Letters are as large as two
/// pages allow, from 12 down to 9 points; the foot's full SHA-256 alone is smaller. Throws CriteriaRefused
/// for text that the font cannot draw, and where two pages do not hold everything: nothing is ever cut or
/// left out. Throws std::runtime_error if the PDF library fails.
std::string render_criteria(const record::Criteria& criteria);

}  // namespace pairmark::label
