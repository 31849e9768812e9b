#include "backfield/decision/bracket.hpp"

#include "backfield/base/contract.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::decision {
namespace {

earth::WindProfile profile_of(const Case& c, earth::WindVector at_10m, bool profile) {
  if (!profile || c.policy.model.wind == flight::WindRule::uniform) return earth::WindProfile::uniform(at_10m);
  const earth::PowerLaw law{c.policy.bracket.profile_exponent};
  if (c.weather.aloft.empty()) return earth::WindProfile::power_law(at_10m, law);
  return earth::WindProfile::joined(at_10m, law, c.weather.aloft);
}

earth::Air air_of(const Case& c) { return {c.weather.qnh, c.elevation, c.weather.oat, c.policy.model.density}; }

double factor_of(const WorldRule& rule, const WindReport& report) {
  double factor = rule.wind_factor;
  if (rule.at_least_gust && report.gust && report.mean.si() > 0.0) {
    factor = std::max(factor, *report.gust / report.mean);
  }
  return factor;
}

/// A world whose whole wind, levels aloft included, is scaled and turned from the reported one.
World world_of(const Case& c, const WorldRule& rule, Angle shift, std::string name) {
  const WindReport& report = c.weather.wind;
  const earth::WindProfile reported = profile_of(c, earth::wind_from(report.from, report.mean), rule.profile);
  return {std::move(name),
          {air_of(c), reported.scaled(factor_of(rule, report)).turned(shift), c.ground},
          rule.climb_factor};
}

}  // namespace

std::vector<World> bracket(const Case& c) {
  const BracketRule& rules = c.policy.bracket;
  require(!rules.worlds.empty(), "a policy names at least the plan's world");
  const WindReport& report = c.weather.wind;
  std::vector<World> worlds;

  if (report.variable || report.mean.si() == 0.0) {
    // Direction is not known: the report as it stands is the plan (calm air), then light airs from all round.
    const Speed speed = std::max({rules.calm_speed, report.mean, report.gust.value_or(Speed{})});
    for (std::size_t i = 0; i < rules.worlds.size(); ++i) {
      const WorldRule& rule = rules.worlds[i];
      if (i > 0 && rule.climb_factor == 1.0) continue;
      worlds.push_back({rule.name, {air_of(c), profile_of(c, {}, rule.profile), c.ground}, rule.climb_factor});
    }
    for (const Angle from : rules.calm_directions) {
      const earth::WindVector w = earth::wind_from(c.departure.end.track.turned(from), speed);
      const double deg = in_degrees(from);
      const std::string name = deg == 0.0     ? "light air ahead"
                               : deg == 180.0 ? "light air behind"
                               : deg < 180.0  ? "light air right"
                                              : "light air left";
      worlds.push_back({name, {air_of(c), profile_of(c, w, rules.worlds.front().profile), c.ground}, 1.0});
    }
    return worlds;
  }

  bool sector_done = false;
  for (const WorldRule& rule : rules.worlds) {
    if (rule.shift.si() != 0.0 && report.sector) {
      // The report itself says how far the direction swings.
      if (sector_done) continue;
      sector_done = true;
      worlds.push_back(world_of(c, rule, earth::turn_between(report.from, report.sector->first), "sector, first end"));
      worlds.push_back(
          world_of(c, rule, earth::turn_between(report.from, report.sector->second), "sector, second end"));
      continue;
    }
    worlds.push_back(world_of(c, rule, rule.shift, rule.name));
  }
  return worlds;
}

}  // namespace backfield::decision
