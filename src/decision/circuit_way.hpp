#pragma once
// The way back with power as a line over the ground, to be held against what stands on it.

#include "backfield/flight/clearance.hpp"
#include "backfield/flight/rendezvous.hpp"

#include <vector>

namespace backfield::decision {

/// Where such a way ends: down a path of one angle to the runway.
struct DownTo {
  earth::Position threshold;
  Length elevation;  ///< of the runway, above the datum of the heights
  Angle angle;       ///< of the final, above 0
};

/// Level at the height of `from`, and from where the angle of the final meets it down at that angle: along the last
/// turn or before it, too, where the final alone is too short. Turns are cut into chords of no more than 5 degrees,
/// straights into pieces of no more than 100 m; the wind is that at the height of `from`.
///
/// accuracy    tests/unit/circuit_test.cpp: ends on the final's track as the rendezvous claims, within 2 m
std::vector<flight::WayPoint> circuit_way(const flight::RendezvousSetup& setup, const flight::AirPose& from,
                                          const flight::RendezvousResult& way, const DownTo& down);

}  // namespace backfield::decision
