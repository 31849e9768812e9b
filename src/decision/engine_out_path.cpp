#include "engine_out_path.hpp"

#include "climber.hpp"

#include "backfield/aircraft/distances.hpp"
#include "backfield/aircraft/height_profile.hpp"
#include "backfield/aircraft/take_off_path.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace backfield::decision {
namespace {

constexpr Length kFiftyFeet = feet(50);

/// What the path is in one world.
struct EngineOutPath {
  aircraft::HeightProfile gross, net;
};

/// Obstacles ahead of the runway, by the worst of the worlds; a departure that turns has none that lie along it.
void add_obstacles(const Case& c, const std::vector<EngineOutPath>& paths, OneEngineOut& out) {
  const ObstacleRule& rule = c.policy.power_left.obstacles;
  const earth::RunwayEnd& end = c.departure.end;
  const earth::Position release = earth::offset(end.pavement_start, end.track, c.departure.start);
  const double s = std::sin(end.track.angle().si());
  const double k = std::cos(end.track.angle().si());
  const Length departure_end = end.toda.value_or(end.tora.value_or(end.pavement)) - c.departure.start;
  for (const earth::Obstacle& o : c.ground.obstacles) {
    const double east = (o.position.east - release.east).si();
    const double north = (o.position.north - release.north).si();
    const Length along = metres(east * s + north * k);
    const double right = east * k - north * s;
    const Length off = metres(std::max(0.0, std::abs(right) - o.half_width.si()));
    const Length beyond = std::max(Length{}, along - departure_end);
    const bool before = along < std::min(out.path_begins, departure_end);
    if (before || off > rule.beside_at(beyond)) {
      out.aside.push_back({o.name, along, off, right > 0.0, rule.beside_at(beyond), before});
      continue;
    }
    ObstacleAhead ahead;
    ahead.name = o.name;
    ahead.distance = along;
    ahead.top = (o.top - c.elevation).above_datum;
    ahead.required = ahead.top + rule.over_at(beyond);
    ahead.gross = ahead.net = metres(1e9);
    for (const EngineOutPath& path : paths) {
      ahead.gross = std::min(ahead.gross, path.gross.at(along));
      ahead.net = std::min(ahead.net, path.net.at(along));
    }
    out.obstacles.push_back(ahead);
  }
  std::sort(out.obstacles.begin(), out.obstacles.end(),
            [](const ObstacleAhead& a, const ObstacleAhead& b) { return a.distance < b.distance; });
  // What lies before counts last: it is the less of a surprise.
  std::stable_sort(out.aside.begin(), out.aside.end(), [](const ObstacleAside& a, const ObstacleAside& b) {
    return std::pair(a.before, a.off - a.looked_at) < std::pair(b.before, b.off - b.looked_at);
  });
}

/// The runway of the departure as one world has it.
aircraft::RollSurface rolled_on(const Case& c, const FlownWorld& w) {
  const earth::RunwayEnd& end = c.departure.end;
  return {end.surface, end.slope, earth::components(w.world.surface_wind(), end.track).headwind};
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

/// From 50 ft on at the rate of one height; where 50 ft are reached on all engines, it is clean only after a while.
EngineOutPath straight_up(const Case& c, const aircraft::Performance& performance, const FlownWorld& w, Length begins,
                          bool at_go, std::string& refusal) {
  const aircraft::OneEngineOut& file = *c.aircraft.one_engine_out;
  const Cas cas = performance.one_engine_out_climb_speed();
  Climber here(c, performance, w, c.policy.power_left.evaluated_at);
  const double rate = here.rate({aircraft::PowerLeft::one_engine_out, 0.0, w.world.climb_factor}, cas, {}).si();
  if (refusal.empty()) refusal = here.refusal();
  const double speed = here.tas(cas).value.si();
  const double ground_speed = std::max(1.0, speed - rolled_on(c, w).headwind.si());
  // A failure on the roll is in the file's distance, and what comes after 50 ft is clean.
  const Length lost = at_go ? Length{} : (file.lost_gear_down + file.lost_unfeathered) * file.clean_up;
  const double decrement = c.policy.power_left.net_decrement.take_off.at(file.engines);
  const std::vector<aircraft::HeightProfile::Knot> knots{{begins, kFiftyFeet - lost}};
  return {{knots, rate / ground_speed}, {knots, (rate - decrement * speed) / ground_speed}};
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
  day.all_engines = w.distances;
  day.accelerate_go = go;
  day.ground = performance.conditions(w.world.environment.air, c.elevation);
  day.accelerating = air(file.acceleration_height.value_or(rule.acceleration_height));
  day.ends = air(rule.ends_at);
  day.headwind = rolled_on(c, w).headwind;
  day.climb_factor = w.world.climb_factor;
  day.net_decrement = c.policy.power_left.net_decrement.take_off.at(file.engines);
  return aircraft::take_off_path(performance, day, rule);
}

/// The paths from v_1, one a world; none where in one of them the screen is not reached.
std::vector<EngineOutPath> take_off_paths(const Case& c, const aircraft::Performance& performance,
                                          const std::vector<FlownWorld>& worlds, const FlownWorld& weakest,
                                          const Asked& asked, OneEngineOut& out) {
  const auto& rule = c.policy.power_left.take_off_path;
  if (!rule || !performance.v_1()) return {};
  // A table that ends before the day is not guessed past: it ends where the aeroplane does not do it.
  const bool by_the_file = c.aircraft.one_engine_out->accelerate_go.stated();
  EngineOutTakeOff shown;
  Length screen{};
  std::vector<EngineOutPath> paths;
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
    paths.push_back({path.gross, path.net});
    if (&w == &weakest) shown.path = std::move(path);
  }
  const int engines = c.aircraft.one_engine_out->engines;
  shown.second_least = rule->second_segment_least.at(engines);
  shown.last_least = rule->final_segment_least.at(engines);
  for (const aircraft::TakeOffPoint& p : shown.path.points) {
    if (p.what <= aircraft::TakeOffMark::final_speed) shown.in_time = p.time <= rule->take_off_thrust;
  }
  if (!shown.not_in.empty()) paths.clear();
  out.path_estimated = !by_the_file && !paths.empty();
  if (out.path_estimated && c.departure.end.toda) {
    out.go = DistanceAgainst{screen, *c.departure.end.toda - c.departure.start, true};
  }
  out.take_off = std::move(shown);
  return paths;
}

}  // namespace

void add_engine_out_path(const Case& c, const aircraft::Performance& performance, const std::vector<FlownWorld>& worlds,
                         const FlownWorld& weakest, OneEngineOut& out, std::string& refusal) {
  const Asked asked(c, performance, worlds);
  add_distances(c, asked, out);
  out.path_begins_at_go = out.go.has_value();
  std::vector<EngineOutPath> paths = take_off_paths(c, performance, worlds, weakest, asked, out);
  if (paths.empty()) {
    for (const FlownWorld& w : worlds) {
      const Length begins = out.go ? asked.in(w, aircraft::accelerate_go_distance).value : w.distances.to_50ft;
      paths.push_back(straight_up(c, performance, w, begins, out.go.has_value(), refusal));
    }
  } else {
    out.path_begins_at_go = !out.path_estimated;
  }
  for (const EngineOutPath& path : paths) {
    out.path_begins = std::max(out.path_begins, path.gross.knots.front().distance);
  }
  out.obstacle_rule = c.policy.power_left.obstacles;
  out.obstacles_assessed = c.departure.track.legs.empty();
  if (out.obstacles_assessed) add_obstacles(c, paths, out);
}

}  // namespace backfield::decision
