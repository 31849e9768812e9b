#include "src/flight/rendezvous_lanes.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace backfield;

TEST_CASE("The unit vector on a heading is sine and cosine to 4e-16", "[flight]") {
  double worst = 0.0;
  for (int i = -200'000; i <= 200'000; ++i) {
    const double heading = 3e-4 * i;
    const flight::Vector u = flight::ahead(heading);
    worst = std::max({worst, std::abs(u.e - std::sin(heading)), std::abs(u.n - std::cos(heading))});
  }
  CHECK(worst < 4e-16);
}

TEST_CASE("An angle is wrapped into a full circle", "[flight]") {
  for (int i = -1000; i <= 1000; ++i) {
    const double angle = 0.037 * i;
    const double wrapped = flight::wrap(angle);
    CAPTURE(angle);
    CHECK(wrapped >= 0.0);
    CHECK(wrapped < 2 * kPi);
    CHECK(std::abs(std::remainder(wrapped - angle, 2 * kPi)) < 1e-13);
  }
}

TEST_CASE("The rough heading is std::atan2's to 2e-5 rad", "[flight]") {
  double worst = 0.0;
  for (int i = -20'000; i <= 20'000; ++i) {
    const double heading = kPi / 20'000 * i;
    const double rough = flight::rough_heading(flight::ahead(heading) * (1.0 + 0.01 * i * i));
    worst = std::max(worst, std::abs(std::remainder(rough - heading, 2 * kPi)));
  }
  CHECK(worst < flight::kRoughHeading_rad);
  for (const auto& v : {flight::Vector{1, 0}, {-1, 0}, {0, 1}, {1, 1}, {-1, 1}, {1, -1}, {-1, -1}}) {
    CHECK(std::abs(flight::rough_heading(v) - std::atan2(v.e, v.n)) < flight::kRoughHeading_rad);
  }
}

TEST_CASE("Headings side by side are those of one by one", "[flight]") {
  for (int i = -4000; i < 4000; ++i) {
    const double x = 0.0123 * i;
    const flight::Lanes headings{x, x + 1.0, -x, 2.0 * x};
    const auto there = flight::ahead(headings);
    const auto wrapped = flight::wrap(headings);
    for (std::size_t k = 0; k < flight::kLanes; ++k) {
      CAPTURE(i, k);
      const auto alone = flight::ahead(headings[k]);
      REQUIRE(there.e[k] == alone.e);
      REQUIRE(there.n[k] == alone.n);
      const flight::LaneVector ways{there.e * 3.0, there.n * 3.0};
      REQUIRE(flight::rough_heading(ways)[k] == flight::rough_heading(flight::Vector{ways.e[k], ways.n[k]}));
      REQUIRE(std::abs(wrapped[k] - flight::wrap(headings[k])) < 1e-12);
    }
  }
}
