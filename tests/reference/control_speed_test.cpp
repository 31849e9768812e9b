// How v_mca falls where the engines are not supercharged.
//
// Published: FAA-H-8083-3C, Airplane Flying Handbook, ch. 13: v_mc of unsupercharged engines falls with altitude and
// the stall does not, so that above some height the stall comes first (its chart has no numbers to check against). Gagg
// and Ferrar, 1934, from memory: power over that at sea level 1.132 sigma - 0.132. ISA: sigma 0.7385 at 10,000 ft (ICAO
// Doc 7488). The speeds below are worked by hand from rudder moment = yaw of the engine that runs.

#include "backfield/aircraft/control_speed.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace backfield;

TEST_CASE("v_mca at 10,000 ft, by both laws", "[aircraft][twin][reference]") {
  const Cas file{knots(70)};
  CHECK(in_knots(aircraft::v_mca_at_most(file, 0.7385).value) == Approx(70.0 * std::sqrt(0.7385)));
  // Power 1.132 * 0.7385 - 0.132 = 0.7040; times the root of the density 0.6050; cube root 0.8457.
  CHECK(in_knots(aircraft::v_mca_at_least(file, 0.7385).value) == Approx(70.0 * 0.8457).epsilon(1e-3));
}

TEST_CASE("Thicker air raises no v_mca, thinner air never raises it, and the one used is the larger",
          "[aircraft][twin][laws]") {
  const Cas file{knots(70)};
  CHECK(aircraft::v_mca_at_most(file, 1.1).value == file.value);
  CHECK(aircraft::v_mca_at_least(file, 1.1).value == file.value);
  CHECK(aircraft::v_mca_at_least(file, 0.05).value.si() == 0.0);
  for (double sigma = 0.3; sigma < 1.2; sigma += 0.01) {
    CHECK(aircraft::v_mca_at_least(file, sigma).value <= aircraft::v_mca_at_most(file, sigma).value);
    CHECK(aircraft::v_mca_at_least(file, sigma).value <= aircraft::v_mca_at_least(file, sigma + 0.01).value);
    CHECK(aircraft::v_mca_at_most(file, sigma).value <= file.value);
  }
}
