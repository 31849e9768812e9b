#include "ground.hpp"
#include "marks.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::decision {
namespace {

// Speed to have at half the runway, as a share of lift-off speed: with constant acceleration 0.71 is where half of the
// roll is used.             source: FAA Aeronautical Information Manual, rejected take-off after half the runway
constexpr double kLeastShareHalfWay = 0.7;

/// Ground speed after a distance of the roll: constant acceleration to lift-off.
Speed speed_at(const FlownWorld& w, double x_m) {
  const double share = std::clamp(x_m / w.distances.roll.si(), 0.0, 1.0);
  return w.timeline.take_off().lift_off_ground_speed * std::sqrt(share);
}

/// Last place on the roll from which a stop still fits, from brake release; none: not even from the start.
std::optional<double> last_stop(const Case& c, const aircraft::Performance& performance, const FlownWorld& w,
                                double available_m, std::string& refusal) {
  const earth::RunwayEnd& end = c.departure.end;
  const aircraft::Conditions conditions = performance.conditions(w.world.environment.air, end.elevation);
  const auto spare = [&](double x_m) {
    const auto stop = aircraft::rejected_take_off_distance(performance, conditions, {end.surface, end.slope, {}},
                                                           speed_at(w, x_m), c.policy.stop);
    if (!stop.usable()) refusal = "rejected take-off: " + stop.axis + ", " + stop.end;
    return available_m - x_m - stop.value.si();
  };
  double high = w.distances.roll.si();
  const bool to_the_end = spare(high) >= 0.0;
  if (!refusal.empty()) return std::nullopt;
  if (to_the_end) return high;
  double low = 0.0;
  if (spare(low) < 0.0) return std::nullopt;
  while (high - low > 0.5) {
    const double mid = 0.5 * (low + high);
    (spare(mid) >= 0.0 ? low : high) = mid;
  }
  return low;
}

}  // namespace

RollOut roll_out(const Case& c, const aircraft::Performance& performance, const std::vector<FlownWorld>& worlds) {
  const earth::RunwayEnd& end = c.departure.end;
  RollOut r;
  r.available = end.tora.value_or(end.pavement) - c.departure.start;
  r.roll = worlds.front().distances.roll;
  r.to_50ft = worlds.front().distances.to_50ft;
  r.half_way = r.available / 2.0;
  // Accelerate-stop distance where it is declared; a stopway counts for a stop.
  const double stop_available = (end.asda.value_or(end.tora.value_or(end.pavement)) - c.departure.start).si();

  bool everywhere = true;
  double earliest = 1e9;
  bool somewhere = true;
  std::string refusal;
  for (const FlownWorld& w : worlds) {
    r.roll_worst = std::max(r.roll_worst, w.distances.roll);
    r.to_50ft_worst = std::max(r.to_50ft_worst, w.distances.to_50ft);
    const auto here = last_stop(c, performance, w, stop_available, refusal);
    somewhere = somewhere && here.has_value();
    earliest = std::min(earliest, here.value_or(0.0));
    everywhere = everywhere && here && *here >= w.distances.roll.si();
  }
  r.stop_fits_to_lift_off = everywhere;
  if (somewhere) r.last_stop = metres(earliest);
  r.marks = marks_on_roll(c.departure, r);
  if (r.last_stop) {
    double best = -1.0;
    for (const earth::RunwayMark& mark : c.marks) {
      const double from_release = (mark.from_start - c.departure.start).si();
      if (from_release > 0.0 && from_release <= r.last_stop->si() && from_release > best) {
        best = from_release;
        r.last_stop_mark = mark.name;
      }
    }
  }

  const FlownWorld& plan = worlds.front();
  const double sigma = plan.world.environment.air.sigma(end.elevation);
  const Speed headwind = earth::components(plan.world.surface_wind(), end.track).headwind;
  const auto indicated_at = [&](Length x) { return earth::to_cas({speed_at(plan, x.si()) + headwind}, sigma); };
  if (r.last_stop && !r.stop_fits_to_lift_off) r.speed_at_last_stop = indicated_at(*r.last_stop);
  if (r.half_way < r.roll) { r.speed_half_way = indicated_at(r.half_way); }
  r.least_speed_half_way = {performance.v_r().value * kLeastShareHalfWay};
  if (!refusal.empty()) r.note = refusal;
  if (r.to_50ft_worst > r.available) {
    r.note += std::string(r.note.empty() ? "" : "; ") + "50 ft is not reached within the run available in every world";
  }
  return r;
}

}  // namespace backfield::decision
