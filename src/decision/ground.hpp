#pragma once
// What happens on or over the departure runway itself: the roll, a rejected take-off, landing straight ahead.

#include "backfield/aircraft/distances.hpp"
#include "backfield/decision/answer.hpp"
#include "backfield/flight/clearance.hpp"
#include "backfield/flight/timeline.hpp"

#include <optional>
#include <string>
#include <vector>

namespace backfield::decision {

/// Below it the aeroplane has not its climbing speed yet, and no glide is looked for.
inline constexpr double kClimbing_m = 50.0 * kMetresPerFoot;

/// One world with its departure flown.
struct FlownWorld {
  World world;
  aircraft::TakeOffDistances distances;
  flight::Timeline timeline;
};

/// Heights from which the glide straight ahead stops before the runway's end, in one world.
struct LandAheadTrace {
  std::optional<Interval<Length>> heights;
  std::optional<Length> upper_with_stopway;
  std::string not_assessed;
  Limit lower = Limit::lift_off, upper = Limit::stop;  ///< of `heights`
  /// A moment from which what is left is enough, and the way down to it is not clear of the ground.
  struct NotClear {
    Length height;  ///< of the failure
    flight::Clearance clearance;
  };
  std::vector<NotClear> not_clear;
  std::vector<NotClear> passed;  ///< the same for what stands beside, nearer than the policy has it elsewhere
};
LandAheadTrace land_ahead(const Case& the_case, const aircraft::Performance& performance, const FlownWorld& flown);

/// The intersection over the worlds.
LandAhead combine(const Case& the_case, const std::vector<FlownWorld>& worlds,
                  const std::vector<LandAheadTrace>& traces);

RollOut roll_out(const Case& the_case, const aircraft::Performance& performance, const std::vector<FlownWorld>& worlds);

}  // namespace backfield::decision
