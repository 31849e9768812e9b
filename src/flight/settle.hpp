#pragma once
// From a path with too much height to one of the same word that ends where it should.

#include "approach.hpp"

#include <cmath>
#include <optional>

namespace backfield::flight {

inline constexpr double kShortestByTime_s = 3.0;  ///< of the straights told apart by their duration
inline constexpr double kTimeGrowth = 1.5;
inline constexpr double kDelayStep_s = 4.0;
inline constexpr double kLongest_s = 2000.0;
inline constexpr double kNarrow = 2e-4;  ///< of an interval of headings (rad) or times (share)

/// The value of a parameter some steps further along its family.
inline double beside(Parameter parameter, double value, double steps) {
  switch (parameter) {
    case Parameter::heading:
      return value + steps * kHeadingStep;
    case Parameter::straight_time:
      return value * std::pow(kTimeGrowth, steps);
    case Parameter::delay:
      return value + steps * kDelayStep_s;
  }
  return value;
}
inline bool exists(Parameter parameter, double value) {
  return value >= 0.0 && value <= (parameter == Parameter::heading ? 2.0 * kPi : kLongest_s);
}

/// What counts as landing: height in hand, and how far down the runway the aim may lie.
struct Landing {
  double surplus, aim;
  [[nodiscard]] bool allows(const Connection& c) const { return c.on_axis && c.surplus >= surplus && c.aim <= aim; }
};

/// The paths of one word and family from `high`, which has height to spare, on; by either tier. Longer ones aim
/// shorter.
struct Between {
  const PathFinder::Fan& fan;
  const PathFinder::Target& target;
  const Connection& high;
  Landing landing;
  double wanted;  ///< aim that ends the search

  /// On the side of `high`, too: beyond equal turns the family goes on as the other side's.
  [[nodiscard]] bool allows(const Connection& c) const {
    return landing.allows(c) && (c.side() == high.side() || c.turns_alike());
  }
  [[nodiscard]] bool done(const Connection& c) const { return allows(c) && c.aim <= wanted; }

  /// Longer paths lie on one side of the best one: where does the surplus run out?
  template <class Tier>
  [[nodiscard]] std::optional<double> walk(const Tier& tier) const {
    for (const int direction : {1, -1}) {
      double x = high.value();
      for (int i = 0; i < kHeadings / 2; ++i) {
        x = beside(high.parameter, x, direction);
        if (!exists(high.parameter, x)) break;
        const Connection c = tier.again(fan, target, high, x);
        const bool same = c.on_axis && c.side() == high.side() &&
                          (c.parameter == Parameter::delay || fan.same_entry(c.first_sense, c.first, high.first));
        if (!same) break;
        if (c.surplus < kReserve_m || done(c)) return x;
      }
    }
    return std::nullopt;
  }

  /// Halves the interval down to where a path is worth a metre or two. `found` is what is known already.
  template <class Tier>
  [[nodiscard]] Connection halve(const Tier& tier, double low, Connection found) const {
    double good = high.value();
    const double least = kNarrow * std::max(1.0, std::abs(good));
    for (bool first = true; first || std::abs(good - low) > least; first = false) {
      // The far end may be what is looked for.
      const double mid = first ? low : 0.5 * (good + low);
      Connection c = tier.again(fan, target, high, mid);
      // Now and then a path does not converge: its neighbour tells as much.
      if (!c.on_axis && !first) c = tier.again(fan, target, high, mid + 0.01 * (good - low));
      if (allows(c) && (!allows(found) || c.aim < found.aim)) found = c;
      if (done(c)) return c;
      if (!first) (c.on_axis && c.surplus >= kReserve_m ? good : low) = mid;
    }
    return found;
  }
};

/// Does the path end within the aim interval with height to spare?
bool within(const Connection& c, const PathFinder::Target& target);

/// Where touchdown is wanted, if a path allows it: no farther along the track.
inline double first_third(const PathFinder::Target& target) {
  return target.aim_low + (target.aim_high - target.aim_low) / 3.0;
}

/// Moves along the word of `landing` from a path with height to spare until the aim is in the first third of the
/// interval, or as near to it as the word allows. `beyond`: the parameter of one without, or that of `landing` itself.
Connection settle(const Approach& approach, const PathFinder::Fan& fan, const PathFinder::Target& target,
                  const Connection& landing, double beyond);

}  // namespace backfield::flight
