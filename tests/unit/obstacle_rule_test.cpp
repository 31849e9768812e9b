// The rules that the shipped policy offers for the net path on one engine, against what the rules of the authorities
// say. Read through reproductions or from memory, as noted at each.

#include "backfield/decision/assess.hpp"
#include "backfield/io/load.hpp"

#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <fstream>
#include <sstream>

using namespace backfield;

namespace {

/// The shipped policy with another of its rules.
decision::ObstacleRule chosen(const std::string& name) {
  std::ifstream in(BACKFIELD_SOURCE_DIR "/cases/policy/default.yaml");
  std::ostringstream text;
  text << in.rdbuf();
  std::string policy = text.str();
  const std::string line = "obstacle_rule: 50 ft ";
  const std::size_t at = policy.find(line);
  REQUIRE(at != std::string::npos);
  policy.replace(at, line.size(), "obstacle_rule: " + name + " ");
  const test::TemporaryDirectory directory;
  const std::string path = (directory.path() / "policy.yaml").string();
  std::ofstream(path) << policy;
  const auto loaded = io::load_policy(path);
  REQUIRE(loaded.ok());
  return loaded.value->power_left.obstacles;
}

decision::Case light_twin() {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/light-twin-meadows/case.yaml");
  REQUIRE(loaded.ok());
  decision::Case c = *loaded.value;
  c.options.clear();  // not asked about here, and most of the time an answer takes
  return c;
}

/// One obstacle, so far from release along the departure track and so far to its right.
decision::OneEngineOut with(decision::Case c, Length distance, Length right, Length top) {
  const earth::RunwayEnd& end = c.departure.end;
  const earth::Position on_track =
      earth::offset(earth::offset(end.pavement_start, end.track, c.departure.start), end.track, distance);
  c.ground.obstacles = {
      {"mast", earth::offset(on_track, end.track.turned(degrees(90)), right), c.elevation + earth::Height{top}, {}}};
  return *decision::assess(c).power_left.one_engine_out;
}

}  // namespace

// UK and EU CAT.POL.A.405(a), read in a reproduction: "by a vertical margin of at least 50 ft plus 0.01 x D, or by a
// horizontal margin of at least 90 m plus 0.125 x D"; D = 1,000 m gives 50 ft + 10 m = 25.24 m, and 215 m.
TEST_CASE("The rule for larger piston aeroplanes has its published numbers at 1,000 m", "[decision][twin]") {
  const decision::ObstacleRule rule = chosen("50 ft + 1 % of D");
  CHECK(in_metres(rule.over_at(metres(1000))) == Approx(25.24).margin(0.005));
  CHECK(in_metres(rule.beside_at(metres(1000))) == Approx(215.0));
  CHECK(in_metres(rule.beside_at(metres(0))) == Approx(90.0));
}

// 35 ft: 14 CFR 121.189(d)(2) and 135.379(d)(2), and CAT.POL.A.210(a) with 90 m + 0.125 D, all three from memory. 50 ft
// for light twins: CAT.POL.A.340, from memory.
TEST_CASE("Certified net paths have 35 ft at every distance, light twins 50 ft", "[decision][twin]") {
  for (const double d : {0.0, 1000.0, 8000.0}) {
    CHECK(in_feet(chosen("35 ft").over_at(metres(d))) == Approx(35.0));
    CHECK(in_metres(chosen("35 ft").beside_at(metres(d))) == Approx(90.0 + 0.125 * d));
    CHECK(in_feet(chosen("50 ft").over_at(metres(d))) == Approx(50.0));
  }
}

TEST_CASE("What an obstacle needs follows the rule that is chosen; D counts from the end of the TODA",
          "[decision][twin]") {
  decision::Case c = light_twin();
  const Length toda = *c.departure.end.toda;
  const auto needed = [&](const std::string& name) {
    c.policy.power_left.obstacles = chosen(name);
    const auto out = with(c, toda - c.departure.start + metres(1000), {}, feet(100));
    REQUIRE(out.obstacles.size() == 1);
    CHECK(out.obstacle_rule.name == name);
    return in_feet(out.obstacles.front().required);
  };
  CHECK(needed("35 ft") == Approx(135.0).margin(0.1));
  CHECK(needed("50 ft") == Approx(150.0).margin(0.1));
  CHECK(needed("50 ft + 1 % of D") == Approx(100.0 + 25.24 / 0.3048).margin(0.1));
}

TEST_CASE("An obstacle beside the way is listed with its distance from the track, none is lost", "[decision][twin]") {
  const decision::Case c = light_twin();
  const Length at = *c.departure.end.toda - c.departure.start + metres(1000);
  const auto inside = with(c, at, metres(214), feet(100));
  CHECK(inside.obstacles.size() == 1);
  CHECK(inside.aside.empty());
  const auto beside = with(c, at, metres(216), feet(100));
  CHECK(beside.obstacles.empty());
  REQUIRE(beside.aside.size() == 1);
  CHECK(in_metres(beside.aside.front().off) == Approx(216.0).margin(0.1));
  CHECK(in_metres(beside.aside.front().looked_at) == Approx(215.0).margin(0.1));
  CHECK(beside.aside.front().right);
  CHECK_FALSE(beside.aside.front().before);
  CHECK_FALSE(with(c, at, metres(-216), feet(100)).aside.front().right);
  const auto behind = with(c, metres(-500), {}, feet(100));
  REQUIRE(behind.aside.size() == 1);
  CHECK(behind.aside.front().before);
}
