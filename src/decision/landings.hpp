#pragma once
// What landing on each runway end needs, in every world.

#include "backfield/aircraft/distances.hpp"
#include "backfield/decision/assess.hpp"

namespace backfield::decision {

/// Fills `landings`, or `not_assessed` with the reason.
RunwayOption make_option(const Case& the_case, const aircraft::Performance& performance, const earth::RunwayEnd& end,
                         const std::vector<World>& worlds);

}  // namespace backfield::decision
