// The take-off path with an engine failing at v_1.
//
// Published:
//   14 CFR 25.111, as quoted in two reproductions of the rule: v_2 by 35 ft and kept to 400 ft; the path ends at
//   1,500 ft. 25.121(b) and (c): 2.4/2.7/3.0 and 1.2/1.5/1.7 % for two, three and four engines. 25.115(b): 0.8/0.9/1.0
//   %
// Closed forms, of an aeroplane without drag, worked here apart from the program:
//   constant thrust   t = (V2 - V1) / (g T/W),       d = (V2^2 - V1^2) / (2 g T/W)
//   constant power    t = (V2^2 - V1^2) / (2 g P/W), d = (V2^3 - V1^3) / (3 g P/W)

#include "backfield/aircraft/take_off_path.hpp"
#include "backfield/io/load.hpp"
#include "tests/tools/scenes.hpp"

#include <catch2/catch.hpp>

#include <cmath>

namespace {

using namespace backfield;
using namespace backfield::test;
using aircraft::TakeOffMark;

constexpr double g = 9.80665;

/// Two engines and next to no drag; v_1 90, v_r 100, v_2 110, final speed 150 kt. All invented.
aircraft::Aircraft slippery(bool jet) {
  aircraft::Aircraft a = trainer(feet_per_minute(jet ? 3000 : 1500), metres(800), metres(1000));
  a.kind = jet ? aircraft::AircraftClass::light_jet : aircraft::AircraftClass::twin_turboprop;
  a.reference_mass = a.max_take_off_mass = a.max_landing_mass = kilograms(5000);
  a.empty_mass = kilograms(3000);
  a.polar.glide_ratio = 1e9;
  a.speeds.v_r = {knots(100)};
  a.speeds.v_y = {knots(150)};
  a.speeds.best_glide = {knots(120)};
  a.speeds.stall_clean = {knots(85)};
  aircraft::OneEngineOut out;
  out.v_mca = {knots(80)};
  out.v_1 = Cas{knots(90)};
  out.climb_speed = {knots(110)};
  out.climb_rate = figure(feet_per_minute(900).si());
  out.final_speed = Cas{knots(150)};
  out.final_rate = figure(feet_per_minute(800).si());
  a.one_engine_out = out;
  return a;
}

aircraft::TakeOffPathRule rule() {
  aircraft::TakeOffPathRule r;
  r.screen = feet(35);
  r.rotation = seconds(2);
  r.acceleration_height = feet(400);
  r.ends_at = feet(1500);
  r.continuous_thrust = 0.9;
  r.take_off_thrust = minutes(5);
  return r;
}

aircraft::TakeOffPathDay day(double headwind_kt = 0.0) {
  aircraft::TakeOffPathDay d;
  d.all_engines = {metres(800), metres(1000)};
  d.ground = d.accelerating = d.ends = {kilograms(5000), {metres(0)}, celsius(15), 1.0};
  d.headwind = knots(headwind_kt);
  d.net_decrement = 0.008;
  return d;
}

aircraft::TakeOffPoint at(const aircraft::TakeOffPath& path, TakeOffMark mark) {
  for (const aircraft::TakeOffPoint& p : path.points) {
    if (p.what == mark) return p;
  }
  FAIL("no " << aircraft::name_of(mark) << ": " << path.why_not);
  return {};
}

double mps(double kt) { return knots(kt).si(); }

}  // namespace

TEST_CASE("The shipped policies have the heights and gradients of the rule", "[policy][twin][reference]") {
  const std::string file = GENERATE(as<std::string>{}, "default", "plain");
  const auto policy = io::load_policy(BACKFIELD_SOURCE_DIR "/cases/policy/" + file + ".yaml");
  REQUIRE(policy.ok());
  const aircraft::TakeOffPathRule& r = policy.value->power_left.take_off_path.value();
  CHECK(in_feet(r.screen) == Approx(35.0));
  CHECK(in_feet(r.acceleration_height) == Approx(400.0));
  CHECK(in_feet(r.ends_at) == Approx(1500.0));
  for (const auto& [engines, second, last] : {std::tuple{2, 2.4, 1.2}, {3, 2.7, 1.5}, {4, 3.0, 1.7}}) {
    CHECK(100.0 * r.second_segment_least.at(engines) == Approx(second));
    CHECK(100.0 * r.final_segment_least.at(engines) == Approx(last));
  }
}

TEST_CASE("Level acceleration follows the closed forms", "[aircraft][twin][reference]") {
  const bool jet = GENERATE(true, false);
  const aircraft::Aircraft a = slippery(jet);
  const aircraft::Performance p(a, kilograms(5000));
  const aircraft::TakeOffPath path = aircraft::take_off_path(p, day(), rule());
  REQUIRE(path.why_not.empty());
  const auto begin = at(path, TakeOffMark::level_off);
  const auto end = at(path, TakeOffMark::final_speed);
  const double power = feet_per_minute(900).si();  // over weight
  const double thrust = power / mps(110);
  const double t =
      jet ? (mps(150) - mps(110)) / (g * thrust) : (std::pow(mps(150), 2) - std::pow(mps(110), 2)) / (2 * g * power);
  const double d = jet ? (std::pow(mps(150), 2) - std::pow(mps(110), 2)) / (2 * g * thrust)
                       : (std::pow(mps(150), 3) - std::pow(mps(110), 3)) / (3 * g * power);
  CHECK(in_seconds(end.time - begin.time) == Approx(t).epsilon(1e-3));
  CHECK(in_metres(end.distance - begin.distance) == Approx(d).epsilon(1e-3));
  CHECK(in_feet(end.height) == Approx(400.0));
}

TEST_CASE("From v_1 to v_r on the thrust that is left, by the closed form", "[aircraft][twin][reference]") {
  const aircraft::Aircraft a = slippery(true);
  const aircraft::Performance p(a, kilograms(5000));
  const aircraft::TakeOffPath path = aircraft::take_off_path(p, day(), rule());
  // 800 m to 100 kt on both; the thrusts from 3,000 ft/min at 150 kt and 900 at 110.
  const double both = mps(100) * mps(100) / (2 * 800.0);
  const double share = (feet_per_minute(900).si() / mps(110)) / (feet_per_minute(3000).si() / mps(150));
  const double left = both * share;  // there is no drag
  REQUIRE(left > 0.0);
  CHECK(in_metres(at(path, TakeOffMark::v_1).distance) == Approx(800.0 * 0.81));
  CHECK(in_metres(at(path, TakeOffMark::v_r).distance - at(path, TakeOffMark::v_1).distance) ==
        Approx((mps(100) * mps(100) - mps(90) * mps(90)) / (2 * left)).epsilon(1e-3));
  CHECK(in_metres(at(path, TakeOffMark::lift_off).distance - at(path, TakeOffMark::v_r).distance) ==
        Approx(2.0 * mps(100)));
  // Energy: 35 ft and the speed from 100 to 110 kt, out of 900 ft/min at 110 kt and, of a jet, less below.
  const auto screen = at(path, TakeOffMark::screen);
  const double energy = feet(35).si() + (mps(110) * mps(110) - mps(100) * mps(100)) / (2 * g);
  const double least = energy / feet_per_minute(900).si();
  const double most = energy / (feet_per_minute(900).si() * 100.0 / 110.0);
  const double took = in_seconds(screen.time - at(path, TakeOffMark::lift_off).time);
  CHECK(took > least);
  CHECK(took < most);
  CHECK(in_feet(screen.height) == Approx(35.0));
  CHECK(screen.estimated);
}

TEST_CASE("Gross and net part by the decrement from the screen on", "[aircraft][twin][reference]") {
  const aircraft::Aircraft a = slippery(true);
  const aircraft::Performance p(a, kilograms(5000));
  const aircraft::TakeOffPath path = aircraft::take_off_path(p, day(), rule());
  const auto screen = at(path, TakeOffMark::screen);
  const auto level = at(path, TakeOffMark::level_off);
  CHECK(in_feet(level.height) == Approx(400.0));
  CHECK(in_metres(level.height - level.net_height) ==
        Approx(0.008 * in_metres(level.distance - screen.distance)).epsilon(1e-6));
  REQUIRE(path.second);
  CHECK(path.second->gross == Approx(feet_per_minute(900).si() / mps(110)));
  CHECK(path.second->gross - path.second->net == Approx(0.008));
  REQUIRE(path.last);
  CHECK(path.last->gross == Approx(feet_per_minute(800).si() / mps(150)));
  const auto end = at(path, TakeOffMark::end);
  CHECK(in_feet(end.height) == Approx(1500.0));
  CHECK(in_metres(end.distance - at(path, TakeOffMark::final_speed).distance) ==
        Approx(feet(1100).si() / path.last->gross));
  // The net acceleration is less by 0.8 % of gravity, so its final segment begins later; nothing is claimed past the
  // end.
  const double thrust = feet_per_minute(900).si() / mps(110);
  const double longer = (std::pow(mps(150), 2) - std::pow(mps(110), 2)) / (2 * g * (thrust - 0.008));
  const Length net_begins = level.distance + metres(longer);
  CHECK(in_metres(path.net.at(net_begins - metres(5))) == Approx(in_metres(level.net_height)));
  CHECK(in_metres(path.net.at(net_begins + metres(200)) - level.net_height) ==
        Approx(200.0 * path.last->net).epsilon(0.02));
  CHECK(path.net.at(end.distance + metres(9000)) == path.net.at(end.distance));
}

TEST_CASE("Where the file has accelerate-go the path begins there", "[aircraft][twin]") {
  const aircraft::Aircraft a = slippery(true);
  const aircraft::Performance p(a, kilograms(5000));
  aircraft::TakeOffPathDay d = day();
  d.accelerate_go = metres(1700);
  const aircraft::TakeOffPath path = aircraft::take_off_path(p, d, rule());
  const auto screen = at(path, TakeOffMark::screen);
  CHECK(in_metres(screen.distance) == Approx(1700.0));
  CHECK(in_feet(screen.height) == Approx(50.0));
  CHECK_FALSE(screen.estimated);
  CHECK_FALSE(at(path, TakeOffMark::end).estimated);
}

TEST_CASE("What is left to clean up after the file's accelerate-go costs rate times time",
          "[aircraft][twin][reference]") {
  aircraft::Aircraft a = slippery(true);
  a.one_engine_out->lost_gear_down = feet_per_minute(300);
  a.one_engine_out->clean_up = seconds(20);
  aircraft::TakeOffPathDay d = day();
  // v_1 at 0.81 of the roll of 800 m; from there 10 s at 110 kt, so that 10 s are left.
  d.accelerate_go = metres(800.0 * 0.81 + 10.0 * mps(110));
  CHECK(in_seconds(aircraft::clean_up_left({a, kilograms(5000)}, d, *d.accelerate_go)) == Approx(10.0));
  const aircraft::TakeOffPath dirty = aircraft::take_off_path({a, kilograms(5000)}, d, rule());
  const auto clean = at(dirty, TakeOffMark::clean);
  CHECK(in_feet(clean.height) == Approx(50.0 + (900.0 - 300.0) / 6.0));
  CHECK(in_metres(clean.height - clean.net_height) == Approx(0.008 * mps(110) * 10.0));
  CHECK(in_metres(clean.distance - *d.accelerate_go) == Approx(10.0 * mps(110)));
  CHECK(clean.estimated);
  a.one_engine_out->clean_up = seconds(10);
  const aircraft::TakeOffPath in_time = aircraft::take_off_path({a, kilograms(5000)}, d, rule());
  const Length later = clean.distance + metres(500);
  CHECK(in_feet(in_time.gross.at(later) - dirty.gross.at(later)) == Approx(300.0 / 6.0));
  // More than the climb for longer than 50 ft last: it comes down again, and no path is claimed.
  a.one_engine_out->lost_gear_down = feet_per_minute(1500);
  a.one_engine_out->clean_up = seconds(20);
  const aircraft::TakeOffPath down = aircraft::take_off_path({a, kilograms(5000)}, d, rule());
  CHECK_FALSE(down.reaches_screen());
  CHECK(down.why_not == "it comes down again before gear and propeller are cleaned up");
}

TEST_CASE("Accelerate-go made up for an aeroplane without v_1, by the closed form", "[aircraft][twin][reference]") {
  aircraft::Aircraft a = slippery(false);
  a.one_engine_out->v_1.reset();
  a.speeds.v_r = a.one_engine_out->climb_speed;  // nothing to accelerate to
  aircraft::EstimatedGo go = aircraft::estimated_accelerate_go({a, kilograms(5000)}, day(), rule());
  REQUIRE(go.distance);
  const double climbing = 50.0 / 900.0 * 60.0;  // s
  CHECK(in_metres(*go.distance) == Approx(800.0 + (2.0 + climbing) * mps(110)).epsilon(1e-3));
  CHECK(go.lost.si() == 0.0);
  // The gear is down for 10 s from lift-off, the propeller turns for 10 s from the failure, 2 s before.
  a.one_engine_out->lost_gear_down = feet_per_minute(300);
  a.one_engine_out->lost_unfeathered = feet_per_minute(200);
  a.one_engine_out->clean_up = seconds(10);
  go = aircraft::estimated_accelerate_go({a, kilograms(5000)}, day(), rule());
  REQUIRE(go.distance);
  const double dirty = 50.0 / 400.0 * 60.0;  // 7.5 s: 9.5 s after the failure
  CHECK(in_metres(*go.distance) == Approx(800.0 + (2.0 + dirty) * mps(110)).epsilon(1e-3));
  CHECK(in_feet(go.lost) == Approx(300.0 / 60.0 * 2.5 + 200.0 / 60.0 * 0.5).margin(0.5));
  a.one_engine_out->lost_gear_down = feet_per_minute(800);
  go = aircraft::estimated_accelerate_go({a, kilograms(5000)}, day(), rule());
  CHECK_FALSE(go.distance);
  CHECK(go.why_not == "no climb with one engine out until gear and propeller are cleaned up");
}

TEST_CASE("A path that cannot be says why", "[aircraft][twin]") {
  aircraft::Aircraft a = slippery(true);
  const auto why = [&] {
    const aircraft::Performance p(a, kilograms(5000));
    return aircraft::take_off_path(p, day(), rule());
  };
  a.one_engine_out->lost_gear_down = feet_per_minute(950);
  a.one_engine_out->clean_up = seconds(10);
  CHECK(why().why_not == "no climb with one engine out until gear and propeller are cleaned up");
  CHECK_FALSE(why().reaches_screen());
  a = slippery(true);
  a.one_engine_out->climb_rate = figure(feet_per_minute(-100).si());
  CHECK(why().why_not == "with one engine out v_r is not reached on the ground");
  a = slippery(true);
  a.one_engine_out->final_rate = figure(feet_per_minute(-10).si());
  const aircraft::TakeOffPath sinking = why();
  CHECK(sinking.why_not == "no climb in the final segment with one engine out");
  CHECK(sinking.net.beyond < 0.0);
  a = slippery(true);
  a.one_engine_out->climb_rate = figure(feet_per_minute(80).si());  // 0.7 %: less than the decrement
  a.one_engine_out->final_rate = {};
  aircraft::TakeOffPathDay by_the_file = day();
  by_the_file.accelerate_go = metres(2500);
  CHECK(aircraft::take_off_path({a, kilograms(5000)}, by_the_file, rule()).why_not ==
        "the net path does not accelerate level to the final speed");
}

TEST_CASE("Nothing that makes a path worse raises it", "[aircraft][twin][laws]") {
  const bool jet = GENERATE(true, false);
  const aircraft::Aircraft a = slippery(jet);
  aircraft::Aircraft less = a;
  aircraft::TakeOffPathDay worse_day = day(5.0);
  const int what = GENERATE(0, 1, 2, 3, 4, 5);
  CAPTURE(jet, what);
  if (what == 0) less.one_engine_out->climb_rate = figure(feet_per_minute(700).si());
  if (what == 1) less.one_engine_out->lost_gear_down = feet_per_minute(200), less.one_engine_out->clean_up = seconds(8);
  if (what == 2) worse_day.climb_factor = 0.9;
  if (what == 3) worse_day.net_decrement = 0.01;
  if (what == 4) worse_day.all_engines.roll = metres(900);
  if (what == 5) {
    worse_day.headwind = knots(-5);
    worse_day.all_engines.roll = metres(800.0 * std::pow(105.0 / 95.0, 2));  // the same acceleration
  }
  const aircraft::TakeOffPath better = aircraft::take_off_path({a, kilograms(5000)}, day(5.0), rule());
  const aircraft::TakeOffPath worse = aircraft::take_off_path({less, kilograms(5000)}, worse_day, rule());
  REQUIRE(better.why_not.empty());
  REQUIRE(worse.why_not.empty());
  for (double d = 0.0; d < 12000.0; d += 50.0) {
    CAPTURE(d);
    CHECK(worse.net.at(metres(d)) <= better.net.at(metres(d)) + metres(1e-6));
    CHECK(worse.net.at(metres(d)) <= worse.gross.at(metres(d)) + metres(1e-6));
  }
}
