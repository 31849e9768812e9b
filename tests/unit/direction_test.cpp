#include "backfield/earth/direction.hpp"

#include <catch2/catch.hpp>

namespace {

using namespace backfield;
using namespace backfield::earth;

constexpr double kRounding_deg = 1e-9;

TEST_CASE("A direction lies between 0 and 360 degrees whatever it was made from", "[earth][direction]") {
  CHECK(true_degrees(360).deg() == Approx(0.0).margin(kRounding_deg));
  CHECK(true_degrees(-90).deg() == Approx(270.0).margin(kRounding_deg));
  CHECK(true_degrees(725).deg() == Approx(5.0).margin(kRounding_deg));
  CHECK(TrueDirection().deg() == 0.0);
}

TEST_CASE("A hair west of north is not 360 degrees", "[earth][direction]") {
  // fmod leaves -1e-20, and 2 pi - 1e-20 rounds to 2 pi itself.
  CHECK(wrap_turn(radians(-1e-20)).si() == 0.0);
  CHECK(true_degrees(-1e-20).deg() < 360.0);
}

TEST_CASE("The reciprocal of runway 09 is runway 27", "[earth][direction]") {
  CHECK(true_degrees(90).reciprocal().deg() == Approx(270.0).margin(kRounding_deg));
  CHECK(true_degrees(270).reciprocal().deg() == Approx(90.0).margin(kRounding_deg));
}

TEST_CASE("The smaller turn goes the short way round and right is positive", "[earth][direction]") {
  CHECK(in_degrees(turn_between(true_degrees(350), true_degrees(10))) == Approx(20.0).margin(kRounding_deg));
  CHECK(in_degrees(turn_between(true_degrees(10), true_degrees(350))) == Approx(-20.0).margin(kRounding_deg));
  CHECK(in_degrees(turn_between(true_degrees(90), true_degrees(90))) == Approx(0.0).margin(kRounding_deg));
}

TEST_CASE("A turn of exactly half a circle is counted to the left", "[earth][direction]") {
  CHECK(in_degrees(turn_between(true_degrees(0), true_degrees(180))) == Approx(-180.0).margin(kRounding_deg));
}

TEST_CASE("Turning right raises a heading", "[earth][direction]") {
  CHECK(true_degrees(350).turned(degrees(30)).deg() == Approx(20.0).margin(kRounding_deg));
  CHECK(true_degrees(10).turned(degrees(-30)).deg() == Approx(340.0).margin(kRounding_deg));
}

TEST_CASE("East is least: an easterly variation is added to a magnetic direction", "[earth][direction]") {
  const MagneticDirection runway(degrees(87));
  CHECK(runway.to_true(degrees(4)).deg() == Approx(91.0).margin(kRounding_deg));
  CHECK(runway.to_true(degrees(-4)).deg() == Approx(83.0).margin(kRounding_deg));
  CHECK(runway.deg() == Approx(87.0).margin(kRounding_deg));
  CHECK(MagneticDirection::from_true(true_degrees(2), degrees(4)).deg() == Approx(358.0).margin(kRounding_deg));
}

}  // namespace
