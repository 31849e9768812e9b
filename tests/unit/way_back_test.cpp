// The way back with the power that is left, in the demo and in the light twin's case.

#include "backfield/decision/assess.hpp"
#include "backfield/io/load.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace backfield;
using decision::WayBack;

namespace {

decision::Case load(const std::string& name) {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/" + name);
  REQUIRE(loaded.ok());
  return *loaded.value;
}

const WayBack& way(const decision::Answer& answer, double fraction, Length fails_at) {
  const auto& all = answer.power_left.ways_back;
  const auto found = std::find_if(all.begin(), all.end(), [&](const WayBack& w) {
    return w.fraction == fraction && std::abs((w.fails_at - fails_at).si()) < 1e-6;
  });
  REQUIRE(found != all.end());
  return *found;
}

}  // namespace

TEST_CASE("With more power a way back never exposes for longer", "[decision][power]") {
  decision::Case c = load("demo/case.yaml");
  c.policy.power_left.fractions = {1.0, 0.9, 0.8, 0.7, 0.6};
  const auto answer = decision::assess(c);
  int found = 0;
  for (const Length fails_at : c.policy.power_left.way_back.value().fails_at) {
    Duration least = seconds(1e9);
    for (const double fraction : {0.6, 0.7, 0.8, 0.9, 1.0}) {
      const WayBack& w = way(answer, fraction, fails_at);
      if (!w.found) {
        CHECK(least == seconds(1e9));
        continue;
      }
      ++found;
      CHECK(w.exposed <= least);
      CHECK(w.flown_with <= w.fraction);
      least = w.exposed;
    }
  }
  CHECK(found >= 8);
}

TEST_CASE("A way back is exposed until it is home, and flown within what the policy asks", "[decision][power]") {
  const decision::Case c = load("demo/case.yaml");
  const decision::WayBackRule& rule = c.policy.power_left.way_back.value();
  const auto answer = decision::assess(c);
  REQUIRE_FALSE(answer.power_left.ways_back.empty());
  for (const WayBack& w : answer.power_left.ways_back) {
    if (!w.found || w.at_once) continue;
    CHECK(w.exposed.si() > 0.0);
    CHECK(w.to_touchdown > w.exposed);
    CHECK(w.home.si() > 0.0);
    CHECK(w.turn_at >= rule.turn_from);
    CHECK(w.turn_at >= w.fails_at);
    // A second of climb at most beyond the height.
    CHECK(w.turn_at < rule.circuit_height + metres(10));
    CHECK_FALSE(w.runway.empty());
    CHECK_FALSE(w.decided_in.empty());
  }
  // Where a window of a total loss holds, nobody waits: fails there, in a window of the demo.
  decision::Case inside = c;
  REQUIRE_FALSE(answer.briefed.empty());
  inside.policy.power_left.way_back->fails_at = {answer.briefed.front().window.heights.low + feet(30)};
  const auto there = decision::assess(inside);
  for (const WayBack& w : there.power_left.ways_back) {
    CHECK(w.at_once);
    CHECK(w.exposed == Duration{});
  }
}

TEST_CASE("Nothing is flown back that does not climb, or that no policy asks for", "[decision][power]") {
  decision::Case c = load("demo/case.yaml");
  const auto asked = decision::assess(c);
  for (const decision::PartialPower& p : asked.power_left.partial) {
    const bool flown = std::any_of(asked.power_left.ways_back.begin(), asked.power_left.ways_back.end(),
                                   [&](const WayBack& w) { return w.fraction == p.fraction; });
    CHECK(flown == (p.verdict == decision::PartialVerdict::circuit));
  }
  c.policy.power_left.way_back.reset();
  CHECK(decision::assess(c).power_left.ways_back.empty());
}

TEST_CASE("What lies below the exposed seconds is said of the areas stated", "[decision][power]") {
  const decision::Case c = load("town-and-fields/case.yaml");
  int said = 0;
  const auto answer = decision::assess(c);
  for (const WayBack& w : answer.power_left.ways_back) {
    if (!w.below) continue;
    ++said;
    CHECK(w.below->landable + w.below->avoid + w.below->unknown == Approx(1.0));
  }
  CHECK(said > 0);
  // A case that states none says nothing; one under a single great area has all of it below.
  decision::Case none = load("demo/case.yaml");
  none.ground.areas.clear();
  for (const WayBack& w : decision::assess(none).power_left.ways_back) CHECK_FALSE(w.below);
  earth::LandableArea plain;
  plain.name = "plain";
  plain.outline.outline = {{-50'000, -50'000}, {50'000, -50'000}, {50'000, 50'000}, {-50'000, 50'000}};
  none.ground_ahead.areas = {plain};
  none.policy.ground_ahead.reset();
  for (const WayBack& w : decision::assess(none).power_left.ways_back) {
    if (w.found && !w.at_once) CHECK(w.below.value().landable == Approx(1.0));
  }
}

TEST_CASE("The same ways back on any number of threads", "[decision][power]") {
  const decision::Case c = load("demo/case.yaml");
  const auto one = decision::assess(c, 1);
  const auto three = decision::assess(c, 3);
  REQUIRE(one.power_left.ways_back.size() == three.power_left.ways_back.size());
  for (std::size_t i = 0; i < one.power_left.ways_back.size(); ++i) {
    CHECK(one.power_left.ways_back[i].exposed == three.power_left.ways_back[i].exposed);
    CHECK(one.power_left.ways_back[i].to_touchdown == three.power_left.ways_back[i].to_touchdown);
  }
}

TEST_CASE("One engine: no turn below the policy's height, and what a go-around costs", "[decision][power][twin]") {
  const decision::Case c = load("light-twin-meadows/case.yaml");
  const auto answer = decision::assess(c);
  const decision::PowerLeftRule& rule = c.policy.power_left;
  REQUIRE(answer.power_left.ways_back.size() == rule.way_back.value().fails_at.size());
  for (const WayBack& w : answer.power_left.ways_back) {
    CHECK(w.fraction == 0.0);
    if (w.found && !w.at_once) CHECK(w.turn_at >= rule.straight_until);
  }
  // Sink with gear down and propeller not feathered for the file's time to clean up.
  const decision::Committal& committal = answer.power_left.committal.value();
  const double sink_mps =
      (c.aircraft.one_engine_out->lost_unfeathered - answer.power_left.one_engine_out->gear_down).si();
  REQUIRE(sink_mps > 0.0);
  CHECK(in_feet(committal.lost) ==
        Approx(in_feet(metres(std::max(0.0, sink_mps) * c.aircraft.one_engine_out->clean_up.si()))));
  CHECK(committal.enough() == (committal.lost <= rule.way_back->committal));
}
