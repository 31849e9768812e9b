#include "backfield/earth/ground.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace backfield;
using namespace backfield::earth;

namespace {

Position at(double east, double north) { return {metres(east), metres(north)}; }

AvoidArea ring(std::vector<Position> corners) { return {"area", AreaKind::people, {}, std::move(corners)}; }

}  // namespace

TEST_CASE("The distance to a square is that to its nearest edge or corner, negative inside", "[earth]") {
  const AvoidArea square = ring({at(0, 0), at(100, 0), at(100, 100), at(0, 100)});
  CHECK(distance_to(square, at(50, 130)).si() == Approx(30.0));
  CHECK(distance_to(square, at(103, 104)).si() == Approx(5.0));  // 3, 4, 5
  CHECK(distance_to(square, at(50, 20)).si() == Approx(-20.0));
  CHECK(distance_to(square, at(-7, 50)).si() == Approx(7.0));
  CHECK(std::abs(distance_to(square, at(100, 40)).si()) < 1e-12);
}

TEST_CASE("A ring may run either way round and may be hollow to one side", "[earth]") {
  std::vector<Position> corners{at(0, 0),     at(300, 0),   at(300, 300), at(200, 300),
                                at(200, 100), at(100, 100), at(100, 300), at(0, 300)};  // a U, open to the north
  const AvoidArea u = ring(corners);
  const AvoidArea other_way = ring({corners.rbegin(), corners.rend()});
  for (const AvoidArea& area : {u, other_way}) {
    CHECK(distance_to(area, at(150, 200)).si() == Approx(50.0));  // between the arms: outside
    CHECK(distance_to(area, at(50, 200)).si() == Approx(-50.0));  // in an arm
    CHECK(distance_to(area, at(150, 60)).si() == Approx(-40.0));  // in the base
    CHECK(distance_to(area, at(150, 300)).si() == Approx(50.0));  // level with two corners
    CHECK(distance_to(area, at(-30, 100)).si() == Approx(30.0));  // level with others
  }
}

TEST_CASE("Nobody gets nearer to an area, or farther off, than he moves", "[earth]") {
  const AvoidArea area = ring({at(0, 0), at(400, 50), at(350, 420), at(180, 160), at(-60, 300)});
  for (int i = 0; i < 400; ++i) {
    const Position here = at(std::fmod(37.0 * i, 900.0) - 250.0, std::fmod(101.0 * i, 900.0) - 250.0);
    const Position there = at(here.east.si() + 3.0, here.north.si() - 4.0);
    CHECK(std::abs((distance_to(area, there) - distance_to(area, here)).si()) <= 5.0 + 1e-9);
  }
}
