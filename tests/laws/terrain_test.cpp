// What is said to be clear of terrain is: against an independent dense sampling of the same posts.
//
// The sampler (tests/tools/terrain_maker.hpp) turns every place into latitude and longitude by a geodesic of its own
// and interpolates between the posts by itself; what is required there is worked out here again, from the words of the
// policy. Random terrain: cones, ridges and noise, on any latitude, with voids now and then.

#include "backfield/earth/terrain.hpp"
#include "tests/tools/amount.hpp"
#include "tests/tools/parallel.hpp"
#include "tests/tools/random_scene.hpp"
#include "tests/tools/terrain_maker.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <limits>

using namespace backfield;
using namespace backfield::test;
using flight::ReachStatus;

namespace {

constexpr double kTwoFeet_m = 2.0 * kMetresPerFoot;
constexpr double kTwoMetres = 2.0;
constexpr double kSample_m = 1.5;

/// Random hills about a place, and what they stand on.
struct Hills {
  earth::Geodetic origin;
  earth::ElevationPosts posts;
  double steepest = 0.0;  ///< of all cells
  std::shared_ptr<const earth::Terrain> terrain;
};

struct Hill {
  double east, north, top, radius;
  bool ridge;
  double angle;
};

earth::Geodetic any_origin(SceneMaker& maker) {
  const double lon = maker.chance(0.2) ? 180.0 - maker.between(0.0, 0.05) : maker.between(-179, 179);
  return {degrees(maker.between(-78, 78)), degrees(lon)};
}

/// `hills` in metres about the origin, on posts over `half_m` to every side.
Hills build(SceneMaker& maker, double base_m, double noise_m, const std::vector<Hill>& hills, double half_m) {
  Hills h;
  h.origin = any_origin(maker);
  const double lat = in_degrees(h.origin.latitude), lon = in_degrees(h.origin.longitude);
  const double east_per_degree = 111'320.0 * std::cos(degrees(lat).si()), north_per_degree = 111'000.0;
  const double step = half_m > 8000.0 ? 1.0 / 240.0 : maker.chance(0.5) ? 1.0 / 1200.0 : 1.0 / 400.0;
  const double south = lat - half_m / north_per_degree, west = lon - half_m / east_per_degree;
  const auto rows = static_cast<std::size_t>(2.0 * half_m / north_per_degree / step) + 2;
  const auto columns = static_cast<std::size_t>(2.0 * half_m / east_per_degree / step) + 2;
  h.posts = posts_of(south, west, step, rows, columns, [&](double y, double x) {
    const double n = (y - lat) * north_per_degree, e = (x - lon) * east_per_degree;
    double height = base_m + maker.between(-noise_m, noise_m);
    for (const Hill& hill : hills) {
      const double de = e - hill.east, dn = n - hill.north;
      const double away =
          hill.ridge ? std::abs(de * std::cos(hill.angle) + dn * std::sin(hill.angle)) : std::hypot(de, dn);
      height = std::max(height, base_m + (hill.top - base_m) * (1.0 - away / hill.radius));
    }
    return height;
  });
  const auto at = [&](std::size_t k, std::size_t i) { return static_cast<double>(h.posts.heights_m[k * columns + i]); };
  const double narrowest = step * 111'319.0 * std::cos(degrees(std::min(89.0, std::abs(lat) + 0.5)).si());
  for (std::size_t k = 0; k + 1 < rows; ++k) {
    for (std::size_t i = 0; i + 1 < columns; ++i) {
      const double east = std::max(std::abs(at(k, i + 1) - at(k, i)), std::abs(at(k + 1, i + 1) - at(k + 1, i)));
      const double north = std::max(std::abs(at(k + 1, i) - at(k, i)), std::abs(at(k + 1, i + 1) - at(k, i + 1)));
      h.steepest = std::max(h.steepest, std::hypot(east, north) / narrowest);
    }
  }
  if (maker.chance(0.2)) {
    const auto near_middle = [&](std::size_t count) {
      return static_cast<std::size_t>(static_cast<double>(count) * maker.between(0.35, 0.65));
    };
    const std::size_t row = near_middle(rows), column = near_middle(columns);
    for (std::size_t k = 0; k < 4; ++k) {
      for (std::size_t i = 0; i < 4; ++i) {
        h.posts.heights_m.set((row + k) * columns + column + i, std::numeric_limits<float>::quiet_NaN());
      }
    }
  }
  h.terrain = std::make_shared<const earth::Terrain>(h.origin, std::vector{h.posts});
  return h;
}

/// What is asked, in the words of the policy: nothing up to the height of alignment, from there on half of what the
/// path is higher, up to the whole.
double required_m(double above_runway, double aligned, double over) {
  if (above_runway <= aligned) return 0.0;
  return std::min(over, 0.5 * (above_runway - aligned));
}

struct Judge {
  const Hills& hills;
  flight::AtRunway runway;
  flight::ClearanceRule rule;
  double datum_m;

  [[nodiscard]] bool at_the_runway(double e, double n) const {
    const double s = std::sin(runway.track.angle().si()), c = std::cos(runway.track.angle().si());
    const double de = e - runway.threshold.east.si(), dn = n - runway.threshold.north.si();
    const double along = de * s + dn * c, across = de * c - dn * s, around = rule.around_runway.si();
    return std::abs(across) <= around && along >= -around && along <= runway.length.si() + around;
  }
  /// Height to spare at one place; NaN where the ground is not known, infinite where the runway is the ground.
  [[nodiscard]] double spare(double e, double n, double height_m) const {
    if (at_the_runway(e, n)) return std::numeric_limits<double>::infinity();
    const double ground = sampled_m(hills.posts, place_of(hills.origin, e, n)) - datum_m;
    return height_m - ground -
           required_m(height_m - runway.elevation.si(), runway.aligned_by.si(), rule.over_terrain.si());
  }
};

struct Least {
  double spare = std::numeric_limits<double>::infinity();
  bool unknown = false;
  void add(double s) {
    if (std::isnan(s)) {
      unknown = true;
    } else {
      spare = std::min(spare, s);
    }
  }
};

std::vector<Hill> random_hills(SceneMaker& maker, double within, double lowest, double highest) {
  std::vector<Hill> hills(static_cast<std::size_t>(maker.between(2, 8)));
  for (Hill& h : hills) {
    h = {maker.between(-within, within),
         maker.between(-within, within),
         maker.between(lowest, highest),
         maker.between(300, 2500),
         maker.chance(0.3),
         maker.between(0, kPi)};
  }
  return hills;
}

struct WayTally {
  int ways = 0, clear = 0, optimistic = 0, pessimistic = 0, silent = 0, unknown = 0;
  double low = 1e9, high = -1e9;
};

/// One random way down over random hills; `found - truth` in metres.
void try_way(SceneMaker& maker, WayTally& tally) {
  const double datum = maker.between(0, 1500);
  const Hills hills = build(maker, datum - maker.between(0, 40), maker.between(0, 6),
                            random_hills(maker, 3000, datum, datum + 700), 6000);
  flight::ClearanceRule rule;
  rule.over_terrain = feet(maker.between(0, 300));
  rule.around_runway = metres(60);
  const flight::AtRunway runway{{metres(maker.between(-800, 800)), metres(maker.between(-800, 800))},
                                earth::TrueDirection(degrees(maker.between(0, 360))),
                                metres(maker.between(0, 1000)),
                                metres(maker.between(-20, 20)),
                                feet(maker.between(50, 300))};
  std::vector<flight::WayPoint> way;
  double e = maker.between(-2500, 2500), n = maker.between(-2500, 2500), heading = maker.between(0, 2.0 * kPi);
  double height = maker.between(50, 600);
  for (int i = static_cast<int>(maker.between(2, 40)); i > 0; --i) {
    way.push_back({e, n, height, 0.0, true});
    const double length = maker.between(5, 150);
    heading += maker.between(-0.3, 0.3);
    e += length * std::sin(heading);
    n += length * std::cos(heading);
    height = std::max(runway.elevation.si(), height - length / maker.between(5, 15));
  }
  const Judge judge{hills, runway, rule, datum};
  Least truth;
  for (std::size_t i = 1; i < way.size(); ++i) {
    const auto &a = way[i - 1], &b = way[i];
    const int steps = 1 + static_cast<int>(std::hypot(b.east_m - a.east_m, b.north_m - a.north_m) / kSample_m);
    for (int k = 0; k <= steps; ++k) {
      const double t = static_cast<double>(k) / steps;
      truth.add(judge.spare(a.east_m + (b.east_m - a.east_m) * t, a.north_m + (b.north_m - a.north_m) * t,
                            a.height_m + (b.height_m - a.height_m) * t));
    }
  }
  earth::Ground ground;
  ground.terrain = hills.terrain;
  const flight::Hazards hazards(ground, rule, {metres(datum)});
  const flight::Clearance found = hazards.along(way, &runway);
  ++tally.ways;
  if (found.clear()) ++tally.clear;
  if (truth.unknown) {
    ++tally.unknown;
    if (found.clear()) ++tally.silent;
    return;
  }
  if (found.clear() && truth.spare < 0.0) ++tally.optimistic;
  // What is kept: 2 ft, the tolerance of 0.02 m, and the slopes about for the 2 m and the half metre of the places; of
  // slopes the steepest, in steps of an eighth.
  // The lowest place may lie half a step of the sampling from the next sample, where a way may sink by a fifth.
  const double kept = kTwoFeet_m + 0.02 + (hills.steepest + 0.125) * 2.5 + 0.5 * kSample_m * (hills.steepest + 0.2);
  if (!found.clear() && truth.spare > kept) {
    // Beside a void the ground counts as unknown one post farther than it is.
    if (found.hazard == 1) return;
    ++tally.pessimistic;
  }
  if (found.margin.si() < 0.0 && found.hazard == 0) {
    const double off = found.margin.si() - truth.spare;
    tally.high = std::max(tally.high, off);
    tally.low = std::min(tally.low, off + kept);
  }
}

struct PathTally {
  int paths = 0, clear = 0, others = 0, vetoed = 0, unknown = 0, under = 0, optimistic = 0, odd = 0;
  double least_m = 1e9;
  void add(const PathTally& t) {
    paths += t.paths;
    clear += t.clear;
    others += t.others;
    vetoed += t.vetoed;
    unknown += t.unknown;
    under += t.under;
    optimistic += t.optimistic;
    odd += t.odd;
    least_m = std::min(least_m, t.least_m);
  }
};

Least along(const std::vector<Flown>& steps, const Judge& judge) {
  Least least;
  for (const Flown& p : steps) { least.add(judge.spare(p.east_m, p.north_m, p.height_m)); }
  return least;
}

/// The same 2 m to every side: what a path may be off when it is flown.
Least beside(const std::vector<Flown>& steps, const Judge& judge) {
  Least least;
  for (std::size_t i = 0; i < steps.size(); i += 5) {
    const Flown& p = steps[i];
    for (const double side : {-kTwoMetres, kTwoMetres}) {
      least.add(judge.spare(p.east_m + side, p.north_m, p.height_m));
      least.add(judge.spare(p.east_m, p.north_m + side, p.height_m));
    }
  }
  return least;
}

PathTally path_chunk(unsigned seed, unsigned scenes) {
  SceneMaker maker(seed);
  PathTally tally;
  for (unsigned i = 0; i < scenes; ++i) {
    RandomScene scene = maker.scene();
    flight::AirState failure = maker.failure(scene);
    failure.height_m = feet(maker.between(300, 3500)).si();
    flight::PathFinderSetup setup = scene.setup();
    const flight::PathFinder bare(setup);
    const auto without = bare.reach_with_path(*bare.fan(failure), *bare.target(scene.goal));
    const double datum = scene.datum.above_sea_level.si();
    const double lowest = std::min(datum, scene.goal.elevation.above_sea_level.si());
    // Hills under what would be flown over flat ground, so that most decide something.
    std::vector<Hill> hills;
    double reach = 1500.0;
    for (const flight::PathResult& r : without) {
      if (r.status != ReachStatus::reached) continue;
      std::vector<Flown> steps;
      fly_again(r.path, scene.flyer(), nullptr, &steps);
      for (const Flown& p : steps) reach = std::max({reach, std::abs(p.east_m), std::abs(p.north_m)});
      for (int k = static_cast<int>(maker.between(0, 3)); k >= 0; --k) {
        const Flown& p = steps[static_cast<std::size_t>(maker.between(0, 0.8 * static_cast<double>(steps.size())))];
        hills.push_back({p.east_m + maker.between(-400, 400), p.north_m + maker.between(-400, 400),
                         datum + p.height_m + maker.between(-200, 80), maker.between(300, 1500), maker.chance(0.2),
                         maker.between(0, kPi)});
      }
    }
    if (hills.empty()) continue;
    const Hills about = build(maker, lowest - 5.0, 2.0, hills, reach + 3000.0);
    setup.environment.ground.terrain = about.terrain;
    setup.clearance.over_terrain = feet(maker.between(0, 300));
    setup.clearance.around_runway = metres(60);
    const flight::PathFinder finder(setup);
    const auto with = finder.reach_with_path(*finder.fan(failure), *finder.target(scene.goal));
    const flight::AtRunway runway{scene.goal.threshold, scene.goal.track, scene.goal.aim.high,
                                  (scene.goal.elevation - scene.datum).above_datum, scene.goal.alignment_height};
    const Judge judge{about, runway, setup.clearance, datum};
    for (std::size_t s = 0; s < 2; ++s) {
      if (without[s].status != ReachStatus::reached) continue;
      ++tally.paths;
      std::vector<Flown> steps;
      if (with[s].status == ReachStatus::not_clear) {
        ++tally.vetoed;
        if (!with[s].clearance || with[s].clearance->clear() || !with[s].clearance->by_terrain) ++tally.odd;
        continue;
      }
      if (with[s].status != ReachStatus::reached) {
        ++tally.odd;
        continue;
      }
      ++tally.clear;
      fly_again(with[s].path, scene.flyer(), nullptr, &steps);
      const Least here = along(steps, judge);
      const Least aside = beside(steps, judge);
      tally.least_m = std::min(tally.least_m, here.spare);
      if (here.unknown || aside.unknown) ++tally.unknown;
      if (here.spare < 0.0) ++tally.under;
      if (here.spare < -kTwoFeet_m || aside.spare < -kTwoFeet_m) ++tally.optimistic;
      steps.clear();
      fly_again(without[s].path, scene.flyer(), nullptr, &steps);
      if (along(steps, judge).spare < 0.0) ++tally.others;
    }
  }
  return tally;
}

}  // namespace

TEST_CASE("The least height over random terrain is that of a dense sampling, less what is kept", "[flight][law]") {
  const unsigned ways = amount("BACKFIELD_WAYS", {.sanitized = 200, .ordinary = 2'000, .all = 20'000});
  WayTally tally;
  SceneMaker maker(31);
  for (unsigned i = 0; i < ways; ++i) try_way(maker, tally);
  WARN(tally.ways << " ways, " << tally.clear << " clear, " << tally.unknown << " over a void; not clear: " << tally.low
                  << " m to " << tally.high << " m of the sampled, reserves taken off the first");
  CHECK(tally.clear > tally.ways / 10);
  CHECK(tally.ways - tally.clear > tally.ways / 10);
  CHECK(tally.optimistic == 0);
  CHECK(tally.pessimistic == 0);
  CHECK(tally.silent == 0);
  CHECK(tally.high < 0.0);
  CHECK(tally.low > 0.0);
}

TEST_CASE("No path said to be clear of terrain is denied by a dense sampling when flown again", "[flight][law]") {
  const unsigned scenes = amount("BACKFIELD_TERRAINS", {.sanitized = 100, .ordinary = 2'000, .all = 10'000});
  constexpr unsigned kChunk = 25;
  PathTally sum;
  const auto work = [](unsigned i) { return path_chunk(9000 + i, kChunk); };
  for (const PathTally& t : in_parallel((scenes + kChunk - 1) / kChunk, work)) { sum.add(t); }
  WARN(sum.paths << " sides reached over flat ground; over hills " << sum.clear << " of them clear (" << sum.others
                 << " only by another path), " << sum.vetoed << " vetoed; least height over what is required "
                 << sum.least_m << " m, under it " << sum.under << ", by more than 2 ft or within 2 m "
                 << sum.optimistic << ", over a void " << sum.unknown);
  CHECK(sum.others > 10);
  CHECK(sum.vetoed > 10);
  CHECK(sum.optimistic == 0);
  CHECK(sum.under == 0);
  CHECK(sum.unknown == 0);
  CHECK(sum.odd == 0);
}
