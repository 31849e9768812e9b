#pragma once
// Take-off and landing with power against the declared distances.

#include "ground.hpp"

#include <string>
#include <vector>

namespace backfield::decision {

/// What a landing on a runway end needs to know and is not stated; empty: nothing.
std::string missing_facts(const earth::RunwayEnd& end);

/// A landing with power on one runway end, at the mass of the return.
PoweredReturn powered_return(const Case& the_case, const earth::RunwayEnd& end, const std::vector<World>& worlds);

/// The take-off of each world against TORA, TODA and ASDA.
TakeOffRoom take_off_room(const Case& the_case, const aircraft::Performance& performance,
                          const std::vector<FlownWorld>& worlds);

}  // namespace backfield::decision
