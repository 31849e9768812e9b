#include "backfield/base/polygon.hpp"

// GCC 12 takes a member of Boost's rescaling policy for one that may be read before it is set.
#ifndef __clang__
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/linestring.hpp>
#include <boost/geometry/geometries/multi_linestring.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>
#ifndef __clang__
#pragma GCC diagnostic pop
#endif

#include <algorithm>
#include <cmath>

namespace backfield {
namespace {

namespace bg = boost::geometry;
using Point = bg::model::d2::point_xy<double>;
using Polygon = bg::model::polygon<Point>;
using Line = bg::model::linestring<Point>;

Polygon polygon_of(const Ring& ring) {
  Polygon polygon;
  for (const PlanePoint& p : ring) bg::append(polygon.outer(), Point(p.x, p.y));
  bg::correct(polygon);  // closed, clockwise: a file may go either way round
  return polygon;
}

}  // namespace

std::string needed_of_ring(const Ring& ring, double thinnest) {
  const Polygon polygon = polygon_of(ring);
  if (std::abs(bg::area(polygon)) < 0.5 * thinnest * bg::perimeter(polygon)) {
    return "at least three corners that are not in one line";
  }
  bg::validity_failure_type failure{};
  if (bg::is_valid(polygon, failure)) return "";
  switch (failure) {
    case bg::failure_few_points:
    case bg::failure_wrong_topological_dimension:
      return "at least three corners that are not in one line";
    case bg::failure_spikes:
      return "an outline that does not go back along itself";
    case bg::failure_self_intersections:
      return "an outline that does not cross or touch itself";
    default:
      return "the outline of one area";
  }
}

std::vector<Interval<double>> chords(const Ring& ring, Along along, double at) {
  const bool x = along == Along::x;
  double low = x ? ring.front().x : ring.front().y;
  double high = low;
  for (const PlanePoint& p : ring) {
    low = std::min(low, x ? p.x : p.y);
    high = std::max(high, x ? p.x : p.y);
  }
  const double beyond = std::max(high - low, 1e-9);
  Line line;
  for (const double end : {low - beyond, high + beyond}) bg::append(line, x ? Point(end, at) : Point(at, end));
  bg::model::multi_linestring<Line> inside;
  bg::intersection(line, polygon_of(ring), inside);

  std::vector<Interval<double>> parts;
  for (const Line& part : inside) {
    const double from = x ? part.front().x() : part.front().y();
    const double to = x ? part.back().x() : part.back().y();
    parts.push_back({std::min(from, to), std::max(from, to)});
  }
  std::sort(parts.begin(), parts.end(), [](const auto& a, const auto& b) { return a.low < b.low; });
  return parts;
}

}  // namespace backfield
