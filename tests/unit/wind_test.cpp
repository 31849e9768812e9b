#include "backfield/earth/wind.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <stdexcept>

namespace {

using namespace backfield;
using namespace backfield::earth;

Height above(double m) { return {metres(m)}; }
double speed_kt(const WindProfile& profile, double m) { return in_knots(profile.at(above(m)).speed()); }
const WindVector kSixtyKnots = wind_from(true_degrees(240), knots(60));

TEST_CASE("A wind from 270 blows towards the east", "[earth][wind]") {
  const WindVector w = wind_from(true_degrees(270), knots(10));
  CHECK(in_knots(w.towards_east) == Approx(10.0));
  CHECK(in_knots(w.towards_north) == Approx(0.0).margin(1e-12));
}

TEST_CASE("A wind from 270 is a tailwind on an easterly track", "[earth][wind]") {
  const WindComponents c = components(wind_from(true_degrees(270), knots(10)), true_degrees(90));
  CHECK(in_knots(c.headwind) == Approx(-10.0));
  CHECK(in_knots(c.from_right) == Approx(0.0).margin(1e-12));
}

TEST_CASE("A wind from 180 blows from the right on an easterly track", "[earth][wind]") {
  const WindComponents c = components(wind_from(true_degrees(180), knots(10)), true_degrees(90));
  CHECK(in_knots(c.headwind) == Approx(0.0).margin(1e-12));
  CHECK(in_knots(c.from_right) == Approx(10.0));
}

TEST_CASE("Calm has components of nothing and is said to come from north", "[earth][wind]") {
  const WindVector calm = wind_from(true_degrees(135), knots(0));
  CHECK(calm.speed().si() == 0.0);
  CHECK(calm.from().deg() == 0.0);
  const WindComponents c = components(calm, true_degrees(37));
  CHECK(c.headwind.si() == 0.0);
  CHECK(c.from_right.si() == 0.0);
}

TEST_CASE("A uniform wind is the same at every height", "[earth][wind]") {
  const WindProfile profile = WindProfile::uniform(kSixtyKnots);
  CHECK(profile.is_uniform());
  for (const double m : {-50.0, 0.0, 10.0, 500.0, 5000.0}) CHECK(speed_kt(profile, m) == Approx(60.0));
}

TEST_CASE("The power law stays within its stated sampling error", "[earth][wind]") {
  const double exponent = GENERATE(0.01, 0.1, 1.0 / 7.0, 0.25, 0.4, 0.6);
  const double top_m = GENERATE(10.5, 100.0, 600.0, 1500.0);
  CAPTURE(exponent, top_m);
  const WindProfile profile = WindProfile::power_law(kSixtyKnots, {exponent}, above(top_m));
  double worst_kt = 0.0;
  for (double m = 10.0; m < top_m; m *= 1.0003) {
    worst_kt = std::max(worst_kt, std::abs(speed_kt(profile, m) - 60.0 * std::pow(m / 10.0, exponent)));
  }
  CAPTURE(worst_kt, profile.data().size());
  CHECK(worst_kt <= 60.0 * kLawSamplingError);
  CHECK(profile.data().size() < 120);  // the table a solver walks through stays small
}

TEST_CASE("The logarithmic law stays within its stated sampling error", "[earth][wind]") {
  const double roughness_m = GENERATE(0.0002, 0.005, 0.03, 0.25, 1.0, 2.0, 5.0);
  const double top_m = GENERATE(10.5, 100.0, 600.0, 1500.0);
  CAPTURE(roughness_m, top_m);
  const WindProfile profile = WindProfile::log_law(kSixtyKnots, {metres(roughness_m), metres(top_m)});
  double worst_kt = 0.0;
  for (double m = 10.0; m < top_m; m *= 1.0003) {
    const double law_kt = 60.0 * std::log(m / roughness_m) / std::log(10.0 / roughness_m);
    worst_kt = std::max(worst_kt, std::abs(speed_kt(profile, m) - law_kt));
  }
  CAPTURE(worst_kt, profile.data().size());
  CHECK(worst_kt <= 60.0 * kLawSamplingError);
  CHECK(profile.data().size() < 120);
}

TEST_CASE("A law gives the reported wind from the ground to 10 m and stops growing at its top", "[earth][wind]") {
  const WindProfile power = WindProfile::power_law(kSixtyKnots, {0.2});
  const WindProfile log = WindProfile::log_law(kSixtyKnots, {metres(0.03), metres(600)});
  for (const double m : {-20.0, 0.0, 3.0, 10.0}) {
    CHECK(speed_kt(power, m) == Approx(60.0));
    CHECK(speed_kt(log, m) == Approx(60.0));
  }
  CHECK(speed_kt(power, 600) == Approx(60.0 * std::pow(60.0, 0.2)));
  CHECK(speed_kt(power, 2000) == speed_kt(power, 600));
  CHECK(speed_kt(log, 2000) == speed_kt(log, 600));
  CHECK(power.surface().speed() == power.at(above(5)).speed());
}

TEST_CASE("A law changes the speed of a wind and not its direction", "[earth][wind]") {
  const WindProfile profile = WindProfile::power_law(kSixtyKnots, {0.3});
  for (const double m : {0.0, 57.0, 333.0, 900.0}) CHECK(profile.at(above(m)).from().deg() == Approx(240.0));
}

TEST_CASE("A wind without shear is stored as one level", "[earth][wind]") {
  CHECK(WindProfile::power_law(kSixtyKnots, {0.0}).is_uniform());
  CHECK(WindProfile::power_law({}, {0.2}).is_uniform());
  CHECK(WindProfile::log_law({}, {metres(0.03), metres(600)}).is_uniform());
}

TEST_CASE("Between two levels the wind vector is linear", "[earth][wind]") {
  const WindProfile profile =
      WindProfile::levels({{above(100), {knots(10), knots(0)}}, {above(300), {knots(0), knots(20)}}});
  const WindVector middle = profile.at(above(150));
  CHECK(in_knots(middle.towards_east) == Approx(7.5));
  CHECK(in_knots(middle.towards_north) == Approx(5.0));
  CHECK(in_knots(profile.at(above(100)).towards_east) == Approx(10.0));
  CHECK(in_knots(profile.at(above(300)).towards_north) == Approx(20.0));
  CHECK(in_knots(profile.at(above(0)).towards_east) == Approx(10.0));
  CHECK(in_knots(profile.at(above(9000)).towards_north) == Approx(20.0));
}

TEST_CASE("A joined profile follows the law to 100 m, runs straight to the first level and then the levels",
          "[earth][wind]") {
  const WindVector at_10m = wind_from(true_degrees(200), knots(12));
  const std::vector<WindProfile::Level> aloft = {{above(300), wind_from(true_degrees(230), knots(25))},
                                                 {above(900), wind_from(true_degrees(250), knots(35))}};
  const WindProfile profile = WindProfile::joined(at_10m, {0.2}, aloft);
  CHECK(speed_kt(profile, 10) == Approx(12.0));
  CHECK(speed_kt(profile, 50) == Approx(12.0 * std::pow(5.0, 0.2)).margin(12.0 * kLawSamplingError));
  const WindVector at_100m = profile.at(above(100));
  CHECK(in_knots(at_100m.speed()) == Approx(12.0 * std::pow(10.0, 0.2)));
  CHECK(profile.at(above(300)).from().deg() == Approx(230.0));
  CHECK(speed_kt(profile, 300) == Approx(25.0));
  const WindVector between = profile.at(above(200));
  CHECK(between.towards_east.si() == Approx((at_100m.towards_east + aloft[0].wind.towards_east).si() / 2.0));
  CHECK(speed_kt(profile, 3000) == Approx(35.0));
}

TEST_CASE("A level aloft at or below 100 m replaces the law", "[earth][wind]") {
  const WindProfile profile = WindProfile::joined({knots(10), knots(0)}, {0.2}, {{above(60), {knots(20), knots(0)}}});
  CHECK(profile.data().size() == 2);
  CHECK(speed_kt(profile, 35) == Approx(15.0));
}

TEST_CASE("A calm surface under a wind aloft stays calm up to 100 m", "[earth][wind]") {
  const WindProfile profile = WindProfile::joined({}, {0.2}, {{above(300), {knots(20), knots(0)}}});
  CHECK(speed_kt(profile, 100) == Approx(0.0).margin(1e-12));
  CHECK(speed_kt(profile, 200) == Approx(10.0));
}

TEST_CASE("A profile scales and turns as a whole", "[earth][wind]") {
  const WindProfile profile = WindProfile::power_law(wind_from(true_degrees(350), knots(10)), {0.2});
  const WindProfile stronger = profile.scaled(1.5);
  const WindProfile veered = profile.turned(degrees(20));
  for (const double m : {5.0, 77.0, 1000.0}) {
    CHECK(speed_kt(stronger, m) == Approx(1.5 * speed_kt(profile, m)));
    CHECK(veered.at(above(m)).from().deg() == Approx(10.0));
    CHECK(speed_kt(veered, m) == Approx(speed_kt(profile, m)));
  }
}

TEST_CASE("A profile that cannot be meant is refused", "[earth][wind]") {
  const WindVector w = kSixtyKnots;
  CHECK_THROWS_AS(WindProfile::levels({}), std::logic_error);
  CHECK_THROWS_AS(WindProfile::levels({{above(100), w}, {above(100), w}}), std::logic_error);
  CHECK_THROWS_AS(WindProfile::levels({{above(200), w}, {above(100), w}}), std::logic_error);
  CHECK_THROWS_AS(WindProfile::levels({{above(std::nan("")), w}}), std::logic_error);
  CHECK_THROWS_AS(WindProfile::uniform({knots(std::nan("")), knots(0)}), std::logic_error);
  CHECK_THROWS_AS(WindProfile::power_law(w, {-0.1}), std::logic_error);
  CHECK_THROWS_AS(WindProfile::power_law(w, {0.61}), std::logic_error);
  CHECK_THROWS_AS(WindProfile::power_law(w, {0.2}, above(10)), std::logic_error);
  CHECK_THROWS_AS(WindProfile::log_law(w, {metres(0), metres(600)}), std::logic_error);
  CHECK_THROWS_AS(WindProfile::log_law(w, {metres(5.1), metres(600)}), std::logic_error);
  CHECK_THROWS_AS(WindProfile::log_law(w, {metres(0.03), metres(9)}), std::logic_error);
  CHECK_THROWS_AS(WindProfile::joined(w, {0.2}, {}), std::logic_error);
  CHECK_THROWS_AS(WindProfile::joined(w, {0.2}, {{above(10), w}}), std::logic_error);
  CHECK_THROWS_AS(WindProfile::uniform(w).scaled(std::nan("")), std::logic_error);
}

TEST_CASE("In still air heading and ground speed are track and airspeed", "[earth][wind]") {
  const WindTriangle t = hold_track(true_degrees(123), {knots(70)}, {});
  CHECK(t.heading.deg() == Approx(123.0));
  CHECK(in_degrees(t.crab) == Approx(0.0).margin(1e-12));
  CHECK(in_knots(t.ground_speed) == Approx(70.0));
}

TEST_CASE("A wind from the right asks for a heading to the right", "[earth][wind]") {
  const WindTriangle t = hold_track(true_degrees(90), {knots(60)}, wind_from(true_degrees(180), knots(30)));
  CHECK(in_degrees(t.crab) == Approx(30.0));
  CHECK(t.heading.deg() == Approx(120.0));
  CHECK(in_knots(t.ground_speed) == Approx(60.0 * std::cos(kPi / 6)));
}

TEST_CASE("A headwind as strong as the airspeed leaves no ground speed", "[earth][wind]") {
  const WindTriangle equal = hold_track(true_degrees(0), {knots(60)}, wind_from(true_degrees(0), knots(60)));
  CHECK(in_knots(equal.ground_speed) == Approx(0.0).margin(1e-9));
  const WindTriangle stronger = hold_track(true_degrees(0), {knots(60)}, wind_from(true_degrees(0), knots(80)));
  CHECK(in_knots(stronger.ground_speed) == Approx(-20.0));
}

TEST_CASE("A crosswind stronger than the airspeed cannot be held", "[earth][wind]") {
  const WindTriangle t = hold_track(true_degrees(0), {knots(60)}, wind_from(true_degrees(90), knots(61)));
  CHECK(std::isnan(t.crab.si()));
  CHECK(t.ground_speed.si() == 0.0);
  CHECK(std::isnan(hold_track(true_degrees(0), {knots(0)}, {}).crab.si()));
}

}  // namespace
