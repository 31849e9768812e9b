// The way back with power, held against the ground.

#include "src/decision/circuit_way.hpp"

#include "backfield/aircraft/performance.hpp"
#include "backfield/decision/assess.hpp"
#include "backfield/earth/terrain.hpp"
#include "backfield/io/load.hpp"
#include "tests/tools/case_flights.hpp"
#include "tests/tools/distance_to_ring.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <random>

using namespace backfield;

namespace {

decision::Case load(const std::string& name) {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/" + name + "/case.yaml");
  REQUIRE(loaded.ok());
  return *loaded.value;
}

flight::RendezvousSetup level_at(Speed airspeed, earth::WindVector wind) {
  const flight::Descending level{airspeed, metres_per_second(0.001)};
  flight::RendezvousSetup setup;
  setup.first = setup.last = flight::circling(level, degrees(25));
  setup.straight = level;
  setup.wind = earth::WindProfile::uniform(wind);
  return setup;
}

/// Least height over what the policy asks for, every 5 m of a line: over the terrain where it is higher than 600 ft
/// over its runway, the policy's whole margin; over or beside the things, theirs.
double sampled(const earth::Ground& ground, const decision::Case& c, const std::vector<flight::WayPoint>& line,
               const earth::RunwayEnd& end) {
  const flight::ClearanceRule& rule = c.policy.clearance;
  double least = 1e9;
  for (std::size_t i = 1; i < line.size(); ++i) {
    const double length = std::hypot(line[i].east_m - line[i - 1].east_m, line[i].north_m - line[i - 1].north_m);
    const int parts = std::max(1, static_cast<int>(std::ceil(length / 5.0)));
    for (int k = 0; k <= parts; ++k) {
      const double t = static_cast<double>(k) / parts;
      const earth::Position p{metres(line[i - 1].east_m + t * (line[i].east_m - line[i - 1].east_m)),
                              metres(line[i - 1].north_m + t * (line[i].north_m - line[i - 1].north_m))};
      const Length height = metres(line[i - 1].height_m + t * (line[i].height_m - line[i - 1].height_m));
      const Length altitude = c.elevation.above_sea_level + height;
      for (const earth::Obstacle& o : ground.obstacles) {
        if (earth::distance(p, o.position) >= o.half_width + rule.beside_obstacles) continue;
        least = std::min(least, (altitude - o.top.above_sea_level - rule.over_obstacles).si());
      }
      for (const earth::AvoidArea& a : ground.areas) {
        if (test::distance_to(a.ring, p.east.si(), p.north.si()) > rule.beside_areas.si()) continue;
        REQUIRE(rule.over_areas);
        least = std::min(least, (altitude - a.elevation.above_sea_level - *rule.over_areas).si());
      }
      if (!ground.terrain || altitude - end.elevation.above_sea_level < feet(600)) continue;
      const auto here = ground.terrain->elevation(p);
      REQUIRE(here);
      least = std::min(least, (altitude - here->above_sea_level - rule.over_terrain).si());
    }
  }
  return least;
}

struct Flown {
  std::vector<flight::WayPoint> line;
  double past_final_m = 0.0;  ///< off the begin of the final
  double to_touchdown_s = 0.0;
};

/// A way flown step by step in the air and wind of its world, by nothing but the turns, the speed and the policy: at
/// circuit height, and down to the threshold at the angle of the final.
Flown fly(const decision::Case& c, const test::CaseFlights::Flight& flight, const decision::Circuit::Way& way,
          const earth::RunwayEnd& end) {
  const decision::CircuitRule& rule = *c.policy.circuit;
  const auto when = flight.timeline.when_at_height(rule.height);
  REQUIRE(when);
  const flight::AirState out = flight.timeline.at(*when);
  const earth::Air air = flight.world.environment.air.with(c.policy.model.density);
  const double V = earth::to_tas(way.speed, air.sigma(c.elevation + earth::Height{rule.height})).value.si();
  const earth::WindVector wind = c.policy.model.wind == flight::WindRule::uniform
                                     ? earth::WindProfile::uniform(flight.world.surface_wind()).at({rule.height})
                                     : flight.world.environment.wind.at({rule.height});
  Flown flown;
  double east = out.east_m, north = out.north_m, heading = out.heading_rad;
  const auto on = [&](double rate, double time) {
    const int steps = std::max(1, static_cast<int>(std::ceil(time / 0.05)));
    for (int i = 0; i < steps && time > 0.0; ++i) {
      const double dt = time / steps;
      const double middle = heading + 0.5 * rate * dt;
      east += (V * std::sin(middle) + wind.towards_east.si()) * dt;
      north += (V * std::cos(middle) + wind.towards_north.si()) * dt;
      heading += rate * dt;
      flown.line.push_back({east, north, 0.0});
    }
    flown.to_touchdown_s += time;
  };
  const double rate = 9.80665 * std::tan(rule.bank.si()) / V;
  const auto turn = [&](Angle angle) { on(std::copysign(rate, angle.si()), std::abs(angle.si()) / rate); };
  flown.line.push_back({east, north, 0.0});
  turn(way.turns.first_turn);
  turn(way.turns.middle_turn);
  on(0.0, in_seconds(way.turns.straight));
  turn(way.turns.last_turn);
  const double slope = std::tan(rule.final_angle.si());
  const double final_m = rule.final_from.si() / slope;
  const earth::Position begin = earth::offset(end.threshold(), end.track, metres(-final_m));
  flown.past_final_m = std::hypot(east - begin.east.si(), north - begin.north.si());
  const aircraft::Performance performance(c.aircraft, c.return_mass.value_or(c.mass));
  const double approach = earth::to_tas(performance.v_ref(), air.sigma(end.elevation)).value.si();
  flown.to_touchdown_s +=
      final_m / (approach - earth::components(flight.world.surface_wind(), end.track).headwind.si());
  flown.line.push_back({end.threshold().east.si(), end.threshold().north.si(), 0.0});
  double to_go = 0.0;
  for (std::size_t i = flown.line.size(); i-- > 0;) {
    flight::WayPoint& p = flown.line[i];
    p.height_m = std::min(rule.height.si(), (end.elevation - c.elevation).above_datum.si() + to_go * slope);
    if (i > 0) { to_go += std::hypot(p.east_m - flown.line[i - 1].east_m, p.north_m - flown.line[i - 1].north_m); }
  }
  return flown;
}

const decision::RunwayOption& option(const decision::Answer& answer, const std::string& designator) {
  for (const decision::RunwayOption& o : answer.options) {
    if (o.end.designator == designator) return o;
  }
  FAIL("no such runway");
  return answer.options.front();
}

}  // namespace

TEST_CASE("The line of a way back with power passes the final's begin and comes down to the threshold", "[decision]") {
  std::mt19937 random(3);
  const auto any = [&](double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); };
  for (int i = 0; i < 200; ++i) {
    const auto setup =
        level_at(metres_per_second(any(30, 60)), {metres_per_second(any(-8, 8)), metres_per_second(any(-8, 8))});
    const flight::AirPose from{
        {metres(any(-4000, 4000)), metres(any(-4000, 4000))}, earth::TrueDirection(degrees(any(0, 360))), metres(305)};
    const earth::TrueDirection track(degrees(any(0, 360)));
    const decision::DownTo down{{metres(any(-500, 500)), metres(any(-500, 500))}, metres(any(-40, 40)), degrees(3)};
    const earth::Position begin = earth::offset(down.threshold, track, metres(-2900));
    for (const auto& way : flight::Rendezvous(setup).all(from, {begin, track, flight::RendezvousGoal::Along::track})) {
      const auto line = decision::circuit_way(setup, from, way, down);
      double nearest = 1e9;
      for (std::size_t k = 1; k < line.size(); ++k) {
        nearest = std::min(nearest, std::hypot(line[k].east_m - begin.east.si(), line[k].north_m - begin.north.si()));
        CHECK(line[k].height_m <= line[k - 1].height_m + 1e-9);
      }
      CHECK(nearest < 2.0);
      double length = 0.0;
      for (std::size_t k = 1; k < line.size(); ++k) {
        length += std::hypot(line[k].east_m - line[k - 1].east_m, line[k].north_m - line[k - 1].north_m);
      }
      // Where the whole way is shorter than the descent it begins lower, which is the cautious side.
      CHECK(line.front().height_m ==
            Approx(std::min(305.0, down.elevation.si() + length * std::tan(degrees(3).si()))).margin(1e-6));
      CHECK(line.back().height_m == Approx(down.elevation.si()).margin(1e-6));
      CHECK(line.back().east_m == Approx(down.threshold.east.si()).margin(1e-3));
      // On the final the height is that of the angle.
      const double back = std::hypot(line[line.size() - 2].east_m - line.back().east_m,
                                     line[line.size() - 2].north_m - line.back().north_m);
      CHECK(line[line.size() - 2].height_m ==
            Approx(down.elevation.si() + back * std::tan(degrees(3).si())).margin(0.01));
    }
  }
}

TEST_CASE("No way back with power is planned into a ridge, nor over a town lower than the policy allows",
          "[decision]") {
  for (const char* name : {"ridge", "mast-and-town", "town-and-fields"}) {
    CAPTURE(name);
    decision::Case c = load(name);
    const auto answer = decision::assess(c);
    const earth::Ground full = c.ground;
    const test::CaseFlights all(c);
    const auto& flights = all.flights();
    REQUIRE(flights.size() > 1);
    int ways = 0;
    c.ground = {};
    const auto bare = decision::assess(c);
    for (const decision::RunwayOption& o : answer.options) {
      CAPTURE(o.end.designator);
      double slowest_s = 0.0;
      REQUIRE(option(bare, o.end.designator).circuit);
      if (!o.circuit) {
        CHECK_THAT(o.circuit_void, Catch::Contains("no way found at 1000 ft is clear of"));
        continue;
      }
      // Once round, it would be through what each of these cases is named after, to the left.
      if (o.end.designator == c.departure.end.designator) CHECK(o.circuit->side == flight::Side::right);
      REQUIRE(o.circuit->ways.size() == flights.size());
      for (std::size_t w = 0; w < flights.size(); ++w) {
        const decision::Circuit::Way& way = o.circuit->ways[w];
        CAPTURE(way.world);
        REQUIRE(way.world == flights[w].world.name);
        CHECK(sampled(full, c, way.line, o.end) >= 0.0);
        const Flown flown = fly(c, flights[w], way, o.end);
        CHECK(flown.past_final_m < 2.0);
        CHECK(flown.to_touchdown_s <= in_seconds(o.circuit->to_touchdown) + 1.0);
        slowest_s = std::max(slowest_s, flown.to_touchdown_s);
        CHECK(sampled(full, c, flown.line, o.end) >= 0.0);
        ++ways;
      }
      CHECK(slowest_s == Approx(in_seconds(o.circuit->to_touchdown)).margin(1.0));
    }
    CHECK(ways > 1);
  }
}

TEST_CASE("What stands far from every way back with power changes none", "[decision]") {
  decision::Case c = load("demo");
  const auto bare = decision::assess(c);
  c.ground.obstacles.push_back({"far mast", {metres(40'000), metres(-40'000)}, {metres(400)}, metres(5)});
  const auto answer = decision::assess(c);
  for (const decision::RunwayOption& o : answer.options) {
    const auto& without = option(bare, o.end.designator).circuit;
    REQUIRE(o.circuit.has_value() == without.has_value());
    if (!without) continue;
    CHECK(o.circuit->side == without->side);
    CHECK(in_seconds(o.circuit->to_touchdown) == Approx(in_seconds(without->to_touchdown)));
  }
}
