#pragma once
// Coming back with power.

#include "ground.hpp"

namespace backfield::decision {

/// The way back to one runway end; none where the policy says nothing of it, or a world has no path. With something on
/// the ground it is, in every world and to the side it names, a path that is clear of that; where neither side has one
/// the option says what it is not clear of.
void set_circuit(const Case& the_case, const std::vector<FlownWorld>& worlds, RunwayOption& option);

/// What is planned for each urgency, from options that have their circuits and landings.
ReturnWithPower return_with_power(const Case& the_case, const std::vector<RunwayOption>& options);

}  // namespace backfield::decision
