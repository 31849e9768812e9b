// What must hold of the take-off path with an engine out, for every shipped aeroplane that states v_1, with the
// accelerate-go distance of its file and without it; and of every shipped aeroplane with more than one engine, that it
// is never where it would be on all of them, nor higher.

#include "backfield/aircraft/power.hpp"
#include "backfield/aircraft/take_off_path.hpp"
#include "backfield/earth/atmosphere.hpp"
#include "backfield/io/load.hpp"
#include "tests/tools/fleet.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <optional>
#include <random>

namespace {

using namespace backfield;

struct Day {
  double mass_kg, temperature_c, headwind_kt, elevation_m = 0.0;
};

/// The take-off path's day without accelerate-go; nothing where a table ends.
std::optional<aircraft::TakeOffPathDay> day_of(const aircraft::Aircraft& a, const decision::Policy& policy,
                                               const Day& d) {
  const aircraft::Performance p(a, kilograms(d.mass_kg));
  const earth::Altitude field{metres(d.elevation_m)};
  const earth::Air air(hectopascals(1013.25), field, celsius(d.temperature_c), earth::DensityRule::local);
  const aircraft::RollSurface runway{earth::Surface::paved, 0.0, knots(d.headwind_kt)};
  aircraft::TakeOffPathDay day;
  day.ground = p.conditions(air, field);
  const auto rolled = aircraft::take_off_distances(p, day.ground, runway, policy.stop);
  if (!rolled.usable()) { return std::nullopt; }
  day.all_engines = rolled.value;
  const aircraft::TakeOffPathRule& rule = *policy.power_left.take_off_path;
  day.accelerating = p.conditions(air, field + earth::Height{rule.acceleration_height});
  day.ends = p.conditions(air, field + earth::Height{rule.ends_at});
  day.headwind = knots(d.headwind_kt);
  day.net_decrement = policy.power_left.net_decrement.take_off.at(2);
  return day;
}

/// By the file, where it has the figure for the day.
std::optional<Length> go_of(const aircraft::Aircraft& a, const decision::Policy& policy, const Day& d,
                            const aircraft::TakeOffPathDay& day) {
  if (!a.one_engine_out->accelerate_go.stated()) { return std::nullopt; }
  const aircraft::Performance p(a, kilograms(d.mass_kg));
  const auto go =
      aircraft::accelerate_go_distance(p, day.ground, {earth::Surface::paved, 0.0, knots(d.headwind_kt)}, policy.stop);
  return go.usable() ? std::optional(go.value) : std::nullopt;
}

/// Nothing where a table ends.
std::optional<aircraft::TakeOffPath> path(const aircraft::Aircraft& a, const decision::Policy& policy, const Day& d) {
  auto day = day_of(a, policy, d);
  if (!day) { return std::nullopt; }
  day->accelerate_go = go_of(a, policy, d, *day);
  if (a.one_engine_out->accelerate_go.stated() && !day->accelerate_go) { return std::nullopt; }
  return aircraft::take_off_path({a, kilograms(d.mass_kg)}, *day, *policy.power_left.take_off_path);
}

/// The climb on all engines: along the ground to lift-off, straight to 50 ft, then at v_y in the air of the aerodrome.
struct OnAllEngines {
  const aircraft::TakeOffPathDay& day;
  double v_r, v_y, rate;  // over the ground; up

  OnAllEngines(const aircraft::Aircraft& a, const aircraft::TakeOffPathDay& d, double mass_kg) : day(d) {
    const aircraft::Performance p(a, kilograms(mass_kg));
    const auto over_ground = [&](Cas cas) {
      return earth::to_tas(cas, day.ground.sigma).value.si() - day.headwind.si();
    };
    v_r = over_ground(p.v_r());
    v_y = over_ground(p.v_y());
    rate = aircraft::excess_power(p, day.ends, {aircraft::PowerLeft::all, 0.0, 1.0}, p.v_y(), {}).value.si();
  }
  [[nodiscard]] double roll() const { return day.all_engines.roll.si(); }
  [[nodiscard]] double to_50ft() const { return day.all_engines.to_50ft.si(); }
  [[nodiscard]] double at(double distance) const {
    if (distance <= roll()) { return 0.0; }
    if (distance < to_50ft()) { return feet(50).si() * (distance - roll()) / (to_50ft() - roll()); }
    return feet(50).si() + (distance - to_50ft()) * rate / v_y;
  }
  /// At a time from brake release: a roll of one acceleration, to 50 ft no faster than at v_r.
  [[nodiscard]] double after(double t) const {
    const double rolled = 2.0 * roll() / v_r;
    const double there = rolled + (to_50ft() - roll()) / v_r;
    if (t <= rolled) { return 0.0; }
    if (t < there) { return feet(50).si() * (t - rolled) / (there - rolled); }
    return feet(50).si() + (t - there) * rate;
  }
};

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

TEST_CASE("On one engine no shipped aeroplane is higher than on all of them, nor sooner", "[laws][twin]") {
  const auto policy = io::load_policy(BACKFIELD_SOURCE_DIR "/cases/policy/default.yaml");
  REQUIRE(policy.ok());
  const aircraft::TakeOffPathRule& rule = *policy.value->power_left.take_off_path;
  std::mt19937 random(23);
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  int by_the_file = 0;
  int estimated = 0;
  for (const std::string& file : test::fleet()) {
    const aircraft::Aircraft shipped = test::load_aircraft(file);
    if (!shipped.one_engine_out) { continue; }
    for (int i = 0; i < 300; ++i) {
      aircraft::Aircraft a = shipped;
      const bool estimate = i % 2 == 1;
      if (estimate) {
        a.one_engine_out->accelerate_go = {};
        a.one_engine_out->lost_unfeathered = std::min(a.one_engine_out->lost_unfeathered, feet_per_minute(30));
        a.one_engine_out->lost_gear_down = std::min(a.one_engine_out->lost_gear_down, feet_per_minute(60));
      }
      const Day d{between(a.max_take_off_mass.si() * 0.75, a.max_take_off_mass.si()), between(-15, 38),
                  between(-10, 30), between(0, 1800)};
      auto day = day_of(a, *policy.value, d);
      if (!day) { continue; }
      day->accelerate_go = go_of(a, *policy.value, d, *day);
      if (!estimate && !day->accelerate_go) { continue; }
      const aircraft::Performance p(a, kilograms(d.mass_kg));
      const OnAllEngines all(a, *day, d.mass_kg);
      CAPTURE(file, estimate, d.mass_kg, d.temperature_c, d.headwind_kt, d.elevation_m);
      if (!p.v_1()) {
        // A light twin: steady rates from 50 ft on.
        const auto go = estimate ? aircraft::estimated_accelerate_go(p, *day, rule).distance : day->accelerate_go;
        if (!go) { continue; }
        ++(estimate ? estimated : by_the_file);
        CHECK(go->si() > all.to_50ft());
        const double rate = aircraft::excess_power(p, day->ground, {aircraft::PowerLeft::one_engine_out},
                                                   p.one_engine_out_climb_speed(), {})
                                .value.si();
        const double speed =
            earth::to_tas(p.one_engine_out_climb_speed(), day->ground.sigma).value.si() - day->headwind.si();
        for (double on = 0.0; on < 10000.0; on += 200.0) {
          CHECK(feet(50).si() + on * rate / speed <= all.at(go->si() + on));
        }
        continue;
      }
      const aircraft::TakeOffPath path = aircraft::take_off_path(p, *day, rule);
      if (!path.reaches_screen()) { continue; }
      ++(estimate ? estimated : by_the_file);
      for (double distance = 0.0; distance < 20000.0; distance += 100.0) {
        CAPTURE(distance);
        REQUIRE(path.gross.at(metres(distance)).si() <= all.at(distance) + 1e-6);
      }
      for (const aircraft::TakeOffPoint& point : path.points) {
        CAPTURE(aircraft::name_of(point.what));
        CHECK(point.height.si() <= all.after(point.time.si()) + 1e-6);
      }
    }
  }
  CHECK(by_the_file > 150);
  CHECK(estimated > 100);
}
