// The standard atmosphere and altimetry against published tables and worked examples.
//
// Tolerance: half of the last printed digit, unless the source truncates or was read off a chart, which is said beside
// the check. Sources:
//   [ICAO]  ICAO Doc 7488/3 (3rd ed. 1993), Tables 1 to 3, as transcribed in the test data of the library ambiance
//           (github.com/airinnova/ambiance, tests/table_data.py, commit 232032b). Its columns are geometric heights.
//           The Celsius cell of its row at -2,500 m swaps two digits (31.265 for 31.256) and is not used.
//   [US76]  U.S. Standard Atmosphere 1976, Table I in 2 km steps, as transcribed in github.com/CalebBell/fluids,
//           tests/test_atmosphere.py, commit 091070e. Geometric heights.
//   [ETB]   engineeringtoolbox.com, "Altitude above sea level, temperature and barometer"; inHg column truncated
//   [EE]    engineersedge.com, "Standard atmospheric data" (cites NASA 1976)
//   [PHAK]  FAA-H-8083-25A, Pilot's Handbook of Aeronautical Knowledge, p. 10-19, Sample Problem 1 and Fig. 10-21
//   [FAA]   FAA commercial pilot knowledge-test bank, items 5306 and 5307 (H317)

#include "backfield/earth/atmosphere.hpp"

#include <catch2/catch.hpp>

namespace {

using namespace backfield;
using namespace backfield::earth;

PressureAltitude pressure_ft(double ft) { return {feet(ft)}; }

/// Geopotential of a geometric height, with the Earth radius of the standards, 6,356,766 m.
PressureAltitude geometric(double z_m) {
  constexpr double kRadius_m = 6356766.0;
  return {metres(kRadius_m * z_m / (kRadius_m + z_m))};
}

double density(PressureAltitude h) { return kSeaLevelDensity * standard_density_ratio(h); }

TEST_CASE("Sea level density follows from the sea level pressure and temperature of ISO 2533", "[earth][reference]") {
  CHECK(kSeaLevelPressure.si() / (kGasConstantOfAir * kSeaLevelTemperature.si()) == Approx(1.225).margin(5e-8));
}

TEST_CASE("Temperature and pressure and density match ICAO Doc 7488 to the last printed digit", "[earth][reference]") {
  struct Row {
    PressureAltitude h;
    double t_k, t_half, p_pa, p_half, rho, rho_half;
  };
  // The last row is the tropopause: tabulated at 11,000 m geopotential, its geometric height rounded to 11,019 m.
  // clang-format off
  const Row row = GENERATE(                                                    // [ICAO]
      Row{geometric(-2500), 304.406, 5e-4, 1.35205e5, 0.5,  1.54731,    5e-6},
      Row{geometric(    0), 288.150, 5e-4, 1.01325e5, 0.5,  1.22500,    5e-6},
      Row{geometric( 1000), 281.651, 5e-4, 8.98763e4, 0.05, 1.11166,    5e-6},
      Row{geometric( 2000), 275.154, 5e-4, 7.95014e4, 0.05, 1.00655,    5e-6},
      Row{geometric(11000), 216.774, 5e-4, 2.26999e4, 0.05, 3.64801e-1, 5e-7},
      Row{{metres(11000)},  216.650, 5e-4, 2.26320e4, 0.05, 3.63918e-1, 5e-7});
  // clang-format on
  CAPTURE(row.h.in_standard_atmosphere.si());
  CHECK(standard_temperature(row.h).si() == Approx(row.t_k).margin(row.t_half));
  CHECK(standard_pressure(row.h).si() == Approx(row.p_pa).margin(row.p_half));
  CHECK(density(row.h) == Approx(row.rho).margin(row.rho_half));
}

TEST_CASE("Temperature and pressure and density match the U.S. Standard Atmosphere 1976", "[earth][reference]") {
  struct Row {
    double z_m, t_k, p_pa, rho;
  };
  const Row row = GENERATE(Row{2000, 275.15, 79501, 1.0066}, Row{4000, 262.17, 61660, 0.81935});  // [US76]
  CAPTURE(row.z_m);
  const PressureAltitude h = geometric(row.z_m);
  CHECK(standard_temperature(h).si() == Approx(row.t_k).margin(0.005));
  CHECK(standard_pressure(h).si() == Approx(row.p_pa).epsilon(5e-5));
  CHECK(density(h) == Approx(row.rho).epsilon(5e-5));
}

TEST_CASE("Pressure altitude is geopotential and not the geometric height of the same table", "[earth][reference]") {
  const PressureAltitude h = {metres(4000)};
  CHECK(standard_temperature(h).si() == Approx(262.15).margin(0.005));
  CHECK(standard_pressure(h).si() == Approx(61640).margin(1.0));
}

TEST_CASE("The atmosphere by pressure altitude in feet matches its defining constants", "[earth][reference]") {
  struct Row {
    double ft, t_c, t_f, p_hpa, p_inhg, delta, sigma, rho, tas_over_cas;
  };
  // Computed apart from this program from the constants of Doc 7488; one unit of the last digit.
  // clang-format off
  const Row row = GENERATE(
      Row{    0,  15.000,  59.00, 1013.250, 29.9213, 1.00000, 1.00000, 1.22500, 1.00000},
      Row{ 1000,  13.019,  55.43,  977.166, 28.8557, 0.96439, 0.97106, 1.18955, 1.01479},
      Row{ 2000,  11.038,  51.87,  942.129, 27.8211, 0.92981, 0.94277, 1.15490, 1.02990},
      Row{ 3000,   9.056,  48.30,  908.117, 26.8167, 0.89624, 0.91512, 1.12102, 1.04535},
      Row{ 5000,   5.094,  41.17,  843.073, 24.8959, 0.83205, 0.86167, 1.05555, 1.07728},
      Row{ 8000,  -0.850,  30.47,  752.624, 22.2250, 0.74278, 0.78602, 0.96287, 1.12794},
      Row{15000, -14.718,   5.51,  571.819, 16.8858, 0.56434, 0.62924, 0.77082, 1.26064},
      Row{20000, -24.624, -12.32,  465.632, 13.7501, 0.45954, 0.53281, 0.65269, 1.36998});
  // clang-format on
  CAPTURE(row.ft);
  const PressureAltitude h = pressure_ft(row.ft);
  CHECK(in_celsius(standard_temperature(h)) == Approx(row.t_c).margin(0.001));
  CHECK(in_fahrenheit(standard_temperature(h)) == Approx(row.t_f).margin(0.01));
  CHECK(in_hectopascals(standard_pressure(h)) == Approx(row.p_hpa).margin(0.001));
  CHECK(in_inches_of_mercury(standard_pressure(h)) == Approx(row.p_inhg).margin(0.0001));
  CHECK(standard_pressure(h) / kSeaLevelPressure == Approx(row.delta).margin(0.00001));
  CHECK(standard_density_ratio(h) == Approx(row.sigma).margin(0.00001));
  CHECK(density(h) == Approx(row.rho).margin(0.00001));
  CHECK(in_knots(to_tas({knots(1)}, standard_density_ratio(h)).value) == Approx(row.tas_over_cas).margin(0.00001));
}

TEST_CASE("Published foot tables agree: inches and Fahrenheit and per cent of density", "[earth][reference]") {
  struct Row {
    double ft, inhg, t_f, percent;
  };
  const Row row = GENERATE(Row{2000, 27.82, 51.9, 94.3}, Row{4000, 25.84, 44.7, 88.8},  // [ETB]
                           Row{6000, 23.98, 37.6, 83.6}, Row{8000, 22.22, 30.5, 78.6}, Row{10000, 20.57, 23.3, 73.8});
  CAPTURE(row.ft);
  const PressureAltitude h = pressure_ft(row.ft);
  CHECK(in_inches_of_mercury(standard_pressure(h)) == Approx(row.inhg).margin(0.01));  // the column truncates
  CHECK(in_fahrenheit(standard_temperature(h)) == Approx(row.t_f).margin(0.1));
  CHECK(100.0 * standard_density_ratio(h) == Approx(row.percent).margin(0.1));
}

TEST_CASE("Published foot tables agree higher up: inches and per cent of density", "[earth][reference]") {
  struct Row {
    double ft, inhg, percent;
  };
  const Row row = GENERATE(Row{12000, 19.02, 69.3}, Row{14000, 17.57, 65.0}, Row{16000, 16.21, 60.9});  // [ETB]
  CAPTURE(row.ft);
  CHECK(in_inches_of_mercury(standard_pressure(pressure_ft(row.ft))) == Approx(row.inhg).margin(0.01));
  CHECK(100.0 * standard_density_ratio(pressure_ft(row.ft)) == Approx(row.percent).margin(0.1));
}

TEST_CASE("Published foot tables agree: pounds per square inch", "[earth][reference]") {
  struct Row {
    double ft, t_f, psia;
  };
  const Row row = GENERATE(Row{5000, 41.2, 12.230}, Row{10000, 23.4, 10.108},  // [EE]
                           Row{15000, 5.5, 8.296}, Row{20000, -12.3, 6.758});
  constexpr double kPascalsPerPsi = 6894.757;
  CAPTURE(row.ft);
  CHECK(in_fahrenheit(standard_temperature(pressure_ft(row.ft))) == Approx(row.t_f).margin(0.1));
  CHECK(standard_pressure(pressure_ft(row.ft)).si() / kPascalsPerPsi == Approx(row.psia).margin(0.005));
}

TEST_CASE("Pressure does not fall by an inch per thousand feet as the rule of thumb has it", "[earth][reference]") {
  // The rule gives 26.92 inHg at 3,000 ft; the standard says 26.82.
  const double inhg = in_inches_of_mercury(standard_pressure(pressure_ft(3000)));
  CHECK(inhg == Approx(26.82).margin(0.01));
  CHECK(std::abs(inhg - 26.92) > 0.05);
}

TEST_CASE("An altimeter setting of 30.10 inches lowers pressure altitude by 165 ft", "[earth][reference]") {
  const double correction_ft = in_feet(pressure_altitude(inches_of_mercury(30.10)).in_standard_atmosphere);
  CHECK(correction_ft == Approx(-165.0).margin(0.5));  // [PHAK]
}

TEST_CASE("The handbook's aerodrome at 5,883 ft has 5,718 ft of pressure and 7,700 ft of density altitude",
          "[earth][reference]") {
  const Air air(inches_of_mercury(30.10), {feet(5883)}, fahrenheit(70), DensityRule::local);
  CHECK(in_feet(air.pressure_altitude_at({feet(5883)}).in_standard_atmosphere) == Approx(5718).margin(1.0));  // [PHAK]
  const double density_altitude_ft = in_feet(air.density_altitude_at_aerodrome());
  CHECK(density_altitude_ft == Approx(7700).margin(50.0));  // [PHAK], read off a chart of 100 ft divisions
  CHECK(density_altitude_ft == Approx(7709).margin(5.0));   // the same worked exactly
}

TEST_CASE("Density altitude is the exact inversion and not 120 ft per degree", "[earth][reference]") {
  struct Row {
    double pressure_altitude_ft;
    Temperature oat;
    double density_altitude_ft, tolerance_ft;
  };
  const Row row = GENERATE(Row{12000, fahrenheit(50), 14130, 5}, Row{5000, celsius(30), 7800, 5});  // [FAA]
  const double sigma = density_ratio(standard_pressure(pressure_ft(row.pressure_altitude_ft)), row.oat);
  CHECK(in_feet(density_altitude(sigma)) == Approx(row.density_altitude_ft).margin(row.tolerance_ft));
  const double by_rule_ft =
      row.pressure_altitude_ft +
      120.0 * difference(row.oat, standard_temperature(pressure_ft(row.pressure_altitude_ft))).si();
  CHECK(std::abs(in_feet(density_altitude(sigma)) - by_rule_ft) > 2 * row.tolerance_ft);
}

}  // namespace
