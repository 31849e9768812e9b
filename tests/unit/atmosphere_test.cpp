#include "backfield/earth/atmosphere.hpp"

#include <catch2/catch.hpp>

#include <stdexcept>

namespace {

using namespace backfield;
using namespace backfield::earth;

Altitude amsl(double ft) { return {feet(ft)}; }
PressureAltitude pressure_ft(double ft) { return {feet(ft)}; }
double in_ft(PressureAltitude h) { return in_feet(h.in_standard_atmosphere); }

TEST_CASE("On a standard day pressure altitude is altitude and density is standard", "[earth][atmosphere]") {
  const Air air(hectopascals(1013.25), amsl(1200), standard_temperature(pressure_ft(1200)), DensityRule::local);
  for (const double ft : {-1000.0, 0.0, 1200.0, 5000.0, 14000.0, 36000.0, 40000.0, 60000.0}) {
    CAPTURE(ft);
    CHECK(in_ft(air.pressure_altitude_at(amsl(ft))) == Approx(ft).margin(1e-6));
    CHECK(air.temperature_at(amsl(ft)).si() == Approx(standard_temperature(pressure_ft(ft)).si()).epsilon(1e-12));
    CHECK(air.sigma(amsl(ft)) == Approx(standard_density_ratio(pressure_ft(ft))).epsilon(1e-9));
  }
}

TEST_CASE("On the aerodrome the pressure altitude is elevation corrected by QNH and nothing else",
          "[earth][atmosphere]") {
  const double oat_c = GENERATE(-35.0, 15.0, 45.0);
  const Air air(hectopascals(995), amsl(2500), celsius(oat_c), DensityRule::local);
  const double expected_m = feet(2500).si() + pressure_altitude(hectopascals(995)).in_standard_atmosphere.si();
  CHECK(air.pressure_altitude_at(amsl(2500)).in_standard_atmosphere.si() == expected_m);
  CHECK(air.temperature_at(amsl(2500)).si() == celsius(oat_c).si());
}

TEST_CASE("Low pressure is a high pressure altitude", "[earth][atmosphere]") {
  CHECK(in_ft(pressure_altitude(hectopascals(1000))) > 0.0);
  CHECK(in_ft(pressure_altitude(hectopascals(1030))) < 0.0);
}

TEST_CASE("Cold air packs the pressure levels: the altimeter over-reads above the aerodrome", "[earth][atmosphere]") {
  const Air cold(hectopascals(1013.25), amsl(0), celsius(-20), DensityRule::local);
  const Air hot(hectopascals(1013.25), amsl(0), celsius(40), DensityRule::local);
  CHECK(in_ft(cold.pressure_altitude_at(amsl(800))) == Approx(800.0 * 288.15 / 253.15).epsilon(1e-9));
  CHECK(in_ft(hot.pressure_altitude_at(amsl(800))) == Approx(800.0 * 288.15 / 313.15).epsilon(1e-9));
}

TEST_CASE("The column of the day is in hydrostatic balance", "[earth][atmosphere]") {
  // An oracle that shares no formula: dp = -rho g dz, integrated by Heun's method in steps of 1 m.
  const double oat_c = GENERATE(-30.0, 35.0);
  const Air air(hectopascals(990), amsl(1500), celsius(oat_c), DensityRule::local);
  const double start_m = feet(1500).si();
  double p_pa = standard_pressure(air.pressure_altitude_at(amsl(1500))).si();
  const auto slope = [&](double p, double z_m) {
    return -p * kStandardGravity / (kGasConstantOfAir * (celsius(oat_c).si() - kLapseRate * (z_m - start_m)));
  };
  const int climb_m = GENERATE(300, 3000);
  for (int i = 0; i < climb_m; ++i) {
    const double z_m = start_m + i;
    const double first = slope(p_pa, z_m);
    p_pa += 0.5 * (first + slope(p_pa + first, z_m + 1.0));
  }
  const Altitude top = {metres(start_m + climb_m)};
  // Heun's method errs by (1 m / 8 km)^3 / 6 in a step, 1e-9 after 3,000 of them; ten times that is allowed.
  CHECK(standard_pressure(air.pressure_altitude_at(top)).si() == Approx(p_pa).epsilon(1e-8));
  CHECK(air.sigma(top) == Approx(density_ratio(pascals(p_pa), air.temperature_at(top))).epsilon(1e-8));
}

TEST_CASE("The column stays in balance through the tropopause", "[earth][atmosphere]") {
  const double oat_c = GENERATE(-20.0, 15.0, 35.0);
  const Air air(hectopascals(1000), amsl(0), celsius(oat_c), DensityRule::local);
  for (double z_m = 9500.0; z_m < 13000.0; z_m += 10.0) {
    const Altitude low = {metres(z_m)}, middle = {metres(z_m + 5)}, high = {metres(z_m + 10)};
    const double fall =
        standard_pressure(air.pressure_altitude_at(low)).si() - standard_pressure(air.pressure_altitude_at(high)).si();
    const double weight = 10.0 * kStandardGravity * air.sigma(middle) * kSeaLevelPressure.si() /
                          (kGasConstantOfAir * kSeaLevelTemperature.si());
    CAPTURE(oat_c, z_m);
    REQUIRE(fall == Approx(weight).epsilon(1e-5));
  }
}

TEST_CASE("With the aerodrome's density everywhere the height makes no difference", "[earth][atmosphere]") {
  const Air air(hectopascals(1005), amsl(3000), celsius(30), DensityRule::aerodrome);
  const double on_ground = air.sigma(amsl(3000));
  CHECK(air.sigma(amsl(9000)) == on_ground);
  CHECK(on_ground == Approx(air.with(DensityRule::local).sigma(amsl(3000))).epsilon(1e-12));
  CHECK(air.with(DensityRule::local).sigma(amsl(9000)) < on_ground);
}

TEST_CASE("Air gives back what it was made of", "[earth][atmosphere]") {
  const Air air(hectopascals(1005), amsl(3000), celsius(30), DensityRule::aerodrome);
  CHECK(in_hectopascals(air.qnh()) == Approx(1005.0));
  CHECK(in_feet(air.elevation().above_sea_level) == Approx(3000.0));
  CHECK(in_celsius(air.temperature_at_aerodrome()) == Approx(30.0));
  CHECK(air.rule() == DensityRule::aerodrome);
}

TEST_CASE("A hot day raises the density altitude above the pressure altitude", "[earth][atmosphere]") {
  const Air hot(hectopascals(1013.25), amsl(2000), celsius(35), DensityRule::local);
  const Air cold(hectopascals(1013.25), amsl(2000), celsius(-10), DensityRule::local);
  CHECK(in_feet(hot.density_altitude_at_aerodrome()) > 2000.0);
  CHECK(in_feet(cold.density_altitude_at_aerodrome()) < 2000.0);
}

TEST_CASE("In thin air the true airspeed exceeds the calibrated one", "[earth][atmosphere]") {
  CHECK(in_knots(to_tas({knots(100)}, 0.81).value) == Approx(100.0 / 0.9));
  CHECK(in_knots(to_cas({knots(100)}, 0.81).value) == Approx(90.0));
}

TEST_CASE("The atmosphere refuses what lies outside its range", "[earth][atmosphere]") {
  CHECK_THROWS_AS(standard_pressure({metres(-5001)}), std::logic_error);
  CHECK_THROWS_AS(standard_temperature({metres(20001)}), std::logic_error);
  CHECK_THROWS_AS(standard_density_ratio({metres(std::nan(""))}), std::logic_error);
  CHECK_THROWS_AS(pressure_altitude(pascals(0)), std::logic_error);
  CHECK_THROWS_AS(pressure_altitude(hectopascals(1780)), std::logic_error);
  CHECK_THROWS_AS(pressure_altitude(hectopascals(50)), std::logic_error);
  CHECK_THROWS_AS(density_altitude(0.0), std::logic_error);
  CHECK_THROWS_AS(density_altitude(1.6), std::logic_error);
  CHECK_THROWS_AS(density_ratio(hectopascals(1000), kelvins(0)), std::logic_error);
  const auto air = [](double hpa, double ft, double c) {
    return Air(hectopascals(hpa), amsl(ft), celsius(c), DensityRule::local);
  };
  CHECK_NOTHROW(air(1013, 0, 15));
  CHECK_THROWS_AS(air(869, 0, 15), std::logic_error);
  CHECK_THROWS_AS(air(1086, 0, 15), std::logic_error);
  CHECK_THROWS_AS(air(1013, 30000, 15), std::logic_error);
  CHECK_THROWS_AS(air(1013, 0, 71), std::logic_error);
  CHECK_THROWS_AS(air(1013, 0, -101), std::logic_error);
  CHECK_THROWS_AS(air(1013, std::nan(""), 15), std::logic_error);
}

}  // namespace
