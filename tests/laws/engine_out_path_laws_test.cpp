// What must hold of the take-off path with an engine out, for every shipped aeroplane that states v_1, with the
// accelerate-go distance of its file and without it.

#include "backfield/aircraft/take_off_path.hpp"
#include "backfield/earth/atmosphere.hpp"
#include "backfield/io/load.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <optional>
#include <random>

namespace {

using namespace backfield;

struct Day {
  double mass_kg, temperature_c, headwind_kt;
};

/// Nothing where a table ends.
std::optional<aircraft::TakeOffPath> path(const aircraft::Aircraft& a, const decision::Policy& policy, const Day& d) {
  const aircraft::Performance p(a, kilograms(d.mass_kg));
  const earth::Altitude field{metres(0)};
  const earth::Air air(hectopascals(1013.25), field, celsius(d.temperature_c), earth::DensityRule::local);
  const aircraft::RollSurface runway{earth::Surface::paved, 0.0, knots(d.headwind_kt)};
  aircraft::TakeOffPathDay day;
  day.ground = p.conditions(air, field);
  const auto rolled = aircraft::take_off_distances(p, day.ground, runway, policy.stop);
  if (!rolled.usable()) { return std::nullopt; }
  day.all_engines = rolled.value;
  if (a.one_engine_out->accelerate_go.stated()) {
    const auto go = aircraft::accelerate_go_distance(p, day.ground, runway, policy.stop);
    if (!go.usable()) { return std::nullopt; }
    day.accelerate_go = go.value;
  }
  const aircraft::TakeOffPathRule& rule = *policy.power_left.take_off_path;
  day.accelerating = p.conditions(air, {rule.acceleration_height});
  day.ends = p.conditions(air, {rule.ends_at});
  day.headwind = knots(d.headwind_kt);
  day.net_decrement = policy.power_left.net_decrement.take_off.at(2);
  return aircraft::take_off_path(p, day, rule);
}

}  // namespace

TEST_CASE("A lighter aeroplane and colder air never take from the net path", "[laws][twin]") {
  const std::string file = GENERATE(as<std::string>{}, "light-jet", "twin-turboprop");
  const bool by_the_file = GENERATE(true, false);
  auto loaded = io::load_aircraft(BACKFIELD_SOURCE_DIR "/aircraft/" + file + ".yaml");
  REQUIRE(loaded.ok());
  aircraft::Aircraft a = *loaded.value;
  if (!by_the_file) {
    a.one_engine_out->accelerate_go = {};
    // As the turboprop's file has it there is no climb until the propeller is feathered, and no estimated path.
    a.one_engine_out->lost_unfeathered = std::min(a.one_engine_out->lost_unfeathered, feet_per_minute(100));
  }
  const auto policy = io::load_policy(BACKFIELD_SOURCE_DIR "/cases/policy/default.yaml");
  REQUIRE(policy.ok());
  std::mt19937 random(17);
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  int compared = 0;
  for (int i = 0; i < 200; ++i) {
    const double lightest = a.reference_mass.si() * 0.8;
    const Day worse{between(lightest, a.max_take_off_mass.si()), between(-10, 35), between(-10, 20)};
    Day better = worse;
    if (i % 2 == 0) {
      better.mass_kg = between(lightest, worse.mass_kg);
    } else {
      better.temperature_c = between(-15, worse.temperature_c);
    }
    const auto less = path(a, *policy.value, worse);
    const auto more = path(a, *policy.value, better);
    if (!less || !less->reaches_screen()) { continue; }
    CAPTURE(file, by_the_file, worse.mass_kg, better.mass_kg, worse.temperature_c, better.temperature_c,
            worse.headwind_kt);
    REQUIRE(more);
    CAPTURE(more->why_not);
    REQUIRE(more->reaches_screen());
    ++compared;
    double most = -1e9;
    for (double d = 0.0; d < 20000.0; d += 100.0) {
      most = std::max(most, in_feet(less->net.at(metres(d)) - more->net.at(metres(d))));
      REQUIRE(less->net.at(metres(d)) <= less->gross.at(metres(d)) + feet(0.001));
    }
    CHECK(most <= 0.5);
  }
  CHECK(compared >= (by_the_file ? 20 : 50));
}
