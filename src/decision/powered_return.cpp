#include "runway_needs.hpp"
#include "words.hpp"

#include "backfield/aircraft/distances.hpp"
#include "backfield/base/contract.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

namespace backfield::decision {
namespace {

PoweredLanding land(const Case& c, const World& world, const earth::RunwayEnd& end,
                    const aircraft::Performance& performance, const aircraft::PoweredDistance& distance, double sigma,
                    Speed over_v_ref) {
  const earth::WindComponents wind = earth::components(world.surface_wind(), end.track);
  PoweredLanding landing{world.name, distance, wind.headwind, wind.from_right, {}, {}};
  landing.threshold_ground_speed =
      std::max(Speed{}, earth::to_tas(Cas{performance.v_ref().value + over_v_ref}, sigma).value - wind.headwind);
  for (const LandingMargin& margin : c.policy.landing_assessment->margins) {
    const double surface = std::max(distance.surface_factor, margin.least_surface);
    landing.needs.push_back(
        {margin.name, margin.use, margin.factor, surface, distance.dry * surface * margin.factor, *end.lda});
  }
  return landing;
}

/// One component of the wind against a limit: in the plan, or else in the world that has most of it.
void against_limit(const std::string& what, const std::optional<Speed>& limit,
                   const std::function<Speed(const PoweredLanding&)>& part, PoweredReturn& back) {
  // A knot is read to the nearest one: what reads as the limit is said to be at it.
  const Speed hair = knots(0.05);
  const Speed plan = part(back.worlds.front());
  if (!limit) {
    if (plan > hair) back.findings.push_back(what + " " + tenths_kt(plan) + ": the aircraft file states no limit");
    return;
  }
  const std::string of_file = " the " + in_words_kt(*limit) + " of the aircraft file";
  if (plan > *limit + hair) back.within_wind_limits = false;
  if (plan > *limit - hair) {
    back.findings.push_back(what + " " + tenths_kt(plan) + (plan > *limit + hair ? ", more than" : ", at") + of_file);
    return;
  }
  const auto most = std::max_element(back.worlds.begin(), back.worlds.end(),
                                     [&](const auto& a, const auto& b) { return part(a) < part(b); });
  if (part(*most) > *limit + hair) {
    back.within_wind_limits = false;
    back.findings.push_back(what + " up to " + tenths_kt(part(*most)) + " (" + most->world + "), more than" + of_file);
  }
}

void against_limits(const Case& c, PoweredReturn& back) {
  back.within_wind_limits = true;
  against_limit(
      "tailwind", c.aircraft.limits.tailwind, [](const PoweredLanding& l) { return -l.headwind; }, back);
  against_limit(
      "crosswind", c.aircraft.limits.crosswind,
      [](const PoweredLanding& l) { return metres_per_second(std::abs(l.crosswind_from_right.si())); }, back);
  if (back.mass > c.aircraft.max_landing_mass) {
    back.findings.push_back(
        whole(std::ceil(in_kilograms(back.mass - c.aircraft.max_landing_mass) - 1e-6)) +
        " kg over the maximum landing mass: an overweight landing, for the flight manual and the engineers");
  }
}

}  // namespace

const LandingNeed& PoweredLanding::deciding() const {
  const auto found =
      std::find_if(needs.begin(), needs.end(), [](const LandingNeed& n) { return n.use == MarginUse::decides; });
  require(found != needs.end(), "one margin decides");
  return *found;
}

bool PoweredReturn::fits() const {
  return !worlds.empty() &&
         std::all_of(worlds.begin(), worlds.end(), [](const PoweredLanding& l) { return l.deciding().fits(); });
}

PoweredReturn powered_return(const Case& c, const earth::RunwayEnd& end, const std::vector<World>& worlds) {
  PoweredReturn back;
  back.mass = c.return_mass.value_or(c.mass);
  back.not_assessed.clear();
  if (!c.policy.landing_assessment) {
    back.not_assessed = "the policy has no landing_assessment";
  } else if (!c.aircraft.landing_from_50ft) {
    back.not_assessed = "the aircraft file has no landing distance from 50 ft";
  } else if (const std::string missing = missing_facts(end); !missing.empty()) {
    back.not_assessed = missing;
  }
  if (!back.not_assessed.empty()) return back;

  const WindReport& report = c.weather.wind;
  if (c.policy.technique.half_gust_on_speed && report.gust) back.over_v_ref = (*report.gust - report.mean) * 0.5;
  const aircraft::Performance performance(c.aircraft, back.mass);
  for (const World& world : worlds) {
    const earth::WindComponents wind = earth::components(world.surface_wind(), end.track);
    const aircraft::Conditions conditions = performance.conditions(world.environment.air, end.elevation);
    const auto distance =
        aircraft::powered_landing_distance(performance, conditions, {end.surface, end.slope, wind.headwind},
                                           c.policy.landing_assessment->charge, c.policy.stop, back.over_v_ref);
    if (!distance.usable()) {
      back.not_assessed = distance.axis + ": " + distance.end;
      back.worlds.clear();
      return back;
    }
    back.worlds.push_back(land(c, world, end, performance, distance.value, conditions.sigma, back.over_v_ref));
    if (back.worlds.back().distance.dry > back.worlds[back.worst].distance.dry) back.worst = back.worlds.size() - 1;
  }
  back.exit = exit_after(end, back.worlds[back.worst].deciding().needed);
  against_limits(c, back);
  return back;
}

}  // namespace backfield::decision
