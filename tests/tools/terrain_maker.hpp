#pragma once
// Terrain for tests, and an independent way to ask it: posts from a formula, and a dense sampler that shares nothing
// with the product but the posts.

#include "backfield/earth/terrain.hpp"

#include <GeographicLib/Geodesic.hpp>

#include <cmath>
#include <limits>
#include <vector>

namespace backfield::test {

/// A rectangle of posts, heights from `height_m(latitude, longitude)` in degrees; the longitude is not wrapped.
template <class F>
earth::ElevationPosts posts_of(double south_deg, double west_deg, double step_deg, std::size_t rows,
                               std::size_t columns, const F& height_m) {
  earth::ElevationPosts p;
  p.south_west = {degrees(south_deg), degrees(west_deg)};
  p.step_north = p.step_east = degrees(step_deg);
  p.rows = rows;
  p.columns = columns;
  for (std::size_t k = 0; k < rows; ++k) {
    for (std::size_t i = 0; i < columns; ++i) {
      const double lat = south_deg + step_deg * static_cast<double>(rows - 1 - k);
      p.heights_m.push_back(static_cast<float>(height_m(lat, west_deg + step_deg * static_cast<double>(i))));
    }
  }
  return p;
}

/// Where a place of the azimuthal equidistant frame lies, by a geodesic for each.
inline earth::Geodetic place_of(earth::Geodetic origin, double east_m, double north_m) {
  double lat = 0.0, lon = 0.0;
  GeographicLib::Geodesic::WGS84().Direct(in_degrees(origin.latitude), in_degrees(origin.longitude),
                                          std::atan2(east_m, north_m) * 180.0 / kPi, std::hypot(east_m, north_m), lat,
                                          lon);
  return {degrees(lat), degrees(lon)};
}

/// Bilinear between the four posts about a place; NaN where one of them is void or absent.
inline double sampled_m(const earth::ElevationPosts& p, earth::Geodetic at) {
  const double x = std::remainder(in_degrees(at.longitude - p.south_west.longitude), 360.0) / in_degrees(p.step_east);
  const double y = in_degrees(at.latitude - p.south_west.latitude) / in_degrees(p.step_north);
  const double columns = static_cast<double>(p.columns), rows = static_cast<double>(p.rows);
  if (!(x >= 0.0 && y >= 0.0 && x < columns - 1.0 && y < rows - 1.0)) return std::numeric_limits<double>::quiet_NaN();
  const auto post = [&](double column, double row) {
    const auto from_north = static_cast<std::size_t>(rows - 1.0 - row);
    return static_cast<double>(p.heights_m[from_north * p.columns + static_cast<std::size_t>(column)]);
  };
  const double i = std::floor(x), j = std::floor(y);
  const double south = post(i, j) + (x - i) * (post(i + 1.0, j) - post(i, j));
  const double north = post(i, j + 1.0) + (x - i) * (post(i + 1.0, j + 1.0) - post(i, j + 1.0));
  return south + (y - j) * (north - south);
}

}  // namespace backfield::test
