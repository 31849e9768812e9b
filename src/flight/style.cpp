#include "style.hpp"

#include <algorithm>
#include <optional>

namespace backfield::flight {

Style make_style(const PathFinderSetup& s, const Gliders& gliders) {
  const Glider& glider = gliders.clean;
  const double roll_rate = s.performance->aircraft().roll_rate_per_second.si();
  const auto turn = [&](Angle bank) {
    Cas cas = power_off_turn_speed(*s.performance, s.technique, bank, s.gust_spread);
    if (s.power && s.least_speed) cas = std::max(cas, *s.least_speed);
    return make_turn_style(glider, {bank.si(), cas.value.si(), roll_rate}, s.model.roll);
  };
  Style style;
  style.first = turn(s.bank);
  style.line_up = turn(s.technique.line_up_bank.value_or(s.bank));
  style.entry = {s.model.entry, s.technique.reaction.si(), roll_rate, s.performance->stall_clean().value.si(),
                 style.rolls() ? 0.0 : s.technique.roll_allowance.si()};
  if (gliders.unfeathered) {
    style.entry.unfeathered = &*gliders.unfeathered;
    style.entry.feathered_after = s.performance->aircraft().feathering->time.si();
    style.entry.turn_bank = style.first.held.bank;
    style.entry.turn_cas = style.first.held.cas;
  }
  return style;
}

Push push_of(const PathFinderSetup& s) {
  if (!s.power) return {};
  return [&s](double height_m) {
    const bool local = s.model.density == earth::DensityRule::local;
    const auto conditions = s.performance->conditions(s.environment.air.with(s.model.density),
                                                      s.datum + earth::Height{metres(local ? height_m : 0.0)});
    const auto left = aircraft::thrust_left(*s.performance, conditions, *s.power);
    if (!left.usable()) return 0.0;
    return s.performance->aircraft().is_jet() ? left.value.thrust : left.value.power_mps;
  };
}

Gliders make_gliders(const PathFinderSetup& s, const Medium& medium) {
  const aircraft::Performance& p = *s.performance;
  const aircraft::Polar& polar = p.aircraft().polar;
  const double cas = p.best_glide().value.si();
  const double clean = polar.glide_ratio * s.technique.glide_factor;
  Gliders g{Glider(medium, cas, clean, s.model), {}, {}, p.aircraft().flap_time.si(), {}, {}};
  if (s.power) {
    g.unpowered = g.clean;
    // The file's rates of climb are for its own polar; the policy's factor is on the glide.
    const double level = s.least_speed ? std::max(cas, s.least_speed->value.si()) : cas;
    g.clean = Glider(medium, cas, polar.glide_ratio, s.model)
                  .powered(p.aircraft().is_jet() ? Propulsion::jet : Propulsion::propeller, level);
  }
  if (const auto& feathering = p.aircraft().feathering; feathering && !s.power) {
    g.unfeathered.emplace(medium, p.best_glide_unfeathered().value.si(),
                          feathering->glide_ratio_unfeathered * s.technique.glide_factor, s.model);
  }
  // To an aeroplane that glides worse than its flap would have it, flap is no way to lose height.
  if (!s.technique.landing_flap_on_final || polar.glide_ratio_landing_flap >= clean) return g;
  g.flap.emplace(medium, cas, polar.glide_ratio, s.model, p.landing_flap_parasite_factor());
  if (!s.technique.slip_on_final) return g;
  if (const auto factor = p.slip_parasite_factor()) g.slip.emplace(medium, cas, polar.glide_ratio, s.model, *factor);
  return g;
}

}  // namespace backfield::flight
