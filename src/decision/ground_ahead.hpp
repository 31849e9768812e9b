#pragma once
// The ground ahead, world by world: which of the areas stated a straight glide reaches after one turn in the sector.

#include "common.hpp"

#include <optional>
#include <vector>

namespace backfield::decision {

/// Of an area, above the departure elevation: as stated and, where there is terrain, as that has it.
struct FieldGround {
  Interval<Length> heights;  ///< lowest and highest, the stated one among them
  bool known = true;         ///< false: the terrain does not cover all of it
};
/// accuracy    the terrain is asked every 30 m
FieldGround ground_of(const Case& the_case, const earth::LandableArea& area);

/// A landable area as the policy counts it: what is left beside what is to be avoided.
struct UsableArea {
  const earth::LandableArea* stated = nullptr;
  std::string not_counted;  ///< why; then there are no pieces
  std::vector<PlanePolygon> pieces;
  FieldGround ground;
};
std::vector<UsableArea> usable_areas(const Case& the_case, const aircraft::Performance& performance);

/// What is reached in one world.
struct GroundTrace {
  struct Reach {
    double margin_m = 0.0;  ///< of aiming points that will do, whose middle is clear; <= 0: not reached
    Angle bearing;          ///< of the glide over the ground, from the departure track; right +
  };
  struct Area {
    std::vector<Interval<Length>> heights;  ///< of the failure, edges refined
    std::vector<Reach> at;                  ///< at each moment
  };
  std::vector<Duration> times;  ///< of the moments
  std::vector<Length> heights;
  std::vector<Area> areas;
  std::vector<std::optional<GroundShares>> under;  ///< at each moment, straight ahead
};
GroundTrace ground_ahead(const Case& the_case, const aircraft::Performance& performance, const FlownWorld& flown,
                         const std::vector<UsableArea>& areas);

/// What is reached in all worlds; nothing where the case states no areas.
std::optional<GroundAheadAnswer> combine(const Case& the_case, const std::vector<UsableArea>& areas,
                                         const std::vector<GroundTrace>& traces);

/// Heights of the failure from which any area is reached in all worlds; pieces kept apart, rising.
std::vector<Interval<Length>> reached_heights(const GroundAheadAnswer& ground);

/// Where statement and terrain differ, or the terrain does not cover an area.
void add_field_ground(const Case& the_case, const std::vector<UsableArea>& areas, Answer& answer);

/// What is ahead beside each gap, once the gaps are known.
void add_to_gaps(const Case& the_case, const flight::Timeline& plan, const std::vector<GroundTrace>& traces,
                 Answer& answer);

}  // namespace backfield::decision
