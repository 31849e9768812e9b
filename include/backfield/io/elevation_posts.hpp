#pragma once
// Files of terrain elevations. They come from outside and are believed in nothing: size, name, numbers and what ground
// on Earth can be are checked, and a file is refused whole, with one finding that names the place in it.

#include "backfield/base/finding.hpp"
#include "backfield/earth/terrain.hpp"

#include <optional>
#include <string>

namespace backfield::io {

/// A tile of SRTM, one degree by one: signed 16-bit integers, the high byte first, row by row from the north; -32768 is
/// void. The size tells 1201 x 1201 posts (3 seconds of arc) from 3601 x 3601 (1 second); the name, such as
/// N46E007.hgt, gives the south-west post. The outer rows and columns are those of the neighbours, too.
///
/// source      SRTM Topography (documentation version 2.0), USGS/JPL, 2.1.1 to 2.1.3
Loaded<earth::ElevationPosts> read_hgt(const std::string& path);

/// Where the south-west post of a tile lies, by the name of its file; none: it is not named like one.
std::optional<earth::Geodetic> corner_of_hgt(const std::string& path);

/// A grid in text: ncols, nrows, xllcorner or xllcenter, yllcorner or yllcenter, cellsize and, if any post is void,
/// NODATA_value, each with its number on a line of its own, in any order and case; then the heights in metres, row by
/// row from the north. Geographic degrees only. With "corner" the first post is half a cell inside of it.
///
/// source      Esri, "Esri ASCII raster format", ArcGIS documentation
Loaded<earth::ElevationPosts> read_esri_grid(const std::string& path);

/// Either, by the ending of the name: .hgt or .asc.
Loaded<earth::ElevationPosts> read_elevation_posts(const std::string& path);

}  // namespace backfield::io
