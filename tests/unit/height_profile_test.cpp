#include "backfield/aircraft/height_profile.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace backfield;

TEST_CASE("Height along a profile: straight between knots, nothing before, its slope beyond", "[aircraft]") {
  const aircraft::HeightProfile profile{{{metres(1000), metres(10)}, {metres(2000), metres(50)}}, -0.01};
  CHECK(in_metres(profile.at(metres(999))) == 0.0);
  CHECK(in_metres(profile.at(metres(1000))) == Approx(10.0));
  CHECK(in_metres(profile.at(metres(1250))) == Approx(20.0));
  CHECK(in_metres(profile.at(metres(2000))) == Approx(50.0));
  CHECK(in_metres(profile.at(metres(2500))) == Approx(45.0));
  CHECK(in_metres(aircraft::HeightProfile{}.at(metres(1))) == 0.0);
  // Where it jumps, what is claimed is what comes after.
  const aircraft::HeightProfile jump{{{metres(0), metres(0)}, {metres(100), metres(9)}, {metres(100), metres(5)}}, 0.0};
  CHECK(in_metres(jump.at(metres(100))) == Approx(5.0));
  CHECK(in_metres(jump.at(metres(99))) == Approx(8.91));
}

TEST_CASE("Speed along a profile: its square straight between knots, the end's speed beyond", "[aircraft]") {
  const auto knot = [](double d, double v) {
    return aircraft::HeightProfile::Knot{metres(d), metres(100), metres_per_second(v)};
  };
  const aircraft::HeightProfile profile{{knot(1000, 60), knot(3000, 80)}, 0.0};
  CHECK(profile.tas_at(metres(500)).si() == Approx(60.0));
  CHECK(profile.tas_at(metres(1000)).si() == Approx(60.0));
  CHECK(profile.tas_at(metres(2000)).si() == Approx(std::sqrt(0.5 * (3600.0 + 6400.0))));
  CHECK(profile.tas_at(metres(9000)).si() == Approx(80.0));
  CHECK(aircraft::HeightProfile{}.tas_at(metres(1)).si() == 0.0);
}
