#include "backfield/aircraft/height_profile.hpp"

#include <catch2/catch.hpp>

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
