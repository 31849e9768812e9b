#pragma once
// Obstacles: stated one by one, or as a table of comma-separated values.

#include "fields.hpp"

#include "backfield/earth/ground.hpp"

namespace backfield::io {

/// Positions further from the aerodrome than this are refused: to here the frame is true.
inline constexpr Length kFarthestOnGround = metres(60'000);
inline constexpr const char* kAcceptedOnGround = "a position within 60 km of the aerodrome's";

/// Reads `obstacles`: a list of {name, position, top, half_width} and {file}, or one {file} alone. A file is looked for
/// beside the one that names it and has a first line with the columns
///   name, latitude, longitude      decimal degrees, north and east positive
///   top_ft or top_m                above mean sea level
///   half_width_ft or half_width_m  optional; where nothing stands, a point is taken and said
/// Every row that cannot be used is an error of its own, with the file's name, line and column. Two obstacles of one
/// place are both kept and warned of.
/// frame       null when its origin could not be read; then only the plain fields are checked, and nothing is added
/// elevation   of the aerodrome; a top below it is warned of
void read_obstacles(const Value& value, const earth::LocalFrame* frame, earth::Altitude elevation,
                    earth::Ground& ground);

}  // namespace backfield::io
