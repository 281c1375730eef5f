#include "host/optics/from_memory_iso_21987.hpp"

#include <array>
#include <cstddef>

namespace pairmark::optics::from_memory {

namespace {

constexpr Dioptre cents(std::int64_t n) {
    return Dioptre::hundredths(n);
}

/// A row of table 1, to `up_to` and with it.
struct Row {
    Dioptre up_to;
    Dioptre meridian;
    std::array<Dioptre, 4> cylinder;  // to 0.75, 4.00, 6.00 and beyond
};
constexpr Dioptre without_limit = cents(100'000);
constexpr std::array rows{
    Row{cents(300), cents(12), {cents(9), cents(12), cents(18), cents(25)}},
    Row{cents(600), cents(12), {cents(12), cents(12), cents(18), cents(25)}},
    Row{cents(900), cents(12), {cents(12), cents(18), cents(18), cents(25)}},
    Row{cents(1200), cents(18), {cents(12), cents(18), cents(25), cents(25)}},
    Row{cents(2000), cents(25), {cents(18), cents(25), cents(25), cents(25)}},
    Row{without_limit, cents(37), {cents(25), cents(25), cents(37), cents(37)}},
};

const Row& row_of(Dioptre meridian) {
    for (const Row& row : rows) {
        if (size_of(meridian) <= row.up_to) return row;
    }
    return rows.back();
}

struct AxisBand {
    Dioptre up_to;
    double degrees;
};
constexpr Dioptre axis_defined_above = Dioptre::millionths(125'000);
constexpr std::array axis_bands{AxisBand{cents(25), 16}, AxisBand{cents(50), 9},  AxisBand{cents(75), 6},
                                AxisBand{cents(150), 4}, AxisBand{cents(250), 3}, AxisBand{without_limit, 2}};

}  // namespace

Dioptre meridian_tolerance(Dioptre strongest_meridian) {
    return row_of(strongest_meridian).meridian;
}

Dioptre cylinder_tolerance(Dioptre strongest_meridian, Dioptre cylinder) {
    constexpr std::array columns{cents(75), cents(400), cents(600)};
    std::size_t column = 0;
    while (column < columns.size() && size_of(cylinder) > columns[column])
        ++column;
    return row_of(strongest_meridian).cylinder[column];
}

std::optional<double> axis_tolerance_degrees(Dioptre cylinder) {
    const Dioptre size = size_of(cylinder);
    if (size <= axis_defined_above) return std::nullopt;
    for (const AxisBand& band : axis_bands) {
        if (size <= band.up_to) return band.degrees;
    }
    return axis_bands.back().degrees;
}

}  // namespace pairmark::optics::from_memory
