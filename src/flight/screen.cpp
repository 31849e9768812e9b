#include "screen.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

namespace backfield::flight {
namespace {

constexpr double kClose_m = 1.0;   // of height: where a last correction of an end may start
constexpr double kOnAxis_m = 2.0;  // across
constexpr int kLooks = 8;
constexpr int kHalvings = 12;         // after that, between two ends that miss the axis to either side
constexpr double kMuchCrab = 0.1;     // radians
constexpr double kLeastSecant = 0.1;  // of what the straight alone would move across

}  // namespace

Connection Screen::by_heading(const Leaf& leaf, int first_sense, int last_sense, const PathFinder::Target& target,
                              double worth) const {
  const Point& p = leaf.p;
  const LineUpTable& turns = target.line_up;
  const auto from = [&](double end) { return by_heading(leaf, first_sense, last_sense, target, worth, end); };
  const double turn = turn_in_sense(p.psi, target.track, last_sense);
  const double crab = turns.crab(p.h);
  Connection too_high;
  if (turn > kPi) {
    // A turn that crab makes once round or next to nothing, by the height at which it ends: two paths of one heading.
    const double slight = turn_in_sense(p.psi, target.track + crab, last_sense);
    if (slight < kPi) {
      const Connection c = from(p.h - turns.loss_per_radian() * slight);
      if (c.on_axis) return c;
      too_high = c;
    }
  }
  const Connection c = from(p.h - turns.loss_per_radian() * turn);
  if (c.on_axis || c.sunk) return c;
  if (too_high.too_high > 0.0) return too_high;
  if (c.too_high > 0.0) return c;
  // Where crab differs much between the begin of the straight and the runway, looks from above may lead nowhere.
  const double low = target.elevation + target.least_height;
  if (std::abs(turns.crab(low) - crab) < kMuchCrab) return c;
  const Connection from_below = from(low);
  return from_below.on_axis || from_below.too_high > 0.0 ? from_below : c;
}

Connection Screen::by_heading(const Leaf& leaf, int first_sense, int last_sense, const PathFinder::Target& target,
                              double worth, double end) const {
  Connection c;
  c.first = leaf.change;
  c.first_sense = first_sense;
  c.last_sense = last_sense;
  const Point& p = leaf.p;
  const LineUpTable& turns = target.line_up;
  const StraightTable::Heading heading = straights_->heading(p.s, p.c);
  const StraightTable::Amount top = straights_->read(p.h, heading).covered;
  const double across = target.across(p) + target.across(top.east, top.north);
  double end_before = 0.0;
  double off_before = 0.0;
  std::array<std::optional<double>, 2> beside;  // the last end on either side of the axis
  for (int i = 0; i < kLooks + kHalvings; ++i) {
    c.last = turn_in_sense(p.psi, target.track + turns.crab(end), last_sense);
    const LineUpTable::Begin begin = turns.begin(end, c.last, last_sense);
    if (i == 0) c.off_at_once = target.across(p) - begin.across;
    const StraightTable::Reading bottom = straights_->read(end + begin.rise, heading);
    const double moving = target.across(bottom.per_metre.east, bottom.per_metre.north);
    if (std::abs(moving) < kSlowestApproach_mps * bottom.per_metre.time) return c;
    const double off = across - target.across(bottom.covered.east, bottom.covered.north) - begin.across;
    // The wind carries the turn along, more or less of it with the height it ends at: by secant, once two looks tell.
    double per_metre = moving;
    if (i > 0 && end != end_before) {
      const double secant = (off_before - off) / (end - end_before);
      if (secant * moving > kLeastSecant * moving * moving) per_metre = secant;
    }
    const double correction = off / per_metre;
    end_before = end;
    off_before = off;
    end += correction;
    if (!(end > target.elevation - kDeepest_m) || end > p.h + kDeepest_m) return c;
    if (i > 0 && end - target.elevation < worth) {
      c.sunk = true;
      return c;
    }
    if (std::abs(correction) > kClose_m) {
      beside[off > 0.0 ? 1 : 0] = end_before;
      if (i + 1 < kLooks) continue;
      if (!beside[0] || !beside[1]) return c;
      end = 0.5 * (*beside[0] + *beside[1]);
      continue;
    }
    c.straight_time = top.time - bottom.covered.time - bottom.per_metre.time * correction;
    // What the straight makes good, or would have to take back, tells better than the first look.
    c.off_at_once = -moving / bottom.per_metre.time * c.straight_time;
    if (c.straight_time < 0.0) return c;
    const double east = top.east - bottom.covered.east - bottom.per_metre.east * correction;
    const double north = top.north - bottom.covered.north - bottom.per_metre.north * correction;
    judge(c, target.along(p) + target.along(east, north) - begin.along, end - target.elevation, target);
    return c;
  }
  return c;
}

Connection Screen::by_time(const PathFinder::Fan& fan, int first_sense, int last_sense, double time, bool towards,
                           const PathFinder::Target& target, const Connection* near) const {
  Connection c;
  c.first_sense = first_sense;
  c.last_sense = last_sense;
  c.straight_time = time;
  c.parameter = Parameter::straight_time;
  c.towards = towards;
  const LineUpTable& turns = target.line_up;
  const double change0 = parallel(fan, first_sense, towards, target);
  double place = 0.0;
  double end = 0.0;
  double more = 0.0;
  bool wrong_way = false;
  const auto off = [&](double change) {
    const Leaf leaf = fan.leaf_about(first_sense, change);
    const Point& p = leaf.p;
    const StraightTable::Heading heading = straights_->heading(p.s, p.c);
    const StraightTable::Reading top = straights_->read(p.h, heading);
    double height = p.h - time / top.per_metre.time;
    StraightTable::Reading bottom = straights_->read(height, heading);
    height += (top.covered.time - bottom.covered.time - time) / bottom.per_metre.time;
    bottom = straights_->read(height, heading);
    // How much more the turn takes than its share of a circle hardly changes from look to look.
    LineUpTable::Begin begin{};
    // Not once round: the secant shall see what lies on the other side of no turn at all, not a jump.
    const auto last_at = [&](double at) {
      c.last = turn_in_sense(p.psi, target.track + turns.crab(at), last_sense);
      wrong_way = c.last > 2.0 * kPi - kFarthestFromParallel;
      if (wrong_way) c.last = 0.0;
    };
    last_at(height);
    const double share = turns.loss_per_radian() * c.last;
    end = height - share - more;
    for (int i = 0; i < 2; ++i) {
      last_at(end);
      begin = turns.begin(end, c.last, last_sense);
      const double moved = height - begin.rise - end;
      end += moved;
      if (std::abs(moved) < kClose_m) break;
    }
    more = begin.rise - share;
    const double east = top.covered.east - bottom.covered.east;
    const double north = top.covered.north - bottom.covered.north;
    place = target.along(p) + target.along(east, north) - begin.along;
    return target.across(p) + target.across(east, north) - begin.across;
  };
  // One radian of heading is worth about the length of the straight.
  const double per_radian = first_sense * level_cas_ * time * (towards ? 1.0 : -1.0);
  // What the straight has to make good across stays about the same, so its angle goes with one over its duration.
  const bool like = near != nullptr && near->on_axis && near->parameter == Parameter::straight_time &&
                    near->first_sense == first_sense && near->last_sense == last_sense && near->towards == towards;
  const double angle = like ? std::remainder(near->first - change0, 2.0 * kPi) * near->straight_time / time : 0.0;
  const auto find = [&](double about, double start) -> std::optional<double> {
    const Parallel parallel_straight{about, std::max(0.0, start), per_radian, 6, kOnAxis_m, kOnAxis_m};
    const auto found = onto_axis(parallel_straight, fan, first_sense, off);
    return wrong_way ? std::nullopt : found;
  };
  // A little short of once round is a little the other way: straight on, or nearly so, serves where that would.
  std::array<double, 2> about{change0, change0 - 2.0 * kPi};
  if (like) {
    // The one it was near, first.
    const double was = near->first - std::remainder(near->first - change0, 2.0 * kPi);
    about = {was, was > change0 - kPi ? was - 2.0 * kPi : change0};
  }
  std::optional<double> change;
  for (const double a : about) {
    if (!change && a > -kFarthestFromParallel) change = find(a, a + angle);
  }
  // Far from parallel, in much shear, the angle may hardly depend on the duration.
  if (!change && like) change = find(about[0], near->first);
  if (!change) return c;
  c.first = *change;
  judge(c, place, end - target.elevation, target);
  return c;
}

double Screen::parallel(const PathFinder::Fan& fan, int first_sense, bool towards, const PathFinder::Target& target) {
  // Along the runway's track the nose points into the wind. The same for the reciprocal is not in the table.
  const double heading = towards ? target.track + target.line_up.crab(fan.entry_ends()[0].h) : target.track + kPi;
  return turn_in_sense(fan.failure().heading_rad, heading, first_sense);
}

double Screen::off_at_once(const Leaf& leaf, int last_sense, const PathFinder::Target& target) {
  const Point& p = leaf.p;
  const LineUpTable& turns = target.line_up;
  double end = p.h - turns.loss_per_radian() * turn_in_sense(p.psi, target.track, last_sense);
  LineUpTable::Begin begin{};
  for (int i = 0; i < kLooks; ++i) {
    begin = turns.begin(end, turn_in_sense(p.psi, target.track + turns.crab(end), last_sense), last_sense);
    const double before = std::exchange(end, p.h - begin.rise);
    if (std::abs(end - before) < kClose_m) break;
  }
  return target.across(p) - begin.across;
}

double Screen::time_down(const Point& p, double height) const {
  const StraightTable::Heading heading = straights_->heading(p.s, p.c);
  return std::max(0.0, straights_->read(p.h, heading).covered.time - straights_->read(height, heading).covered.time);
}

Connection Screen::again(const PathFinder::Fan& fan, const PathFinder::Target& target, const Connection& like,
                         double value) const {
  switch (like.parameter) {
    case Parameter::heading:
      return by_heading(fan.leaf_about(like.first_sense, value), like.first_sense, like.last_sense, target);
    case Parameter::straight_time:
      return by_time(fan, like.first_sense, like.last_sense, value, like.towards, target, &like);
    case Parameter::delay:
      return delayed(by_heading(fan.leaf_after(value, like.first_sense, like.first, nullptr), like.first_sense,
                                like.last_sense, target),
                     value);
  }
  return {};
}

}  // namespace backfield::flight
