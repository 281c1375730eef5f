// Comparing with a margin and nothing else.
#pragma once

#include <catch2/catch.hpp>

namespace pairmark::tests {

/// Equal to `value` within `margin`. Catch's own Approx takes, beside any margin, a difference of about a
/// hundred-thousandth of the value for none.
inline Catch::Detail::Approx near(double value, double margin) {
    return Catch::Detail::Approx(value).epsilon(0).margin(margin);
}

}  // namespace pairmark::tests
