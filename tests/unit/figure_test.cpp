#include "backfield/aircraft/figure.hpp"

#include <catch2/catch.hpp>

#include <stdexcept>

namespace {

using namespace backfield;
using namespace backfield::aircraft;

Conditions at(double mass_kg, double ft, double oat_c, double sigma = 1.0) {
  return {kilograms(mass_kg), {feet(ft)}, celsius(oat_c), sigma};
}

/// A function linear in each argument, so that trilinear interpolation has to be exact everywhere.
double trilinear(double mass_kg, double altitude_m, double t_k) {
  return 3.0 + 0.25 * mass_kg - 0.01 * altitude_m + 0.5 * t_k + 1e-4 * mass_kg * altitude_m - 2e-3 * mass_kg * t_k +
         1e-6 * mass_kg * altitude_m * t_k;
}

Grid table() {
  Grid g;
  g.mass_kg = {800, 900, 1100};
  g.pressure_altitude_m = {0, feet(4000).si(), feet(8000).si()};
  g.temperature_k = {celsius(0).si(), celsius(15).si(), celsius(20).si(), celsius(30).si()};
  for (const double m : g.mass_kg) {
    for (const double h : g.pressure_altitude_m) {
      for (const double t : g.temperature_k) g.values_si.push_back(trilinear(m, h, t));
    }
  }
  return g;
}

TEST_CASE("A table gives its own values back at its nodes", "[aircraft][figure]") {
  const Grid g = table();
  const Figure figure(g, {});
  std::size_t i = 0;
  for (const double m : g.mass_kg) {
    for (const double h : g.pressure_altitude_m) {
      for (const double t : g.temperature_k) {
        const Lookup<double> found = figure.at({kilograms(m), {metres(h)}, kelvins(t), 1.0});
        CHECK(found.coverage == Coverage::inside);
        CHECK(found.value == g.values_si[i++]);
      }
    }
  }
}

TEST_CASE("Between rows a table is linear in each axis", "[aircraft][figure]") {
  const Figure figure(table(), {});
  for (const double m : {800.0, 837.0, 950.0, 1100.0}) {
    for (const double ft : {0.0, 1234.0, 5000.0, 8000.0}) {
      for (const double c : {0.0, 7.0, 16.0, 29.5}) {
        CAPTURE(m, ft, c);
        const Lookup<double> found = figure.at(at(m, ft, c));
        CHECK(found.coverage == Coverage::inside);
        CHECK(found.axis.empty());
        CHECK(found.value == Approx(trilinear(m, feet(ft).si(), celsius(c).si())).epsilon(1e-12));
      }
    }
  }
}

TEST_CASE("Beyond a table there is no value and the end that was passed is named", "[aircraft][figure]") {
  struct Beyond {
    Conditions conditions;
    const char* axis;
    const char* end;
  };
  const Figure figure(table(), {});
  for (const Beyond& b :
       {Beyond{at(799, 2000, 10), "mass", "starts at 800 kg"}, Beyond{at(1101, 2000, 10), "mass", "ends at 1100 kg"},
        Beyond{at(900, -10, 10), "pressure altitude", "starts at 0 ft"},
        Beyond{at(900, 8001, 10), "pressure altitude", "ends at 8000 ft"},
        Beyond{at(900, 2000, -0.1), "outside air temperature", "starts at 0 C"},
        Beyond{at(900, 2000, 30.1), "outside air temperature", "ends at 30 C"}}) {
    const Lookup<double> found = figure.at(b.conditions);
    CHECK(found.coverage == Coverage::outside);
    CHECK_FALSE(found.usable());
    CHECK(std::isnan(found.value));
    CHECK(found.axis == b.axis);
    CHECK(found.end == b.end);
  }
}

TEST_CASE("A row between whole numbers is named with its decimal", "[aircraft][figure]") {
  Grid g = table();
  g.mass_kg.back() = pounds(2300).si();
  CHECK(Figure(g, {}).at(at(1200, 2000, 10)).end == "ends at 1043.3 kg");
}

TEST_CASE("The last bit of a conversion does not push a pilot off the table", "[aircraft][figure]") {
  const Figure figure(table(), {});
  CHECK(figure.at(at(1100 * (1 + 1e-12), 8000 * (1 + 1e-12), 30 + 1e-10)).coverage == Coverage::inside);
  CHECK(figure.at(at(800 * (1 - 1e-12), -1e-9, -1e-10)).coverage == Coverage::inside);
  CHECK(figure.at(at(1100 * (1 + 1e-12), 0, 15)).value == figure.at(at(1100, 0, 15)).value);
  CHECK(figure.at(at(1100 * (1 + 1e-5), 0, 15)).coverage == Coverage::outside);
}

TEST_CASE("A table is clamped only at the low ends where its file allows it", "[aircraft][figure]") {
  Grid g = table();
  g.clamp_temperature_low = true;
  const Figure figure(g, {});
  const Lookup<double> cold = figure.at(at(850, 2000, -12));
  CHECK(cold.coverage == Coverage::clamped);
  CHECK(cold.usable());
  CHECK(cold.axis == "outside air temperature");
  CHECK(cold.end == "starts at 0 C");
  CHECK(cold.value == Approx(figure.at(at(850, 2000, 0)).value));
  CHECK(figure.at(at(850, 2000, 31)).coverage == Coverage::outside);
  CHECK(figure.at(at(850, -10, 10)).coverage == Coverage::outside);
  CHECK(figure.at(at(700, 2000, 10)).coverage == Coverage::outside);
}

TEST_CASE("Each low end clamps by its own permission", "[aircraft][figure]") {
  Grid light = table(), low = table();
  light.clamp_mass_low = true;
  low.clamp_altitude_low = true;
  CHECK(Figure(light, {}).at(at(700, 2000, 10)).coverage == Coverage::clamped);
  CHECK(Figure(light, {}).at(at(700, 2000, 10)).value == Approx(Figure(light, {}).at(at(800, 2000, 10)).value));
  CHECK(Figure(light, {}).at(at(900, -500, 10)).coverage == Coverage::outside);
  CHECK(Figure(low, {}).at(at(900, -500, 10)).coverage == Coverage::clamped);
  CHECK(Figure(low, {}).at(at(900, -500, 10)).value == Approx(Figure(low, {}).at(at(900, 0, 10)).value));
}

TEST_CASE("One end clamped does not excuse another that is passed", "[aircraft][figure]") {
  Grid g = table();
  g.clamp_mass_low = true;
  const Lookup<double> found = Figure(g, {}).at(at(700, 9000, 10));
  CHECK(found.coverage == Coverage::outside);
  CHECK(found.axis == "pressure altitude");
  CHECK(std::isnan(found.value));

  g.clamp_mass_low = false;
  g.clamp_altitude_low = true;
  const Lookup<double> heavy_and_low = Figure(g, {}).at(at(1200, -100, 10));
  CHECK(heavy_and_low.coverage == Coverage::outside);
  CHECK(heavy_and_low.axis == "mass");
}

TEST_CASE("An axis of one node holds at that value only", "[aircraft][figure]") {
  Grid g;
  g.mass_kg = {1043};
  g.pressure_altitude_m = {0, 1000};
  g.temperature_k = {celsius(15).si()};
  g.values_si = {10, 20};
  const Figure figure(g, {});
  CHECK(figure.at({kilograms(1043), {metres(250)}, celsius(15), 1.0}).value == Approx(12.5));
  CHECK(figure.at({kilograms(1043.0005), {metres(250)}, celsius(15), 1.0}).coverage == Coverage::inside);
  const Lookup<double> heavier = figure.at({kilograms(1044), {metres(250)}, celsius(15), 1.0});
  CHECK(heavier.coverage == Coverage::outside);
  CHECK(heavier.end == "given only for 1043 kg");
  CHECK(figure.at({kilograms(1042), {metres(250)}, celsius(15), 1.0}).end == "given only for 1043 kg");
  CHECK(figure.at({kilograms(1043), {metres(250)}, celsius(16), 1.0}).end == "given only for 15 C");
  g.clamp_mass_low = true;
  CHECK(Figure(g, {}).at({kilograms(900), {metres(250)}, celsius(15), 1.0}).coverage == Coverage::clamped);
}

TEST_CASE("A constant holds within its validity and nowhere else", "[aircraft][figure]") {
  Validity valid;
  valid.mass = Interval<Mass>{kilograms(800), kilograms(1100)};
  valid.pressure_altitude = Interval<Length>{feet(0), feet(6000)};
  valid.temperature = Interval<Temperature>{celsius(-10), celsius(35)};
  const Figure figure({9.0, Scaled::Law::constant, 0.0}, valid, {});
  CHECK(figure.at(at(900, 3000, 20)).value == 9.0);
  CHECK(figure.at(at(900, 3000, 20)).coverage == Coverage::inside);
  CHECK(figure.at(at(1100, 6000, 35)).coverage == Coverage::inside);
  CHECK(figure.at(at(1101, 3000, 20)).end == "ends at 1100 kg");
  CHECK(figure.at(at(799, 3000, 20)).end == "starts at 800 kg");
  CHECK(figure.at(at(900, 6001, 20)).end == "ends at 6000 ft");
  CHECK(figure.at(at(900, -5, 20)).axis == "pressure altitude");
  CHECK(figure.at(at(900, 3000, 36)).end == "ends at 35 C");
  CHECK(figure.at(at(900, 3000, -11)).end == "starts at -10 C");
  CHECK(std::isnan(figure.at(at(900, 3000, -11)).value));
  CHECK(Figure({9.0, Scaled::Law::constant, 0.0}, {}, {}).at(at(5000, 30000, -50)).coverage == Coverage::inside);
}

TEST_CASE("A roll grows as the air gets thinner and a speed with the root of mass", "[aircraft][figure]") {
  const Figure roll({200.0, Scaled::Law::inverse_sigma, 0.0}, {}, {});
  CHECK(roll.at(at(900, 3000, 20, 0.8)).value == Approx(250.0));
  const Figure speed({30.0, Scaled::Law::sqrt_mass, 1000.0}, {}, {});
  CHECK(speed.at(at(810, 3000, 20)).value == Approx(27.0));
  CHECK(speed.at(at(1000, 3000, 20)).value == Approx(30.0));
}

TEST_CASE("A figure no file stated says so", "[aircraft][figure]") {
  const Figure none;
  CHECK_FALSE(none.stated());
  CHECK(none.at(at(900, 0, 15)).coverage == Coverage::outside);
  CHECK(none.at(at(900, 0, 15)).end == "not stated in the aircraft file");
  CHECK(Figure(table(), {}).stated());
  CHECK(Figure({1.0, Scaled::Law::constant, 0.0}, {}, {}).stated());
}

TEST_CASE("A figure keeps its source", "[aircraft][figure]") {
  const Figure figure(table(), {"invented", "flaps up", "5 %", true});
  CHECK(figure.source().document == "invented");
  CHECK(figure.source().condition == "flaps up");
  CHECK(figure.source().uncertainty == "5 %");
  CHECK(figure.source().estimate);
}

TEST_CASE("A table that is not one is refused", "[aircraft][figure]") {
  Grid g = table();
  SECTION("an axis is empty") { g.mass_kg.clear(); }
  SECTION("an axis falls") { std::swap(g.mass_kg[0], g.mass_kg[1]); }
  SECTION("an axis repeats a node") { g.temperature_k[1] = g.temperature_k[0]; }
  SECTION("a node is not finite") { g.pressure_altitude_m.back() = std::numeric_limits<double>::infinity(); }
  SECTION("a value is missing") { g.values_si.pop_back(); }
  SECTION("a value is too many") { g.values_si.push_back(1.0); }
  SECTION("a value is not finite") { g.values_si[7] = std::nan(""); }
  CHECK_THROWS_AS(Figure(g, {}), std::logic_error);
}

TEST_CASE("A constant that cannot be meant is refused", "[aircraft][figure]") {
  CHECK_THROWS_AS(Figure({std::nan(""), Scaled::Law::constant, 0.0}, {}, {}), std::logic_error);
  CHECK_THROWS_AS(Figure({1.0, Scaled::Law::sqrt_mass, 0.0}, {}, {}), std::logic_error);
  Validity backwards;
  backwards.mass = Interval<Mass>{kilograms(900), kilograms(800)};
  CHECK_THROWS_AS(Figure({1.0, Scaled::Law::constant, 0.0}, backwards, {}), std::logic_error);
}

TEST_CASE("A figure is not asked for conditions that do not exist", "[aircraft][figure]") {
  const Figure figure(table(), {});
  CHECK_THROWS_AS(figure.at(at(std::nan(""), 0, 15)), std::logic_error);
  CHECK_THROWS_AS(figure.at(at(900, 0, std::nan(""))), std::logic_error);
  CHECK_THROWS_AS(figure.at(at(900, 0, 15, 0.0)), std::logic_error);
}

}  // namespace
