#pragma once
// How far a glide must stay from what is on the ground, and how far one stays.
//
// An obstacle is a cylinder: a path is clear of it that is, wherever it is within half width plus `beside_obstacles` of
// the middle, no less than `over_obstacles` above the top. An area is the same with its outline, `beside_areas` and, if
// stated, `over_areas` above its ground; without that it is not crossed at any height.
//
// Terrain is kept below: from the height of alignment up, a path flies over it by half of what it is higher than that,
// and by `over_terrain` at most; below the height of alignment, on the final, by nothing, but never through it. So what
// is asked fades where a path comes down to its runway, and ground as high as the runway never forbids a landing.
// Within `around_runway` of where the glide may meet the runway, the ground is the runway's own, which is stated, and
// terrain is not asked. A place without data is ground higher than anything flies over.
//
// One number for both ways of being clear: at every place of a path the larger of "height above what is required" and
// "distance beyond what is required", and of those the least along the path. It is negative where, and only where, a
// path is not clear, and it changes continuously when the path does, so that edges of windows can be found by it. Over
// terrain it is height alone; where flat ground would leave less than kClearanceOfInterest, what is to spare counts as
// its share of that, lest every path that lands pass for one with little to spare.
//
// The path is followed from the failure to the end of the glide; what lies between two points of it is bounded by how
// much it can bend there. From every requirement 2 ft and 2 m are kept, by which a path flown again may differ.

#include "backfield/base/units.hpp"
#include "backfield/earth/ground.hpp"

#include <cmath>
#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace backfield::flight {

/// Every number comes from the policy file; the zeros only mean "not set".
struct ClearanceRule {
  Length over_obstacles{};           ///< above an obstacle's top
  Length beside_obstacles{};         ///< from its half width on
  std::optional<Length> over_areas;  ///< above an area's ground; none: not crossed at any height
  Length beside_areas{};             ///< from its outline on
  Length over_terrain{};             ///< above the ground, where the path is high enough over its runway
  Length around_runway{};            ///< to every side; there the ground is the runway's own
};

/// Names one thing of a Ground: obstacles first, then areas, then terrain, then terrain of which nothing is known.
using Hazard = std::size_t;
/// e.g. "radio mast", "Oberdorf (people)" or "the ground"
std::string name_of(const earth::Ground& ground, Hazard hazard);

/// Of the thing that a path comes nearest to, measured by what is required.
struct Clearance {
  Hazard hazard = 0;
  Length margin;                ///< see above; >= 0 clear. Beyond kClearanceOfInterest it is not told apart
  std::optional<Length> below;  ///< not clear: how much more height would do, where it is too near; none: no height
  Length within;                ///< not clear: how far it enters what is to be kept clear of, seen from above
  earth::Position where;        ///< of `margin`
  bool by_terrain = false;      ///< it is the ground itself, or that nothing is known of it
  std::optional<earth::Altitude> ground;  ///< of terrain that it comes too near to, at `where`; none: not known
  [[nodiscard]] bool clear() const { return margin.si() >= 0.0; }
};
inline constexpr Length kClearanceOfInterest = metres(100);

/// How far a way may be off the straight line between two of its points, between which it is so long and turns evenly
/// by an angle: an eighth of the product, and a little more where it does not turn quite evenly.
inline double off_the_chord(double length_m, double angle_rad) { return 0.15 * length_m * std::abs(angle_rad); }

/// A point on a way through the air.
struct WayPoint {
  double east_m = 0.0, north_m = 0.0;
  double height_m = 0.0;  ///< above the departure elevation
  double off_m = 0.0;     ///< how far the way from the point before may be off the straight line between the two
  bool goes_on = true;    ///< false: the way from the point before is not part of it (height traded at once)
};

/// The runway a way ends at, or a climb begins at: near it less is asked above terrain.
struct AtRunway {
  earth::Position threshold;
  earth::TrueDirection track;
  Length length;      ///< along the track from the threshold, as far as a glide may meet the runway
  Length elevation;   ///< above the departure elevation
  Length aligned_by;  ///< above the runway
};

/// What is kept clear of, made ready for asking.
class AboveTerrain;
struct Stage;
class Hazards {
 public:
  /// datum       what heights of way points are above
  Hazards(const earth::Ground& ground, const ClearanceRule& rule, earth::Altitude datum);
  Hazards(const Hazards&) = delete;
  Hazards& operator=(const Hazards&) = delete;
  ~Hazards();
  [[nodiscard]] bool empty() const { return things_.empty() && terrain_ == nullptr; }
  /// The least along a way; `below` and `within` are left empty. Requires something to keep clear of.
  ///
  /// runway      needed where there is terrain
  /// accuracy    where below kClearanceOfInterest more than the truth by at most 2 % of itself, so never clear of what
  ///             it is not; less by at most 0.05 m, 2 % of itself and what the way bends between its points
  ///             (tests/unit/clearance_test.cpp, tests/laws/clearance_test.cpp, tests/laws/terrain_test.cpp)
  [[nodiscard]] Clearance along(const std::vector<WayPoint>& way, const AtRunway* runway = nullptr) const;
  /// Each thing that a way is not clear of, explained, in the order of Hazard: known ground and unknown ground apart.
  [[nodiscard]] std::vector<Clearance> all_not_clear(const std::vector<WayPoint>& way,
                                                     const AtRunway* runway = nullptr) const;
  /// Fills `below` and `within` of what `along` has found on the same way, where that is not clear.
  void explain(const std::vector<WayPoint>& way, Clearance& found, const AtRunway* runway = nullptr) const;

 private:
  struct Thing {
    const earth::AvoidArea* area = nullptr;  ///< none: an obstacle
    double east = 0.0, north = 0.0;          ///< of its middle
    double reach = 0.0;                      ///< of all of it about the middle, margin not included
    double beside = 0.0;                     ///< required, from its edge
    double floor = 0.0;                      ///< required, above the datum; infinite: no height will do
  };
  struct Value;
  [[nodiscard]] static Value at(const Thing& thing, const WayPoint& p);
  static void look(const Thing& thing, const std::vector<WayPoint>& way, const std::vector<Stage>& stages,
                   double& least, WayPoint& where);
  [[nodiscard]] static double at_least(const Thing& thing, const Stage& stage);
  static std::optional<Length> below(const Thing& thing, const std::vector<WayPoint>& way);

  earth::Ground ground_;
  std::vector<Thing> things_;
  std::unique_ptr<const AboveTerrain> terrain_;
};

}  // namespace backfield::flight
