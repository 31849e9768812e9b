#pragma once
// One word from a failure to a goal, and what it is worth.

#include "fan.hpp"
#include "line_up_table.hpp"
#include "steep_final.hpp"

#include "backfield/flight/clearance.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

namespace backfield::flight {

inline constexpr double kReserve_m = 2.0 * kMetresPerFoot;  ///< kept by every path: what re-flight may find missing
inline constexpr double kHeightPerAim = 0.1;                ///< what a metre along the runway counts, about
inline constexpr double kNoSurplus = -std::numeric_limits<double>::infinity();

/// The aeroplane in every configuration that may be used on a final.
struct Gliders {
  Glider clean;
  std::optional<Glider> flap, slip;
  double flap_time = 0.0;             ///< from selecting landing flap to having it, s
  std::optional<Glider> unfeathered;  ///< clean, until the propeller is feathered; where it has to be
  std::optional<Glider> unpowered{};  ///< clean, power off, where `clean` is flown with power left
  [[nodiscard]] const Glider& on_final() const { return unpowered ? *unpowered : clean; }
};

/// Everything about a goal that no failure changes, for finals in the clean configuration; and the same for those with
/// height to lose.
class PathFinder::Target {
 public:
  Target(const Goal& goal, const Gliders& gliders, const Style& style, earth::Altitude datum, double top);
  double e0, n0;       ///< threshold
  double track, s, c;  ///< of the landing, its sine and cosine
  double elevation;    ///< above the departure elevation
  double aim_low, aim_high;
  double least_height;  ///< of alignment, above the runway
  SteepFinal final;
  double least_final;  ///< ground that a clean final covers from there
  LineUpTable line_up;
  AtRunway at_runway;           ///< for what is kept above terrain
  std::vector<Target> steeper;  ///< the same goal with finals in each further configuration, in order
  [[nodiscard]] double across(const Point& p) const { return across(p.e - e0, p.n - n0); }  ///< right +
  [[nodiscard]] double along(const Point& p) const { return along(p.e - e0, p.n - n0); }
  [[nodiscard]] double across(double east, double north) const { return east * c - north * s; }
  [[nodiscard]] double along(double east, double north) const { return east * s + north * c; }
};

/// What tells the paths of a family apart: the heading change of the first turn; the duration of the straight (where it
/// runs nearly parallel to the runway, so that its heading says little); or how long the aeroplane glides straight on
/// before the first turn (to lose height), the heading change staying as it is.
enum class Parameter { heading, straight_time, delay };

inline constexpr double kAlike = 1e-3;  // radians

struct Connection {
  bool on_axis = false;         ///< the line-up turn ends on the axis, where a final can be flown from
  double too_high = 0.0;        ///< > 0: it ends on the axis so far above the heights that one can be flown from
  bool sunk = false;            ///< not looked into any further: it would be aligned below what is worth knowing
  double surplus = kNoSurplus;  ///< height left over the need; -inf when alignment comes too far down the runway
  double over = 0.0;            ///< height left over the need, wherever alignment comes
  double too_far = 0.0;         ///< by which alignment comes too far down the runway
  double too_soon = 0.0;        ///< by which it comes too soon for a final from the least height to reach the interval
  double aim = 0.0;             ///< of the shortest final, along the track from the threshold
  double alignment = 0.0;       ///< height above the runway
  double first = 0.0, last = 0.0;  ///< turns, >= 0
  int first_sense = 1, last_sense = 1;
  double straight_time = 0.0;
  /// Metres across, right +, where a line-up turn without any straight would end; of looks by heading.
  double off_at_once = 0.0;
  double crab_height = 0.0;  ///< where the crab is that the line-up turn ends with; of flown paths
  double delay = 0.0;        ///< of the first turn; with Parameter::delay the entry is wings level
  Parameter parameter = Parameter::heading;
  bool towards = false;  ///< with Parameter::straight_time: near the runway's track, or its reciprocal
  [[nodiscard]] double value() const {
    return parameter == Parameter::heading ? first : parameter == Parameter::delay ? delay : straight_time;
  }
  void set(double value) {
    (parameter == Parameter::heading ? first : parameter == Parameter::delay ? delay : straight_time) = value;
  }
  /// The larger of its turns, or both together if they go the same way.
  [[nodiscard]] double one_way_turn() const { return first_sense == last_sense ? first + last : std::max(first, last); }
  [[nodiscard]] bool turns_alike() const { return std::abs(first - last) < kAlike; }
  /// Another path that lands is preferred.
  [[nodiscard]] bool once_round() const { return one_way_turn() > kAboutOnceRound.si(); }
  [[nodiscard]] Side side() const { return (first >= last ? first_sense : last_sense) < 0 ? Side::left : Side::right; }
};

/// The same path, its first turn begun after a delay.
inline Connection delayed(Connection c, double delay) {
  c.parameter = Parameter::delay;
  c.delay = delay;
  return c;
}

/// Aligned at `place` along the track and `height` above the runway: is that enough, and not too much?
void judge(Connection& c, double place, double height, const PathFinder::Target& target);

/// Angle from `from` to `to` in direction `sense`, [0, 2 pi).
double turn_in_sense(double from, double to, int sense);

// What both tiers take for the limits of a straight.
inline constexpr double kSlowestApproach_mps = 1.0;   ///< cross-track speed below which a straight counts as parallel
inline constexpr double kFarthestFromParallel = 1.2;  ///< radians, of the straights found by their time
inline constexpr double kHopelesslyFar = 3.0;         ///< radians a first look would have such a straight turned by
inline constexpr double kDeepest_m = 1000.0;  ///< a path that ends so far below the runway only bounds the arithmetic

/// The heading change of the first turn whose straight of a given duration leads onto the axis.
struct Parallel {
  double change;  ///< of a straight exactly parallel to the runway: the search stays within kFarthestFromParallel of it
  double start;   ///< where it begins, >= 0
  double per_radian;  ///< metres across that a radian is worth, about
  int tries;
  double close, near_enough;  ///< metres off the axis: tried for, and accepted after all tries
};
/// off         metres off the axis at a heading change; called last at the change returned
template <class Off>
std::optional<double> onto_axis(const Parallel& p, const PathFinder::Fan& fan, int first_sense, Off off) {
  double x0 = p.start;
  double y0 = off(x0);
  double slope = p.per_radian;
  for (int i = 0; i < p.tries && std::abs(y0) > p.close; ++i) {
    if (std::abs(y0 / slope) > kHopelesslyFar) return std::nullopt;
    double x1 = x0 - std::clamp(y0 / slope, -0.6, 0.6);
    if (x1 < 0.0) x1 = 0.5 * x0;
    if (x1 >= 2.0 * kPi || std::abs(x1 - p.change) > kFarthestFromParallel || !fan.same_entry(first_sense, x0, x1)) {
      return std::nullopt;
    }
    const double y1 = off(x1);
    if (x1 != x0 && y1 != y0) slope = (y1 - y0) / (x1 - x0);
    x0 = x1;
    y0 = y1;
  }
  if (std::abs(y0) > p.near_enough) return std::nullopt;
  return x0;
}

/// One word, on one side, of one way to begin: its paths change continuously into one another.
inline bool same_word(const PathFinder::Fan& fan, const Connection& a, const Connection& b) {
  return a.side() == b.side() && a.parameter == b.parameter &&
         (a.parameter == Parameter::delay || fan.same_entry(a.first_sense, a.first, b.first));
}

}  // namespace backfield::flight
