#pragma once
// Aeroplanes for checks against closed forms: invented, given by weight, wing and drag polar as textbooks do, at the
// standard density of sea level.

#include "backfield/base/units.hpp"

#include <cmath>

namespace backfield::test {

/// CD = CD0 + K CL^2.
struct ReferenceAircraft {
  double mass_kg, wing_m2, cd0, k, cl_max;

  [[nodiscard]] double glide_ratio() const { return 1.0 / (2.0 * std::sqrt(cd0 * k)); }
  [[nodiscard]] double best_glide_mps() const { return speed_at(std::sqrt(cd0 / k)); }
  [[nodiscard]] double stall_mps() const { return speed_at(cl_max); }
  /// Of level flight at a lift coefficient.
  [[nodiscard]] double speed_at(double cl) const {
    return std::sqrt(2.0 * mass_kg * kStandardGravity / (kDensity * wing_m2 * cl));
  }

 private:
  static constexpr double kDensity = 1.225;  // kg/m3, ICAO Doc 7488/3 at sea level
};

inline constexpr ReferenceAircraft kReferenceTrainer{1000, 16.2, 0.036, 0.058, 1.5};
inline constexpr ReferenceAircraft kReferenceRetractable{1500, 16.8, 0.026, 0.075, 1.4};
inline constexpr ReferenceAircraft kReferenceSailplane{500, 15, 0.012, 0.020, 1.35};

}  // namespace backfield::test
