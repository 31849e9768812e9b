#include "backfield/flight/clearance.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace backfield;
using namespace backfield::flight;

namespace {

// Kept from every requirement: 2 ft and 2 m. What is found is less than the truth by at most 0.05 m and 2 % of it.
constexpr double kHeight_m = 2.0 * kMetresPerFoot;
constexpr double kAside_m = 2.0;

double slack(double truth_m) { return 0.05 + 0.02 * std::abs(truth_m); }

/// True to one side only: never more than the truth.
void check(double found_m, double truth_m) {
  CAPTURE(found_m, truth_m);
  CHECK(found_m <= truth_m);
  CHECK(found_m > truth_m - slack(truth_m));
}

earth::Ground mast(double east, double north, double top, double half_width) {
  return {{{"mast", {metres(east), metres(north)}, {metres(top)}, metres(half_width)}}, {}};
}

}  // namespace

TEST_CASE("A straight way past a mast is as clear as it passes beside it", "[flight]") {
  const Hazards hazards(mast(500, 60, 200, 10), {metres(30), metres(20), {}, {}}, {metres(0)});
  // 60 m off the middle at 100 m: 30 m beyond half width and margin, and far below the top.
  check(hazards.along({{0, 0, 100}, {1000, 0, 100}}).margin.si(), 60.0 - 10.0 - 20.0 - kAside_m);
  CHECK(hazards.along({{0, 0, 100}, {1000, 0, 100}}).clear());
}

TEST_CASE("Over a mast the height counts, where the way is lowest within its margin", "[flight]") {
  const earth::Ground ground = mast(500, 0, 200, 10);
  const Hazards hazards(ground, {metres(30), metres(20), {}, {}}, {metres(0)});
  // Level at 240 m: 10 m over what is required, all the way across.
  check(hazards.along({{0, 0, 240}, {1000, 0, 240}}).margin.si(), 10.0 - kHeight_m);
  // Descending from 300 to 150 m: at the far side of the margin it is lowest, and leaves the circle there.
  Clearance c = hazards.along({{0, 0, 300}, {1000, 0, 150}});
  CHECK_FALSE(c.clear());
  hazards.explain({{0, 0, 300}, {1000, 0, 150}}, c);
  REQUIRE(c.below);
  const double there = 300.0 - 0.15 * (500.0 + 30.0 + kAside_m);
  CHECK(c.below->si() == Approx(230.0 + kHeight_m - there).margin(1.0));  // looked at every 5 m
  CHECK(name_of(ground, c.hazard) == "mast");
}

TEST_CASE("A stop short of a mast is measured from there; a jump in height is not flown through", "[flight]") {
  const Hazards hazards(mast(500, 0, 200, 0), {{}, {}, {}, {}}, {metres(0)});
  check(hazards.along({{0, 0, 50}, {450, 0, 50}}).margin.si(), 50.0 - kAside_m);
  // From 100 m beside to 100 m beyond, but not by way of the mast.
  check(hazards.along({{400, 0, 50}, {600, 0, 50, 0.0, false}}).margin.si(), 100.0 - kAside_m);
  CHECK(hazards.along({{400, 0, 50}, {600, 0, 50}}).margin.si() < -1.0);
}

TEST_CASE("What a way bends between its points is taken off", "[flight]") {
  const Hazards hazards(mast(500, 60, 200, 0), {{}, {}, {}, {}}, {metres(0)});
  check(hazards.along({{0, 0, 50}, {1000, 0, 50, 7.0}}).margin.si(), 60.0 - 7.0 - kAside_m);
}

TEST_CASE("An area is crossed above its height, or at none", "[flight]") {
  earth::Ground ground;
  ground.areas.push_back({"town",
                          earth::AreaKind::people,
                          {metres(20)},
                          {{metres(400), metres(-100)},
                           {metres(600), metres(-100)},
                           {metres(600), metres(100)},
                           {metres(400), metres(100)}}});
  const Hazards above(ground, {{}, {}, metres(300), {}}, {metres(0)});
  check(above.along({{0, 0, 330}, {1000, 0, 330}}).margin.si(), 10.0 - kHeight_m);
  const Hazards never(ground, {{}, {}, {}, metres(5)}, {metres(0)});
  Clearance c = never.along({{0, 0, 3000}, {1000, 0, 3000}});
  CHECK(c.margin.si() < -100.0);
  never.explain({{0, 0, 3000}, {1000, 0, 3000}}, c);
  CHECK_FALSE(c.below);
  CHECK(c.within.si() == Approx(100.0 + 5.0 + kAside_m).margin(1.0));
  CHECK(name_of(ground, c.hazard) == "town (people)");
  check(never.along({{0, 150, 10}, {1000, 150, 10}}).margin.si(), 50.0 - 5.0 - kAside_m);
}

TEST_CASE("Heights of a way count from the datum, tops from mean sea level", "[flight]") {
  const Hazards hazards(mast(500, 0, 200, 10), {{}, {}, {}, {}}, {metres(150)});
  check(hazards.along({{0, 0, 60}, {1000, 0, 60}}).margin.si(), 10.0 - kHeight_m);
}
