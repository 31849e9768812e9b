#include "backfield/earth/elevation_posts.hpp"

#include "grid_degrees.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

namespace backfield::earth {
namespace {

constexpr double kOffGrid = 1e-3;  // steps

struct Span {
  double low, high;
};

/// How far one can get, in degrees of longitude from the origin's.
Span reach_east(Geodetic origin) {
  const double poleward = std::abs(in_degrees(origin.latitude)) + kTerrainReach.si() / kNorthPerDegree_m;
  const double reach = kTerrainReach.si() / (kEastPerDegree_m * std::cos(degrees(poleward).si()));
  return {-reach, reach};
}
Span reach_north(Geodetic origin) {
  const double reach = kTerrainReach.si() / kNorthPerDegree_m;
  return {in_degrees(origin.latitude) - reach, in_degrees(origin.latitude) + reach};
}

/// Which of `count` posts from `first` on, `step` apart, lie within a span or next to it: [begin, end).
std::pair<std::ptrdiff_t, std::ptrdiff_t> within(Span span, double first, double step, std::size_t count) {
  const auto n = static_cast<double>(count);
  return {static_cast<std::ptrdiff_t>(std::clamp(std::floor((span.low - first) / step), 0.0, n)),
          static_cast<std::ptrdiff_t>(std::clamp(std::ceil((span.high - first) / step) + 1.0, 0.0, n))};
}

bool whole(double difference_deg, double step_deg) {
  const double n = difference_deg / step_deg;
  return std::abs(n - std::round(n)) < kOffGrid;
}

}  // namespace

bool on_one_grid(const ElevationPosts& a, const ElevationPosts& b) {
  const auto alike = [](Angle one, Angle other, std::size_t count) {
    return std::abs(one.si() / other.si() - 1.0) * static_cast<double>(count) < kOffGrid;
  };
  return alike(a.step_north, b.step_north, std::max(a.rows, b.rows)) &&
         alike(a.step_east, b.step_east, std::max(a.columns, b.columns)) &&
         whole(east_of(b.south_west, a.south_west), in_degrees(a.step_east)) &&
         whole(in_degrees(b.south_west.latitude - a.south_west.latitude), in_degrees(a.step_north));
}

ElevationPosts within_reach(Geodetic origin, const ElevationPosts& posts) {
  ElevationPosts kept{posts.south_west, posts.step_north, posts.step_east, 0, 0, {}};
  const double step_east = in_degrees(posts.step_east);
  const double step_north = in_degrees(posts.step_north);
  const auto [west, east] = within(reach_east(origin), east_of(posts.south_west, origin), step_east, posts.columns);
  const auto [south, north] =
      within(reach_north(origin), in_degrees(posts.south_west.latitude), step_north, posts.rows);
  kept.columns = static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, east - west));
  kept.rows = static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, north - south));
  if (kept.rows == 0 || kept.columns == 0) kept.rows = kept.columns = 0;
  kept.south_west = {posts.south_west.latitude + degrees(static_cast<double>(south) * step_north),
                     posts.south_west.longitude + degrees(static_cast<double>(west) * step_east)};
  kept.heights_m.reserve(kept.rows * kept.columns);
  for (std::size_t k = 0; k < kept.rows; ++k) {
    const std::size_t from_north = posts.rows - static_cast<std::size_t>(north) + k;
    kept.heights_m.append(posts.heights_m, from_north * posts.columns + static_cast<std::size_t>(west), kept.columns);
  }
  return kept;
}

}  // namespace backfield::earth
