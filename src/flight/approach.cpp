#include "approach.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr double kSlowestApproach_mps = 1.0;  // cross-track speed below which a straight counts as parallel
// How far off the axis the last correction of a straight may start, and how near a secant has to come.
constexpr double kClose_m = 1.0;  // the rest is exact to millimetres
constexpr double kRoughlyClose_m = 40.0;
constexpr double kOnAxis_m = 0.05;
constexpr double kRoughlyOnAxis_m = 5.0;
constexpr double kFarthestFromParallel = 1.2;  // radians
// A straight that would end so far below the runway serves nobody; it only bounds the arithmetic.
constexpr double kDeepest_m = 1000.0;

/// Motion over the ground across a target's axis (right +) on a straight through `p`, and the sink rate.
struct Crossing {
  double speed = 0.0, sink = 0.0, east = 0.0, north = 0.0;
};
Crossing crossing(const Glider& glider, const PathFinder::Target& target, const Point& p) {
  const auto r = glider.rates(p.h, p.s, p.c, glider.level());
  const double east = r.V * r.cos_gamma * p.s + r.air.wind_east;
  const double north = r.V * r.cos_gamma * p.c + r.air.wind_north;
  return {east * target.c - north * target.s, r.V * r.sin_gamma, east, north};
}

}  // namespace

double turn_in_sense(double from, double to, int sense) {
  const double turns = sense * (to - from) * (0.5 / kPi);
  const double turn = (turns - std::floor(turns)) * 2.0 * kPi;
  return turn > 2.0 * kPi - 1e-7 ? 0.0 : turn;
}

PathFinder::Target::Target(const Goal& goal, const Glider& glider, earth::Altitude datum, double top)
    : final(glider, goal.track.angle().si(), (goal.elevation - datum).above_datum.si(), top),
      e0(goal.threshold.east.si()),
      n0(goal.threshold.north.si()),
      track(goal.track.angle().si()),
      s(std::sin(track)),
      c(std::cos(track)),
      elevation((goal.elevation - datum).above_datum.si()),
      aim_low(goal.aim.low.si()),
      aim_high(goal.aim.high.si()),
      least_height(goal.alignment_height.si()) {}

Approach::Approach(const Glider& glider, const Glider& rough, const Style& style)
    : glider_(&glider), rough_(&rough), style_(&style) {
  Point p;
  glider.turn(p, style.line_up.held, 1.0);
  line_up_loss_ = -p.h;
}

double Approach::time_to_ground(const Point& p, const PathFinder::Target& target) const {
  return std::max(0.0, p.h - target.elevation) / crossing(*glider_, target, p).sink;
}

double Approach::line_up(const Glider& glider, const PathFinder::Target& target, int sense, Point& p,
                         std::vector<Segment>* segments) const {
  // Crab depends on the wind at the height where the turn ends, which is known well enough before it is flown: ten feet
  // more or less turn the heading by hundredths of a degree.
  const double about = turn_in_sense(p.psi, target.track, sense);
  const double end_height = p.h - line_up_loss_ * about;
  const double change = turn_in_sense(p.psi, target.track + crab_on(glider, target.s, target.c, end_height), sense);
  if (change > 0.0) fly_turn(glider, plan_turn(glider, style_->line_up, change, p.h), sense, p, segments);
  return change;
}

double Approach::first_guess(const PathFinder::Target& target, int sense, const Point& p, double cross_speed) const {
  // The line-up turn as a circle in the air of one height.
  const HeldBank& bank = style_->line_up.held;
  const double change = turn_in_sense(p.psi, target.track + crab_on(*glider_, target.s, target.c, p.h), sense);
  const auto r = glider_->rates(p.h, target.s, target.c, bank.trim);
  const double per_radian = bank.radius_per_V2 * r.V;
  const double radius = sense * r.V * r.cos_gamma * per_radian;
  const double psi = p.psi + sense * change;
  const double time = change * per_radian;
  const double east = radius * (p.c - std::cos(psi)) + r.air.wind_east * time;
  const double north = radius * (std::sin(psi) - p.s) + r.air.wind_north * time;
  return -(target.across(p) + east * target.c - north * target.s) / cross_speed;
}

void Approach::judge(Connection& c, const Point& end, const PathFinder::Target& target) const {
  if (end.h - target.elevation > target.final.flyable_up_to()) return;
  c.on_axis = true;
  c.alignment = end.h - target.elevation;
  const double place = target.along(end);
  const double need = std::max(target.least_height, target.final.height_for(std::max(0.0, target.aim_low - place)));
  c.aim = place + target.final.distance(std::max(0.0, c.alignment));
  // With the reserve still in hand the aim may lie no farther.
  if (place + target.final.distance(need + kReserve_m) <= target.aim_high + 1e-6) c.surplus = c.alignment - need;
}

Connection Approach::by_heading(const Leaf& leaf, int first_sense, int last_sense, const PathFinder::Target& target,
                                Care care) const {
  const Glider& g = glider(care);
  const double close = care == Care::exact ? kClose_m : kRoughlyClose_m;
  Connection c;
  c.first = leaf.change;
  c.first_sense = first_sense;
  c.last_sense = last_sense;
  const Crossing start = crossing(g, target, leaf.p);
  if (std::abs(start.speed) < kSlowestApproach_mps) return c;
  const double longest = (leaf.p.h - target.elevation + kDeepest_m) / start.sink;
  double time = first_guess(target, last_sense, leaf.p, start.speed);
  // The guess is good to a few per cent of the whole; a clearly negative one means the axis lies behind.
  if (time < -0.05 * longest || time > longest) return c;
  time = std::max(0.0, time);
  for (int i = 0; i < 8; ++i) {
    Point p = leaf.p;
    g.straight(p, g.level(), time);
    const Crossing here = g.medium().flat() ? start : crossing(g, target, p);
    c.last = line_up(g, target, last_sense, p, nullptr);
    if (std::abs(here.speed) < 0.5 * kSlowestApproach_mps) return c;
    const double off = target.across(p);
    const double correction = -off / here.speed;
    time += correction;
    if (time < 0.0 || time > longest) return c;
    if (std::abs(off) > close) continue;
    // So close, the rest of the path is moved along the straight as it is.
    p.e += here.east * correction;
    p.n += here.north * correction;
    p.h -= here.sink * correction;
    c.straight_time = time;
    judge(c, p, target);
    return c;
  }
  return c;
}

Leaf Approach::parallel_leaf(const PathFinder::Fan& fan, int first_sense, bool towards,
                             const PathFinder::Target& target) {
  const double parallel = towards ? target.track : target.track + kPi;
  return fan.leaf(first_sense, turn_in_sense(fan.failure().heading_rad, parallel, first_sense), nullptr);
}

Connection Approach::by_time(const PathFinder::Fan& fan, int first_sense, int last_sense, double time, bool towards,
                             const PathFinder::Target& target, Care care) const {
  const Glider& g = glider(care);
  const double close = care == Care::exact ? kOnAxis_m : kRoughlyOnAxis_m;
  Connection c;
  c.first_sense = first_sense;
  c.last_sense = last_sense;
  c.straight_time = time;
  c.parameter = Parameter::straight_time;
  c.towards = towards;
  const double parallel = towards ? target.track : target.track + kPi;
  const double change0 = turn_in_sense(fan.failure().heading_rad, parallel, first_sense);
  Point end;
  const auto off = [&](double change) {
    end = fan.leaf(first_sense, change, nullptr).p;
    g.straight(end, g.level(), time);
    c.last = line_up(g, target, last_sense, end, nullptr);
    return target.across(end);
  };
  // A secant in the heading, from exactly parallel: one radian of it is worth about the length of the straight.
  double x0 = change0;
  double y0 = off(x0);
  double slope = first_sense * g.best_glide_cas() * time * (towards ? 1.0 : -1.0);
  for (int i = 0; i < 7; ++i) {
    if (std::abs(y0) < close) {
      c.first = x0;
      judge(c, end, target);
      return c;
    }
    const double x1 = x0 - std::clamp(y0 / slope, -0.6, 0.6);
    if (x1 < 0.0 || x1 >= 2.0 * kPi || std::abs(x1 - change0) > kFarthestFromParallel ||
        !fan.same_entry(first_sense, x0, x1)) {
      return c;
    }
    const double y1 = off(x1);
    if (x1 != x0 && y1 != y0) slope = (y1 - y0) / (x1 - x0);
    x0 = x1;
    y0 = y1;
  }
  return c;
}

Connection Approach::by_delay(const PathFinder::Fan& fan, const PathFinder::Target& target, const Connection& like,
                              double delay, Care care) const {
  const Leaf leaf = fan.leaf_after(delay, like.first_sense, like.first, nullptr);
  Connection c = by_heading(leaf, like.first_sense, like.last_sense, target, care);
  c.parameter = Parameter::delay;
  c.delay = delay;
  return c;
}

Connection Approach::again(const PathFinder::Fan& fan, const PathFinder::Target& target, const Connection& like,
                           double value, Care care) const {
  switch (like.parameter) {
    case Parameter::heading:
      return by_heading(fan.leaf(like.first_sense, value, nullptr), like.first_sense, like.last_sense, target, care);
    case Parameter::straight_time:
      return by_time(fan, like.first_sense, like.last_sense, value, like.towards, target, care);
    case Parameter::delay:
      return by_delay(fan, target, like, value, care);
  }
  return {};
}

}  // namespace backfield::flight
