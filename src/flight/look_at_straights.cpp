#include "family_end.hpp"
#include "looks.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr int kBeginLooks = 4;       // for the begin of a family
constexpr double kSinkAtMost = 1.2;  // times what a straight glide all the way sinks at

void look_at_straights(const Question& q, Found& found, int first, int last, bool towards) {
  const double parallel = Screen::parallel(q.fan, first, towards, q.target);
  const bool once_round = parallel > 2.0 * kPi - kFarthestFromParallel;
  const double least_turn = once_round ? 0.0 : std::max(0.0, parallel - kFarthestFromParallel);
  if (q.bound.at(q.fan.leaf_about(first, least_turn).p).spare() < found.nobody_cares_below()) return;
  // One step more than a straight that takes all the height which anybody cares for.
  const double floor = std::max(-q.target.least_height, found.nobody_cares_below());
  const double worth = found.worth_knowing();
  const Point begin = q.fan.entry_ends()[0];
  const double lowest = q.target.elevation + q.target.least_height + floor;
  const double longest = q.screen.time_down(begin, lowest);
  const double sink = kSinkAtMost * (begin.h - lowest) / longest;
  const auto follow = [&](const Connection& on, double without, int looks) {
    Connection best = on;
    halve_to_end(q, found, on, without, looks, [&](const Connection& before, const Connection& c) {
      if (Worth{}(c) > Worth{}(best)) best = c;
      const double left = sink * std::abs(before.straight_time - c.straight_time);
      const bool crossed = (before.surplus >= kReserve_m) != (c.surplus >= kReserve_m);
      return crossed || c.alignment + left < worth;
    });
    found.add_peak({best, std::min(on.value(), without), std::max(on.value(), without)});
  };
  found.begin_family();
  Connection near;
  double no_path = 0.0;  // since `near`
  for (double t = kShortestByTime_s; t < kTimeGrowth * longest; t *= kTimeGrowth) {
    const Connection c = q.screen.by_time(q.fan, first, last, t, towards, q.target, &near);
    found.take(c);
    if (!c.on_axis) {
      // Height to spare before a gap, or too far down the runway: a longer straight may land.
      if (no_path < near.straight_time && (found.decides(near) || too_far(near))) follow(near, t, kEndLooks);
      no_path = t;
      continue;
    }
    const auto may_be_better_from = [&](double since) {
      return c.surplus < kReserve_m && !found.side_of(c).lands && c.alignment + sink * (t - since) > worth;
    };
    if (no_path > near.straight_time) {
      // Where a family begins, or goes on after a gap, its shortest straight may be the best.
      if (too_far(near) || may_be_better_from(no_path)) follow(c, no_path, too_far(near) ? kEndLooks : kBeginLooks);
    } else if (near.on_axis && near.side() != c.side()) {
      // Both turns are alike in between, where one side's paths end and the other's begin.
      if (found.decides(near) || too_far(near)) follow(near, t, kEndLooks);
      if (found.decides(c) || too_far(c) || may_be_better_from(near.straight_time)) {
        follow(c, near.straight_time, kEndLooks);
      }
    }
    if (c.alignment < worth) break;
    near = c;
  }
}

}  // namespace

void look_at_straights(const Question& question, Found& found) {
  for (const bool towards : {false, true}) {
    for (const int first : {-1, 1}) {
      for (const int last : {-1, 1}) look_at_straights(question, found, first, last, towards);
    }
  }
}

}  // namespace backfield::flight
