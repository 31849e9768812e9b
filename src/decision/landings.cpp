#include "landings.hpp"
#include "runway_needs.hpp"

#include <cmath>

namespace backfield::decision {
namespace {

bool is_reciprocal(const earth::RunwayEnd& end, const earth::RunwayEnd& departure) {
  if (end.aerodrome != departure.aerodrome) return false;
  if (std::abs(earth::turn_between(end.track, departure.track.reciprocal()).si()) > degrees(2).si()) return false;
  // The same strip of pavement: the far end of one lies where the other begins.
  const earth::Position far_end = earth::offset(departure.pavement_start, departure.track, departure.pavement);
  return earth::distance(far_end, end.pavement_start) < metres(100);
}

}  // namespace

std::string missing_facts(const earth::RunwayEnd& end) {
  std::string what;
  if (!end.lda) what = "LDA not stated";
  if (end.surface == earth::Surface::unknown) what += std::string(what.empty() ? "" : ", ") + "surface not stated";
  return what;
}

RunwayOption make_option(const Case& c, const aircraft::Performance& performance, const earth::RunwayEnd& end,
                         const std::vector<World>& worlds) {
  RunwayOption option;
  option.end = end;
  option.reciprocal = is_reciprocal(end, c.departure.end);
  const earth::Position brake_release =
      earth::offset(c.departure.end.pavement_start, c.departure.end.track, c.departure.start);
  option.distance = earth::distance(brake_release, end.threshold());
  option.powered = powered_return(c, end, worlds);
  option.not_assessed = missing_facts(end);
  if (!option.not_assessed.empty()) return option;

  for (const World& world : worlds) {
    const earth::WindComponents wind = earth::components(world.surface_wind(), end.track);
    const aircraft::Conditions conditions = performance.conditions(world.environment.air, end.elevation);
    const auto needed =
        aircraft::landing_distances(performance, conditions, {end.surface, end.slope, wind.headwind}, c.policy.stop);
    if (!needed.usable()) {
      option.not_assessed = "landing distance: " + needed.axis + ", " + needed.end;
      option.landings.clear();
      return option;
    }
    Landing landing;
    landing.world = world.name;
    landing.air = needed.value.air;
    landing.roll = needed.value.roll;
    landing.available = *end.lda;
    landing.headwind = wind.headwind;
    landing.crosswind_from_right = wind.from_right;
    landing.touchdown_ground_speed =
        std::max(Speed{}, earth::to_tas(performance.touchdown(), conditions.sigma).value - wind.headwind);
    option.landings.push_back(landing);
  }
  return option;
}

std::optional<flight::Goal> goal_on(const earth::RunwayEnd& end, const Landing& landing, Length alignment_height) {
  if (!landing.fits()) return std::nullopt;
  return flight::Goal{end.threshold(), end.track, end.elevation, {metres(0), landing.left()}, alignment_height};
}

}  // namespace backfield::decision
