#include "approach.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

// How far off the axis, and by how much height, the last correction of a straight may start; the rest of the path is
// then moved along the straight as it is.
constexpr double kClose_m = 1.0;
constexpr double kCloseHeight_m = 0.05;
constexpr int kLooks = 12;              // at most, for that; of them ...
constexpr int kPlainLooks = 4;          // ... until the next are by secant
constexpr double kLeastSecant = 0.1;    // of what the straight alone moves across
constexpr double kNearLimit_m = 5.0;    // of height, that the tables may take an alignment for too high by
constexpr double kOnAxis_m = 0.005;     // how near a secant in the heading tries to come ...
constexpr double kNearEnough_m = 0.05;  // ... and what will do: where the number of steps changes, flights jump

/// Motion over the ground on a straight through `p`, across a target's axis (right +) and in all; and the sink rate.
struct Crossing {
  double speed = 0.0, sink = 0.0, east = 0.0, north = 0.0;
};
Crossing crossing(const Glider& glider, const PathFinder::Target& target, const Point& p) {
  const auto r = glider.rates(p.h, p.s, p.c, glider.level());
  const double east = r.V * r.cos_gamma * p.s + r.air.wind_east;
  const double north = r.V * r.cos_gamma * p.c + r.air.wind_north;
  return {target.across(east, north), r.V * r.sin_gamma, east, north};
}

/// A path, or one that the tables may take for no path.
bool worth_flying(const Connection& about) {
  return about.on_axis || (about.too_high > 0.0 && about.too_high < kNearLimit_m);
}

}  // namespace

double Approach::line_up(const PathFinder::Target& target, const Connection& c, Point& p,
                         std::vector<Segment>* segments) const {
  const double end = target.track + crab_on(*glider_, target.s, target.c, c.crab_height);
  const double change = turn_in_sense(p.psi, end, c.last_sense);
  if (change > 0.0) {
    fly_turn(*glider_, plan_turn(*glider_, style_->line_up, change, p.h), c.last_sense, p, segments);
  }
  return change;
}

Connection Approach::by_heading(const Leaf& leaf, int first_sense, int last_sense,
                                const PathFinder::Target& target) const {
  Connection c = screen_->by_heading(leaf, first_sense, last_sense, target);
  if (!worth_flying(c)) return c;
  c.crab_height = c.alignment + target.elevation;
  const double about = c.last;
  double time = c.straight_time;
  c.on_axis = false;
  c.too_high = 0.0;
  c.surplus = kNoSurplus;
  double time_before = 0.0;
  double off_before = 0.0;
  for (int i = 0; i < kLooks; ++i) {
    Point p = leaf.p;
    glider_->straight(p, glider_->level(), time);
    const Crossing here = crossing(*glider_, target, p);
    c.last = line_up(target, c, p, nullptr);
    if (std::abs(here.speed) < 0.5 * kSlowestApproach_mps) return c;
    const double off = target.across(p);
    double correction = -off / here.speed;
    // Nearly parallel to the runway the wind that carries the line-up turn along counts as much as the straight.
    if (i >= kPlainLooks && time != time_before) {
      const double secant = (off - off_before) / (time - time_before);
      if (secant * here.speed > kLeastSecant * here.speed * here.speed) correction = -off / secant;
    }
    time_before = time;
    off_before = off;
    time += correction;
    if (time < 0.0) return c;
    if (std::abs(off) > kClose_m || std::abs(correction) * here.sink > kCloseHeight_m) continue;
    if (std::abs(c.last - about) > kPi) return c;
    c.straight_time = time;
    judge(c, target.along(p.e - target.e0 + here.east * correction, p.n - target.n0 + here.north * correction),
          p.h - here.sink * correction - target.elevation, target);
    return c;
  }
  return c;
}

Connection Approach::by_time(const PathFinder::Fan& fan, const Connection& about,
                             const PathFinder::Target& target) const {
  Connection c = about;
  c.on_axis = false;
  c.too_high = 0.0;
  c.surplus = kNoSurplus;
  c.crab_height = about.alignment + target.elevation;
  Point end;
  const auto off = [&](double change) {
    end = fan.leaf(c.first_sense, change, nullptr).p;
    glider_->straight(end, glider_->level(), c.straight_time);
    c.last = line_up(target, c, end, nullptr);
    return target.across(end);
  };
  const double per_radian = c.first_sense * glider_->level_cas() * c.straight_time * (c.towards ? 1.0 : -1.0);
  const Parallel nearby{about.first, about.first, per_radian, 8, kOnAxis_m, kNearEnough_m};
  const auto change = onto_axis(nearby, fan, c.first_sense, off);
  // A circle more or less is another path.
  if (!change || std::abs(c.last - about.last) > kPi) return c;
  c.first = *change;
  judge(c, target.along(end), end.h - target.elevation, target);
  return c;
}

Connection Approach::again(const PathFinder::Fan& fan, const PathFinder::Target& target, const Connection& like,
                           double value) const {
  switch (like.parameter) {
    case Parameter::heading:
      return by_heading(fan.leaf(like.first_sense, value, nullptr), like.first_sense, like.last_sense, target);
    case Parameter::straight_time: {
      const Connection about = screen_->again(fan, target, like, value);
      return worth_flying(about) ? by_time(fan, about, target) : about;
    }
    case Parameter::delay:
      return delayed(by_heading(fan.leaf_after(value, like.first_sense, like.first, nullptr), like.first_sense,
                                like.last_sense, target),
                     value);
  }
  return {};
}

}  // namespace backfield::flight
