#include "backfield/base/polygon.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace backfield;

namespace {

const Ring kLShape{{0, 0}, {4, 0}, {4, 1}, {1, 1}, {1, 3}, {0, 3}};

bool is(const Interval<double>& part, double low, double high) {
  return part.low == Approx(low).margin(1e-12) && part.high == Approx(high).margin(1e-12);
}

TEST_CASE("A line is cut where it enters and leaves a polygon", "[base]") {
  auto parts = chords(kLShape, Along::x, 0.5);
  REQUIRE(parts.size() == 1);
  CHECK(is(parts[0], 0, 4));
  parts = chords(kLShape, Along::x, 2);
  REQUIRE(parts.size() == 1);
  CHECK(is(parts[0], 0, 1));
  parts = chords(kLShape, Along::y, 3);
  REQUIRE(parts.size() == 1);
  CHECK(is(parts[0], 0, 1));
  CHECK(chords(kLShape, Along::x, 3.5).empty());
  CHECK(chords(kLShape, Along::y, -1).empty());
}

TEST_CASE("A polygon with a notch has two parts on one line, in rising order", "[base]") {
  const Ring notched{{0, 0}, {6, 0}, {6, 2}, {4, 2}, {4, 1}, {2, 1}, {2, 2}, {0, 2}};
  for (const bool turned : {false, true}) {
    Ring ring = notched;
    if (turned) ring.assign(notched.rbegin(), notched.rend());
    const auto parts = chords(ring, Along::x, 1.5);
    REQUIRE(parts.size() == 2);
    CHECK(is(parts[0], 0, 2));
    CHECK(is(parts[1], 4, 6));
  }
}

TEST_CASE("A sloping edge is cut where a straight line says", "[base]") {
  const Ring triangle{{0, 0}, {8, 0}, {8, 4}};
  const auto parts = chords(triangle, Along::x, 1);
  REQUIRE(parts.size() == 1);
  CHECK(is(parts[0], 2, 8));
}

TEST_CASE("What is no outline of one area is said to be none", "[base]") {
  CHECK(needed_of_ring(kLShape, 0.01).empty());
  CHECK(needed_of_ring({{0, 0}, {1, 1}, {2, 2}}, 0.01) == "at least three corners that are not in one line");
  CHECK(needed_of_ring({{0, 0}, {1, 0.001}, {2, 0}}, 0.01) == "at least three corners that are not in one line");
  CHECK(needed_of_ring({{0, 0}, {3, 2}, {3, 0}, {0, 1}}, 0.01) == "an outline that does not cross or touch itself");
}

TEST_CASE("A hole cuts a line in two, and has to lie inside", "[base]") {
  const PlanePolygon frame{{{0, 0}, {6, 0}, {6, 6}, {0, 6}}, {{{2, 2}, {4, 2}, {4, 4}, {2, 4}}}};
  CHECK(needed_of_polygon(frame, 0.01).empty());
  const auto parts = chords(frame, Along::x, 3);
  REQUIRE(parts.size() == 2);
  CHECK(is(parts[0], 0, 2));
  CHECK(is(parts[1], 4, 6));
  PlanePolygon apart = frame;
  apart.holes[0] = {{7, 2}, {8, 2}, {8, 4}, {7, 4}};
  CHECK(needed_of_polygon(apart, 0.01) == "holes that lie inside the outline");
  apart.holes[0] = {{2, 2}, {3, 3}, {4, 4}};
  CHECK(needed_of_polygon(apart, 0.01) == "holes of at least three corners that are not in one line");
}

double area_of(const Ring& ring) {
  double twice = 0.0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const PlanePoint& a = ring[i];
    const PlanePoint& b = ring[(i + 1) % ring.size()];
    twice += a.x * b.y - b.x * a.y;
  }
  return std::abs(0.5 * twice);
}

TEST_CASE("What is taken from an area leaves what elementary geometry says", "[base]") {
  const PlanePolygon field{{{0, 0}, {100, 0}, {100, 40}, {0, 40}}, {}};
  // Through the middle: two pieces.
  const Ring road{{45, -10}, {55, -10}, {55, 50}, {45, 50}};
  auto left = without(field, {road}, 0);
  REQUIRE(left.size() == 2);
  CHECK(area_of(left[0].outline) + area_of(left[1].outline) == Approx(100.0 * 40 - 10 * 40));
  left = without(field, {road}, 10);
  REQUIRE(left.size() == 2);
  // A polygon about a circle of 36 corners reaches 0.4 % beyond it.
  CHECK(area_of(left[0].outline) + area_of(left[1].outline) <= 100.0 * 40 - 30 * 40 + 1e-9);
  CHECK(area_of(left[0].outline) + area_of(left[1].outline) > 100.0 * 40 - 30.2 * 40);
  // Inside: a hole, whose corners are rounded by the margin: square, four strips and a circle.
  const Ring pond{{40, 15}, {50, 15}, {50, 25}, {40, 25}};
  left = without(field, {pond}, 5);
  REQUIRE(left.size() == 1);
  REQUIRE(left[0].holes.size() == 1);
  const double exact = 100 + 4 * 10 * 5 + 3.14159265358979 * 25;
  CHECK(area_of(left[0].holes[0]) >= exact);
  CHECK(area_of(left[0].holes[0]) < 1.01 * exact);
  CHECK(without(field, {{{-1, -1}, {101, -1}, {101, 41}, {-1, 41}}}, 0).empty());
}

}  // namespace
