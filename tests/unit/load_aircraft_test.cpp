#include "backfield/earth/atmosphere.hpp"
#include "backfield/io/load.hpp"
#include "backfield/io/render_finding.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace backfield;
using aircraft::Conditions;

namespace {

aircraft::Aircraft load(const std::string& name) {
  const auto loaded = io::load_aircraft(BACKFIELD_SOURCE_DIR "/" + name);
  INFO(io::render(loaded.findings));
  REQUIRE(loaded.ok());
  return *loaded.value;
}

Conditions conditions(double mass_kg, double altitude_ft, double celsius_) {
  const earth::PressureAltitude h{feet(altitude_ft)};
  return {kilograms(mass_kg), h, celsius(celsius_),
          earth::density_ratio(earth::standard_pressure(h), celsius(celsius_))};
}

}  // namespace

TEST_CASE("The shipped trainer says that it is invented, and reads as it is written", "[io][aircraft]") {
  const aircraft::Aircraft a = load("aircraft/trainer.yaml");
  CHECK(a.name == "Generic trainer (invented)");
  CHECK(a.invented);
  CHECK(a.kind == aircraft::AircraftClass::single_piston_fixed_gear);
  CHECK(a.max_take_off_mass.si() == 1100.0);
  CHECK(in_knots(a.speeds.v_y.value) == Approx(74.0));
  CHECK(in_knots(a.speeds.best_glide.value) == Approx(68.0));
  CHECK(in_knots(a.speeds.stall_clean.value) == Approx(50.0));
  CHECK(in_knots(a.speeds.touchdown.value) == Approx(52.0));
  CHECK(a.polar.glide_ratio == 9.0);
  CHECK(a.polar.glide_ratio_landing_flap == 6.0);
  CHECK(in_degrees(a.roll_rate_per_second) == Approx(20.0));
  CHECK(a.flap_time.si() == 3.0);
  CHECK(a.limits.slip_allowed);
  CHECK(a.polar.glide_ratio_slip.value() == 4.5);
  CHECK(a.polar.slip_source.document == "invented");
  CHECK(a.polar.slip_source.uncertainty == "20 %");
  CHECK(in_knots(*a.limits.tailwind) == Approx(10.0));
  CHECK(a.indicated_to_calibrated.empty());
  CHECK(a.distances.landing_surface_factor.of.at(earth::Surface::grass_wet) == 1.6);
  CHECK(a.distances.landing_surface_factor.of.count(earth::Surface::gravel) == 0);
  CHECK(a.distances.landing_float.source().estimate);
  CHECK(a.checksum.size() == 16);
}

TEST_CASE("The trainer's tables follow the formulas that its file names", "[io][aircraft]") {
  const aircraft::Aircraft a = load("aircraft/trainer.yaml");
  // At nodes of the tables, so within half of the last printed step: 2.5 ft/min and 2.5 m.
  for (const double mass : {900.0, 1000.0, 1100.0}) {
    for (const double altitude : {0.0, 4000.0, 10000.0}) {
      for (const double temperature : {-20.0, 0.0, 20.0, 40.0}) {
        CAPTURE(mass, altitude, temperature);
        const Conditions c = conditions(mass, altitude, temperature);
        const double m = mass / 1100.0;
        CHECK(a.distances.landing_roll.at(c).value == Approx(210.0 * m / c.sigma).margin(2.6));
        REQUIRE(a.landing_from_50ft);
        CHECK(a.landing_from_50ft->distance.at(c).value == Approx(150.0 + 300.0 * m / c.sigma).margin(2.6));
        CHECK(a.distances.take_off_roll.at(c).value == Approx(300.0 * m * m * std::pow(c.sigma, -2.6)).margin(2.6));
        CHECK(a.distances.take_off_to_50ft.at(c).value == Approx(497.0 * m * m * std::pow(c.sigma, -3.05)).margin(2.6));
        // Power for level flight from the polar D/W = (v^2 + n^2/v^2) / (2 E), at v = v_y over best glide speed.
        const double v = 74.0 / 68.0;
        const double glide_speed = in_metres_per_second(knots(68.0)) * std::sqrt(m / c.sigma);
        const double climb = 7.847 * std::pow(c.sigma, 0.93) / m - glide_speed * (v * v * v + 1.0 / v) / 18.0;
        CHECK(in_feet_per_minute(metres_per_second(a.climb_rate_v_y.at(c).value)) ==
              Approx(in_feet_per_minute(metres_per_second(climb))).margin(2.6));
      }
    }
  }
}

TEST_CASE("At v_x the trainer climbs more slowly and more steeply than at v_y", "[io][aircraft]") {
  const aircraft::Aircraft a = load("aircraft/trainer.yaml");
  const Conditions c = conditions(1100, 0, 20);
  CHECK(a.climb_rate_v_x.at(c).value < a.climb_rate_v_y.at(c).value);
  CHECK(a.climb_rate_v_x.at(c).value / a.speeds.v_x.value.si() >
        a.climb_rate_v_y.at(c).value / a.speeds.v_y.value.si());
}

TEST_CASE("A table ends where it ends; below it the lowest row serves only where the file says so", "[io][aircraft]") {
  const aircraft::Aircraft trainer = load("aircraft/trainer.yaml");
  CHECK(trainer.climb_rate_v_y.at(conditions(1100, -500, 20)).coverage == Coverage::clamped);
  CHECK(trainer.climb_rate_v_y.at(conditions(850, 0, 20)).coverage == Coverage::clamped);
  CHECK(trainer.climb_rate_v_y.at(conditions(1100, 0, 41)).coverage == Coverage::outside);
  CHECK(trainer.climb_rate_v_y.at(conditions(1100, 10100, 20)).coverage == Coverage::outside);
  const aircraft::Aircraft small = load("tests/data/good/small_table.yaml");
  CHECK(small.climb_rate_v_y.at(conditions(1100, 0, 20)).coverage == Coverage::inside);
  CHECK(small.climb_rate_v_y.at(conditions(900, 0, 20)).coverage == Coverage::outside);
}

TEST_CASE("Rows of a table are pressure altitudes and columns temperatures", "[io][aircraft]") {
  const aircraft::Aircraft a = load("tests/data/good/small_table.yaml");
  const auto climb = [&](double mass, double altitude, double temperature) {
    return in_feet_per_minute(metres_per_second(a.climb_rate_v_y.at(conditions(mass, altitude, temperature)).value));
  };
  CHECK(climb(1000, -1000, -20) == Approx(900));
  CHECK(climb(1000, -1000, 30) == Approx(800));
  CHECK(climb(1000, 2000, -20) == Approx(800));
  CHECK(climb(1100, 2000, 30) == Approx(600));
}

TEST_CASE("A constant holds in its validity and scales by its law", "[io][aircraft]") {
  const aircraft::Aircraft a = load("tests/data/good/constants.yaml");
  CHECK(in_feet_per_minute(metres_per_second(a.climb_rate_v_y.at(conditions(1050, 500, 20)).value)) == Approx(700.0));
  const auto beyond = a.climb_rate_v_y.at(conditions(1050, 500, 36));
  CHECK(beyond.coverage == Coverage::outside);
  CHECK(beyond.axis == "outside air temperature");
  CHECK(beyond.end == "ends at 30 C");
  const Conditions c = conditions(1050, 2000, 30);
  CHECK(a.distances.landing_roll.at(c).value == Approx(210.0 / c.sigma));
  // `valid: {}` limits nothing
  CHECK(a.distances.landing_float.at(conditions(400, 14000, 50)).usable());
  CHECK_FALSE(a.climb_rate_v_x.stated());
  CHECK(a.distances.take_off_wind == aircraft::BookWind::as_stated_for_the_case);
  CHECK_FALSE(a.limits.tailwind);
  CHECK_FALSE(a.limits.slip_allowed);
  CHECK_FALSE(a.polar.glide_ratio_slip);
  REQUIRE(a.indicated_to_calibrated.size() == 3);
  CHECK(in_knots(a.indicated_to_calibrated[1].second) == Approx(71.0));
}
