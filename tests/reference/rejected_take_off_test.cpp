// The half-way check of a take-off roll.
//
// Sources:
//   [AIM]  FAA Aeronautical Information Manual 7-6-8 (7-5-7 in earlier editions): stop unless 70 % of the lift-off
//   speed
//          is there at the middle of the runway
//   [PL]   pilotlife.ca: 42 kt at half-way for a lift-off at 60 kt
// With constant acceleration speed grows with the root of distance: 70.71 % at half of the roll.

#include "backfield/decision/assess.hpp"
#include "tests/tools/scenes.hpp"

#include <catch2/catch.hpp>

#include <cmath>

namespace {

using namespace backfield;

/// A take-off that rolls 600 m and lifts off at 60 kt, from a runway of the given length.
decision::RollOut roll_out(Length runway, Speed headwind = {}) {
  decision::Case c;
  c.aircraft = test::trainer(feet_per_minute(700), metres(600), metres(900));
  c.aircraft.speeds.v_r = {knots(60)};
  c.mass = c.aircraft.reference_mass;
  c.departure.end = test::runway(360, runway, c.elevation);
  c.weather.qnh = hectopascals(1013.25);
  c.weather.oat = celsius(15);
  c.weather.wind = {earth::true_degrees(360), headwind, {}, false, {}};
  c.policy.model = test::plain_model();
  c.policy.technique = test::plain_technique();
  c.policy.alignment_height[c.aircraft.kind] = test::kAlignment;
  c.policy.stop.landing_roll_factor = 1.15;
  c.policy.stop.rejected_take_off_delay = seconds(3);
  c.policy.bracket.worlds = {{"reported", 1.0, false, false, {}, 1.0}};
  c.policy.scan_end = seconds(20);
  c.policy.scan_limit = seconds(20);
  const decision::Answer answer = decision::assess(c, 1);
  REQUIRE(answer.refusal.empty());
  return answer.roll_out;
}

double half_way_kt(const decision::RollOut& r) { return in_knots(r.speed_half_way.value().value); }

TEST_CASE("Half-way down a roll that takes the whole runway 70.7 % of lift-off speed is there",
          "[decision][reference]") {
  const auto r = roll_out(metres(600));
  CHECK(in_metres(r.half_way) == Approx(300.0));
  REQUIRE(r.speed_half_way);
  CHECK(half_way_kt(r) / 60.0 == Approx(0.7071).margin(5e-5));
}

TEST_CASE("A lift-off at 60 kt asks for 42 kt at half-way", "[decision][reference]") {
  const auto r = roll_out(metres(600));
  CHECK(in_knots(r.least_speed_half_way.value) == Approx(42.0).margin(0.005));  // [AIM], [PL]
}

TEST_CASE("Just 70 % at half-way is a roll 2 % longer than the runway", "[decision][reference]") {
  // 0.7^2 = 0.49 of the roll in half of the runway: the published figure is a rounded one.
  const auto r = roll_out(metres(600.0 * 0.98));
  REQUIRE(r.speed_half_way);
  CHECK(half_way_kt(r) == Approx(in_knots(r.least_speed_half_way.value)).epsilon(1e-6));
  CHECK(half_way_kt(roll_out(metres(560))) < 42.0);
  CHECK(half_way_kt(roll_out(metres(620))) > 42.0);
}

TEST_CASE("Into the wind it is the ground speed that grows with the root of distance", "[decision][reference]") {
  // The roll is the case's own, as stated: 50 kt over the ground at its end, 35.36 kt half-way, 45.36 kt of airspeed.
  const auto r = roll_out(metres(600), knots(10));
  REQUIRE(r.speed_half_way);
  CHECK(half_way_kt(r) == Approx(45.36).margin(0.01));
}

TEST_CASE("In the air by half-way there is no speed to check", "[decision][reference]") {
  CHECK_FALSE(roll_out(metres(1201)).speed_half_way);
}

}  // namespace
