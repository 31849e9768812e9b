#pragma once
// From the start of a straight leg to a goal: straight, line-up turn, final.

#include "fan.hpp"
#include "final_glide.hpp"

#include <limits>

namespace backfield::flight {

inline constexpr double kReserve_m = 2.0 * kMetresPerFoot;  ///< kept by every path: what re-flight may find missing
inline constexpr double kNoSurplus = -std::numeric_limits<double>::infinity();

/// Everything about a goal that no failure changes.
class PathFinder::Target {
 public:
  Target(const Goal& goal, const Glider& glider, earth::Altitude datum, double top);
  FinalGlide final;
  double e0, n0;       ///< threshold
  double track, s, c;  ///< of the landing, its sine and cosine
  double elevation;    ///< above the departure elevation
  double aim_low, aim_high;
  double least_height;  ///< of alignment, above the runway
  [[nodiscard]] double across(const Point& p) const { return (p.e - e0) * c - (p.n - n0) * s; }  ///< right +
  [[nodiscard]] double along(const Point& p) const { return (p.e - e0) * s + (p.n - n0) * c; }
};

/// What tells the paths of a family apart: the heading change of the first turn; the duration of the straight (where it
/// runs nearly parallel to the runway, so that its heading says little); or how long the aeroplane glides straight on
/// before the first turn (to lose height), the heading change staying as it is.
enum class Parameter { heading, straight_time, delay };

/// One word's path.
struct Connection {
  bool on_axis = false;            ///< the line-up turn ends on the axis
  double surplus = kNoSurplus;     ///< height left over the need; -inf when alignment comes too far down the runway
  double aim = 0.0;                ///< along the track from the threshold
  double alignment = 0.0;          ///< height above the runway
  double first = 0.0, last = 0.0;  ///< turns, >= 0
  int first_sense = 1, last_sense = 1;
  double straight_time = 0.0;
  double delay = 0.0;  ///< of the first turn; with Parameter::delay the entry is wings level
  Parameter parameter = Parameter::heading;
  bool towards = false;  ///< with Parameter::straight_time: near the runway's track, or its reciprocal
  [[nodiscard]] double value() const {
    return parameter == Parameter::heading ? first : parameter == Parameter::delay ? delay : straight_time;
  }
  [[nodiscard]] Side side() const { return (first >= last ? first_sense : last_sense) < 0 ? Side::left : Side::right; }
};

/// exact: what is claimed. roughly: enough to compare paths, a few metres and feet off.
enum class Care { exact, roughly };

/// Solves words for one target.
class Approach {
 public:
  /// rough       the same glider in coarse steps, for paths that are only compared
  Approach(const Glider& glider, const Glider& rough, const Style& style);

  /// The path whose straight starts at `leaf`. Its duration is the only unknown: the line-up turn must end on the axis.
  [[nodiscard]] Connection by_heading(const Leaf& leaf, int first_sense, int last_sense,
                                      const PathFinder::Target& target, Care care = Care::exact) const;
  /// The path with a straight of `time` whose heading is near the runway's track (`towards`) or its reciprocal. Its
  /// heading is the only unknown. Long straights need this: there a degree of heading moves the end by hundreds of
  /// metres, and when both turns carry the aeroplane equally far to the side any length ends on the axis.
  [[nodiscard]] Connection by_time(const PathFinder::Fan& fan, int first_sense, int last_sense, double time,
                                   bool towards, const PathFinder::Target& target, Care care = Care::exact) const;
  /// Where the straights of by_time start when their heading is exactly parallel.
  [[nodiscard]] static Leaf parallel_leaf(const PathFinder::Fan& fan, int first_sense, bool towards,
                                          const PathFinder::Target& target);
  /// The path of `like`'s word and heading change that first glides straight on for `delay`.
  [[nodiscard]] Connection by_delay(const PathFinder::Fan& fan, const PathFinder::Target& target,
                                    const Connection& like, double delay, Care care = Care::exact) const;
  /// The path of the same word and family as `like` at another value of its parameter.
  [[nodiscard]] Connection again(const PathFinder::Fan& fan, const PathFinder::Target& target, const Connection& like,
                                 double value, Care care = Care::exact) const;
  /// How long a straight glide from `p` takes to the runway's elevation; 0 from below it.
  [[nodiscard]] double time_to_ground(const Point& p, const PathFinder::Target& target) const;
  /// The line-up turn from `p` in direction `sense`, ending on the heading that holds the runway's track.
  double line_up(const PathFinder::Target& target, int sense, Point& p, std::vector<Segment>* segments) const {
    return line_up(*glider_, target, sense, p, segments);
  }

 private:
  double line_up(const Glider& glider, const PathFinder::Target& target, int sense, Point& p,
                 std::vector<Segment>* segments) const;
  [[nodiscard]] const Glider& glider(Care care) const { return care == Care::exact ? *glider_ : *rough_; }
  [[nodiscard]] double first_guess(const PathFinder::Target& target, int sense, const Point& p,
                                   double cross_speed) const;
  void judge(Connection& c, const Point& end, const PathFinder::Target& target) const;

  const Glider* glider_;
  const Glider* rough_;
  const Style* style_;
  double line_up_loss_;  ///< height per radian of the line-up turn, about
};

/// Angle from `from` to `to` in direction `sense`, [0, 2 pi).
double turn_in_sense(double from, double to, int sense);

}  // namespace backfield::flight
