// What the power that is left does, against hand arithmetic and published statements.
//
// Published:
//   [H3C]  FAA-H-8083-3C, Airplane Flying Handbook, ch. 13, p. 13-3: a twin with 200 thrust horsepower an engine that
//          needs 175 in level flight has 225 to climb with on two and 25 on one: 88.9 % of the climb is lost
//   [FLT]  FAA, Flying Light Twins Safely (as quoted): half of the power lost takes at least 80 % of the climb
// The table of partial power and the climbs of the twin were worked by hand from power = rate of climb * weight + drag
// * speed and D/W = (v^2 + n^2/v^2) / 2E, apart from this program.

#include "backfield/aircraft/power.hpp"
#include "tests/tools/scenes.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <cmath>

namespace {

using namespace backfield;
using namespace backfield::test;
using aircraft::PowerLeft;

constexpr double kKnotInFeetPerMinute = 101.2686;  // 1852 / 0.3048 / 60

aircraft::Conditions sea_level(Mass mass, double sigma = 1.0) { return {mass, {metres(0)}, celsius(15), sigma}; }

/// A light twin with single figures, all invented.
aircraft::Aircraft twin(Speed two_engines, Speed one_engine) {
  aircraft::Aircraft a = trainer(two_engines, metres(400), metres(700));
  a.kind = aircraft::AircraftClass::light_twin;
  a.reference_mass = a.max_take_off_mass = a.max_landing_mass = kilograms(2100);
  a.empty_mass = kilograms(1400);
  a.polar.glide_ratio = 10.0;
  a.speeds.best_glide = a.speeds.v_y = {knots(92)};
  a.speeds.stall_clean = {knots(62)};
  aircraft::OneEngineOut out;
  out.v_mca = {knots(70)};
  out.climb_speed = {knots(92)};
  out.climb_rate = figure(one_engine.si());
  a.one_engine_out = out;
  return a;
}

TEST_CASE("Partial power: what a share of the power climbs, by bank", "[aircraft][reference]") {
  const aircraft::Aircraft a = trainer(feet_per_minute(700), metres(200), metres(440));
  const aircraft::Performance p(a, kilograms(1100));
  struct Row {
    double fraction;
    std::array<double, 4> climb_fpm;  // at 0, 15, 30, 45 degrees of bank
  };
  // Flown at the larger of best glide, 68 kt, and 60 kt times the root of the load factor.
  const Row row =
      GENERATE(Row{0.8, {471, 443, 343, 64}}, Row{0.6, {162, 134, 34, -244}}, Row{0.55, {84, 57, -43, -322}},
               Row{0.5, {7, -20, -120, -399}}, Row{0.4, {-147, -175, -275, -553}});
  constexpr std::array<double, 4> kBanks{0, 15, 30, 45};
  for (std::size_t i = 0; i < kBanks.size(); ++i) {
    CAPTURE(row.fraction, kBanks[i]);
    const double n = 1.0 / std::cos(degrees(kBanks[i]).si());
    const Cas cas{knots(std::max(68.0, 60.0 * std::sqrt(n)))};
    const auto rate =
        aircraft::excess_power(p, sea_level(p.mass()), {PowerLeft::fraction, row.fraction}, cas, degrees(kBanks[i]));
    REQUIRE(rate.usable());
    CHECK(in_feet_per_minute(rate.value) == Approx(row.climb_fpm[i]).margin(1.0));
  }
}

TEST_CASE("With all of its power the aeroplane climbs as its file says, with none it glides", "[aircraft][reference]") {
  const aircraft::Aircraft a = trainer(feet_per_minute(700), metres(200), metres(440));
  const aircraft::Performance p(a, kilograms(1100));
  const auto conditions = sea_level(p.mass(), 0.8);
  const auto all = aircraft::excess_power(p, conditions, {PowerLeft::all}, p.v_y(), Angle{});
  CHECK(in_feet_per_minute(all.value) == Approx(700.0));
  const auto whole = aircraft::excess_power(p, conditions, {PowerLeft::fraction, 1.0}, p.v_y(), Angle{});
  CHECK(whole.value.si() == Approx(all.value.si()));
  const double tas = 68.0 / std::sqrt(0.8);
  const auto none = aircraft::excess_power(p, conditions, {PowerLeft::none}, p.best_glide(), Angle{});
  CHECK(in_feet_per_minute(none.value) == Approx(-tas * kKnotInFeetPerMinute / 9.0).epsilon(1e-4));
  const auto nothing = aircraft::excess_power(p, conditions, {PowerLeft::fraction, 0.0}, p.best_glide(), Angle{});
  CHECK(nothing.value.si() == Approx(none.value.si()));
}

TEST_CASE("A climb factor takes its share of the climb, not of the drag", "[aircraft][reference]") {
  const aircraft::Aircraft a = trainer(feet_per_minute(700), metres(200), metres(440));
  const aircraft::Performance p(a, kilograms(1100));
  const auto rate = aircraft::excess_power(p, sea_level(p.mass()), {PowerLeft::all, 0.0, 0.9}, p.v_y(), Angle{});
  CHECK(in_feet_per_minute(rate.value) == Approx(630.0));
}

TEST_CASE("One engine out: bank costs (n^2 - 1) / 2E of gradient", "[aircraft][reference]") {
  // 230 ft/min at 92 kt: 2.47 %. Half of (1/cos(15)^2 - 1) / 10 is 0.36 %, at 30 degrees 1.67 %: two thirds of it.
  const aircraft::Aircraft a = twin(feet_per_minute(1100), feet_per_minute(230));
  const aircraft::Performance p(a, kilograms(2100));
  const auto gradient = [&](double bank_deg) {
    const auto rate = aircraft::excess_power(p, sea_level(p.mass()), {PowerLeft::one_engine_out},
                                             p.one_engine_out_climb_speed(), degrees(bank_deg));
    return 100.0 * aircraft::still_air_gradient(rate.value, {p.one_engine_out_climb_speed().value});
  };
  CHECK(gradient(0) == Approx(230.0 / (92.0 * kKnotInFeetPerMinute) * 100.0).epsilon(1e-6));
  CHECK(gradient(0) == Approx(2.47).margin(0.005));
  CHECK(gradient(0) - gradient(15) == Approx(0.359).margin(0.001));
  CHECK(gradient(0) - gradient(30) == Approx(1.667).margin(0.001));
}

TEST_CASE("Half of the power is far more than half of the climb", "[aircraft][reference]") {
  // [H3C] in numbers: power over weight 200 an engine and 175 in level flight, in units that give a light twin's climb.
  constexpr double kUnit = 6.0;  // ft/min of climb for each horsepower
  const aircraft::Aircraft a = twin(feet_per_minute(225 * kUnit), feet_per_minute(25 * kUnit));
  const aircraft::Performance p(a, kilograms(2100));
  const auto c = sea_level(p.mass());
  const auto both = aircraft::excess_power(p, c, {PowerLeft::all}, p.v_y(), Angle{});
  const auto one = aircraft::excess_power(p, c, {PowerLeft::one_engine_out}, p.one_engine_out_climb_speed(), Angle{});
  const double lost = 1.0 - one.value / both.value;
  CHECK(lost == Approx(0.889).margin(0.0005));
  CHECK(lost > 0.8);  // [FLT]
  // The same by sharing the power: half of what drives two engines. Drag at best glide speed is 1/10 of the weight.
  const double needed_fpm = 92.0 * kKnotInFeetPerMinute / 10.0;
  const double half = 0.5 * (225 * kUnit + needed_fpm) - needed_fpm;
  const auto shared = aircraft::excess_power(p, c, {PowerLeft::fraction, 0.5}, p.v_y(), Angle{});
  CHECK(in_feet_per_minute(shared.value) == Approx(half).epsilon(1e-4));
}

TEST_CASE("A jet's thrust is the same at every speed, a propeller's power is", "[aircraft][reference]") {
  aircraft::Aircraft a = twin(feet_per_minute(2000), feet_per_minute(500));
  const Cas fast{knots(120)};
  const auto rate = [&](Cas cas) {
    const aircraft::Performance p(a, kilograms(2100));
    return in_feet_per_minute(aircraft::excess_power(p, sea_level(p.mass()), {PowerLeft::all}, cas, Angle{}).value);
  };
  const double v = 120.0 / 92.0;
  const double drag = (v * v + 1.0 / (v * v)) / 20.0;
  const double power_fpm = 2000.0 + 0.1 * 92.0 * kKnotInFeetPerMinute;
  CHECK(rate(fast) == Approx(power_fpm - drag * 120.0 * kKnotInFeetPerMinute).epsilon(1e-4));
  a.kind = aircraft::AircraftClass::light_jet;
  const double thrust = 2000.0 / (92.0 * kKnotInFeetPerMinute) + 0.1;
  CHECK(rate(fast) == Approx((thrust - drag) * 120.0 * kKnotInFeetPerMinute).epsilon(1e-4));
}

TEST_CASE("A file that sinks faster on one engine than it glides is believed", "[aircraft][reference]") {
  // Gliding at 92 kt, 10:1, sinks 932 ft/min.
  const aircraft::Aircraft a = twin(feet_per_minute(1100), feet_per_minute(-1200));
  const aircraft::Performance p(a, kilograms(2100));
  const auto rate = aircraft::excess_power(p, sea_level(p.mass()), {PowerLeft::one_engine_out},
                                           p.one_engine_out_climb_speed(), Angle{});
  CHECK(in_feet_per_minute(rate.value) == Approx(-1200.0));
}

TEST_CASE("Where the table of the climb ends, so does the answer", "[aircraft][reference]") {
  aircraft::Aircraft a = twin(feet_per_minute(2000), feet_per_minute(500));
  a.one_engine_out->climb_rate = aircraft::Figure();
  const aircraft::Performance p(a, kilograms(2100));
  const auto rate = aircraft::excess_power(p, sea_level(p.mass()), {PowerLeft::one_engine_out}, p.v_y(), degrees(10));
  CHECK_FALSE(rate.usable());
  CHECK_FALSE(rate.axis.empty());
}

}  // namespace
