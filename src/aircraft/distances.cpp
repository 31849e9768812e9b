#include "backfield/aircraft/distances.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace backfield::aircraft {
namespace {

template <class T>
Lookup<T> outside(std::string axis, std::string end) {
  return {T{}, Coverage::outside, std::move(axis), std::move(end)};
}

/// Takes over coverage, axis and end of a figure that is worse covered than what is known so far.
template <class T>
void worsen(Lookup<T>& result, const Lookup<double>& figure) {
  if (figure.coverage > result.coverage) {
    result.coverage = figure.coverage;
    result.axis = figure.axis;
    result.end = figure.end;
  }
}

constexpr const char* kNoSurface = "the aircraft file has no factor for it";

/// A figure with an engine failing, on the day: `factor` null where the file has none for the surface.
Lookup<Length> with_engine_out(const Performance& performance, const Figure& figure, const Conditions& conditions,
                               Speed headwind, const double* factor, double slope_factor) {
  if (factor == nullptr) return outside<Length>("no factor for the surface", "");
  const Lookup<double> book = figure.at(conditions);
  if (!book.usable()) return outside<Length>(book.axis, book.end);
  double wind = 1.0;
  if (performance.aircraft().distances.take_off_wind == BookWind::still_air) {
    const double V = earth::to_tas(performance.v_r(), conditions.sigma).value.si();
    const double ratio = std::max(0.0, (V - headwind.si()) / V);
    wind = ratio > 1.0 ? ratio * ratio : ratio;
  }
  return {metres(book.value * *factor * slope_factor * wind), book.coverage, book.axis, book.end};
}

}  // namespace

double adverse_slope_factor(double adverse_slope, const StopRule& rule) {
  return 1.0 + std::max(0.0, adverse_slope) * 100.0 * rule.slope_factor_per_percent;
}

Lookup<TakeOffDistances> take_off_distances(const Performance& performance, const Conditions& conditions,
                                            const RollSurface& runway, const StopRule& rule) {
  const Distances& book = performance.aircraft().distances;
  const double* factor = book.take_off_surface_factor.find(runway.surface);
  if (factor == nullptr) return outside<TakeOffDistances>("surface of the take-off runway", kNoSurface);
  const Lookup<double> roll = book.take_off_roll.at(conditions);
  const Lookup<double> to_50ft = book.take_off_to_50ft.at(conditions);
  Lookup<TakeOffDistances> result{{}, Coverage::inside, {}, {}};
  worsen(result, roll);
  worsen(result, to_50ft);
  if (!result.usable()) return result;

  double roll_wind = 1.0;
  double air_wind = 1.0;
  if (book.take_off_wind == BookWind::still_air) {
    const double V = earth::to_tas(performance.v_r(), conditions.sigma).value.si();
    air_wind = std::max(0.0, (V - runway.headwind.si()) / V);
    roll_wind = air_wind * air_wind;
  }
  const double roll_m = roll.value * *factor * adverse_slope_factor(runway.slope, rule) * roll_wind;
  const double air_m = (to_50ft.value - roll.value) * air_wind;
  result.value = {metres(roll_m), metres(roll_m + air_m)};
  return result;
}

Lookup<LandingDistances> landing_distances(const Performance& performance, const Conditions& conditions,
                                           const RollSurface& runway, const StopRule& rule) {
  const Distances& book = performance.aircraft().distances;
  const double* factor = book.landing_surface_factor.find(runway.surface);
  if (factor == nullptr) return outside<LandingDistances>("surface of the landing runway", kNoSurface);
  const Lookup<double> air = book.landing_float.at(conditions);
  const Lookup<double> roll = book.landing_roll.at(conditions);
  Lookup<LandingDistances> result{{}, Coverage::inside, {}, {}};
  worsen(result, air);
  worsen(result, roll);
  if (!result.usable()) return result;

  const double Vbg = earth::to_tas(performance.best_glide(), conditions.sigma).value.si();
  const double Vtd = earth::to_tas(performance.touchdown(), conditions.sigma).value.si();
  const double float_wind = std::max(0.0, (Vbg - runway.headwind.si()) / Vbg);
  const double roll_wind = std::max(0.0, (Vtd - runway.headwind.si()) / Vtd);
  result.value = {metres(air.value * float_wind),
                  metres(roll.value * *factor * adverse_slope_factor(-runway.slope, rule) * rule.landing_roll_factor *
                         roll_wind * roll_wind)};
  return result;
}

Lookup<Length> rejected_take_off_distance(const Performance& performance, const Conditions& conditions,
                                          const RollSurface& runway, Speed ground_speed, const StopRule& rule) {
  RollSurface still = runway;
  still.headwind = {};
  const Lookup<LandingDistances> landing = landing_distances(performance, conditions, still, rule);
  if (!landing.usable()) return {{}, landing.coverage, landing.axis, landing.end};
  const double Vtd = earth::to_tas(performance.touchdown(), conditions.sigma).value.si();
  const double ratio = ground_speed.si() / Vtd;
  return {ground_speed * rule.rejected_take_off_delay + landing.value.roll * (ratio * ratio), landing.coverage,
          landing.axis, landing.end};
}

Lookup<Length> accelerate_go_distance(const Performance& performance, const Conditions& conditions,
                                      const RollSurface& runway, const StopRule& rule) {
  const Aircraft& a = performance.aircraft();
  return with_engine_out(performance, a.one_engine_out->accelerate_go, conditions, runway.headwind,
                         a.distances.take_off_surface_factor.find(runway.surface),
                         adverse_slope_factor(runway.slope, rule));
}

Lookup<Length> accelerate_stop_distance(const Performance& performance, const Conditions& conditions,
                                        const RollSurface& runway, const StopRule& rule) {
  const Aircraft& a = performance.aircraft();
  const double* rolling = a.distances.take_off_surface_factor.find(runway.surface);
  const double* braking = a.distances.landing_surface_factor.find(runway.surface);
  const double* factor = rolling == nullptr || braking == nullptr ? nullptr : *rolling > *braking ? rolling : braking;
  return with_engine_out(performance, a.one_engine_out->accelerate_stop, conditions, runway.headwind, factor,
                         adverse_slope_factor(std::abs(runway.slope), rule));
}

Lookup<Length> estimated_accelerate_stop(const Performance& performance, const Conditions& conditions,
                                         const RollSurface& runway, const StopRule& rule) {
  const auto take_off = take_off_distances(performance, conditions, runway, rule);
  if (!take_off.usable()) return outside<Length>(take_off.axis, take_off.end);
  const auto over_ground = [&](Cas cas) {
    const double V = earth::to_tas(cas, conditions.sigma).value.si();
    return std::max(0.0, V - runway.headwind.si());
  };
  const double v_r = over_ground(performance.v_r());
  const double decision = over_ground(performance.v_1().value_or(performance.v_r()));
  auto stop = rejected_take_off_distance(performance, conditions, runway, metres_per_second(decision), rule);
  if (!stop.usable()) return stop;
  const double share = v_r > 0.0 ? decision / v_r : 1.0;
  stop.value = stop.value + take_off.value.roll * (share * share);
  if (take_off.coverage > stop.coverage) stop.coverage = take_off.coverage;
  return stop;
}

}  // namespace backfield::aircraft
