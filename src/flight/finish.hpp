#pragma once
// From what was seen in the tables to what is claimed: peaks are climbed, the best is flown, and where there is height
// to spare and nothing lands, room is made or the first turn is delayed.

#include "found.hpp"

namespace backfield::flight {

/// Climbs whatever comes near the best of the side and flies the best.
void refine(const Question& question, Found& found, Best& side);

/// Refines where inches may decide, and leaves the side with a flown path that lands, or with none.
void finish(const Question& question, Found& found, Best& side);

}  // namespace backfield::flight
