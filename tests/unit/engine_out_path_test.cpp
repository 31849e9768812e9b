// The path on one engine along a departure that turns, against closed forms: a circle of V^2 / (g tan(bank)), and
// heights that are rates times time (FAA-H-8083-3C, ch. 3, radius of a level turn).

#include "backfield/decision/assess.hpp"
#include "backfield/earth/terrain.hpp"
#include "backfield/io/load.hpp"
#include "tests/tools/terrain_maker.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <memory>

using namespace backfield;

namespace {

/// Calm, no margins in the bracket; a climb that does clear.
decision::Case calm() {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/twin-and-ridge/lighter.yaml");
  REQUIRE(loaded.ok());
  decision::Case c = *loaded.value;
  c.ground.obstacles.clear();
  return c;
}

decision::OneEngineOut ask(const decision::Case& c) {
  const auto answer = decision::assess(c);
  REQUIRE(answer.power_left.one_engine_out);
  return *answer.power_left.one_engine_out;
}

/// From brake release along the runway's track, and to the right of it.
earth::Position at(const decision::Case& c, double along_m, double right_m) {
  const earth::RunwayEnd& end = c.departure.end;
  return earth::offset(earth::offset(end.pavement_start, end.track, c.departure.start), end.track, metres(along_m),
                       metres(right_m));
}

void put_mast(decision::Case& c, earth::Position place, Length top) {
  c.ground.obstacles = {{"mast", place, c.elevation + earth::Height{top}, Length{}}};
}

/// Flat at the aerodrome, then a slope of two kilometres up to a plateau that begins so far north of brake release.
void put_plateau(decision::Case& c, double north_of_release_m, double height_m, double half_deg = 0.3) {
  const double lat = in_degrees(c.origin.latitude), lon = in_degrees(c.origin.longitude), step = 1.0 / 1200.0;
  const double top = lat + (at(c, 0, 0).north.si() + north_of_release_m) / 110'574.0;
  const auto count = static_cast<std::size_t>(2.0 * half_deg / step);
  const double base = c.elevation.above_sea_level.si();
  const auto posts = test::posts_of(lat - half_deg, lon - half_deg, step, count, count, [&](double y, double) {
    return base + height_m * std::clamp(1.0 + (y - top) * 110'574.0 / 2000.0, 0.0, 1.0);
  });
  c.ground.terrain = std::make_shared<const earth::Terrain>(c.origin, std::vector{posts});
  c.terrain = decision::TerrainBasis::posts;
}

}  // namespace

TEST_CASE("An obstacle behind a turn of the departure is met at the length of leg, arc and leg", "[decision][twin]") {
  decision::Case c = calm();
  const decision::OneEngineOut straight = ask(c);
  REQUIRE(straight.net > 0.0);
  const Length turn_at = feet(600);
  c.departure.track.legs = {{earth::Height{turn_at}, c.departure.end.track.turned(degrees(90)), degrees(15), true}};
  const double radius = in_metres(straight.half_circle_radius);
  const double gross = straight.gross, net = straight.net;
  const double up_m = in_metres(turn_at - feet(50));
  const double begins = in_metres(straight.path_begins);
  // The turn costs what its rate of climb is less than wings level, for a quarter of the circle.
  const double gross_turning = in_metres(straight.half_circle_height) / (kPi * radius);
  const double decrement = gross - net;
  // Of the two tracks, by gross and by net height, the obstacle stands on the one.
  for (const bool by_net : {false, true}) {
    const double leg = up_m / (by_net ? net : gross);
    put_mast(c, at(c, begins + leg + radius, radius + 2000.0), Length{});
    const decision::OneEngineOut turning = ask(c);
    CHECK(turning.obstacles_assessed);
    REQUIRE(turning.obstacles.size() == 1);
    const double flown = leg + 0.5 * kPi * radius + 2000.0;
    const double net_m =
        in_metres(feet(50)) + leg * net + 0.5 * kPi * radius * (gross_turning - decrement) + 2000.0 * net;
    INFO("by net " << by_net);
    // Both tracks may pass it within the way looked at; the lower one counts, and it is no lower than this by much.
    if (!by_net) {
      CHECK(in_metres(turning.obstacles.front().net) <= net_m + 1.0);
    } else {
      CHECK(in_metres(turning.obstacles.front().net) == Approx(net_m).margin(1.5));
      CHECK(in_metres(turning.obstacles.front().distance) == Approx(begins + flown).margin(15.0));
    }
  }
  // Straight on, where the departure does not go, nothing is in the way any more.
  put_mast(c, at(c, begins + 12'000.0, 0.0), feet(3000));
  const decision::OneEngineOut away = ask(c);
  CHECK(away.obstacles.empty());
  REQUIRE(away.aside.size() == 1);
  // And on the new track a tall one is.
  put_mast(c, at(c, begins + up_m / net + radius, radius + 2000.0), feet(3000));
  REQUIRE(ask(c).in_the_way() != nullptr);
}

TEST_CASE("A turn to the left mirrors one to the right", "[decision][twin]") {
  decision::Case c = calm();
  const auto by = [&](double sign) {
    c.departure.track.legs = {
        {earth::Height{feet(500)}, c.departure.end.track.turned(degrees(70 * sign)), degrees(15), sign > 0}};
    put_mast(c, at(c, 7000, 2500 * sign), feet(200));
    return ask(c);
  };
  const auto right = by(1), left = by(-1);
  REQUIRE(right.obstacles.size() + right.aside.size() == 1);
  REQUIRE(left.obstacles.size() == right.obstacles.size());
  if (!left.obstacles.empty()) {
    CHECK(left.obstacles[0].net.si() == Approx(right.obstacles[0].net.si()));
  } else {
    CHECK(left.aside[0].off.si() == Approx(right.aside[0].off.si()));
  }
}

TEST_CASE("A turn whose height one engine never reaches leaves the track unknown, and that is said",
          "[decision][twin]") {
  decision::Case c = calm();
  c.departure.track.legs = {{earth::Height{feet(600)}, c.departure.end.track.turned(degrees(90)), degrees(15), true}};
  c.policy.power_left.net_decrement.take_off = {{0.2, 0.2, 0.2}};  // the net path sinks
  put_mast(c, at(c, 5000, 0), feet(100));
  const decision::OneEngineOut out = ask(c);
  CHECK_FALSE(out.obstacles_assessed);
  CHECK(out.obstacles.empty());
  CHECK(out.verdict == decision::EngineOutVerdict::holds);
}

TEST_CASE("Ground that rises across the departure is not cleared by what the rule asks, at its distance",
          "[decision][twin]") {
  decision::Case c = calm();
  const decision::OneEngineOut open = ask(c);
  CHECK_FALSE(open.terrain);
  REQUIRE(std::abs(std::remainder(c.departure.end.track.deg(), 360.0)) < 1.0);
  put_plateau(c, 9000.0, 0.0);
  const decision::OneEngineOut flat = ask(c);
  REQUIRE(flat.terrain);
  CHECK(flat.terrain->assessed);
  CHECK_FALSE(flat.terrain->too_low_from);
  const double net_there = in_metres(feet(50)) + (9000.0 - in_metres(open.path_begins)) * open.net;
  // Some to spare, and some short: the depth of a look and the row of posts about the edge are worth a few metres.
  const double over = in_metres(c.policy.power_left.obstacles.over);
  put_plateau(c, 9000.0, net_there - over - 8.0);
  const decision::OneEngineOut under = ask(c);
  CHECK_FALSE(under.terrain->too_low_from);
  put_plateau(c, 9000.0, net_there - over + 8.0);
  const decision::OneEngineOut wall = ask(c);
  REQUIRE(wall.terrain->too_low_from);
  CHECK(in_metres(*wall.terrain->too_low_from) == Approx(9000.0).margin(150.0));
  REQUIRE(wall.in_the_way() != nullptr);
  CHECK(wall.in_the_way()->name == "the ground");
  CHECK(wall.verdict == decision::EngineOutVerdict::climbs);
}

TEST_CASE("Ground that the posts do not cover is said to be unknown, and nothing is cleared then", "[decision][twin]") {
  decision::Case c = calm();
  put_mast(c, at(c, 6000, 0), Length{});
  put_plateau(c, 9000.0, 0.0, 0.05);  // 5.5 km to every side
  const decision::OneEngineOut out = ask(c);
  REQUIRE(out.terrain->unknown_from);
  CHECK(in_metres(*out.terrain->unknown_from) < 6500.0);
  CHECK(out.in_the_way() == nullptr);
  CHECK(out.verdict == decision::EngineOutVerdict::climbs);
  c.ground.terrain = nullptr;
  CHECK(ask(c).verdict == decision::EngineOutVerdict::clears);
}
