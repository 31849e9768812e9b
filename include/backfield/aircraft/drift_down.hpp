#pragma once
// Coming down to where the power that is left just holds the height: rate of climb as it is at each height.
//
// Between two heights the rate is linear in height, so that height over time has a closed form there,
//
//   h(t) = hc + (h0 - hc) exp(-t / tau),   tau = (h2 - h1) / (r1 - r2)
//
// with hc where that line is zero; layers are strung together. One layer is the textbook's drift-down.
//
// source      differential equation h' = (hc - h) / tau; any text on aircraft performance
// accuracy    exact where the rate is linear between the heights given (tests/reference/drift_down_test.cpp)

#include "backfield/base/units.hpp"

#include <optional>
#include <vector>

namespace backfield::aircraft {

struct RateAtHeight {
  Length height;
  Speed rate;  ///< of climb; sinking negative
  Speed tas;   ///< at which it is flown, > 0
};

class DriftDown {
 public:
  struct State {
    Length height;
    Length distance;     ///< through the air
    bool ended = false;  ///< the lowest height given is reached before that time
  };
  /// rates       heights rising, at least two; throws std::logic_error otherwise
  explicit DriftDown(std::vector<RateAtHeight> rates);

  /// The height below `from` that is neared and never passed; none: it comes down to the lowest height given.
  /// `from` itself where it does not sink there.
  [[nodiscard]] std::optional<Length> levels_at(Length from) const;
  /// from        within the heights given, or std::logic_error
  /// t           >= 0
  [[nodiscard]] State after(Length from, Duration t) const;

 private:
  [[nodiscard]] std::size_t layer_of(Length height) const;
  std::vector<RateAtHeight> rates_;
};

}  // namespace backfield::aircraft
