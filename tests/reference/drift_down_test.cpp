// Drift-down against the closed form h(t) = hc + (h0 - hc) exp(-t / tau), tau = hc / (rate at h = 0).
//
// 12,000 ft over a ceiling of 8,000 ft with 300 ft/min at h = 0: 10,749.157 ft after 10 min and 9,298.610 after 30,
// worked apart from the program. The form is the solution of h' = (hc - h) / tau; texts on aircraft performance.

#include "backfield/aircraft/drift_down.hpp"

#include <catch2/catch.hpp>

#include <cmath>

namespace {

using namespace backfield;
using aircraft::DriftDown;
using aircraft::RateAtHeight;

RateAtHeight at(double height_ft, double rate_fpm) { return {feet(height_ft), feet_per_minute(rate_fpm), knots(120)}; }

}  // namespace

TEST_CASE("Drift-down has the values of the closed form, in one layer and in many", "[aircraft][twin][reference]") {
  const double step = GENERATE(12000.0, 500.0, 1000.0);
  std::vector<RateAtHeight> rates;
  for (double h = 0.0; h <= 12000.0; h += step) rates.push_back(at(h, 300.0 * (1.0 - h / 8000.0)));
  const DriftDown drift(rates);
  CHECK(in_feet(drift.after(feet(12000), minutes(10)).height) == Approx(10749.157).margin(1e-2));
  CHECK(in_feet(drift.after(feet(12000), minutes(30)).height) == Approx(9298.610).margin(1e-2));
  CHECK(in_feet(drift.after(feet(12000), seconds(0)).height) == Approx(12000.0));
  CHECK(in_feet(drift.levels_at(feet(12000)).value()) == Approx(8000.0));
  CHECK(in_feet(drift.after(feet(12000), minutes(6000)).height) == Approx(8000.0).margin(1e-3));
  CHECK(in_metres(drift.after(feet(12000), minutes(10)).distance) == Approx(knots(120).si() * 600.0));
}

TEST_CASE("Down to the ground where nothing holds; where it climbs nothing is lost", "[aircraft][twin]") {
  // 100 ft/min down at every height: 3,000 ft last half an hour.
  const DriftDown even({at(0, -100), at(1000, -100), at(3000, -100)});
  CHECK_FALSE(even.levels_at(feet(3000)));
  CHECK(in_feet(even.after(feet(3000), minutes(29)).height) == Approx(100.0));
  CHECK_FALSE(even.after(feet(3000), minutes(29)).ended);
  CHECK(even.after(feet(3000), minutes(31)).ended);
  CHECK(in_feet(even.after(feet(3000), minutes(31)).height) == Approx(0.0).margin(1e-9));
  // -50 at 0, -150 at 3,000: by hand h' = -50 - h/30, h(t) = -1,500 + 4,500 exp(-t/30).
  const DriftDown falling({at(0, -50), at(3000, -150)});
  CHECK(in_feet(falling.after(feet(3000), minutes(10)).height) == Approx(-1500.0 + 4500.0 * std::exp(-10.0 / 30.0)));
  const DriftDown climbs({at(0, 300), at(3000, 100)});
  CHECK(climbs.levels_at(feet(2000)).value() == feet(2000));
  CHECK(climbs.after(feet(2000), minutes(10)).height == feet(2000));
  CHECK_THROWS_AS(climbs.after(feet(4000), minutes(1)), std::logic_error);
  CHECK_THROWS_AS(DriftDown({at(0, 1)}), std::logic_error);
}

TEST_CASE("Less power never holds more height", "[aircraft][twin][laws]") {
  const DriftDown more({at(0, 200), at(4000, 20), at(9000, -180)});
  const DriftDown less({at(0, 150), at(4000, -40), at(9000, -240)});
  CHECK(less.levels_at(feet(9000)).value() < more.levels_at(feet(9000)).value());
  for (int m = 0; m <= 120; ++m) {
    CHECK(less.after(feet(9000), minutes(m)).height <= more.after(feet(9000), minutes(m)).height);
    CHECK(more.after(feet(9000), minutes(m + 1)).height <= more.after(feet(9000), minutes(m)).height);
  }
}
