#pragma once
// The highest ground across a track: for paths that are judged by all that rises within a way of some width, as a net
// take-off path is, and not only by what lies right below.

#include "backfield/earth/terrain.hpp"
#include "backfield/flight/clearance.hpp"

#include <optional>

namespace backfield::flight {

/// A place of a track, and what is looked at to both sides of it.
struct Gate {
  earth::Position place;       ///< of the local frame
  earth::TrueDirection track;  ///< over the ground there
  Length half_width{};         ///< > 0
  Length along{};  ///< >= 0, no more than 0.9 spacings of the terrain: ground so far before and behind counts
};

/// The highest ground of a gate.
struct Rise {
  Length height{};        ///< above the departure elevation
  earth::Position where;  ///< within `along` of it
  bool known = true;      ///< false: of some of the ground nothing is known; then there is no height
};

/// Outside of the rectangle around the runway, which is stated and not asked of the terrain; none: it lies all inside.
///
/// datum       the departure elevation
/// around      to every side of the runway, >= 0
/// accuracy    never lower than the surface of the terrain; higher by at most `along` and half a metre times the
///             steepest slope nearby (tests/laws/corridor_test.cpp)
std::optional<Rise> highest_across(const earth::Terrain& terrain, const Gate& gate, earth::Altitude datum,
                                   const AtRunway& runway, Length around);

/// Nothing that `highest_across` finds is higher; quickly, and much higher perhaps. Infinite where something is
/// unknown.
Length at_most_across(const earth::Terrain& terrain, const Gate& gate, earth::Altitude datum);

/// What a path has to be above over ground of a height: the ground and `over`, but over ground that rises above the
/// runway by less than `over` only by as much again, and over lower ground by nothing. So flat ground never forbids a
/// climb that begins low, and what is asked grows without a jump.
///
/// ground, result  above the runway
/// over            >= 0
Length least_height_over(Length ground, Length over);

}  // namespace backfield::flight
