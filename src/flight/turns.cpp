#include "turns.hpp"

#include <algorithm>

namespace backfield::flight {

TurnStyle make_turn_style(const Glider& glider, const Turning& turning, RollRule rule) {
  TurnStyle style;
  style.held = glider.hold(turning.bank, turning.cas);
  style.rolls = rule == RollRule::rate;
  style.roll_rate = turning.roll_rate;
  if (style.rolls) {
    const Attitude level{0.0, glider.level_cas()};
    const Attitude banked{turning.bank, turning.cas};
    style.in = glider.make_ramp(level, banked, turning.roll_rate);
    style.out = reversed(style.in);
  }
  return style;
}

TurnPlan plan_turn(const Glider& glider, const TurnStyle& style, double change, double height) {
  TurnPlan plan;
  plan.held = style.held;
  plan.change = change;
  plan.hold = change;
  if (!style.rolls) return plan;
  plan.rolls = true;
  const double gained = glider.ramp_gain(style.in, height) + glider.ramp_gain(style.out, height);
  if (change >= gained) {
    plan.in = style.in;
    plan.out = style.out;
    plan.hold = change - gained;
    return plan;
  }
  // Rolling in at rate p to a peak bank b and out again turns by 2 g/(V p) ln(1/cos(b)).
  const double V = glider.level_cas() * glider.medium().at(height).tas_per_cas;
  const double peak = std::acos(std::exp(-change * style.roll_rate * V / (2.0 * kStandardGravity)));
  const double share = peak / style.held.bank;
  const double cas = glider.level_cas() + (style.held.cas - glider.level_cas()) * share;
  plan.in = glider.make_ramp({0.0, glider.level_cas()}, {peak, cas}, style.roll_rate);
  plan.out = reversed(plan.in);
  plan.hold = 0.0;
  return plan;
}

void append_hold(std::vector<Segment>* segments, const HeldBank& held, int sense, double duration) {
  if (segments == nullptr || duration <= 0.0) return;
  Segment s;
  s.hold = Hold::bank;
  s.duration_s = duration;
  s.bank_from_rad = s.bank_to_rad = sense * held.bank;
  s.cas_from_mps = s.cas_to_mps = held.cas;
  segments->push_back(s);
}

void append_ramp(std::vector<Segment>* segments, const Ramp& ramp, int sense) {
  if (segments == nullptr || ramp.duration <= 0.0) return;
  Segment s;
  s.hold = Hold::bank;
  s.duration_s = ramp.duration;
  s.bank_from_rad = sense * ramp.bank_from;
  s.bank_to_rad = sense * ramp.bank_to;
  s.cas_from_mps = ramp.cas_from;
  s.cas_to_mps = ramp.cas_to;
  segments->push_back(s);
}

void fly_turn(const Glider& glider, const TurnPlan& plan, int sense, Point& p, std::vector<Segment>* segments) {
  const double begin = p.psi;
  if (plan.rolls) {
    glider.roll(p, plan.in, sense);
    append_ramp(segments, plan.in, sense);
  }
  if (plan.hold > 0.0) {
    const double t = p.t;
    double hold = plan.hold;
    if (plan.rolls) {
      // The gains were estimated at one height; what rolling in really gave is known now.
      hold = std::max(0.0, plan.change - std::abs(p.psi - begin) - glider.ramp_gain(plan.out, p.h));
    }
    glider.turn(p, plan.held, sense * hold);
    append_hold(segments, plan.held, sense, p.t - t);
  }
  if (plan.rolls) {
    glider.roll(p, plan.out, sense);
    append_ramp(segments, plan.out, sense);
  }
}

}  // namespace backfield::flight
