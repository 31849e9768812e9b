#pragma once
// Which marks a take-off roll passes, and what they mean.

#include "backfield/decision/answer.hpp"
#include "backfield/decision/case.hpp"

namespace backfield::decision {

/// roll        available, roll_worst, last_stop and stop_fits_to_lift_off are filled
MarksOnRoll marks_on_roll(const Departure& departure, const RollOut& roll);

}  // namespace backfield::decision
