#pragma once
// Elevations of the ground on posts of a regular grid of latitude and longitude, as files hold them.

#include "backfield/earth/position.hpp"
#include "backfield/earth/post_heights.hpp"

#include <cstddef>

namespace backfield::earth {

/// Posts of one file.
struct ElevationPosts {
  Geodetic south_west;          ///< of the post that is farthest south and west
  Angle step_north, step_east;  ///< between neighbours, > 0
  std::size_t rows = 0, columns = 0;
  PostHeights heights_m;  ///< above mean sea level; row by row from the north, each from the west; NaN: void
};

/// Do the posts of both lie on one grid, to a thousandth of its spacing?
bool on_one_grid(const ElevationPosts& a, const ElevationPosts& b);

/// From the origin: what is farther away counts as unknown.
inline constexpr Length kTerrainReach = metres(60'000);
/// Nearer to a pole the grid of latitude and longitude is refused.
inline constexpr Angle kTerrainLatitude = degrees(80);
/// The posts within reach of an origin of at most kTerrainLatitude and those next to them, as a rectangle; rows and
/// columns are 0 where there are none.
ElevationPosts within_reach(Geodetic origin, const ElevationPosts& posts);

}  // namespace backfield::earth
