#include "engine_out_take_off.hpp"

#include "climber.hpp"
#include "engine_out_path.hpp"

#include "backfield/aircraft/distances.hpp"
#include "backfield/aircraft/height_profile.hpp"
#include "backfield/aircraft/take_off_path.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace backfield::decision {
namespace {

/// The path from v_1 in one world.
struct Profiles {
  aircraft::HeightProfile gross, net;
  Speed headwind;  ///< that it is flown in
};

/// Downhill the runway has fallen from its beginning, which heights count from, to where the aeroplane leaves it; that
/// it has risen uphill is not counted.
Length fallen(const Case& c, Length distance) { return distance * std::max(0.0, -c.departure.end.slope); }

void lower(aircraft::HeightProfile& profile, Length by) {
  for (aircraft::HeightProfile::Knot& knot : profile.knots) knot.height = knot.height - by;
}

// "Not more than 50 % of the reported head-wind component or not less than 150 % of the reported tail-wind component":
// CAT.POL.A.205(d)(5), CAT.POL.A.305(c); the same shares in 14 CFR 25.105(d)(1). Quoted from memory.
constexpr double kHeadwindCounted = 0.5;
constexpr double kTailwindCounted = 1.5;

/// The runway of the departure as one world has it, and its wind, but no kinder than those shares of the reported one.
aircraft::RollSurface rolled_on(const Case& c, const FlownWorld& w) {
  const earth::RunwayEnd& end = c.departure.end;
  const earth::WindVector reported = earth::wind_from(c.weather.wind.from, c.weather.wind.mean);
  const double along = earth::components(reported, end.track).headwind.si();
  const double counted = std::min(kHeadwindCounted * along, kTailwindCounted * along);
  const Speed headwind = earth::components(w.world.surface_wind(), end.track).headwind;
  return {end.surface, end.slope, std::min(headwind, metres_per_second(counted))};
}

using Distance = Lookup<Length> (*)(const aircraft::Performance&, const aircraft::Conditions&,
                                    const aircraft::RollSurface&, const aircraft::StopRule&);

std::string why(const Lookup<Length>& needed) {
  return needed.end.empty() ? needed.axis : needed.axis + ", " + needed.end;
}

/// Asks for a distance in every world; the longest, against what is declared. `beyond` says which table ended.
class Asked {
 public:
  Asked(const Case& c, const aircraft::Performance& performance, const std::vector<FlownWorld>& worlds)
      : c_(c), performance_(performance), worlds_(worlds) {}

  [[nodiscard]] Lookup<Length> in(const FlownWorld& w, Distance distance) const {
    return distance(performance_, performance_.conditions(w.world.environment.air, c_.elevation), rolled_on(c_, w),
                    c_.policy.stop);
  }
  [[nodiscard]] std::optional<DistanceAgainst> longest(Distance distance, const std::optional<Length>& declared,
                                                       std::string& beyond) const {
    if (!declared) return std::nullopt;
    DistanceAgainst result{{}, *declared - c_.departure.start};
    for (const FlownWorld& w : worlds_) {
      const auto needed = in(w, distance);
      if (!needed.usable()) {
        beyond = why(needed);
        return std::nullopt;
      }
      result.needed = std::max(result.needed, needed.value);
    }
    return result;
  }

 private:
  const Case& c_;
  const aircraft::Performance& performance_;
  const std::vector<FlownWorld>& worlds_;
};

void add_distances(const Case& c, const Asked& asked, OneEngineOut& out) {
  const aircraft::OneEngineOut& file = *c.aircraft.one_engine_out;
  const earth::RunwayEnd& end = c.departure.end;
  if (file.accelerate_stop.stated()) {
    out.stop = asked.longest(aircraft::accelerate_stop_distance, end.asda, out.stop_beyond);
  } else {
    out.stop = asked.longest(aircraft::estimated_accelerate_stop, end.asda, out.stop_beyond);
    if (out.stop) out.stop->estimated = true;
  }
  if (file.accelerate_go.stated()) {
    out.go = asked.longest(aircraft::accelerate_go_distance, end.toda, out.go_beyond);
  }
}

/// What one engine gives on from where the path begins; where 50 ft are reached on all engines, it is clean only after
/// a while.
EngineOutClimb climb_in(const Case& c, const aircraft::Performance& performance, const FlownWorld& w,
                        const OneEngineOut& out, std::string& refusal) {
  const aircraft::OneEngineOut& file = *c.aircraft.one_engine_out;
  const aircraft::PowerCondition condition{aircraft::PowerLeft::one_engine_out, 0.0, w.world.climb_factor};
  const Cas cas = performance.one_engine_out_climb_speed();
  Climber here(c, performance, w, c.policy.power_left.evaluated_at);
  EngineOutClimb climb;
  climb.world = &w;
  climb.net_decrement = c.policy.power_left.net_decrement.take_off.at(file.engines);
  // A failure on the roll is in the file's distance, and what comes after 50 ft is clean.
  if (!out.go) climb.lost = (file.lost_gear_down + file.lost_unfeathered) * file.clean_up;
  climb.airspeed = here.tas(cas).value;
  climb.level = here.rate(condition, cas, {});
  for (const flight::DepartureLeg& leg : c.departure.track.legs) {
    climb.turning.push_back(here.rate(condition, cas, bank_on_one_engine(c, leg)));
  }
  if (refusal.empty()) refusal = here.refusal();
  return climb;
}

/// Of the take-off path: no kinder than that of the roll, nor than that of the height rates are judged in.
Speed headwind_of(const Case& c, const FlownWorld& w) {
  const earth::WindVector aloft = w.world.environment.wind.at(earth::Height{c.policy.power_left.evaluated_at});
  return std::min(rolled_on(c, w).headwind, earth::components(aloft, c.departure.end.track).headwind);
}

aircraft::TakeOffPath from_v_1(const Case& c, const aircraft::Performance& performance, const FlownWorld& w,
                               const std::optional<Length>& go) {
  const aircraft::TakeOffPathRule& rule = *c.policy.power_left.take_off_path;
  const aircraft::OneEngineOut& file = *c.aircraft.one_engine_out;
  const auto air = [&](Length height) {
    return performance.conditions(w.world.environment.air.with(c.policy.model.density),
                                  c.elevation + earth::Height{height});
  };
  aircraft::TakeOffPathDay day;
  day.accelerate_go = go;
  day.ground = performance.conditions(w.world.environment.air, c.elevation);
  const aircraft::RollSurface runway = rolled_on(c, w);
  const auto all_engines = aircraft::take_off_distances(performance, day.ground, runway, c.policy.stop);
  if (!all_engines.usable()) {
    aircraft::TakeOffPath none;
    none.why_not = "take-off distance: " + all_engines.axis + ", " + all_engines.end;
    return none;
  }
  day.all_engines = all_engines.value;
  day.accelerating = air(file.acceleration_height.value_or(rule.acceleration_height));
  day.ends = air(rule.ends_at);
  day.headwind = headwind_of(c, w);
  day.climb_factor = w.world.climb_factor;
  day.net_decrement = c.policy.power_left.net_decrement.take_off.at(file.engines);
  return aircraft::take_off_path(performance, day, rule);
}

/// The paths from v_1, one a world; none where in one of them the screen is not reached.
std::vector<Profiles> take_off_paths(const Case& c, const aircraft::Performance& performance,
                                     const std::vector<FlownWorld>& worlds, const FlownWorld& weakest,
                                     const Asked& asked, OneEngineOut& out) {
  const auto& rule = c.policy.power_left.take_off_path;
  if (!rule || !performance.v_1()) return {};
  // A table that ends before the day is not guessed past: it ends where the aeroplane does not do it.
  const bool by_the_file = c.aircraft.one_engine_out->accelerate_go.stated();
  EngineOutTakeOff shown;
  Length screen{};
  std::vector<Profiles> paths;
  for (const FlownWorld& w : worlds) {
    std::optional<Length> go;
    aircraft::TakeOffPath path;
    if (by_the_file) {
      const auto book = asked.in(w, aircraft::accelerate_go_distance);
      if (book.usable()) go = book.value;
      if (!book.usable()) path.why_not = "accelerate-go: " + why(book);
    }
    if (path.why_not.empty()) path = from_v_1(c, performance, w, go);
    if (!path.reaches_screen() && shown.not_in.empty()) shown.not_in = w.world.name;
    for (const aircraft::TakeOffPoint& p : path.points) {
      if (p.what == aircraft::TakeOffMark::screen) screen = std::max(screen, p.distance);
    }
    paths.push_back({path.gross, path.net, headwind_of(c, w)});
    if (&w == &weakest) shown.path = std::move(path);
  }
  const int engines = c.aircraft.one_engine_out->engines;
  shown.second_least = rule->second_segment_least.at(engines);
  shown.last_least = rule->final_segment_least.at(engines);
  for (const aircraft::TakeOffPoint& p : shown.path.points) {
    if (p.what <= aircraft::TakeOffMark::final_speed) shown.in_time = p.time <= rule->take_off_thrust;
  }
  if (!shown.not_in.empty()) {
    paths.clear();
    if (!by_the_file) out.go_beyond = "v_2 is not reached in world " + shown.not_in;
  }
  out.path_estimated = !by_the_file && !paths.empty();
  if (out.path_estimated && c.departure.end.toda) {
    out.go = DistanceAgainst{screen, *c.departure.end.toda - c.departure.start, true};
  }
  out.take_off = std::move(shown);
  return paths;
}

}  // namespace

void add_engine_out_take_off(const Case& c, const aircraft::Performance& performance,
                             const std::vector<FlownWorld>& worlds, const FlownWorld& weakest, OneEngineOut& out,
                             std::string& refusal) {
  const Asked asked(c, performance, worlds);
  add_distances(c, asked, out);
  out.path_begins_at_go = out.go.has_value();
  const std::vector<Profiles> from_v_1 = take_off_paths(c, performance, worlds, weakest, asked, out);
  if (!from_v_1.empty()) out.path_begins_at_go = !out.path_estimated;
  std::vector<EngineOutClimb> climbs;
  for (std::size_t i = 0; i < worlds.size(); ++i) {
    const FlownWorld& w = worlds[i];
    EngineOutClimb climb = climb_in(c, performance, w, out, refusal);
    if (!from_v_1.empty()) {
      climb.gross = from_v_1[i].gross;
      climb.net = from_v_1[i].net;
      climb.headwind = from_v_1[i].headwind;
      climb.begins = climb.gross->knots.front().distance;
      lower(*climb.gross, fallen(c, climb.begins));
      lower(*climb.net, fallen(c, climb.begins));
    } else {
      climb.begins = out.go ? asked.in(w, aircraft::accelerate_go_distance).value : w.distances.to_50ft;
      climb.lost = climb.lost + fallen(c, climb.begins);
    }
    out.path_begins = std::max(out.path_begins, climb.begins);
    climbs.push_back(std::move(climb));
  }
  out.obstacle_rule = c.policy.power_left.obstacles;
  if (refusal.empty() && out.reaches_v_2()) look_at_ground(c, climbs, out);
}

}  // namespace backfield::decision
