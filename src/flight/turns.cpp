#include "turns.hpp"

#include <algorithm>

namespace backfield::flight {
namespace {

HeldBank hold_bank(double bank, double cas) {
  const double t = std::tan(bank);
  return {bank, t, 1.0 + t * t, cas};
}

}  // namespace

TurnStyle make_turn_style(const Glider& glider, double bank, double cas, double roll_rate, RollRule rule) {
  TurnStyle style;
  style.held = hold_bank(bank, cas);
  style.rolls = rule == RollRule::rate;
  style.roll_rate = roll_rate;
  if (style.rolls) {
    style.in = glider.make_ramp(0.0, bank, glider.best_glide_cas(), cas, roll_rate);
    style.out = glider.make_ramp(bank, 0.0, cas, glider.best_glide_cas(), roll_rate);
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
  const double V = glider.best_glide_cas() * glider.medium().at(height).tas_per_cas;
  const double peak = std::acos(std::exp(-change * style.roll_rate * V / (2.0 * kStandardGravity)));
  const double share = peak / style.held.bank;
  const double cas = glider.best_glide_cas() + (style.held.cas - glider.best_glide_cas()) * share;
  plan.in = glider.make_ramp(0.0, peak, glider.best_glide_cas(), cas, style.roll_rate);
  plan.out = glider.make_ramp(peak, 0.0, cas, glider.best_glide_cas(), style.roll_rate);
  plan.hold = 0.0;
  return plan;
}

void append_bank(std::vector<Segment>* segments, int sense, double from, double to, double cas_from, double cas_to,
                 double duration) {
  if (segments == nullptr || duration <= 0.0) return;
  Segment s;
  s.hold = Hold::bank;
  s.duration_s = duration;
  s.bank_from_rad = sense * from;
  s.bank_to_rad = sense * to;
  s.cas_from_mps = cas_from;
  s.cas_to_mps = cas_to;
  segments->push_back(s);
}

void fly_turn(const Glider& glider, const TurnPlan& plan, int sense, Point& p, std::vector<Segment>* segments) {
  const double begin = p.psi;
  if (plan.rolls) {
    glider.roll(p, plan.in, sense);
    append_bank(segments, sense, plan.in.bank_from, plan.in.bank_to, plan.in.cas_from, plan.in.cas_to,
                plan.in.duration);
  }
  if (plan.hold > 0.0) {
    const double t = p.t;
    double hold = plan.hold;
    if (plan.rolls) {
      // The gains were estimated at one height; what rolling in really gave is known now.
      hold = std::max(0.0, plan.change - std::abs(p.psi - begin) - glider.ramp_gain(plan.out, p.h));
    }
    glider.turn(p, plan.held, sense * hold);
    append_bank(segments, sense, plan.held.bank, plan.held.bank, plan.held.cas, plan.held.cas, p.t - t);
  }
  if (plan.rolls) {
    glider.roll(p, plan.out, sense);
    append_bank(segments, sense, plan.out.bank_from, plan.out.bank_to, plan.out.cas_from, plan.out.cas_to,
                plan.out.duration);
  }
}

}  // namespace backfield::flight
