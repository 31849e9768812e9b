// Take-off distances against declared ones.
//
// Sources:
//   [A305]  CAT.POL.A.305, class B: the distance to 50 ft times 1.25 within TORA; or, with stopway or clearway, within
//   TORA,
//           times 1.15 within TODA and times 1.3 within ASDA. The numbers from a secondary source, agreeing with
//           memory.
//   [HAND]  the hot and high case: 1,020 m x 1.25 = 1,275 m of 1,500 m

#include "backfield/decision/assess.hpp"
#include "backfield/io/load.hpp"
#include "tests/tools/scenes.hpp"

#include <catch2/catch.hpp>

using namespace backfield;

namespace {

decision::Policy plain_policy() {
  const auto loaded = io::load_policy(BACKFIELD_SOURCE_DIR "/cases/policy/plain.yaml");
  REQUIRE(loaded.ok());
  return *loaded.value;
}

decision::TakeOffInWorld take_off(Length to_50ft, Length tora, Length toda, Length asda) {
  decision::Case c;
  c.aircraft = test::trainer(feet_per_minute(700), to_50ft * 0.6, to_50ft);
  c.mass = c.aircraft.reference_mass;
  c.departure.end = test::runway(360, tora, c.elevation);
  c.departure.end.toda = toda;
  c.departure.end.asda = asda;
  c.weather.qnh = hectopascals(1013.25);
  c.weather.oat = celsius(15);
  c.policy = plain_policy();
  c.policy.scan_end = c.policy.scan_limit = seconds(20);
  const decision::Answer answer = decision::assess(c, 1);
  REQUIRE(answer.take_off.worlds.size() == 1);
  return answer.take_off.worlds.front();
}

TEST_CASE("Hot and high: 1,020 m to 50 ft ask for 1,275 m of the 1,500 m there are", "[decision][reference]") {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/hot-and-high/case.yaml");
  REQUIRE(loaded.ok());
  decision::Case c = *loaded.value;
  c.options.clear();
  const decision::TakeOffRoom room = decision::assess(c, 1).take_off;
  REQUIRE(!room.worlds.empty());
  const auto& need = room.worlds.front().deciding();
  CHECK(in_metres(need.needed) == Approx(1275.0).margin(0.5));
  CHECK(in_metres(need.available) == Approx(1500.0));
  CHECK(room.fits());
}

TEST_CASE("Without stopway and clearway it is 1.25 within TORA, and just that", "[decision][reference]") {
  const auto on = [](double m) { return take_off(metres(400), metres(m), metres(m), metres(m)); };
  CHECK(on(500.5).fits());
  CHECK_FALSE(on(499.5).fits());
  CHECK(on(600).needs.size() == 1);
}

TEST_CASE("Stopway and clearway help where all three of the set are met, and only then", "[decision][reference]") {
  const auto with = [](double tora, double toda, double asda) {
    return take_off(metres(400), metres(tora), metres(toda), metres(asda));
  };
  CHECK(with(401, 460.5, 520.5).fits());        // 400 x 1.0, x 1.15, x 1.3
  CHECK_FALSE(with(399, 460.5, 520.5).fits());  // TORA
  CHECK_FALSE(with(401, 459.5, 520.5).fits());  // TODA
  CHECK_FALSE(with(401, 460.5, 519.5).fits());  // ASDA
  CHECK(with(501, 502, 501).fits());            // TORA alone is enough, whatever the rest
}

TEST_CASE("Accelerate and stop is the roll, the delay at lift-off speed and the braking from it",
          "[decision][reference]") {
  const auto w = take_off(metres(500), metres(1500), metres(1500), metres(1500));
  REQUIRE(w.accelerate_stop);
  // By hand: 300 m; 3 s at 54 kt (27.78 m/s) 83.3 m; 210 m x 1.15 x (54/52)^2 = 260.4 m.
  CHECK(in_metres(*w.accelerate_stop) == Approx(300.0 + 3.0 * 54.0 * 1852.0 / 3600.0 + 241.5 * 54.0 * 54.0 / 2704.0));
}

TEST_CASE("A roll longer than the run available is an impossible take-off, a long distance to 50 ft is not",
          "[decision][reference]") {
  decision::Case c;
  c.aircraft = test::trainer(feet_per_minute(700), metres(600), metres(900));
  c.mass = c.aircraft.reference_mass;
  c.weather.qnh = hectopascals(1013.25);
  c.weather.oat = celsius(15);
  c.policy = plain_policy();
  c.departure.end = test::runway(360, metres(590), c.elevation);
  CHECK(decision::no_take_off(c) == "the roll takes 600 m in the reported wind, and 590 m of TORA are left");
  c.departure.end = test::runway(360, metres(700), c.elevation);
  CHECK(decision::no_take_off(c).empty());
  c.departure.start = metres(150);  // an intersection
  CHECK_FALSE(decision::no_take_off(c).empty());
}

}  // namespace
