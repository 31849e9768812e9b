#include "settle.hpp"

namespace backfield::flight {

bool within(const Connection& c, const PathFinder::Target& target) {
  return c.on_axis && c.surplus >= kReserve_m && c.aim <= target.aim_high;
}

Connection settle(const Approach& approach, const PathFinder::Fan& fan, const PathFinder::Target& target,
                  const Connection& landing, double beyond) {
  const Between between{fan, target, landing, {kReserve_m, target.aim_high}, first_third(target)};
  Connection found = landing;
  if (between.done(found)) return found;
  double low = beyond;
  if (low == landing.value()) {
    const auto walked = between.walk(approach);
    if (!walked) return found;
    low = *walked;
  }
  return between.halve(approach, low, found);
}

}  // namespace backfield::flight
