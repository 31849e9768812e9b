#include "counted_wind.hpp"

#include "backfield/base/contract.hpp"

#include <algorithm>

namespace backfield::decision {

Speed counted_headwind(const Case& c, const FlownWorld& w, earth::TrueDirection track) {
  const auto& shares = c.policy.power_left.wind_counted;
  require(shares.has_value(), "a policy that says how much wind counts with an engine out");
  const WindReport& report = c.weather.wind;
  const Speed along =
      report.variable ? -report.mean : earth::components(earth::wind_from(report.from, report.mean), track).headwind;
  return std::min(
      {earth::components(w.world.surface_wind(), track).headwind, along * shares->headwind, along * shares->tailwind});
}

Speed counted_headwind_aloft(const Case& c, const FlownWorld& w, earth::TrueDirection track) {
  const earth::WindVector aloft = w.world.environment.wind.at(earth::Height{c.policy.power_left.evaluated_at});
  return std::min(counted_headwind(c, w, track), earth::components(aloft, track).headwind);
}

}  // namespace backfield::decision
