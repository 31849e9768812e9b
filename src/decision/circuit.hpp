#pragma once
// Coming back with power.

#include "ground.hpp"

namespace backfield::decision {

/// The way back to one runway end; none where the policy says nothing of it, or no world has a path.
std::optional<Circuit> circuit_to(const Case& the_case, const std::vector<FlownWorld>& worlds,
                                  const earth::RunwayEnd& end);

/// What is planned for each urgency, from options that have their circuits and landings.
ReturnWithPower return_with_power(const Case& the_case, const std::vector<RunwayOption>& options);

}  // namespace backfield::decision
