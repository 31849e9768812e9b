#include "read_ground.hpp"

#include <boost/geometry.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>

#include <cmath>

namespace backfield::io {
namespace {

constexpr double kThinnest_m = 1.0;

}  // namespace

std::string needed_of_outline(const std::vector<earth::Position>& ring) {
  namespace bg = boost::geometry;
  bg::model::polygon<bg::model::d2::point_xy<double>> polygon;
  for (const earth::Position& p : ring) {
    bg::append(polygon.outer(), bg::make<bg::model::d2::point_xy<double>>(p.east.si(), p.north.si()));
  }
  bg::correct(polygon);  // closed, clockwise: a file may go either way round
  // Nobody types a line exactly straight: what is thinner than a metre on average is none.
  if (std::abs(bg::area(polygon)) < 0.5 * kThinnest_m * bg::perimeter(polygon)) {
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

}  // namespace backfield::io
