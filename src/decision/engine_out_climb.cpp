#include "engine_out_climb.hpp"

#include "climber.hpp"
#include "counted_wind.hpp"

#include <algorithm>

namespace backfield::decision {
namespace {

constexpr Length kFiftyFeet = feet(50);
constexpr Length kLayer = feet(250);
constexpr Length kHighest = feet(25000);
constexpr Speed kSlowest = metres_per_second(1.0);

aircraft::PowerCondition one_out(const FlownWorld& w) {
  return {aircraft::PowerLeft::one_engine_out, 0.0, w.world.climb_factor};
}

/// Gross, or net of a decrement of the gradient.
aircraft::HeightProfile thinning(const Case& c, const aircraft::Performance& performance, const EngineOutClimb& climb,
                                 double decrement) {
  const FlownWorld& w = *climb.world;
  const earth::TrueDirection track = c.departure.end.track;
  const Cas cas = performance.one_engine_out_climb_speed();
  Length height = kFiftyFeet - climb.lost;
  Length flown = climb.begins;
  aircraft::HeightProfile profile;
  profile.knots.push_back({flown, height, climb.airspeed});
  const auto climbs_to = [&](Length top, Speed rate, Speed tas, Speed headwind) {
    const Speed up = rate - tas * decrement;
    if (up.si() <= 0.0) return false;
    flown = flown + std::max(kSlowest, tas - headwind) * ((top - height) / up);
    height = top;
    profile.knots.push_back({flown, height, tas});
    return true;
  };
  const Length judged = c.policy.power_left.evaluated_at;
  if (height < judged && !climbs_to(judged, climb.level, climb.airspeed, climb.headwind)) {
    profile.beyond = (climb.level - climb.airspeed * decrement) / std::max(kSlowest, climb.airspeed - climb.headwind);
    return profile;
  }
  for (Length top = height + kLayer; top <= kHighest; top = top + kLayer) {
    Climber there(c, performance, w, top);
    const Speed rate = there.rate(one_out(w), cas, {});
    const Speed headwind = earth::components(w.world.environment.wind.at(earth::Height{top}), track).headwind;
    if (!there.refusal().empty() || !climbs_to(top, rate, there.tas(cas).value, std::min(climb.headwind, headwind))) {
      break;
    }
  }
  return profile;
}

}  // namespace

EngineOutClimb steady_climb(const Case& c, const aircraft::Performance& performance, const FlownWorld& w,
                            std::string& refusal) {
  const aircraft::OneEngineOut& file = *c.aircraft.one_engine_out;
  const aircraft::PowerCondition condition{aircraft::PowerLeft::one_engine_out, 0.0, w.world.climb_factor};
  const Cas cas = performance.one_engine_out_climb_speed();
  Climber here(c, performance, w, c.policy.power_left.evaluated_at);
  EngineOutClimb climb;
  climb.world = &w;
  climb.net_decrement = c.policy.power_left.net_decrement.take_off.at(file.engines);
  climb.airspeed = here.tas(cas).value;
  climb.level = here.rate(condition, cas, {});
  for (const flight::DepartureLeg& leg : c.departure.track.legs) {
    climb.turning.push_back(here.rate(condition, cas, bank_on_one_engine(c, leg)));
  }
  if (refusal.empty()) refusal = here.refusal();
  return climb;
}

void add_thinning_air(const Case& c, const aircraft::Performance& performance, EngineOutClimb& climb) {
  if (climb.level.si() <= 0.0) return;
  climb.headwind = counted_headwind_aloft(c, *climb.world, c.departure.end.track);
  climb.gross = thinning(c, performance, climb, 0.0);
  climb.net = thinning(c, performance, climb, climb.net_decrement);
}

}  // namespace backfield::decision
