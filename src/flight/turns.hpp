#pragma once
// Turns as the solver flies them: at once, or with rolling in and out.

#include "backfield/flight/path.hpp"
#include "glider.hpp"

#include <vector>

namespace backfield::flight {

/// One bank of the technique with the speeds around it.
struct TurnStyle {
  HeldBank held;
  Ramp in, out;  ///< between wings level at best glide speed and the bank; empty with RollRule::allowance
  bool rolls = false;
  double roll_rate = 0.0;
};

struct Turning {
  double bank = 0.0;       ///< magnitude
  double cas = 0.0;        ///< flown in it
  double roll_rate = 0.0;  ///< rad/s
};
TurnStyle make_turn_style(const Glider& glider, const Turning& turning, RollRule rule);

/// A turn by a total heading change, from wings level to wings level.
struct TurnPlan {
  Ramp in, out;
  HeldBank held;
  double change = 0.0;  ///< total, >= 0
  double hold = 0.0;    ///< of it at the held bank, >= 0; an estimate when rolling
  bool rolls = false;
};

/// A small turn never reaches the full bank: it peaks where rolling in and out alone make the change.
/// change      total heading change, >= 0;  height  where it begins
TurnPlan plan_turn(const Glider& glider, const TurnStyle& style, double change, double height);

/// Flies the plan from `p` in direction `sense`; appends its segments when asked.
void fly_turn(const Glider& glider, const TurnPlan& plan, int sense, Point& p, std::vector<Segment>* segments);

void append_hold(std::vector<Segment>* segments, const HeldBank& held, int sense, double duration);
void append_ramp(std::vector<Segment>* segments, const Ramp& ramp, int sense);

}  // namespace backfield::flight
