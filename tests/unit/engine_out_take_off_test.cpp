// The path with one engine out in a whole case.

#include "backfield/aircraft/power.hpp"
#include "backfield/decision/assess.hpp"
#include "backfield/decision/bracket.hpp"
#include "backfield/io/load.hpp"
#include "backfield/report/text.hpp"
#include "src/decision/engine_out_path.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <utility>

namespace {

using namespace backfield;

decision::Case load(const std::string& name) {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/" + name + "/case.yaml");
  REQUIRE(loaded.ok());
  return *loaded.value;
}

decision::OneEngineOut out_of(const decision::Case& c) { return *decision::assess(c).power_left.one_engine_out; }

/// One obstacle on the track, so far from release.
decision::Case with_mast(decision::Case c, Length distance, Length top) {
  const earth::RunwayEnd& end = c.departure.end;
  c.ground.obstacles = {
      {"mast",
       earth::offset(earth::offset(end.pavement_start, end.track, c.departure.start), end.track, distance),
       c.elevation + earth::Height{top},
       {}}};
  return c;
}

}  // namespace

TEST_CASE("A jet without an accelerate-go distance gets an estimated path, a light twin none", "[decision][twin]") {
  const auto jet = out_of(load("overweight-jet-wet"));
  REQUIRE(jet.take_off);
  CHECK(jet.path_estimated);
  CHECK(jet.take_off->path.reaches_screen());
  CHECK(jet.take_off->second_least == Approx(0.024));
  REQUIRE(jet.stop);
  CHECK(jet.stop->estimated);
  REQUIRE(jet.go);
  CHECK(jet.go->estimated);
  const auto twin = out_of(load("light-twin-meadows"));
  CHECK_FALSE(twin.take_off);
  CHECK_FALSE(twin.path_estimated);
}

TEST_CASE("Where v_2 is not reached nothing after it is relied on: no climb is said, no obstacle is cleared",
          "[decision][twin]") {
  decision::Case c = with_mast(load("overweight-jet-wet"), metres(9000), feet(10));
  REQUIRE(out_of(c).reaches_v_2());
  REQUIRE(out_of(c).verdict == decision::EngineOutVerdict::clears);
  c.aircraft.one_engine_out->lost_gear_down = feet_per_minute(2000);
  const decision::OneEngineOut out = out_of(c);
  CHECK_FALSE(out.reaches_v_2());
  CHECK(out.verdict == decision::EngineOutVerdict::holds);
  CHECK_FALSE(out.go_beyond.empty());
  CHECK_FALSE(out.obstacles_assessed);
  CHECK(out.obstacles.empty());

  const std::string text = report::text(c, decision::assess(c));
  const std::string page = text.substr(0, text.find('\f'));
  const auto says = [&](const char* what) { return page.find(what) != std::string::npos; };
  CHECK(says("we do not depart like this"));
  CHECK(says("V_2 IS NOT REACHED"));
  CHECK_FALSE(says("After it fly"));
  CHECK_FALSE(says("After it: fly"));
  CHECK(text.find("obstacle: mast") == std::string::npos);
}

TEST_CASE("A runway that falls takes what it falls by off the path", "[decision][twin]") {
  const decision::Case level = with_mast(load("overweight-jet-wet"), metres(9000), feet(10));
  decision::Case falls = level;
  falls.departure.end.slope = -0.02;
  const decision::OneEngineOut before = out_of(level);
  const decision::OneEngineOut after = out_of(falls);
  // The fall is credited nowhere: the roll is as long as on the level.
  REQUIRE(after.path_begins == before.path_begins);
  CHECK((before.obstacles.at(0).net - after.obstacles.at(0).net).si() == Approx(0.02 * before.path_begins.si()));
}

TEST_CASE("After a turn downwind the profile is followed by what is flown through the air", "[decision][twin]") {
  // 3 m/s up at 60 m/s against 15 m/s: 1 in 15 over the ground; with the wind behind 3 m/s at 75 m/s, 1 in 25.
  decision::Case c = load("overweight-jet-wet");
  c.policy.power_left.wind_counted = decision::WindCounted{1.0, 1.0};
  const earth::RunwayEnd& end = c.departure.end;
  c.weather.wind.from = end.track;
  c.weather.wind.mean = metres_per_second(15);
  c.policy.bracket.worlds.resize(1);
  c.policy.bracket.worlds.front().profile = false;
  c.departure.track.legs = {{earth::Height{feet(500)}, end.track.turned(degrees(180)), degrees(15), true}};
  const decision::FlownWorld world{decision::bracket(c).front(), {}, flight::Timeline({}, {{}, {}}, "")};
  decision::EngineOutClimb climb;
  climb.world = &world;
  climb.begins = metres(1000);
  climb.airspeed = metres_per_second(60);
  climb.headwind = metres_per_second(15);
  climb.level = metres_per_second(30);  // so that the profile is the lower one
  climb.turning = {metres_per_second(30)};
  climb.gross = climb.net = aircraft::HeightProfile{{{metres(1000), metres(10)}}, 1.0 / 15.0};
  const decision::EngineOutPath path(c, climb, true);
  REQUIRE(path.flies_all_turns());
  const auto& first = path.stretches().front();
  CHECK(path.at(first, metres(1600)).net.si() == Approx(50));
  const auto& last = path.stretches().back();
  const auto rise = [&](const decision::EngineOutPath::Stretch& on) {
    return (path.at(on, on.flown + metres(2500)).net - path.at(on, on.flown).net).si();
  };
  CHECK(rise(last) == Approx(2500 * 3.0 / 75.0).epsilon(0.001));
  // The turn is begun where the profile is 500 ft high, not where the steady rate would be.
  CHECK(path.at(first, first.length).net.si() == Approx(feet(500).si()).margin(0.01));
}

// CAT.POL.A.205(d)(5) and .305(c), from memory: half of a headwind, one and a half times a tailwind.
TEST_CASE("A policy without a weaker wind credits half of a headwind, and charges a tailwind one and a half times",
          "[decision][twin]") {
  decision::Case c = load("light-twin-meadows");
  c.options.clear();
  const auto needed = [&](Speed wind, bool from_behind, double factor) {
    decision::Case there = c;
    const earth::TrueDirection track = c.departure.end.track;
    there.weather.wind.from = from_behind ? track.turned(degrees(180)) : track;
    there.weather.wind.mean = wind;
    there.policy.bracket.worlds.resize(1);
    there.policy.bracket.worlds.front().wind_factor = factor;
    return out_of(there).go.value().needed;
  };
  const Length still = needed(knots(0.1), false, 1.0);
  const Length head = needed(knots(20), false, 1.0);
  CHECK(head < still);
  CHECK(head.si() == Approx(needed(knots(20), false, 0.5).si()));
  CHECK(head > needed(knots(30), false, 1.0));
  const Length tail = needed(knots(8), true, 1.0);
  CHECK(tail > still);
  CHECK(tail.si() == Approx(needed(knots(8), true, 1.5).si()));
}

TEST_CASE("Steady rates count the same shares of the wind, and a variable wind comes from behind", "[decision][twin]") {
  decision::Case c = with_mast(load("light-twin-meadows"), metres(5000), feet(10));
  c.options.clear();
  c.policy.bracket.worlds.resize(1);
  c.policy.bracket.worlds.front().profile = false;
  c.policy.bracket.calm_directions.clear();
  const auto over = [&](Speed wind, Angle from_track, double factor) {
    decision::Case there = c;
    there.weather.wind.from = c.departure.end.track.turned(from_track);
    there.weather.wind.mean = wind;
    there.policy.bracket.worlds.front().wind_factor = factor;
    return out_of(there).obstacles.at(0).net;
  };
  const Length head = over(knots(16), degrees(0), 1.0);
  CHECK(head.si() == Approx(over(knots(16), degrees(0), 0.5).si()));
  CHECK(head > over(knots(8), degrees(0), 1.0));
  const Length tail = over(knots(8), degrees(180), 1.0);
  CHECK(tail.si() == Approx(over(knots(8), degrees(180), 1.5).si()));
  // A policy that counts all of it has more height, with the wind ahead as with it behind.
  c.policy.power_left.wind_counted = decision::WindCounted{1.0, 1.0};
  CHECK(over(knots(16), degrees(0), 1.0) > head + feet(5));
  CHECK(over(knots(8), degrees(180), 1.0) > tail + feet(5));
  c.policy.power_left.wind_counted = decision::WindCounted{0.5, 1.5};
  c.weather.wind.variable = true;
  CHECK(over(knots(8), degrees(0), 1.0).si() == Approx(tail.si()));
}

TEST_CASE("A light twin's path knows that less is left higher up", "[decision][twin]") {
  decision::Case c = load("light-twin-meadows");
  c.options.clear();
  c.weather.wind.mean = {};
  c.policy.bracket.worlds.resize(1);
  c.policy.bracket.calm_directions.clear();
  const auto over = [&](double distance_m) {
    return out_of(with_mast(c, metres(distance_m), feet(10))).obstacles.at(0);
  };
  const decision::OneEngineOut out = out_of(with_mast(c, metres(9000), feet(10)));
  REQUIRE(out.ceiling);
  const double begins = in_metres(out.path_begins);
  // Up to the height that rates are judged in it is the straight line of the steady rate: calm, so gradient is slope.
  CHECK(in_metres(over(9000.0).net) == Approx(in_metres(feet(50)) + (9000.0 - begins) * out.net).epsilon(1e-3));
  // Far out it is what h' = rate(h) comes to, foot by foot, from below and within what a layer of 250 ft hides.
  const aircraft::Performance performance(c.aircraft, c.mass);
  const decision::World world = decision::bracket(c).front();
  const Cas cas = performance.one_engine_out_climb_speed();
  double height = feet(50).si();
  double flown = begins;
  constexpr double kStep_m = 5.0;
  for (; flown < 40000.0; flown += kStep_m) {
    const Length there = std::max(metres(height), c.policy.power_left.evaluated_at);
    const auto conditions =
        performance.conditions(world.environment.air.with(c.policy.model.density), c.elevation + earth::Height{there});
    const double rate =
        aircraft::excess_power(performance, conditions, {aircraft::PowerLeft::one_engine_out}, cas, {}).value.si();
    height += rate / earth::to_tas(cas, conditions.sigma).value.si() * kStep_m;
  }
  const Length claimed = over(40000.0).gross;
  CHECK(in_feet(claimed) <= in_feet(metres(height)) + 1.0);
  CHECK(in_feet(claimed) >= in_feet(metres(height)) - 150.0);
  CHECK(claimed < *out.ceiling);
  // The steady rate would claim more than that.
  CHECK(in_metres(feet(50)) + (40000.0 - begins) * out.gross > height + in_metres(feet(100)));
}

TEST_CASE("A turn of the departure is flown at the speed that the path has there", "[decision][twin]") {
  // Radius V^2 / (g tan(bank)) (FAA-H-8083-3C, ch. 3, radius of a level turn), at 80 m/s although v_2 is 60.
  decision::Case c = load("overweight-jet-wet");
  c.weather.wind.mean = {};
  c.policy.bracket.worlds.resize(1);
  c.policy.bracket.calm_directions.clear();
  const earth::TrueDirection track = c.departure.end.track;
  c.departure.track.legs = {{earth::Height{feet(1000)}, track.turned(degrees(90)), degrees(15), true}};
  const decision::FlownWorld world{decision::bracket(c).front(), {}, flight::Timeline({}, {{}, {}}, "")};
  decision::EngineOutClimb climb;
  climb.world = &world;
  climb.begins = metres(1000);
  climb.airspeed = metres_per_second(60);
  climb.level = metres_per_second(3);
  climb.turning = {metres_per_second(2)};
  const auto knot = [](double d, double h_ft, double v) {
    return aircraft::HeightProfile::Knot{metres(d), feet(h_ft), metres_per_second(v)};
  };
  climb.gross = climb.net = aircraft::HeightProfile{
      {knot(1000, 50, 60), knot(3000, 400, 60), knot(5000, 400, 80), knot(15000, 1500, 80)}, 0.0};
  const auto across = [&] {
    const decision::EngineOutPath path(c, climb, true);
    REQUIRE(path.flies_all_turns());
    const earth::Position from = earth::offset(c.departure.end.pavement_start, track, c.departure.start);
    const earth::Position& to = path.stretches().back().from;
    const double t = track.angle().si();
    return std::pair((to.east - from.east).si() * std::cos(t) - (to.north - from.north).si() * std::sin(t), path);
  };
  const auto radius = [](double v) { return v * v / (9.80665 * std::tan(degrees(15).si())); };
  const auto fast = across();
  CHECK(fast.first == Approx(radius(80)).epsilon(1e-3));
  // Its cost in height is that of the same turn at v_2: 1 m/s for as long as that takes.
  const double quarter_at_v_2 = 0.5 * kPi * radius(60) / 60.0;
  CHECK(fast.second.stretches().back().turned_away.si() == Approx(1.0 * quarter_at_v_2).epsilon(1e-3));
  // Below the level part it is v_2, in it something between.
  c.departure.track.legs.front().from_height = earth::Height{feet(350)};
  c.policy.power_left.straight_until = feet(350);
  const double there = across().first;
  CHECK(there > radius(60) * 1.1);
  CHECK(there < radius(80) * 0.9);
}

TEST_CASE("Obstacles are judged along the net take-off path, its level part too", "[decision][twin]") {
  const decision::Case c = load("overweight-jet-wet");
  const aircraft::TakeOffPath path = out_of(c).take_off->path;
  Length level_off{};
  Length final_speed{};
  for (const aircraft::TakeOffPoint& p : path.points) {
    if (p.what == aircraft::TakeOffMark::level_off) level_off = p.distance;
    if (p.what == aircraft::TakeOffMark::final_speed) final_speed = p.distance;
  }
  REQUIRE(final_speed > level_off + metres(500));
  const Length in_level = level_off + (final_speed - level_off) * 0.5;
  const auto judged = out_of(with_mast(c, in_level, feet(100)));
  REQUIRE(judged.obstacles.size() == 1);
  CHECK(judged.obstacles.front().net <= path.net.at(in_level) + feet(0.1));
  CHECK(judged.obstacles.front().gross <= feet(400.1));
  CHECK(judged.verdict == decision::EngineOutVerdict::clears);
  const auto too_high = out_of(with_mast(c, in_level, feet(380)));
  CHECK(too_high.verdict == decision::EngineOutVerdict::climbs);
  REQUIRE(too_high.in_the_way() != nullptr);
}

TEST_CASE("Without the rule of the policy there is no take-off path, and obstacles are judged as before",
          "[decision][twin]") {
  decision::Case c = load("overweight-jet-wet");
  c.policy.power_left.take_off_path.reset();
  const auto out = out_of(with_mast(c, metres(6000), feet(100)));
  CHECK_FALSE(out.take_off);
  CHECK_FALSE(out.path_estimated);
  CHECK_FALSE(out.go);
  CHECK(out.obstacles.size() == 1);
}

TEST_CASE("A table of accelerate-go that ends before the day is not guessed past", "[decision][twin]") {
  decision::Case c = load("overweight-jet-wet");
  aircraft::Scaled go;
  go.value_si = 1500.0;
  aircraft::Validity cold;
  cold.temperature = {celsius(-20), celsius(0)};
  c.aircraft.one_engine_out->accelerate_go = {go, cold, {"invented for tests", "", "", true}};
  const auto out = out_of(c);
  REQUIRE(out.take_off);
  CHECK_FALSE(out.take_off->path.reaches_screen());
  CHECK(out.take_off->path.why_not.find("accelerate-go: ") == 0);
  CHECK_FALSE(out.take_off->not_in.empty());
  CHECK_FALSE(out.path_estimated);
}

TEST_CASE("A longer runway, less mass and colder air take nothing from the path", "[decision][twin][laws]") {
  const decision::Case c = load("overweight-jet-wet");
  const auto base = out_of(with_mast(c, metres(5000), feet(100)));
  decision::Case longer = with_mast(c, metres(5000), feet(100));
  for (auto* declared : {&longer.departure.end.tora, &longer.departure.end.toda, &longer.departure.end.asda}) {
    if (*declared) *declared = **declared + metres(500);
  }
  const auto with_more = out_of(longer);
  REQUIRE(base.obstacles.size() == 1);
  REQUIRE(with_more.obstacles.size() == 1);
  CHECK(with_more.obstacles.front().net == base.obstacles.front().net);
  CHECK(with_more.obstacles.front().required <= base.obstacles.front().required);
  decision::Case colder = with_mast(c, metres(5000), feet(100));
  colder.weather.oat = celsius(0);
  CHECK(out_of(colder).obstacles.front().net >= base.obstacles.front().net);
  decision::Case lighter = with_mast(c, metres(5000), feet(100));
  lighter.mass = kilograms(4700);
  CHECK(out_of(lighter).obstacles.front().net >= base.obstacles.front().net - feet(0.1));
}

TEST_CASE("Drift-down where nothing is left to climb with, and where the case states a height", "[decision][twin]") {
  const auto hot = out_of(load("twin-hot-and-high"));
  REQUIRE((hot.verdict == decision::EngineOutVerdict::holds || hot.verdict == decision::EngineOutVerdict::sinks));
  REQUIRE(hot.drift_down);
  CHECK_FALSE(hot.drift_down->stated);
  for (std::size_t i = 1; i < hot.drift_down->points.size(); ++i) {
    CHECK(hot.drift_down->points[i].height <= hot.drift_down->points[i - 1].height);
    CHECK(hot.drift_down->points[i].net_height <= hot.drift_down->points[i].height);
  }
  decision::Case cool = load("light-twin-meadows");
  CHECK_FALSE(out_of(cool).drift_down);
  cool.drift_down_from = cool.elevation + earth::Height{feet(6500)};
  const auto stated = out_of(cool);
  REQUIRE(stated.drift_down);
  CHECK(stated.drift_down->stated);
  CHECK(stated.drift_down->why_not.empty());
  REQUIRE(stated.drift_down->levels_at);
  // The same rates as the ceiling's, at steps of 500 instead of 100 ft, and the weakest world's factor, which leaves
  // zero.
  REQUIRE(stated.ceiling);
  CHECK(in_feet(*stated.drift_down->levels_at) == Approx(in_feet(*stated.ceiling)).margin(40.0));
  CHECK(stated.drift_down->net_levels_at.value_or(Length{}) < *stated.drift_down->levels_at);
}

TEST_CASE("v_mca is the file's unless the file lets it fall; the stall may come first", "[decision][twin]") {
  decision::Case c = load("twin-hot-and-high");
  const auto file = out_of(c).controls.value();
  CHECK(file.v_mca.value == c.aircraft.one_engine_out->v_mca.value);
  CHECK(file.v_mca_in_that_air.value < file.v_mca.value);
  c.aircraft.one_engine_out->v_mca_falls_with_density = true;
  CHECK(out_of(c).controls->v_mca.value == file.v_mca_in_that_air.value);
  // A stall as fast as v_mca at sea level comes first everywhere; one of half the speed not below 25,000 ft.
  c.aircraft.speeds.stall_clean = c.aircraft.one_engine_out->v_mca;
  c.mass = c.aircraft.reference_mass;
  CHECK(out_of(c).controls->stall_first);
  c.aircraft.speeds.stall_clean = {c.aircraft.one_engine_out->v_mca.value * 0.5};
  CHECK_FALSE(out_of(c).controls->stall_first);
}

TEST_CASE("The approach flap is counted in the committal height where the file states it", "[decision][twin]") {
  decision::Case c = load("light-twin-meadows");
  const auto before = decision::assess(c).power_left.committal.value();
  CHECK_FALSE(before.flap_counted);
  c.aircraft.one_engine_out->lost_approach_flap = feet_per_minute(150);
  const auto after = decision::assess(c).power_left.committal.value();
  CHECK(after.flap_counted);
  REQUIRE(before.lost.si() > 0.0);
  CHECK(in_feet(after.lost - before.lost) == Approx(150.0 / 60.0 * in_seconds(c.aircraft.one_engine_out->clean_up)));
}
