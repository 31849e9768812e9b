// The tables of the shipped aircraft against the formulas that their files name (the trainer's:
// load_aircraft_test.cpp).

#include "backfield/earth/atmosphere.hpp"

#include "tests/tools/fleet.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace backfield;
using aircraft::Aircraft;
using aircraft::Conditions;
using aircraft::Figure;
using aircraft::Grid;

namespace {

constexpr double kHalfStep = 2.6;  // tables are rounded to 5 m and 5 ft/min

/// The numbers in the comments of one file.
struct Formulas {
  const char* file;
  double power;           ///< m/s per unit of weight; of a jet thrust over weight
  double power_exponent;  ///< of sigma
  double roll_m, to_50_ft_m, landing_roll_m, from_50_ft_fixed_m, from_50_ft_m;
  double engine_out_drag;  ///< factor on the drag with one engine; 0: no twin
};
constexpr Formulas kFleet[] = {{"retractable.yaml", 10.1, 0.93, 340, 570, 250, 170, 360, 0},
                               {"turboprop.yaml", 12.7, 0.6, 450, 740, 330, 220, 470, 0},
                               {"light-twin.yaml", 13.1, 0.93, 420, 650, 330, 200, 450, 1.05},
                               {"twin-turboprop.yaml", 16.2, 0.6, 600, 850, 430, 250, 600, 1.08},
                               {"light-jet.yaml", 0.30, 0.8, 780, 1020, 600, 300, 760, 1.12}};

class Book {
 public:
  Book(const Aircraft& a, const Formulas& f) : a_(a), f_(f) {}

  [[nodiscard]] double roll(const Conditions& c) const { return f_.roll_m * square(m(c)) * std::pow(c.sigma, -2.6); }
  [[nodiscard]] double to_50_ft(const Conditions& c) const {
    return f_.to_50_ft_m * square(m(c)) * std::pow(c.sigma, -3.05);
  }
  [[nodiscard]] double landing_roll(const Conditions& c) const { return f_.landing_roll_m * m(c) / c.sigma; }
  [[nodiscard]] double from_50_ft(const Conditions& c) const {
    return f_.from_50_ft_fixed_m + f_.from_50_ft_m * m(c) / c.sigma;
  }
  /// m/s, from the polar D/W = (v^2 + 1/v^2) / (2 E), v over best glide speed.
  [[nodiscard]] double climb(const Conditions& c, Cas at, double share = 1.0, double drag_factor = 1.0) const {
    const double v = at.value / a_.speeds.best_glide.value;
    const double drag = drag_factor * (v * v + 1.0 / (v * v)) / (2.0 * a_.polar.glide_ratio);
    const double power = share * f_.power * std::pow(c.sigma, f_.power_exponent) / m(c);
    if (a_.is_jet()) return tas(c, at) * (power - drag);
    return power * std::pow(at.value / a_.speeds.v_y.value, 0.73) - tas(c, at) * drag;
  }
  [[nodiscard]] double climb_on_one(const Conditions& c) const {
    return climb(c, a_.one_engine_out->climb_speed, 0.5, f_.engine_out_drag);
  }
  [[nodiscard]] double accelerate_stop(const Conditions& c) const {
    return 1.15 * roll(c) + 30.0 + landing_roll(c) * square(a_.speeds.v_r.value / a_.speeds.touchdown.value);
  }
  [[nodiscard]] double accelerate_go(const Conditions& c) const {
    return to_50_ft(c) + 15.24 / (climb_on_one(c) / tas(c, a_.one_engine_out->climb_speed));
  }

 private:
  static double square(double x) { return x * x; }
  [[nodiscard]] double m(const Conditions& c) const { return c.mass / a_.reference_mass; }
  [[nodiscard]] double tas(const Conditions& c, Cas at) const { return at.value.si() * std::sqrt(m(c) / c.sigma); }
  const Aircraft& a_;
  const Formulas& f_;
};

/// Every node of the table, in its own unit.
template <class Formula>
void check_nodes(const char* what, const Figure& figure, double unit, const Formula& formula) {
  const auto* grid = std::get_if<Grid>(&figure.data());
  REQUIRE(grid);
  for (const double mass : grid->mass_kg) {
    for (const double altitude : grid->pressure_altitude_m) {
      for (const double temperature : grid->temperature_k) {
        const earth::PressureAltitude h{metres(altitude)};
        const Conditions c{kilograms(mass), h, kelvins(temperature),
                           earth::density_ratio(earth::standard_pressure(h), kelvins(temperature))};
        CAPTURE(what, mass, altitude, temperature);
        CHECK(figure.at(c).value / unit == Approx(formula(c) / unit).margin(kHalfStep).epsilon(0));
      }
    }
  }
}

const double kFeetPerMinute = in_metres_per_second(feet_per_minute(1.0));

}  // namespace

TEST_CASE("The tables of the shipped aircraft follow the formulas that their files name", "[io][aircraft]") {
  for (const Formulas& f : kFleet) {
    CAPTURE(f.file);
    const Aircraft a = test::load_aircraft(f.file);
    const Book book(a, f);
    CHECK(a.invented);
    CHECK(a.name.find("(invented)") != std::string::npos);
    check_nodes("v_y", a.climb_rate_v_y, kFeetPerMinute,
                [&](const Conditions& c) { return book.climb(c, a.speeds.v_y); });
    check_nodes("v_x", a.climb_rate_v_x, kFeetPerMinute,
                [&](const Conditions& c) { return book.climb(c, a.speeds.v_x); });
    const aircraft::Distances& d = a.distances;
    check_nodes("roll", d.take_off_roll, 1.0, [&](const Conditions& c) { return book.roll(c); });
    check_nodes("to 50 ft", d.take_off_to_50ft, 1.0, [&](const Conditions& c) { return book.to_50_ft(c); });
    check_nodes("landing", d.landing_roll, 1.0, [&](const Conditions& c) { return book.landing_roll(c); });
    REQUIRE(a.landing_from_50ft);
    check_nodes("from 50 ft", a.landing_from_50ft->distance, 1.0,
                [&](const Conditions& c) { return book.from_50_ft(c); });
    REQUIRE(a.one_engine_out.has_value() == (f.engine_out_drag > 0.0));
    if (!a.one_engine_out) continue;
    const aircraft::OneEngineOut& out = *a.one_engine_out;
    check_nodes("one engine", out.climb_rate, kFeetPerMinute,
                [&](const Conditions& c) { return book.climb_on_one(c); });
    check_nodes("stop", out.accelerate_stop, 1.0, [&](const Conditions& c) { return book.accelerate_stop(c); });
    check_nodes("go", out.accelerate_go, 1.0, [&](const Conditions& c) { return book.accelerate_go(c); });
  }
}

TEST_CASE("On one engine the light twin climbs at sea level and sinks hot and high", "[io][aircraft]") {
  const Aircraft a = test::load_aircraft("light-twin.yaml");
  const Figure& climb = a.one_engine_out.value().climb_rate;
  const auto at = [&](double altitude_ft, double temperature_c) {
    return climb.at({a.max_take_off_mass, {feet(altitude_ft)}, celsius(temperature_c), 1.0}).value;
  };
  CHECK(at(0, 15) > 0.0);
  CHECK(at(6000, 20) < 0.0);
  CHECK(at(4000, 40) < 0.0);
}

// CS-25 25.121(b) and 14 CFR 25.121(b): a steady gradient of climb of 2.4 percent at v_2 with two engines, one of them
// dead, gear up.
TEST_CASE("The light jet has the gradient of a second segment at sea level, above its maximum landing mass",
          "[io][aircraft]") {
  const Aircraft a = test::load_aircraft("light-jet.yaml");
  CHECK(a.max_take_off_mass > a.max_landing_mass);
  const aircraft::OneEngineOut& out = a.one_engine_out.value();
  CHECK(*out.v_1 <= a.speeds.v_r);
  CHECK(a.speeds.v_r <= out.climb_speed);
  const double rate = out.climb_rate.at({a.max_take_off_mass, {metres(0)}, celsius(15), 1.0}).value;
  CHECK(rate / out.climb_speed.value.si() > 0.024);
}
