#include "backfield/decision/windows.hpp"
#include "backfield/flight/glide_ahead.hpp"
#include "ground.hpp"
#include "vetoes.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::decision {
namespace {

constexpr double kNear_m = 50.0;  // margins below it are searched for holes between moments
// The strip of a runway is kept free of objects 30 m to each side at least (ICAO Annex 14, 3.4, code 1; from memory).
// What stands farther out is passed, as on every landing there.
constexpr Length kStrip = metres(30);
constexpr Length kNeverDown = metres(1e9);  // the runway falls as steeply as the glide

/// Distance along the departure runway from its pavement start.
double along_runway(const earth::RunwayEnd& end, const flight::AirState& s) {
  const double t = end.track.angle().si();
  return (s.east_m - end.pavement_start.east.si()) * std::sin(t) +
         (s.north_m - end.pavement_start.north.si()) * std::cos(t);
}

/// Where the declared runway ends for a landing ahead, from the pavement start; none when nothing is declared.
std::optional<Length> runway_end(const earth::RunwayEnd& end) {
  if (end.lda) return end.displaced + *end.lda;
  if (end.tora) return *end.tora;
  return std::nullopt;
}

}  // namespace

LandAheadTrace land_ahead(const Case& c, const aircraft::Performance& performance, const FlownWorld& flown) {
  const earth::RunwayEnd& end = c.departure.end;
  LandAheadTrace trace;
  const std::optional<Length> limit = runway_end(end);
  if (!limit) {
    trace.not_assessed = "neither LDA nor TORA of the departure runway is stated";
    return trace;
  }
  const earth::WindComponents wind = earth::components(flown.world.surface_wind(), end.track);
  const aircraft::Conditions conditions = performance.conditions(flown.world.environment.air, end.elevation);
  const auto landing =
      aircraft::landing_distances(performance, conditions, {end.surface, end.slope, wind.headwind}, c.policy.stop);
  if (!landing.usable()) {
    trace.not_assessed = "landing distance: " + landing.axis + ", " + landing.end;
    return trace;
  }
  const Length on_ground = landing.value.air + landing.value.roll;
  const flight::GlideAhead glide({.performance = &performance,
                                  .technique = c.policy.technique,
                                  .model = c.policy.model,
                                  .environment = flown.world.environment,
                                  .datum = c.elevation,
                                  .track = end.track,
                                  .top = metres(flown.timeline.nodes().back().height_m)});
  const Length first_turn =
      c.departure.track.legs.empty() ? metres(1e9) : c.departure.track.legs.front().from_height.above_datum;
  // Heights are above where the aeroplane lifted off: downhill the runway has fallen from there on; that it has risen
  // uphill is not counted.
  const Length roll = flown.distances.roll;
  struct Down {
    Length distance, ground_below;
  };
  const auto ahead = [&](const flight::AirState& s) -> Down {
    const double fall = std::max(0.0, -end.slope);
    const Length level = glide.distance(s);
    if (fall == 0.0) return {level, Length{}};
    // How far it falls depends on how far is glided: below the runway a glide is a straight line, so in closed form.
    const double growth = (glide.distance(s, metres(1)) - level).si() * fall;
    if (growth >= 1.0) return {kNeverDown, Length{}};
    const Length flown_so_far = metres(s.ground_distance_m) - roll;
    const Length distance = (level + flown_so_far * growth) / (1.0 - growth);
    const Length below = (flown_so_far + distance) * fall;
    return {std::max(distance, glide.distance(s, below)), below};
  };
  std::optional<flight::Hazards> near;
  std::optional<flight::Hazards> in_the_way;
  if (!c.ground.empty()) {
    near.emplace(c.ground, c.policy.clearance, c.elevation);
    flight::ClearanceRule strip = c.policy.clearance;
    strip.beside_obstacles = std::min(strip.beside_obstacles, kStrip);
    in_the_way.emplace(c.ground, strip, c.elevation);
  }
  const flight::AtRunway runway = below_the_climb(c);
  const auto upper_edge = [&](Length last_metre) {
    const Judge judge = [&](Duration t) {
      const flight::AirState s = flown.timeline.at(t);
      // Once the departure turns, the runway is no longer ahead.
      if (s.height_m > first_turn.si()) return Verdict{false, -1e9, Limit::reach};
      const Down down = ahead(s);
      const double left = last_metre.si() - along_runway(end, s) - down.distance.si() - on_ground.si();
      if (left < 0.0 || !near) return Verdict{left >= 0.0, left, Limit::stop};
      const std::vector<flight::WayPoint> way = glide.way(s, down.ground_below);
      const auto at_edge = [&](const flight::Clearance& clearance) {
        const double margin = clearance.margin.si();
        return Verdict{true, margin < kNear_m ? std::min(left, margin) : left, Limit::stop};
      };
      flight::Clearance passed = near->along(way, &runway);
      if (passed.clear()) return at_edge(passed);
      flight::Clearance clearance = in_the_way->along(way, &runway);
      const double margin = clearance.margin.si();
      if (clearance.clear()) {
        near->explain(way, passed, &runway);
        trace.passed.push_back({metres(s.height_m), passed});
        return at_edge(clearance);
      }
      in_the_way->explain(way, clearance, &runway);
      trace.not_clear.push_back({metres(s.height_m), clearance});
      return Verdict{false, margin, Limit::clearance};
    };
    const std::vector<Duration> times = moments(flown.timeline);
    std::vector<Verdict> verdicts;
    verdicts.reserve(times.size());
    for (const Duration t : times) verdicts.push_back(judge(t));
    return windows(flown.timeline, times, verdicts, judge, kNear_m);
  };
  const auto heights = [&](const std::vector<Span>& spans) -> std::optional<Interval<Length>> {
    if (spans.empty()) return std::nullopt;
    // Of pieces (an obstacle that the glide would pass too near to lies between) only the first is flown by.
    return Interval<Length>{metres(flown.timeline.at(spans.front().times.low).height_m),
                            metres(flown.timeline.at(spans.front().times.high).height_m)};
  };
  const std::vector<Span> spans = upper_edge(*limit);
  trace.heights = heights(spans);
  if (trace.heights) {
    trace.lower = spans.front().lower;
    trace.upper = spans.front().upper;
  }
  if (end.asda && end.tora && *end.asda > *end.tora) {
    const std::vector<LandAheadTrace::NotClear> not_clear = trace.not_clear;
    const std::vector<LandAheadTrace::NotClear> passed = trace.passed;
    if (const auto with = heights(upper_edge(*limit + (*end.asda - *end.tora)))) trace.upper_with_stopway = with->high;
    trace.not_clear = not_clear;
    trace.passed = passed;
  }
  return trace;
}

LandAhead combine(const Case& c, const std::vector<FlownWorld>& worlds, const std::vector<LandAheadTrace>& traces) {
  LandAhead answer;
  VetoGathering gathering(c.ground);
  VetoGathering passed(c.ground);
  for (const LandAheadTrace& t : traces) {
    for (const LandAheadTrace::NotClear& moment : t.not_clear) gathering.add(moment.height, moment.clearance);
    for (const LandAheadTrace::NotClear& moment : t.passed) passed.add(moment.height, moment.clearance);
  }
  answer.vetoes = gathering.all();
  answer.passed = passed.all();
  Limit lower = Limit::stop;
  std::optional<Interval<Length>> common = Interval<Length>{metres(0), metres(1e9)};
  for (std::size_t i = 0; i < worlds.size(); ++i) {
    const LandAheadTrace& t = traces[i];
    if (!t.not_assessed.empty()) {
      answer.not_assessed = t.not_assessed;
      return answer;
    }
    answer.by_world.emplace_back(worlds[i].world.name, t.heights);
    if (t.upper_with_stopway) {
      answer.upper_with_stopway = std::min(answer.upper_with_stopway.value_or(metres(1e9)), *t.upper_with_stopway);
    }
    if (!common) continue;
    if (t.heights && t.heights->high < common->high) {
      answer.upper_world = worlds[i].world.name;
      answer.upper = t.upper == Limit::clearance ? Limit::clearance : Limit::stop;
    }
    if (t.heights && t.heights->low > common->low && t.lower == Limit::clearance) lower = Limit::clearance;
    if (!t.heights) answer.upper_world = worlds[i].world.name;
    common = t.heights ? intersect(*common, *t.heights) : std::nullopt;
  }
  if (!common) return answer;
  const flight::Timeline& plan = worlds.front().timeline;
  answer.heights = common;
  answer.times = {plan.when_at_height(common->low).value_or(plan.begin()),
                  plan.when_at_height(common->high).value_or(plan.end())};
  answer.lower = common->low.si() > 0.5 ? lower : Limit::lift_off;
  const bool turns = !c.departure.track.legs.empty();
  if (turns && common->high >= c.departure.track.legs.front().from_height.above_datum - feet(2)) {
    answer.upper = Limit::reach;
  }
  return answer;
}

}  // namespace backfield::decision
