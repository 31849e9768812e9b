#pragma once
// The part of a policy that concerns the ground: rolls, slopes, tailwind.

#include "backfield/base/units.hpp"

namespace backfield::aircraft {

struct StopRule {
  double landing_roll_factor = 0.0;  ///< on the landing roll, >= 1 in any sane policy; set by the policy file
  double slope_factor_per_percent =
      0.0;                             ///< rolls grow by this share per 1 % of adverse slope; no credit the other way
  Speed tailwind_not_briefed_above{};  ///< a landing with more tailwind is computed, never briefed
  Duration rejected_take_off_delay{};  ///< from the event on the roll to full braking
};

}  // namespace backfield::aircraft
