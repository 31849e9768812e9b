#pragma once
// Straight glides as sums over height, so that one from anywhere down to anywhere is a difference of two readings.
//
// Through air whose motion changes with height the glide's angle depends on the heading, nearly like its cosine to the
// shear. Each sum is therefore kept as its first five Fourier coefficients over the heading; what is left out is a
// matter of decimetres (tests/laws/screen_test.cpp holds the sum of all such).

#include "glider.hpp"

#include <array>
#include <vector>

namespace backfield::flight {

class StraightTable {
 public:
  explicit StraightTable(const Glider& glider);

  /// One heading, made ready for reading.
  struct Heading {
    double s, c;
    std::array<double, 5> basis;
  };
  [[nodiscard]] Heading heading(double sin_psi, double cos_psi) const {
    const double s = sin_psi * zero_c_ - cos_psi * zero_s_;
    const double c = cos_psi * zero_c_ + sin_psi * zero_s_;
    return {sin_psi, cos_psi, {1.0, s, c, 2.0 * s * c, c * c - s * s}};
  }
  /// Over the ground (m), and time (s).
  struct Amount {
    double east, north, time;
  };
  struct Reading {
    Amount covered;    ///< between the height and the bottom of the table
    Amount per_metre;  ///< of height, there
  };
  [[nodiscard]] Reading read(double height, const Heading& heading) const {
    const Node& n = nodes_[grid_.cell(height)];
    const double d = height - n.h;
    const auto sum = [&](const Sum& s) {
      double at = s.at[0];
      double slope = s.slope[0];
      if (by_heading_) {
        for (std::size_t k = 1; k < kTerms; ++k) {
          at += s.at[k] * heading.basis[k];
          slope += s.slope[k] * heading.basis[k];
        }
      }
      return std::array<double, 2>{at + slope * d, slope};
    };
    const auto air = sum(n.air);
    const auto east = sum(n.east);
    const auto north = sum(n.north);
    const auto time = sum(n.time);
    return {{air[0] * heading.s + east[0], air[0] * heading.c + north[0], time[0]},
            {air[1] * heading.s + east[1], air[1] * heading.c + north[1], time[1]}};
  }

 private:
  static constexpr std::size_t kTerms = 5;
  struct Sum {
    std::array<double, kTerms> at{}, slope{};
  };
  struct Node {
    double h = 0.0;
    Sum air, east, north, time;
  };

  HeightGrid grid_;
  std::vector<Node> nodes_;
  double zero_s_ = 0.0, zero_c_ = 1.0;  ///< heading the coefficients count from: the way the wind blows
  bool by_heading_ = false;             ///< where shear does not enter, every heading glides alike
};

}  // namespace backfield::flight
