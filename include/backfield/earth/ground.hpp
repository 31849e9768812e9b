#pragma once
// What stands on the ground, and what a glide must not pass over: in the local frame.
//
// How high the ground itself is, terrain.hpp says; without terrain it is taken as flat at the elevation of the
// departure aerodrome.

#include "backfield/earth/altitude.hpp"
#include "backfield/earth/position.hpp"

#include <memory>
#include <string>
#include <vector>

namespace backfield::earth {

/// A mast, a chimney, a line of trees: everything within `half_width` of a place, up to `top`.
struct Obstacle {
  std::string name;
  Position position;
  Altitude top;
  Length half_width;  ///< >= 0
};

/// Why an area is avoided; a word for the brief, the rule is the same for all.
enum class AreaKind { people, water, forest };
constexpr const char* name_of(AreaKind kind) {
  switch (kind) {
    case AreaKind::people:
      return "people";
    case AreaKind::water:
      return "water";
    case AreaKind::forest:
      return "forest";
  }
  return "";
}

/// The inside of one ring of straight edges.
struct AvoidArea {
  std::string name;
  AreaKind kind = AreaKind::people;
  Altitude elevation;          ///< of its ground
  std::vector<Position> ring;  ///< at least 3 corners, either way round, no edge meeting another; the last joins the
                               ///< first, which is not repeated
};

/// Distance to the edge of an area: positive outside, negative inside.
///
/// accuracy    exact to rounding (tests/unit/ground_test.cpp), but for the frame (kFrameDistanceError)
Length distance_to(const AvoidArea& area, Position place);

class Terrain;

struct Ground {
  std::vector<Obstacle> obstacles;
  std::vector<AvoidArea> areas;
  std::shared_ptr<const Terrain> terrain{};  ///< null: flat, and nothing is asked of it; its frame is the ground's
  [[nodiscard]] bool empty() const { return obstacles.empty() && areas.empty() && terrain == nullptr; }
};

}  // namespace backfield::earth
