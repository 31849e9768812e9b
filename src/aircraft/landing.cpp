#include "backfield/aircraft/landing.hpp"

#include "backfield/aircraft/distances.hpp"

#include <algorithm>

namespace backfield::aircraft {

Lookup<PoweredDistance> powered_landing_distance(const Performance& performance, const Conditions& conditions,
                                                 const RollSurface& runway, const LandingCharge& charge,
                                                 const StopRule& rule, Speed over_v_ref) {
  const auto outside = [](std::string axis, std::string end) {
    return Lookup<PoweredDistance>{{}, Coverage::outside, std::move(axis), std::move(end)};
  };
  const std::optional<LandingFrom50ft>& book = performance.aircraft().landing_from_50ft;
  if (!book) return outside("landing distance from 50 ft", "not in the aircraft file");

  PoweredDistance result;
  const double* noted = book->surface_factor.find(runway.surface);
  const auto ruled = charge.surface.find(runway.surface);
  if (noted) {
    result.surface_factor = *noted;
    result.surface_source = "aircraft file";
  } else if (ruled != charge.surface.end()) {
    result.surface_factor = ruled->second.factor;
    result.surface_source = ruled->second.source;
  } else {
    return outside("surface of the landing runway", "neither aircraft file nor policy has a factor for it");
  }

  const Lookup<double> table = book->distance.at(conditions);
  if (!table.usable()) return outside(table.axis, table.end);
  const double V = earth::to_tas(performance.v_ref(), conditions.sigma).value.si();
  const double along = runway.headwind.si();
  const double counted = along * (along > 0.0 ? charge.headwind_credit : charge.tailwind_charge);
  const double flown = earth::to_tas(Cas{performance.v_ref().value + over_v_ref}, conditions.sigma).value.si();
  const double slope_factor = adverse_slope_factor(-runway.slope, rule);
  const auto by_speed = [&](double airspeed) {
    const double share = std::max(0.0, (airspeed - counted) / V);
    return table.value * share * share * slope_factor;
  };
  const double E = performance.aircraft().polar.glide_ratio_landing_flap;
  const double left_of_glide = 1.0 - E * std::max(0.0, -runway.slope);
  if (flown > V && left_of_glide <= 0.0) {
    return outside("slope of the landing runway",
                   "as steep as the glide: what is carried for gusts does not float off");
  }
  const double extra = flown - V;
  const double still_air = E * extra * std::max(0.0, 0.5 * (flown + V) - counted) / kStandardGravity;
  const double float_off = flown > V ? still_air * std::max(slope_factor, 1.0 / left_of_glide) : 0.0;
  result.dry = metres(std::max(by_speed(flown), by_speed(V) + float_off));
  return {result, table.coverage, table.axis, table.end};
}

}  // namespace backfield::aircraft
