// What is said to be clear of the ground is: every claimed path is flown again, by other means, and asked at every
// step.
//
// Obstacles and areas are thrown under the paths that would be flown without them, so that most decide something. The
// distance to an area is worked out here by other means than the program's: winding angle and closest points.

#include "tests/tools/amount.hpp"
#include "tests/tools/distance_to_ring.hpp"
#include "tests/tools/parallel.hpp"
#include "tests/tools/random_scene.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <cstdlib>
#include <limits>

using namespace backfield;
using namespace backfield::test;
using flight::ReachStatus;

namespace {

constexpr unsigned kChunk = 25;
const Length kOptimistic = feet(2);  // under a required clearance

struct Tally {
  int paths = 0, clear = 0, others = 0, vetoed = 0, optimistic = 0, under = 0, unkept = 0, high_or_low = 0, odd = 0;
  double least_m = 1e9;
  void add(const Tally& t) {
    paths += t.paths;
    clear += t.clear;
    others += t.others;
    vetoed += t.vetoed;
    optimistic += t.optimistic;
    under += t.under;
    unkept += t.unkept;
    high_or_low += t.high_or_low;
    odd += t.odd;
    least_m = std::min(least_m, t.least_m);
  }
};

/// The least height over what is required at places that are too near, seen from above; infinite where there are none.
double least_height_to_spare(const std::vector<Flown>& steps, const earth::Ground& g, const flight::ClearanceRule& rule,
                             earth::Altitude datum) {
  double least = std::numeric_limits<double>::infinity();
  for (const Flown& p : steps) {
    const earth::Altitude here = datum + earth::Height{metres(p.height_m)};
    for (const earth::Obstacle& o : g.obstacles) {
      const double away = std::hypot(p.east_m - o.position.east.si(), p.north_m - o.position.north.si());
      if (away >= (o.half_width + rule.beside_obstacles).si()) continue;
      least = std::min(least, ((here - o.top).above_datum - rule.over_obstacles).si());
    }
    for (const earth::AvoidArea& a : g.areas) {
      if (distance_to(a.ring, p.east_m, p.north_m) >= rule.beside_areas.si()) continue;
      if (!rule.over_areas) return -1e9;
      least = std::min(least, ((here - a.elevation).above_datum - *rule.over_areas).si());
    }
  }
  return least;
}

/// One thing on the ground near a place of a flight.
void put(SceneMaker& maker, const Flown& place, const RandomScene& scene, earth::Ground& ground) {
  const double e = place.east_m + maker.between(-250, 250);
  const double n = place.north_m + maker.between(-250, 250);
  if (maker.chance(0.6)) {
    const double top = std::max(5.0, place.height_m + maker.between(-150, 100));
    ground.obstacles.push_back(
        {"mast", {metres(e), metres(n)}, scene.datum + earth::Height{metres(top)}, metres(maker.between(0, 60))});
    return;
  }
  earth::AvoidArea area{"town", earth::AreaKind::people, scene.datum, {}};
  const int corners = static_cast<int>(maker.between(3, 9));
  for (int i = 0; i < corners; ++i) {
    const double angle = 2.0 * kPi * i / corners;  // a star seen from its middle: no edge meets another
    const double r = maker.between(50, 500);
    area.ring.push_back({metres(e + r * std::sin(angle)), metres(n + r * std::cos(angle))});
  }
  ground.areas.push_back(std::move(area));
}

Tally chunk(unsigned seed, unsigned scenes) {
  SceneMaker maker(seed);
  Tally tally;
  for (unsigned i = 0; i < scenes; ++i) {
    RandomScene scene = maker.scene();
    flight::AirState failure = maker.failure(scene);
    failure.height_m = feet(maker.between(300, 4000)).si();
    flight::PathFinderSetup setup = scene.setup();
    const flight::PathFinder bare(setup);
    const auto without = bare.reach_with_path(*bare.fan(failure), *bare.target(scene.goal));
    setup.clearance = {feet(maker.between(0, 200)), metres(maker.between(0, 100)), feet(maker.between(300, 1500)),
                       metres(maker.between(0, 100))};
    if (maker.chance(0.3)) setup.clearance.over_areas.reset();
    for (const flight::PathResult& r : without) {
      if (r.status != ReachStatus::reached) continue;
      std::vector<Flown> steps;
      fly_again(r.path, scene.flyer(), nullptr, &steps);
      const int things = static_cast<int>(maker.between(1, 4));
      for (int k = 0; k < things; ++k) {
        put(maker, steps[static_cast<std::size_t>(maker.between(0, static_cast<double>(steps.size()) - 1))], scene,
            setup.environment.ground);
      }
    }
    if (setup.environment.ground.empty()) continue;
    const flight::PathFinder finder(setup);
    const auto fan = finder.fan(failure);
    const auto target = finder.target(scene.goal);
    const auto claimed = finder.reach(*fan, *target);
    const auto with = finder.reach_with_path(*fan, *target);
    for (std::size_t s = 0; s < 2; ++s) {
      if (without[s].status != ReachStatus::reached) continue;
      ++tally.paths;
      if (with[s].status != ReachStatus::reached && with[s].status != ReachStatus::not_clear) {
        ++tally.odd;
        continue;
      }
      if (claimed[s].status != with[s].status) ++tally.unkept;
      std::vector<Flown> steps;
      if (with[s].status == ReachStatus::not_clear) {
        ++tally.vetoed;
        if (!with[s].clearance || with[s].clearance->clear()) ++tally.odd;
        continue;
      }
      ++tally.clear;
      const Flown end = fly_again(with[s].path, scene.flyer(), nullptr, &steps);
      if (std::abs(end.height_m - (scene.goal.elevation - scene.datum).above_datum.si()) > kOptimistic.si()) {
        ++tally.high_or_low;
      }
      const double spare = least_height_to_spare(steps, setup.environment.ground, setup.clearance, scene.datum);
      tally.least_m = std::min(tally.least_m, spare);
      if (spare < 0.0) ++tally.under;
      if (spare < -kOptimistic.si()) ++tally.optimistic;
      steps.clear();
      fly_again(without[s].path, scene.flyer(), nullptr, &steps);
      if (least_height_to_spare(steps, setup.environment.ground, setup.clearance, scene.datum) < 0.0) ++tally.others;
    }
  }
  return tally;
}

}  // namespace

TEST_CASE("No path said to be clear is less clear when flown again", "[flight][law]") {
  const unsigned scenes = amount("BACKFIELD_CLEARANCES", {.sanitized = 200, .ordinary = 600, .all = 6'000});
  Tally sum;
  const auto work = [](unsigned i) { return chunk(7000 + i, kChunk); };
  for (const Tally& t : in_parallel((scenes + kChunk - 1) / kChunk, work)) { sum.add(t); }
  WARN(sum.paths << " sides reached with nothing on the ground; with something, " << sum.clear << " of them clear ("
                 << sum.others << " only by another path), " << sum.vetoed
                 << " vetoed; least height over what is required " << sum.least_m << " m, under it " << sum.under
                 << ", by more than 2 ft " << sum.optimistic);
  CHECK(sum.others > 20);
  CHECK(sum.vetoed > 20);
  CHECK(sum.optimistic == 0);
  CHECK(sum.under == 0);
  CHECK(sum.unkept == 0);
  CHECK(sum.high_or_low == 0);
  CHECK(sum.odd == 0);
}
