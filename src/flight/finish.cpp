#include "finish.hpp"

#include "climb.hpp"
#include "later_turn.hpp"
#include "settle.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

namespace backfield::flight {
namespace {

constexpr double kNearCorner_m = 100.0;    // along the runway or the straight
constexpr double kCornerSpeed_mps = 40.0;  // about, on a straight
constexpr double kCornerSlope = 20.0;      // along the runway to down, about, on a final
constexpr double kDoubt_m = 1.0;           // of height, that the tables may take a corner for too low
constexpr double kOff_m = 0.3;             // of height, that a path from the tables may be off by
constexpr double kShort_m = 2.0 * kOff_m;  // more than that only beside a level at which the shear jumps
constexpr double kJumpStep = 0.05;         // steps along a family
constexpr int kJumpSteps = 12;
constexpr int kJumpHalvings = 5;

/// A path's surplus exactly. Where it ends just not too far down the runway, flying it may show it a little over: then
/// a neighbour will do. Off the axis: none is found.
Connection fly_about(const Question& q, Found& found, Best& side, const Connection& like) {
  Connection best;
  for (const double steps : {0.0, 0.1, -0.1, 0.3, -0.3, 1.0, -1.0, 3.0, -3.0}) {
    if (best.on_axis && std::abs(best.surplus - kReserve_m) > kInches_m) break;
    const double value = beside(like.parameter, like.value(), steps * kNudge);
    if (!exists(like.parameter, value)) continue;
    const Connection flown = q.fly(like, value);
    if (!flown.on_axis || flown.surplus == kNoSurplus || flown.side() != like.side()) continue;
    if (!best.on_axis || flown.surplus > best.surplus) best = flown;
    found.note(side, flown);
  }
  return best;
}

/// Where a turn ends beside a level at which the shear jumps, the tables place that jump a degree or so elsewhere, and
/// what lies between falls feet short of them when it is flown. To either side the first path that does not may be the
/// best.
void fly_past_jump(const Question& q, Found& found, Best& side) {
  const Connection from = side.best;
  const auto falls_short = [&](double value) -> std::optional<bool> {
    if (!exists(from.parameter, value)) return std::nullopt;
    const Connection about = q.read(from, value);
    const Connection flown = q.fly(from, value);
    if (!q.same_family(from, about) || !q.same_family(from, flown)) return std::nullopt;
    if (about.surplus == kNoSurplus || flown.surplus == kNoSurplus) return std::nullopt;
    found.note(side, flown);
    return about.surplus - flown.surplus > kShort_m;
  };
  const Connection tabled = q.read(from, from.value());
  if (tabled.surplus == kNoSurplus || from.surplus == kNoSurplus || tabled.surplus - from.surplus <= kShort_m) return;
  for (const double direction : {1.0, -1.0}) {
    double low = from.value();
    for (int i = 1; i <= kJumpSteps; ++i) {
      double high = beside(from.parameter, from.value(), direction * i * kJumpStep);
      const auto here = falls_short(high);
      if (!here) break;
      if (*here) {
        low = high;
        continue;
      }
      for (int k = 0; k < kJumpHalvings; ++k) {
        const double mid = 0.5 * (low + high);
        (falls_short(mid).value_or(true) ? low : high) = mid;
      }
      break;
    }
  }
}

/// A straight so short that its duration tells paths badly apart: the heading goes on from there, mostly to the path
/// without any straight.
std::optional<Peak> by_heading(const Question& q, const Connection& best) {
  constexpr double kBeside = 0.5;  // steps
  if (best.parameter != Parameter::straight_time || best.straight_time > kShortestByTime_s) return {};
  Connection like = best;
  like.parameter = Parameter::heading;
  const Connection c = q.read(like, like.value());
  if (!q.same_family(like, c)) return {};
  return Peak{c, beside(c.parameter, c.value(), -kBeside), beside(c.parameter, c.value(), kBeside)};
}

/// Beside a line-up turn of next to nothing lies the word that lines up to the other side. A finer look along the begin
/// of both.
void look_at_slight_line_ups(const Question& q, Found& found, const Connection& best) {
  constexpr double kSlight = 0.1;  // radians
  constexpr double kStep = 0.125;
  constexpr int kLooks = 12;
  if (best.last > kSlight || best.parameter == Parameter::delay) return;
  Connection like = best;
  like.parameter = Parameter::straight_time;
  like.towards = true;
  for (const int last_sense : {-1, 1}) {
    like.last_sense = last_sense;
    found.begin_family();
    for (int i = 0; i < kLooks; ++i) found.take(q.read(like, beside(like.parameter, best.straight_time, i * kStep)));
  }
}

/// The best often lies in a corner, which the tables place some metres off: where alignment comes just not too far down
/// the runway, just not too soon, or where nothing is left of the straight. Flown there.
void fly_to_corners(const Question& q, Found& found, Best& side) {
  const auto fly_to = [&](auto excess) {
    if (side.best.surplus == kNoSurplus || std::abs(excess(side.best)) > kNearCorner_m) return;
    Climb{q}.to_just_below(
        side.best, excess, [&](const Connection& c) { found.note(side, c); }, kDoubt_m);
  };
  fly_to([](const Connection& c) { return c.too_far; });
  fly_to([](const Connection& c) { return c.too_soon; });
  fly_to([](const Connection& c) { return -c.straight_time * kCornerSpeed_mps; });
  const double limit = q.target.final.clean().flyable_up_to();
  fly_to([&](const Connection& c) { return (c.alignment - limit) * kCornerSlope; });
}

/// Height to spare, and yet nothing that lands: what comes nearest to it is climbed.
void make_room(const Question& q, Found& found, Best& side) {
  const Room room{q.target.aim_high};
  const auto land = [&](const Connection& c) {
    if (side.lands || !within(c, q.target)) return;
    side.lands = true;
    side.landing = c;
    side.beyond = c.value();
  };
  const auto serves = [&](const Connection& about) {
    if (room(about) >= -kDoubt_m) land(Climb{q}.by_inches(about, room));
    return side.lands;
  };
  // Next to the farthest place to be aligned at, a little less height may do.
  if (room(side.best) > -kOff_m) {
    Climb{q}.to_just_below(
        side.best, [&](const Connection& c) { return c.aim - q.target.aim_high; }, land);
  }
  if (side.lands || serves(side.best)) return;
  for (const Peak& peak : found.landing_peaks()) {
    if (&found.side_of(peak.at) != &side || room(peak.at) < -found.first_look()) continue;
    const auto hopeless = [&](double value, double slack) { return value < -slack * found.first_look(); };
    if (serves(Climb{q}.in_tables(peak, room, hopeless))) return;
  }
}

/// The best of a few paths flown on either side of a top: where it is flat, the tables and what is flown may put the
/// best in two places.
Connection best_flown(const Question& q, const Connection& top) {
  Connection best = top;
  double most = kNoSurplus;
  for (const double steps : {0.0, 0.2, -0.2, 0.5, -0.5, 1.0, -1.0}) {
    const double value = beside(top.parameter, top.value(), steps);
    if (!exists(top.parameter, value)) continue;
    const Connection flown = q.fly(top, value);
    if (!q.same_family(top, flown) || flown.surplus <= most) continue;
    best = flown;
    most = flown.surplus;
  }
  return best;
}

/// The best of the tops. If flying it shows the tables to be far off, they may have put another above or below it.
void fly_tops(const Question& q, Found& found, Best& side, const std::vector<Connection>& tops) {
  const Connection tabled = side.best;
  const Connection flown = fly_about(q, found, side, tabled);
  if (flown.on_axis) side.best = flown;
  const double off = std::abs(Worth{}(side.best) - Worth{}(tabled));
  fly_past_jump(q, found, side);
  if (off <= kShort_m) return;
  const double before = side.best.surplus;
  const double least = Worth{}(tabled) - (2.0 * off);
  for (const Connection& top : tops) {
    if (Worth{}(top) >= least) fly_about(q, found, side, top);
  }
  if (side.best.surplus > before) fly_past_jump(q, found, side);
}

}  // namespace

void refine(const Question& q, Found& found, Best& side) {
  // A coarse look may leave the wrong one of two peaks ahead: all that come near are climbed, then the best is flown.
  const double near = Worth{}(side.best) - found.first_look();
  std::vector<Connection> tops;
  const auto climb = [&](const Peak& peak) {
    if (&found.side_of(peak.at) != &side || Worth{}(peak.at) < near) return;
    const auto hopeless = [&](double value, double slack) {
      return value < Worth{}(side.best) - slack * found.first_look();
    };
    tops.push_back(Climb{q}.in_tables(peak, Worth{}, hopeless));
    found.note(side, tops.back());
  };
  for (const Peak& peak : found.best_peaks()) climb(peak);
  const std::size_t climbed = found.best_peaks().size();
  const Connection best = side.best;
  look_at_slight_line_ups(q, found, best);
  for (const Peak& peak : found.best_peaks().subspan(climbed)) climb(peak);
  if (const auto peak = by_heading(q, side.best)) climb(*peak);
  fly_tops(q, found, side, tops);
  fly_to_corners(q, found, side);
  if (!q.wanted.to_inches && std::abs(side.best.surplus - kReserve_m) > kInches_m) return;
  // Where nothing but inches decide, or they are asked for, all that come as near are climbed once more, flying.
  for (const Connection& top : tops) {
    if (Worth{}(top) < side.best.surplus - 2.0 * kOff_m) continue;
    const Connection flown = Climb{q}.by_inches(q.wanted.to_inches ? best_flown(q, top) : top, Worth{});
    if (flown.surplus > side.best.surplus) found.note(side, flown);
  }
  fly_to_corners(q, found, side);
}

void finish(const Question& q, Found& found, Best& side) {
  if (!side.connects) return;
  found.begin_family();
  const Connection at_first = side.best;
  if (found.near_need(side.best)) refine(q, found, side);
  if (side.best.surplus == kNoSurplus) return;
  found.confirm(side);
  if (!side.lands && side.best.surplus >= kReserve_m) make_room(q, found, side);
  if (side.lands || side.best.surplus < kReserve_m) return;
  // Delays are read in the tables, which do not outdo what was flown.
  const Connection best = side.best;
  turn_later(q, found, side, at_first);
  side.best = best;
}

}  // namespace backfield::flight
