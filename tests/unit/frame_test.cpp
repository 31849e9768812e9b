#include "backfield/earth/position.hpp"

#include <catch2/catch.hpp>

#include <stdexcept>

namespace {

using namespace backfield;
using namespace backfield::earth;

Geodetic at(double lat_deg, double lon_deg) { return {degrees(lat_deg), degrees(lon_deg)}; }

TEST_CASE("The origin of a frame is its zero", "[earth][frame]") {
  const LocalFrame frame(at(48.2, 11.5));
  const Position zero = frame.to_local(frame.origin());
  CHECK(zero.east.si() == Approx(0.0).margin(1e-9));
  CHECK(zero.north.si() == Approx(0.0).margin(1e-9));
  CHECK(frame.to_local(frame.origin(), true_degrees(77)).deg() == Approx(77.0));
  CHECK(frame.to_geodetic(Position{}, true_degrees(77)).deg() == Approx(77.0));
}

TEST_CASE("A place further north lies north and one further east lies east", "[earth][frame]") {
  const LocalFrame frame(at(-33.5, 151));
  CHECK(frame.to_local(at(-33.4, 151)).north.si() > 11000.0);
  CHECK(frame.to_local(at(-33.4, 151)).east.si() == Approx(0.0).margin(1e-6));
  CHECK(frame.to_local(at(-33.5, 151.1)).east.si() > 9000.0);
}

TEST_CASE("Along and right of a track are where a pilot expects them", "[earth][position]") {
  const Position p = offset({metres(100), metres(200)}, true_degrees(90), metres(50), metres(10));
  CHECK(p.east.si() == Approx(150.0));
  CHECK(p.north.si() == Approx(190.0));
  CHECK(in_metres(distance({metres(100), metres(200)}, {metres(103), metres(196)})) == Approx(5.0));
}

TEST_CASE("The poles are places like others, right up to ninety degrees", "[earth][frame]") {
  for (const double lat : {90.0, -90.0}) {
    const LocalFrame frame(at(lat, 20));
    const Position p = frame.to_local(at(lat * 0.999, 75));
    CHECK(std::isfinite(p.east.si()));
    CHECK(std::hypot(p.east.si(), p.north.si()) == Approx(10052.0).margin(1.0));  // 0.09 degrees of 111.69 km
    CHECK(in_degrees(frame.to_geodetic(p).latitude) == Approx(lat * 0.999).margin(1e-9));
  }
}

TEST_CASE("A frame refuses a place that is not on the Earth", "[earth][frame]") {
  CHECK_THROWS_AS(LocalFrame(at(90.001, 0)), std::logic_error);
  CHECK_THROWS_AS(LocalFrame(at(-91, 0)), std::logic_error);
  CHECK_THROWS_AS(LocalFrame(at(std::nan(""), 0)), std::logic_error);
  CHECK_THROWS_AS(LocalFrame(at(0, std::nan(""))), std::logic_error);
  CHECK_THROWS_AS(LocalFrame(at(0, std::numeric_limits<double>::infinity())), std::logic_error);
  const LocalFrame frame(at(0, 0));
  CHECK_THROWS_AS(frame.to_local(at(95, 0)), std::logic_error);
  CHECK_THROWS_AS(frame.to_local(at(95, 0), true_degrees(0)), std::logic_error);
  CHECK_THROWS_AS(frame.to_geodetic({metres(std::nan("")), metres(0)}), std::logic_error);
  CHECK_THROWS_AS(geodesic(at(0, 0), at(91, 0)), std::logic_error);
  CHECK_THROWS_AS(destination(at(0, 0), true_degrees(0), metres(std::nan(""))), std::logic_error);
}

}  // namespace
