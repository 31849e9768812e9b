#include "backfield/base/polygon.hpp"

#include <catch2/catch.hpp>

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

}  // namespace
