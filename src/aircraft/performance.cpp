#include "backfield/aircraft/performance.hpp"

#include "backfield/base/contract.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::aircraft {

Performance::Performance(const Aircraft& aircraft, Mass mass)
    : aircraft_(&aircraft), mass_(mass), speed_factor_(std::sqrt(mass / aircraft.reference_mass)) {
  require(mass.si() > 0.0 && aircraft.reference_mass.si() > 0.0, "performance needs positive masses");
}

Cas Performance::scaled(Cas at_reference_mass) const { return {at_reference_mass.value * speed_factor_}; }

std::optional<Cas> Performance::v_1() const {
  const auto& v_1 = engine_out().v_1;
  return v_1 ? std::optional(scaled(*v_1)) : std::nullopt;
}

std::optional<Cas> Performance::final_speed() const {
  const auto& speed = engine_out().final_speed;
  return speed ? std::optional(scaled(*speed)) : std::nullopt;
}

Cas Performance::best_glide_unfeathered() const {
  require(aircraft_->feathering.has_value(), "an aircraft with figures of a propeller that feathers");
  return scaled(aircraft_->feathering->best_glide_unfeathered);
}

const OneEngineOut& Performance::engine_out() const {
  require(aircraft_->one_engine_out.has_value(), "an aircraft with two engines");
  return *aircraft_->one_engine_out;
}

Speed Performance::indicated(Cas cas) const {
  const auto& pairs = aircraft_->indicated_to_calibrated;
  if (pairs.size() < 2) return cas.value;
  // Outside the stated pairs the end's difference is kept: a correction is a few knots and varies slowly.
  if (cas.value <= pairs.front().second) return cas.value + (pairs.front().first - pairs.front().second);
  for (std::size_t i = 1; i < pairs.size(); ++i) {
    if (cas.value > pairs[i].second) continue;
    const double share = (cas.value - pairs[i - 1].second) / (pairs[i].second - pairs[i - 1].second);
    return pairs[i - 1].first + (pairs[i].first - pairs[i - 1].first) * share;
  }
  return cas.value + (pairs.back().first - pairs.back().second);
}

double Performance::parasite_factor_for(double ratio) const {
  // At v = 1, n = 1: (f + 1) / (2E) = 1 / ratio.
  return 2.0 * aircraft_->polar.glide_ratio / ratio - 1.0;
}

double Performance::landing_flap_parasite_factor() const {
  return parasite_factor_for(aircraft_->polar.glide_ratio_landing_flap);
}

std::optional<double> Performance::slip_parasite_factor() const {
  if (!aircraft_->limits.slip_allowed || !aircraft_->polar.glide_ratio_slip) return std::nullopt;
  return parasite_factor_for(*aircraft_->polar.glide_ratio_slip);
}

Conditions Performance::conditions(const earth::Air& air, earth::Altitude at) const {
  return {mass_, air.pressure_altitude_at(at), air.temperature_at(at), air.sigma(at)};
}

Aircraft unfeathered(const Aircraft& aircraft) {
  require(aircraft.feathering.has_value(), "an aircraft with figures of a propeller that feathers");
  Aircraft changed = aircraft;
  const Feathering& f = *aircraft.feathering;
  changed.polar.glide_ratio = f.glide_ratio_unfeathered;
  changed.speeds.best_glide = f.best_glide_unfeathered;
  // Flap and slip are stated over the feathered glide. With the propeller windmilling they lose more than that, by how
  // much nobody says; what they lose is taken unchanged, but never as less than the clean glide loses.
  changed.polar.glide_ratio_landing_flap = std::min(changed.polar.glide_ratio_landing_flap, f.glide_ratio_unfeathered);
  if (changed.polar.glide_ratio_slip) {
    changed.polar.glide_ratio_slip = std::min(*changed.polar.glide_ratio_slip, f.glide_ratio_unfeathered);
  }
  changed.feathering.reset();
  return changed;
}

}  // namespace backfield::aircraft
