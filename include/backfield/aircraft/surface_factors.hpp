#pragma once
// Factors on a distance by the surface of the runway, as an aircraft file notes them.

#include "backfield/aircraft/figure.hpp"
#include "backfield/earth/runway.hpp"

#include <map>

namespace backfield::aircraft {

struct SurfaceFactors {
  std::map<earth::Surface, double> of;  ///< times the distance on a paved, dry runway, 0.8..5
  Source source;

  /// The factor of `surface`; null where the file has none: what is not noted is not assessed.
  [[nodiscard]] const double* find(earth::Surface surface) const {
    const auto found = of.find(surface);
    return found == of.end() ? nullptr : &found->second;
  }
};

}  // namespace backfield::aircraft
