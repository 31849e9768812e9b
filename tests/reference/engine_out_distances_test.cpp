// Accelerate-stop and accelerate-go of a file, on the day.
//
// Published: CAT.POL.A.205(c) and 14 CFR 25.105(d): slope, surface and wind are taken into account, a headwind by no
// more than half, a tailwind by no less than one and a half times: the bracket's light and strong worlds. AMC2
// CAT.POL.A.400: 5 % for each 1 % uphill. Worked by hand: 10 kt of tailwind at 100 kt, (110/100)^2 = 1.21; 10 kt of
// headwind at most 0.9, which is what the climb alone has, the roll having 0.81.

#include "backfield/aircraft/distances.hpp"
#include "tests/tools/scenes.hpp"

#include <catch2/catch.hpp>

namespace {

using namespace backfield;
using namespace backfield::test;

aircraft::Aircraft twin() {
  aircraft::Aircraft a = trainer(feet_per_minute(2000), metres(500), metres(800));
  a.kind = aircraft::AircraftClass::light_twin;
  a.distances.take_off_wind = aircraft::BookWind::still_air;
  a.distances.take_off_surface_factor.of[earth::Surface::grass_wet] = 1.3;
  a.distances.landing_surface_factor.of[earth::Surface::grass_wet] = 1.6;
  a.speeds.v_r = {knots(100)};
  a.speeds.touchdown = {knots(80)};
  aircraft::OneEngineOut out;
  out.accelerate_stop = figure(1200);
  out.accelerate_go = figure(1000);
  a.one_engine_out = out;
  return a;
}

struct Needs {
  double stop, go;
};
Needs on(const aircraft::Aircraft& a, double headwind_kt, double slope = 0.0,
         earth::Surface surface = earth::Surface::paved) {
  const aircraft::Performance p(a, kilograms(1100));
  const aircraft::Conditions day{kilograms(1100), {metres(0)}, celsius(15), 1.0};
  const aircraft::RollSurface runway{surface, slope, knots(headwind_kt)};
  aircraft::StopRule rule;
  rule.landing_roll_factor = 1.0;
  rule.slope_factor_per_percent = 0.05;
  rule.rejected_take_off_delay = seconds(3);
  const auto stop = aircraft::accelerate_stop_distance(p, day, runway, rule);
  const auto go = aircraft::accelerate_go_distance(p, day, runway, rule);
  REQUIRE(stop.usable());
  REQUIRE(go.usable());
  return {in_metres(stop.value), in_metres(go.value)};
}

}  // namespace

TEST_CASE("Wind, slope and surface on the distances with an engine failing", "[aircraft][twin][reference]") {
  const aircraft::Aircraft a = twin();
  CHECK(on(a, 0).stop == Approx(1200.0));
  CHECK(on(a, 0).go == Approx(1000.0));
  CHECK(on(a, -10).go == Approx(1210.0));
  CHECK(on(a, -10).stop == Approx(1200.0 * 1.21));
  CHECK(on(a, 10).go == Approx(900.0));
  CHECK(on(a, 10).stop == Approx(1080.0));
  CHECK(on(a, 0, 0.02).go == Approx(1100.0));
  CHECK(on(a, 0, -0.02).go == Approx(1000.0));  // downhill is no help
  CHECK(on(a, 0, -0.02).stop == Approx(1320.0));
  CHECK(on(a, 0, 0, earth::Surface::grass_wet).go == Approx(1300.0));
  CHECK(on(a, 0, 0, earth::Surface::grass_wet).stop == Approx(1920.0));
}

TEST_CASE("Figures that stand for the wind of the case are not corrected for it", "[aircraft][twin]") {
  aircraft::Aircraft a = twin();
  a.distances.take_off_wind = aircraft::BookWind::as_stated_for_the_case;
  CHECK(on(a, -10).go == Approx(1000.0));
  CHECK(on(a, -10, 0.01).go == Approx(1050.0));
}

TEST_CASE("Without a figure accelerate-stop is the roll, the delay and the braking", "[aircraft][twin][reference]") {
  aircraft::Aircraft a = twin();
  const aircraft::Performance p(a, kilograms(1100));
  const aircraft::Conditions day{kilograms(1100), {metres(0)}, celsius(15), 1.0};
  aircraft::StopRule rule;
  rule.landing_roll_factor = 1.0;
  rule.rejected_take_off_delay = seconds(3);
  const auto estimate = [&](double v_1_kt) {
    a.one_engine_out->v_1 = v_1_kt > 0.0 ? std::optional(Cas{knots(v_1_kt)}) : std::nullopt;
    return in_metres(aircraft::estimated_accelerate_stop(p, day, {earth::Surface::paved, 0.0, {}}, rule).value);
  };
  // 500 m to 100 kt, 3 s at 100 kt, 210 m from 80 kt: by hand 500 + 154.3 + 210 (100/80)^2.
  CHECK(estimate(0) == Approx(500.0 + 3.0 * knots(100).si() + 210.0 * 1.5625));
  CHECK(estimate(90) == Approx(500.0 * 0.81 + 3.0 * knots(90).si() + 210.0 * 1.265625));
}
