#include "runway_needs.hpp"
#include "words.hpp"

#include "backfield/aircraft/distances.hpp"
#include "backfield/base/contract.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::decision {
namespace {

/// Declared distances from where the roll begins.
struct Declared {
  Length tora, toda, asda;
  [[nodiscard]] bool more_than_tora() const { return toda > tora || asda > tora; }
};
Declared declared(const Departure& d) {
  const Length tora = d.end.tora.value_or(d.end.pavement);
  return {tora - d.start, d.end.toda.value_or(tora) - d.start, d.end.asda.value_or(tora) - d.start};
}

std::optional<Length> accelerate_stop(const Case& c, const aircraft::Performance& performance, const FlownWorld& w) {
  const earth::RunwayEnd& end = c.departure.end;
  const auto stop = aircraft::rejected_take_off_distance(
      performance, performance.conditions(w.world.environment.air, end.elevation), {end.surface, end.slope, {}},
      w.timeline.take_off().lift_off_ground_speed, c.policy.stop);
  if (!stop.usable()) return std::nullopt;
  return w.distances.roll + stop.value;
}

}  // namespace

const TakeOffNeed& TakeOffInWorld::deciding() const {
  require(!needs.empty(), "a take-off is judged by one need at least");
  const auto less_left = [](const TakeOffNeed& a, const TakeOffNeed& b) { return a.left() < b.left(); };
  const TakeOffNeed& alone = needs.front();
  if (needs.size() == 1) return alone;
  const TakeOffNeed& worst = *std::min_element(needs.begin() + 1, needs.end(), less_left);
  // Either set will do; where both do, or neither, the one with more left is the one to speak of.
  return worst.left() > alone.left() ? worst : alone;
}

bool TakeOffRoom::fits() const {
  return !worlds.empty() && std::all_of(worlds.begin(), worlds.end(), [](const TakeOffInWorld& w) { return w.fits(); });
}

TakeOffRoom take_off_room(const Case& c, const aircraft::Performance& performance,
                          const std::vector<FlownWorld>& worlds) {
  TakeOffRoom room;
  if (!c.policy.take_off) {
    room.not_assessed = "the policy has no take_off";
    return room;
  }
  room.not_assessed.clear();
  const TakeOffRule& rule = *c.policy.take_off;
  const Declared have = declared(c.departure);
  for (const FlownWorld& w : worlds) {
    const Length need = w.distances.to_50ft;
    TakeOffInWorld here{w.world.name, w.distances.roll, need, accelerate_stop(c, performance, w), {}};
    here.needs.push_back({"TORA", true, rule.tora_alone, need * rule.tora_alone, have.tora});
    if (have.more_than_tora()) {
      here.needs.push_back({"TORA", false, rule.tora, need * rule.tora, have.tora});
      here.needs.push_back({"TODA", false, rule.toda, need * rule.toda, have.toda});
      here.needs.push_back({"ASDA", false, rule.asda, need * rule.asda, have.asda});
    }
    room.worlds.push_back(std::move(here));
    if (room.worlds.back().deciding().left() < room.worlds[room.worst].deciding().left()) {
      room.worst = room.worlds.size() - 1;
    }
  }
  return room;
}

std::string no_take_off(const Case& c) {
  const aircraft::Performance performance(c.aircraft, c.mass);
  const World plan = bracket(c).front();
  const earth::RunwayEnd& end = c.departure.end;
  const auto wind = earth::components(plan.surface_wind(), end.track);
  const auto distances =
      aircraft::take_off_distances(performance, performance.conditions(plan.environment.air, c.elevation),
                                   {end.surface, end.slope, wind.headwind}, c.policy.stop);
  const Length available = declared(c.departure).tora;
  if (!distances.usable() || distances.value.roll <= available) return {};
  return "the roll takes " + whole(std::ceil(in_metres(distances.value.roll))) + " m in the reported wind, and " +
         whole(std::floor(in_metres(available))) + " m of TORA are left";
}

}  // namespace backfield::decision
