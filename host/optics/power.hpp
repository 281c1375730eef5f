// Dioptric powers, held exactly.
#pragma once

#include <compare>
#include <cstdint>

namespace pairmark::optics {

/// A power in dioptres (or prism dioptres), held as a whole number of millionths, so that sums of instrument
/// steps (0.25, 1/8, 1/16, 0.01 D) are exact and a tie is a tie.
class Dioptre {
  public:
    constexpr Dioptre() = default;
    static constexpr Dioptre millionths(std::int64_t n) { return Dioptre(n); }
    static constexpr Dioptre hundredths(std::int64_t n) { return Dioptre(n * 10'000); }
    /// The nearest millionth. Precondition: finite and within ±1000 D.
    static Dioptre nearest(double value);

    constexpr std::int64_t in_millionths() const { return millionths_; }
    constexpr double value() const { return static_cast<double>(millionths_) / 1e6; }

    constexpr Dioptre operator-() const { return Dioptre(-millionths_); }
    friend constexpr Dioptre operator+(Dioptre a, Dioptre b) {
        return Dioptre(a.millionths_ + b.millionths_);
    }
    friend constexpr Dioptre operator-(Dioptre a, Dioptre b) {
        return Dioptre(a.millionths_ - b.millionths_);
    }
    friend constexpr auto operator<=>(Dioptre, Dioptre) = default;
    friend constexpr bool operator==(Dioptre, Dioptre) = default;

  private:
    explicit constexpr Dioptre(std::int64_t n) : millionths_(n) {}
    std::int64_t millionths_ = 0;
};

/// The power without its sign.
constexpr Dioptre size_of(Dioptre power) {
    return power < Dioptre{} ? -power : power;
}

/// Back vertex power of one lens: sphere, cylinder (plus or minus form) and cylinder axis in degrees by ISO
/// 8429 (0 < axis <= 180). Without a cylinder the axis has no meaning and is 0.
struct Power {
    Dioptre sphere;
    Dioptre cylinder;
    double axis = 0;

    friend bool operator==(const Power&, const Power&) = default;
};

}  // namespace pairmark::optics
