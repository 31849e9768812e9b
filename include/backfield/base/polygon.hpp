#pragma once
// Plane polygons: of the ground to be kept clear of, and of the masses and arms an aircraft may be loaded to.

#include "backfield/base/interval.hpp"

#include <string>
#include <vector>

namespace backfield {

struct PlanePoint {
  double x = 0.0;
  double y = 0.0;
};

/// Corners of one ring of straight edges, either way round; the last joins the first, which is not repeated.
using Ring = std::vector<PlanePoint>;

/// What is wrong with a ring as the outline of one area, as what it has to be instead; empty: nothing.
///
/// thinnest    twice the area over the perimeter, in the unit of the points, below which a ring counts as a line:
/// nobody
///             types one exactly straight. >= 0
/// source      the validity rules of OGC 06-103r4, Simple feature access, for a polygon without holes, as
///             Boost.Geometry applies them
std::string needed_of_ring(const Ring& ring, double thinnest);

/// An area with what is cut out of it.
struct PlanePolygon {
  Ring outline;
  std::vector<Ring> holes;
};

/// The same of an area with holes, by the same rules; what is wrong with a hole is said as what a hole has to be.
std::string needed_of_polygon(const PlanePolygon& polygon, double thinnest);

/// Which coordinate stays the same along a line.
enum class Along { x, y };

/// The parts of a straight line that lie inside a ring or on it, in rising order. Along x the line has the y given, and
/// the parts are intervals of x; along y it is the other way round. Parts without length may be missing.
///
/// ring        one that `needed_of_ring` finds nothing wrong with
/// accuracy    rounding (tests/unit/polygon_test.cpp)
std::vector<Interval<double>> chords(const Ring& ring, Along along, double at);
std::vector<Interval<double>> chords(const PlanePolygon& polygon, Along along, double at);

/// What is left of an area once everything within `margin` of other areas is taken from it; pieces kept apart.
///
/// taken       rings that `needed_of_ring` finds nothing wrong with
/// margin      >= 0; corners of what is taken are rounded from outside, by up to 0.5 % of it
std::vector<PlanePolygon> without(const PlanePolygon& polygon, const std::vector<Ring>& taken, double margin);

}  // namespace backfield
