#pragma once
// Numbers with their units, for the sentences the decision gives as reasons.

#include "backfield/base/units.hpp"

#include <cmath>
#include <cstdlib>
#include <string>

namespace backfield::decision {

inline std::string whole(double v) { return std::to_string(std::lround(v)); }
inline std::string in_words_ft(Length v) { return whole(in_feet(v)) + " ft"; }
inline std::string in_words_m(Length v) { return whole(in_metres(v)) + " m"; }
inline std::string in_words_kt(Speed v) { return whole(in_knots(v)) + " kt"; }
inline std::string tenths(double v) {
  const long n = std::lround(v * 10.0);
  return std::to_string(n / 10) + "." + std::to_string(std::abs(n % 10));
}
/// Where a whole knot would hide the difference.
inline std::string tenths_kt(Speed v) { return tenths(in_knots(v)) + " kt"; }
inline std::string in_words_s(Duration v) { return whole(in_seconds(v)) + " s"; }

}  // namespace backfield::decision
