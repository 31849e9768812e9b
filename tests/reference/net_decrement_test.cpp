// What a net gradient is below the gross one, by the number of engines.
//
// Published:
//   14 CFR 25.115(b) and CS 25.115(b): 0.8, 0.9 and 1.0 % for two, three and four engines, on the take-off path
//   UK CAT.POL.A.215(c)(5): 1.1, 1.4 and 1.6 % en route, where the flight manual has no net data
//   FAA, Flight Procedures, "obstacle" page of 12 June 2023: an obstacle 2 NM past the end of the runway asks a twin's
//   gross path for "at least 135 ft" where the net one has 35; 35 ft and 0.8 % of 2 NM are 132.2 ft: it rounds up

#include "backfield/decision/assess.hpp"
#include "backfield/io/load.hpp"

#include <catch2/catch.hpp>

#include <array>

namespace {

using namespace backfield;

decision::Case jet() {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/overweight-jet-wet/case.yaml");
  REQUIRE(loaded.ok());
  return *loaded.value;
}

}  // namespace

TEST_CASE("Both shipped policies have the published decrements", "[policy][twin][reference]") {
  const std::string file = GENERATE(as<std::string>{}, "default", "plain");
  const auto policy = io::load_policy(BACKFIELD_SOURCE_DIR "/cases/policy/" + file + ".yaml");
  REQUIRE(policy.ok());
  const aircraft::NetDecrement& rule = policy.value->power_left.net_decrement;
  constexpr std::array<double, 3> kTakeOff{0.8, 0.9, 1.0};
  constexpr std::array<double, 3> kEnRoute{1.1, 1.4, 1.6};
  for (std::size_t i = 0; i < 3; ++i) {
    const int engines = 2 + static_cast<int>(i);
    CHECK(100.0 * rule.take_off.at(engines) == Approx(kTakeOff.at(i)));
    CHECK(100.0 * rule.en_route.at(engines) == Approx(kEnRoute.at(i)));
  }
  CHECK_THROWS_AS(rule.take_off.at(1), std::logic_error);
  CHECK_THROWS_AS(rule.take_off.at(5), std::logic_error);
  const double gross_ft = 35.0 + rule.take_off.at(2) * 2.0 * 1852.0 / 0.3048;
  CHECK(gross_ft == Approx(132.2).margin(0.05));
  CHECK(gross_ft == Approx(135.0).margin(3.0));
}

TEST_CASE("The net gradient follows the number of engines, and the path with it", "[decision][twin]") {
  decision::Case c = jet();
  const earth::RunwayEnd& end = c.departure.end;
  c.ground.obstacles = {
      {"mast", earth::offset(end.pavement_start, end.track, metres(9000)), c.elevation + earth::Height{feet(50)}, {}}};
  double net_before = 1e9;
  for (int engines = 2; engines <= 4; ++engines) {
    c.aircraft.one_engine_out->engines = engines;
    const auto out = *decision::assess(c).power_left.one_engine_out;
    CHECK(out.gross - out.net == Approx(c.policy.power_left.net_decrement.take_off.at(engines)));
    REQUIRE(out.obstacles.size() == 1);
    CHECK(in_feet(out.obstacles.front().net) < net_before);
    net_before = in_feet(out.obstacles.front().net);
  }
}
