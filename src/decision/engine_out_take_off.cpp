#include "engine_out_take_off.hpp"

#include "counted_wind.hpp"
#include "engine_out_climb.hpp"

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

/// The runway of the departure as one world has it, and the wind that counts.
aircraft::RollSurface rolled_on(const Case& c, const FlownWorld& w) {
  const earth::RunwayEnd& end = c.departure.end;
  return {end.surface, end.slope, counted_headwind(c, w, end.track)};
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

void add_accelerate_stop(const Case& c, const Asked& asked, OneEngineOut& out) {
  const earth::RunwayEnd& end = c.departure.end;
  if (c.aircraft.one_engine_out->accelerate_stop.stated()) {
    out.stop = asked.longest(aircraft::accelerate_stop_distance, end.asda, out.stop_beyond);
  } else {
    out.stop = asked.longest(aircraft::estimated_accelerate_stop, end.asda, out.stop_beyond);
    if (out.stop) out.stop->estimated = true;
  }
}

/// The day of one world; `why_not` says which table ends before it.
aircraft::TakeOffPathDay day_of(const Case& c, const aircraft::Performance& performance, const FlownWorld& w,
                                const aircraft::TakeOffPathRule& rule, std::string& why_not) {
  const aircraft::OneEngineOut& file = *c.aircraft.one_engine_out;
  const auto air = [&](Length height) {
    return performance.conditions(w.world.environment.air.with(c.policy.model.density),
                                  c.elevation + earth::Height{height});
  };
  aircraft::TakeOffPathDay day;
  day.ground = performance.conditions(w.world.environment.air, c.elevation);
  const auto all_engines = aircraft::take_off_distances(performance, day.ground, rolled_on(c, w), c.policy.stop);
  if (!all_engines.usable()) why_not = "take-off distance: " + all_engines.axis + ", " + all_engines.end;
  day.all_engines = all_engines.value;
  day.accelerating = air(file.acceleration_height.value_or(rule.acceleration_height));
  day.ends = air(rule.ends_at);
  day.headwind = counted_headwind_aloft(c, w, c.departure.end.track);
  day.climb_factor = w.world.climb_factor;
  day.net_decrement = c.policy.power_left.net_decrement.take_off.at(file.engines);
  return day;
}

/// Where one world's path is 50 ft high, and the height that gear and propeller cost after it.
struct FiftyFeet {
  Length distance, lost;
};

FiftyFeet by_the_file(const Case& c, const aircraft::Performance& performance, const FlownWorld& w, Length go) {
  const aircraft::OneEngineOut& file = *c.aircraft.one_engine_out;
  std::string why_not;
  const aircraft::TakeOffPathDay day = day_of(c, performance, w, {}, why_not);
  const Duration left = why_not.empty() ? aircraft::clean_up_left(performance, day, go) : file.clean_up;
  return {go, (file.lost_gear_down + file.lost_unfeathered) * left};
}

/// By the file's accelerate-go or, for an aeroplane without v_1, by an estimate of it; empty where in one of the worlds
/// there is neither. An aeroplane that states v_1 has the estimate in its take-off path.
std::vector<FiftyFeet> fifty_feet_in(const Case& c, const aircraft::Performance& performance,
                                     const std::vector<FlownWorld>& worlds, const Asked& asked, OneEngineOut& out) {
  const auto& rule = c.policy.power_left.take_off_path;
  const bool stated = c.aircraft.one_engine_out->accelerate_go.stated();
  std::vector<FiftyFeet> starts;
  if (!stated && (performance.v_1() || !rule)) return starts;
  DistanceAgainst go{{}, {}, !stated};
  for (const FlownWorld& w : worlds) {
    if (stated) {
      const auto book = asked.in(w, aircraft::accelerate_go_distance);
      if (!book.usable()) out.go_beyond = why(book);
      starts.push_back(book.usable() ? by_the_file(c, performance, w, book.value) : FiftyFeet{});
    } else {
      aircraft::EstimatedGo made_up;
      const aircraft::TakeOffPathDay day = day_of(c, performance, w, *rule, made_up.why_not);
      if (made_up.why_not.empty()) made_up = aircraft::estimated_accelerate_go(performance, day, *rule);
      if (!made_up.distance) out.go_beyond = made_up.why_not + " (world " + w.world.name + ")";
      out.go_impossible = !made_up.climbs;
      starts.push_back({made_up.distance.value_or(Length{}), made_up.lost});
    }
    if (!out.go_beyond.empty()) return {};
    go.needed = std::max(go.needed, starts.back().distance);
  }
  if (c.departure.end.toda) {
    go.available = *c.departure.end.toda - c.departure.start;
    out.go = go;
  }
  return starts;
}

/// On all engines: the failure is not before 50 ft, and it is clean only after a while.
FiftyFeet on_all_engines(const Case& c, const aircraft::Performance& performance, const FlownWorld& w) {
  const aircraft::OneEngineOut& file = *c.aircraft.one_engine_out;
  const auto distances = aircraft::take_off_distances(
      performance, performance.conditions(w.world.environment.air, c.elevation), rolled_on(c, w), c.policy.stop);
  return {distances.usable() ? std::max(distances.value.to_50ft, w.distances.to_50ft) : w.distances.to_50ft,
          (file.lost_gear_down + file.lost_unfeathered) * file.clean_up};
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
    aircraft::TakeOffPathDay day;
    if (path.why_not.empty()) day = day_of(c, performance, w, *rule, path.why_not);
    day.accelerate_go = go;
    if (path.why_not.empty()) path = aircraft::take_off_path(performance, day, *rule);
    if (!path.reaches_screen() && shown.not_in.empty()) shown.not_in = w.world.name;
    for (const aircraft::TakeOffPoint& p : path.points) {
      if (p.what == aircraft::TakeOffMark::screen) screen = std::max(screen, p.distance);
    }
    paths.push_back({path.gross, path.net, counted_headwind_aloft(c, w, c.departure.end.track)});
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
  add_accelerate_stop(c, asked, out);
  const std::vector<FiftyFeet> by_go = fifty_feet_in(c, performance, worlds, asked, out);
  out.path_begins_at_go = !by_go.empty();
  out.go_estimated = !by_go.empty() && !c.aircraft.one_engine_out->accelerate_go.stated();
  const std::vector<Profiles> from_v_1 = take_off_paths(c, performance, worlds, weakest, asked, out);
  if (!from_v_1.empty()) out.path_begins_at_go = !out.path_estimated;
  std::vector<EngineOutClimb> climbs;
  for (std::size_t i = 0; i < worlds.size(); ++i) {
    const FlownWorld& w = worlds[i];
    EngineOutClimb climb = steady_climb(c, performance, w, refusal);
    if (!from_v_1.empty()) {
      climb.gross = from_v_1[i].gross;
      climb.net = from_v_1[i].net;
      climb.headwind = from_v_1[i].headwind;
      climb.begins = climb.gross->knots.front().distance;
      lower(*climb.gross, fallen(c, climb.begins));
      lower(*climb.net, fallen(c, climb.begins));
    } else {
      const FiftyFeet start = by_go.empty() ? on_all_engines(c, performance, w) : by_go[i];
      climb.begins = start.distance;
      climb.lost = start.lost + fallen(c, climb.begins);
      add_thinning_air(c, performance, climb);
    }
    out.path_begins = std::max(out.path_begins, climb.begins);
    climbs.push_back(std::move(climb));
  }
  out.obstacle_rule = c.policy.power_left.obstacles;
  if (refusal.empty() && out.reaches_v_2()) look_at_ground(c, climbs, out);
}

}  // namespace backfield::decision
