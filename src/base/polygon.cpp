#include "backfield/base/polygon.hpp"

#include "backfield/base/units.hpp"

// GCC 12 takes a member of Boost's rescaling policy for one that may be read before it is set.
#ifndef __clang__
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/linestring.hpp>
#include <boost/geometry/geometries/multi_linestring.hpp>
#include <boost/geometry/geometries/multi_polygon.hpp>
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
using MultiPolygon = bg::model::multi_polygon<Polygon>;
using Line = bg::model::linestring<Point>;

Polygon polygon_of(const PlanePolygon& plane) {
  Polygon polygon;
  for (const PlanePoint& p : plane.outline) bg::append(polygon.outer(), Point(p.x, p.y));
  polygon.inners().resize(plane.holes.size());
  for (std::size_t i = 0; i < plane.holes.size(); ++i) {
    for (const PlanePoint& p : plane.holes[i]) bg::append(polygon.inners()[i], Point(p.x, p.y));
  }
  bg::correct(polygon);  // closed, the outline clockwise: a file may go either way round
  return polygon;
}

/// Without the repeated corner.
Ring ring_of(const Polygon::ring_type& closed) {
  Ring ring;
  for (const Point& p : closed) ring.push_back({p.x(), p.y()});
  ring.pop_back();
  return ring;
}

/// Twice the area over the perimeter.
double thickness(const Ring& ring) {
  const Polygon polygon = polygon_of({ring, {}});
  return 2.0 * std::abs(bg::area(polygon)) / static_cast<double>(bg::perimeter(polygon));
}

}  // namespace

std::vector<PlanePolygon> without(const PlanePolygon& plane, const std::vector<Ring>& taken, double margin) {
  constexpr int kCorners = 36;  // of a full circle, which they have to lie outside of
  const double outside = margin / std::cos(kPi / kCorners);
  MultiPolygon left{polygon_of(plane)};
  for (const Ring& ring : taken) {
    const Polygon other = polygon_of({ring, {}});
    MultiPolygon grown;
    if (margin > 0.0) {
      bg::buffer(other, grown, bg::strategy::buffer::distance_symmetric<double>(outside),
                 bg::strategy::buffer::side_straight(), bg::strategy::buffer::join_round(kCorners),
                 bg::strategy::buffer::end_flat(), bg::strategy::buffer::point_circle(kCorners));
    } else {
      grown.push_back(other);
    }
    MultiPolygon rest;
    bg::difference(left, grown, rest);
    left = std::move(rest);
  }
  std::vector<PlanePolygon> pieces;
  for (const Polygon& piece : left) {
    PlanePolygon& plain = pieces.emplace_back();
    plain.outline = ring_of(piece.outer());
    for (const auto& hole : piece.inners()) plain.holes.push_back(ring_of(hole));
  }
  return pieces;
}

std::string needed_of_ring(const Ring& ring, double thinnest) { return needed_of_polygon({ring, {}}, thinnest); }

std::string needed_of_polygon(const PlanePolygon& plane, double thinnest) {
  if (!(thickness(plane.outline) >= thinnest)) return "at least three corners that are not in one line";
  for (const Ring& hole : plane.holes) {
    if (!(thickness(hole) >= thinnest)) return "holes of at least three corners that are not in one line";
  }
  const Polygon polygon = polygon_of(plane);
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
    case bg::failure_interior_rings_outside:
      return "holes that lie inside the outline";
    case bg::failure_nested_interior_rings:
    case bg::failure_intersecting_interiors:
      return "holes that lie beside one another";
    case bg::failure_disconnected_interior:
      return "holes that leave the area in one piece";
    default:
      return "the outline of one area";
  }
}

std::vector<Interval<double>> chords(const Ring& ring, Along along, double at) {
  return chords(PlanePolygon{ring, {}}, along, at);
}

std::vector<Interval<double>> chords(const PlanePolygon& polygon, Along along, double at) {
  const Ring& ring = polygon.outline;
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
  bg::intersection(line, polygon_of(polygon), inside);

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
