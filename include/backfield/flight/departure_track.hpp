#pragma once
// Where the departure goes: straight legs and turns.

#include "backfield/earth/altitude.hpp"
#include "backfield/earth/direction.hpp"

#include <vector>

namespace backfield::flight {

/// One leg after the runway's own track: at `from_height` above the departure elevation, turn to `track` at `bank`.
struct DepartureLeg {
  earth::Height from_height;   ///< >= 0, rising from leg to leg
  earth::TrueDirection track;  ///< ground track held after the turn
  Angle bank;                  ///< of the turn, > 0
  bool turn_right = true;      ///< which way round
};

struct DepartureTrack {
  std::vector<DepartureLeg> legs;  ///< empty: straight on along the runway's track
};

enum class ClimbSpeed { v_y, v_x };

}  // namespace backfield::flight
