#pragma once
// Straight on with the power that is left, from the failure to a height: before a way back is begun.

#include "backfield/flight/path_finder.hpp"
#include "entries.hpp"

#include <vector>

namespace backfield::flight {

/// With EntryRule::flown nothing is done for the reaction; then the speed is exchanged for the one of `glider`'s
/// straights at once and the wings are level. With EntryRule::speed_kept there is no reaction: the climb goes on.
std::vector<AirState> climb_on(const AirState& failure, const StraightOn& asked, const EntryStyle& style,
                               const Glider& glider);

}  // namespace backfield::flight
