// Every path the solver claims is flown again, from its control schedule only, and must end where and as high as
// claimed.
//
// Optimistic means: claimed reachable, but flown again more than 2 ft low or 2 m off. Half of the paths lie within 30
// ft of the height at which the claim begins or ends. BACKFIELD_LONG=1 flies a million, BACKFIELD_PATHS any number.

#include "tests/tools/amount.hpp"
#include "tests/tools/parallel.hpp"
#include "tests/tools/random_scene.hpp"

#include <fmt/core.h>
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace backfield;
using namespace backfield::test;
using flight::ReachStatus;

namespace {

constexpr double kOff_m = 2.0;
constexpr double kLow_m = 2.0 * kMetresPerFoot;
constexpr unsigned kChunk = 100;  // paths of one seed
constexpr int kMoments = 6;       // of one scene: poses the power may fail at
constexpr int kHeights = 4;       // of one pose: to find its edge costs more than to ask beside it
constexpr std::size_t kShown = 20;

struct Tally {
  unsigned asked = 0, paths = 0, near_edge = 0, beyond = 0, unkept = 0;
  unsigned flaps = 0, slips = 0;  ///< paths that need landing flap, or a slip, on the final
  double worst_off = 0.0, worst_low = 0.0, worst_high = 0.0, worst_alignment = 0.0;
  std::vector<std::string> faults;  ///< claims that do not hold, the first of them

  void fault(std::string what) {
    if (faults.size() < kShown) faults.push_back(std::move(what));
  }
  void add(const Tally& other) {
    asked += other.asked;
    paths += other.paths;
    near_edge += other.near_edge;
    flaps += other.flaps;
    slips += other.slips;
    beyond += other.beyond;
    unkept += other.unkept;
    worst_off = std::max(worst_off, other.worst_off);
    worst_low = std::max(worst_low, other.worst_low);
    worst_high = std::max(worst_high, other.worst_high);
    worst_alignment = std::max(worst_alignment, other.worst_alignment);
    for (const std::string& f : other.faults) fault(f);
  }
  [[nodiscard]] std::string text() const {
    return fmt::format(
        "asked {}, paths {}, near an edge {}, worst off {:.3f} m, low {:.3f} m, high {:.3f} m, alignment {:.3f} m, "
        "beyond 2 m or 2 ft {}, claims without a path {}, with landing flap {}, with a slip {}",
        asked, paths, near_edge, worst_off, worst_low, worst_high, worst_alignment, beyond, unkept, flaps, slips);
  }
};

/// One question: everything that is random in it.
struct Case {
  unsigned seed;
  const RandomScene& scene;
  const flight::AirState& failure;

  [[nodiscard]] std::string text(const flight::PathResult& r) const {
    const auto& wind = scene.environment->wind;
    return fmt::format(
        "seed {}, height {:.3f} m, east {:.1f} m, north {:.1f} m, {}, {}, turns {:.1f} and {:.1f} deg at {:.0f} deg, "
        "best glide {:.0f} kt, wind {:.0f} kt, aloft {:.0f} kt",
        seed, failure.height_m, failure.east_m, failure.north_m, flight::name_of(r.side),
        flight::name_of(r.configuration), in_degrees(r.first_turn), in_degrees(r.last_turn), in_degrees(scene.bank),
        in_knots(scene.performance->best_glide().value), in_knots(wind.surface().speed()),
        in_knots(wind.data().back().wind.speed()));
  }
};

/// Is the final flown in the order of the configurations, the flap time included, and any slip over in time?
bool orderly(const flight::Path& path, const flight::PathResult& r, const Case& c, const std::vector<Flown>& after) {
  double clean_s = 0.0;
  bool flap = false;
  bool slip = false;
  double slip_end_m = 1e9;
  for (std::size_t i = 0; i < path.segments.size(); ++i) {
    const flight::Segment& s = path.segments[i];
    if (s.hold != flight::Hold::track) {
      if (s.configuration != flight::Configuration::clean) return false;
      continue;
    }
    if (s.configuration == flight::Configuration::clean) {
      if (flap || slip) return false;
      clean_s += s.duration_s;
    }
    if (s.configuration == flight::Configuration::slip) {
      if (flap) return false;
      slip = true;
      slip_end_m = after[i + 1].height_m - (c.scene.goal.elevation - c.scene.datum).above_datum.si();
    }
    flap = flap || s.configuration == flight::Configuration::landing_flap;
  }
  const bool in_time = clean_s > c.scene.aeroplane.flap_time.si() - 0.1 || !(flap || slip);
  const bool level = !slip || slip_end_m > c.scene.goal.alignment_height.si() - kLow_m;
  const bool said = slip   ? r.configuration == flight::Configuration::slip
                    : flap ? r.configuration != flight::Configuration::clean
                           : r.configuration == flight::Configuration::clean;
  return in_time && level && said;
}

/// Flies a claim again.
void fly(const Case& c, const flight::PathResult& r, Tally& tally) {
  const flight::Goal& goal = c.scene.goal;
  std::vector<Flown> after;
  const Flown end = fly_again(r.path, c.scene.flyer(), &after);
  const double t = goal.track.angle().si();
  const double e = end.east_m - goal.threshold.east.si();
  const double n = end.north_m - goal.threshold.north.si();
  const double along = e * std::sin(t) + n * std::cos(t);
  const double across = e * std::cos(t) - n * std::sin(t);
  const double elevation = (goal.elevation - c.scene.datum).above_datum.si();
  const double high = end.height_m - elevation;
  const double aligned = at_alignment(r.path, after).height_m - elevation;
  const double off = std::max(std::abs(along - r.aim.si()), std::abs(across));
  const double alignment = std::abs(aligned - r.alignment_height.si());
  ++tally.paths;
  tally.worst_off = std::max(tally.worst_off, off);
  tally.worst_low = std::max(tally.worst_low, -high);
  tally.worst_high = std::max(tally.worst_high, high);
  tally.worst_alignment = std::max(tally.worst_alignment, alignment);
  const bool holds = off < kOff_m && std::abs(high) < kLow_m && alignment < kLow_m;  // false for NaN, too
  const bool inside = aligned > goal.alignment_height.si() - kLow_m && r.aim.si() <= goal.aim.high.si() + 1e-6 &&
                      r.aim.si() >= goal.aim.low.si() - kOff_m;
  if (!holds) ++tally.beyond;
  if (r.configuration == flight::Configuration::landing_flap) ++tally.flaps;
  if (r.configuration == flight::Configuration::slip) ++tally.slips;
  const bool order = orderly(r.path, r, c, after);
  if (holds && inside && order) return;
  tally.fault(fmt::format(
      "{}: final {}, off {:.2f} m, high {:.2f} m, alignment {:.2f} m off at {:.2f} m of {:.2f} m, aim {:.1f} "
      "m of {:.1f} to {:.1f} m",
      c.text(r), order ? "in order" : "out of order", off, high, alignment, aligned, goal.alignment_height.si(),
      r.aim.si(), goal.aim.low.si(), goal.aim.high.si()));
}

/// A height at which the claim of a side changes, seen from where it is claimed; and where that is, up or down.
struct Edge {
  double height_m = 0.0, inside = 1.0;
};
template <class Claims>
std::optional<Edge> edge_of(Claims claims) {
  std::optional<double> yes;
  std::optional<double> no;
  for (double h = feet(200).si(); h < feet(5000).si(); h += feet(300).si()) (claims(h) ? yes : no) = h;
  if (!yes || !no) return {};
  while (std::abs(*yes - *no) > 0.3) {
    const double mid = 0.5 * (*yes + *no);
    (claims(mid) ? yes : no) = mid;
  }
  return Edge{*yes, *yes > *no ? 1.0 : -1.0};
}

enum class Scenes { plain, with_power, sheared };

/// Asks for both sides, and flies again what is claimed.
void ask(const Case& c, const flight::PathFinder& finder, const flight::PathFinder::Target& target, bool near_edge,
         Tally& tally) {
  const auto fan = finder.fan(c.failure);
  const auto claimed = finder.reach(*fan, target);
  const auto results = finder.reach_with_path(*fan, target);
  for (std::size_t s = 0; s < 2; ++s) {
    ++tally.asked;
    if (results[s].status == ReachStatus::reached) {
      if (near_edge) ++tally.near_edge;
      fly(c, results[s], tally);
    } else if (claimed[s].status == ReachStatus::reached) {
      ++tally.unkept;
      tally.fault(c.text(claimed[s]) + ": claimed, but without a path");
    }
  }
}

/// The paths of one seed.
Tally chunk(unsigned seed, unsigned wanted, Scenes scenes) {
  SceneMaker maker(seed);
  SceneMaker engines(seed + 2'000'000'000U);
  SceneMaker feathering(seed + 1'000'000'000U);  // of its own, so that the scenes stay as they were
  SceneMaker shear(seed + 3'000'000'000U);
  Tally tally;
  while (tally.paths < wanted) {
    RandomScene scene = maker.scene();
    scene.technique.landing_flap_on_final = seed % 4 != 0;
    scene.technique.slip_on_final = seed % 4 > 1;
    // With a later turn to lose height by, only little runway leaves much to flap.
    if (seed % 16 == 5) scene.goal.aim.high = std::min(scene.goal.aim.high, scene.goal.aim.low + metres(40));
    if (scene.aeroplane.kind == aircraft::AircraftClass::single_turboprop) feathering.give_feathering(scene);
    if (scenes == Scenes::with_power) engines.give_power(scene);
    if (scenes == Scenes::sheared) shear.give_shear(scene, knots(6));
    const flight::PathFinder finder(scene.setup());
    const auto target = finder.target(scene.goal);
    for (int k = 0; k < kMoments; ++k) {
      flight::AirState failure = maker.failure(scene);
      const std::size_t side = maker.chance(0.5) ? 0 : 1;
      std::optional<Edge> edge;
      if (maker.chance(0.7)) {
        edge = edge_of([&](double height_m) {
          failure.height_m = height_m;
          return finder.reach(*finder.fan(failure), *target)[side].status == ReachStatus::reached;
        });
      }
      for (int height = 0; height < kHeights; ++height) {
        failure.height_m = edge ? edge->height_m + edge->inside * feet(maker.between(0, 30)).si()
                                : feet(maker.between(100, 5000)).si();
        ask({seed, scene, failure}, finder, *target, edge.has_value(), tally);
      }
    }
  }
  return tally;
}

Tally chunks(unsigned paths, unsigned threads = machine_threads(), Scenes scenes = Scenes::plain) {
  const unsigned first = amount("BACKFIELD_FIRST_SEED", {0, 0, 0});
  const auto work = [&](unsigned i) { return chunk(first + i, std::min(kChunk, paths - i * kChunk), scenes); };
  Tally sum;
  for (const Tally& t : in_parallel((paths + kChunk - 1) / kChunk, work, threads)) sum.add(t);
  return sum;
}

/// A claim of the search that cannot be turned into a path would be an optimistic answer, too.
void check(const Tally& tally, unsigned wanted) {
  for (const std::string& fault : tally.faults) FAIL_CHECK(fault);
  CHECK(tally.paths >= wanted);
  CHECK(tally.beyond == 0);
  CHECK(tally.unkept == 0);
}

}  // namespace

TEST_CASE("A path flown again ends as high as claimed within 2 ft, and where claimed", "[flight][law]") {
  const unsigned wanted = amount("BACKFIELD_PATHS", {.sanitized = 200, .ordinary = 20'000, .all = 1'000'000});
  const Tally tally = chunks(wanted);
  WARN(tally.text());
  check(tally, wanted);
  CHECK(2 * tally.near_edge > tally.paths);
  // Most excess height goes by a longer path: tests/laws/steep_final_test.cpp flies finals with flap and slips by
  // themselves.
  CHECK((tally.flaps > wanted / 500 || wanted < 1'000));
  CHECK((tally.slips > 0 || wanted < 20'000));
}

TEST_CASE("A path flown again with the power that is left ends where and as high as claimed", "[flight][law]") {
  const unsigned wanted = amount("BACKFIELD_PATHS", {.sanitized = 100, .ordinary = 4'000, .all = 100'000});
  const Tally tally = chunks(wanted, machine_threads(), Scenes::with_power);
  WARN(tally.text());
  check(tally, wanted);
  CHECK(3 * tally.near_edge > tally.paths);
}

TEST_CASE("A path flown again in wind that shears hard from level to level ends where and as high as claimed",
          "[flight][law]") {
  // Where a roll-out skims a level at which the wind's change with height jumps, inches decide whether it is held above
  // or falls through. Until schedules were flown again from a little higher and lower, 6 of 13,700 of these paths ended
  // elsewhere than claimed, one of them 117 ft lower, and nine claims were without a path.
  const unsigned wanted = amount("BACKFIELD_PATHS", {.sanitized = 50, .ordinary = 2'000, .all = 100'000});
  const Tally tally = chunks(wanted, machine_threads(), Scenes::sheared);
  WARN(tally.text());
  check(tally, wanted);
  CHECK(2 * tally.near_edge > tally.paths);
}

TEST_CASE("Questions that once ended low, or were claimed without a path, do so no more", "[flight][law]") {
  // Of 339,552 questions: 1070 ended 2 and 4 ft low in a turn over a level where the shear jumps; of the others
  // reach_with_path() lost what reach() has, or, 1339, had a path whose last turn rolls out at such a level. Of 450,000
  // more, 2534 ended 2 and 4 ft high, by a roll-out that met such a level unexpectedly. Of a million, 4377 ended half
  // an inch too low in a roll-out that hovers at such a level, and beside one 5895 was claimed without a path.
  for (const unsigned seed : {344U, 437U, 449U, 883U, 1070U, 1339U, 1377U, 2534U, 4377U, 5895U}) {
    const Tally tally = chunk(seed, kChunk, Scenes::plain);
    check(tally, kChunk);
  }
}

TEST_CASE("What ends otherwise when it is flown in other steps is not claimed", "[flight][law]") {
  // From 521.93 m the last roll-out skims the level at which a wind by the power law begins to shear hard: it rose off
  // that level in some steps, and fell through it in others, to end 3 ft lower.
  constexpr unsigned kSeed = 63046;
  SceneMaker maker(kSeed);
  RandomScene scene = maker.scene();
  scene.technique.landing_flap_on_final = scene.technique.slip_on_final = true;
  flight::AirState failure;
  failure.east_m = -3667.9505140447995;
  failure.north_m = 1145.8728737033243;
  failure.heading_rad = 5.1836756964657837;
  failure.tas_mps = 62.019200400319377;
  failure.gamma_rad = -0.12467466718513746;
  const flight::PathFinder finder(scene.setup());
  const auto target = finder.target(scene.goal);
  Tally tally;
  for (int i = -20; i <= 20; ++i) {
    failure.height_m = 521.92878213329959 + 0.05 * i;
    ask({kSeed, scene, failure}, finder, *target, true, tally);
  }
  check(tally, 20);
}

TEST_CASE("Ways that are hard to meet are found, and end where and as high as claimed", "[flight][law]") {
  struct Way {
    unsigned seed, question;
    std::size_t side;
  };
  // Of 120,000 sides, those that a search with more looks showed to be missing. Their families are wide, and short
  // where the looks are: the straight turns back on itself in shear (40995), goes on to the other side (42965), is met
  // with the crab of the ground only (43868, 51359), begins (49464) or ends (43643, 45413) between two durations, is
  // met between one that is too low and none (48574, 50637), or tells a flown path from none by its duration only
  // (44200, 45401); it hardly turns from where its family begins (48057); it turns almost once round to a straight on
  // from there (40898); it is aligned just not too high, which the tables place feet off (62869, 63059); inches that
  // they are off decide (51398).
  constexpr std::array kWays{Way{40898, 2, 1}, Way{40995, 1, 1}, Way{42965, 2, 1}, Way{43643, 1, 0},
                             Way{43868, 0, 0}, Way{44200, 1, 1}, Way{45401, 0, 0}, Way{45413, 2, 0},
                             Way{48057, 0, 1}, Way{48574, 2, 1}, Way{49464, 0, 0}, Way{50637, 4, 1},
                             Way{51359, 2, 0}, Way{51398, 1, 1}, Way{62869, 4, 1}, Way{63059, 3, 0}};
  for (const Way& way : kWays) {
    INFO("seed " << way.seed);
    SceneMaker maker(way.seed);
    const RandomScene scene = maker.scene();
    flight::PathFinderSetup setup = scene.setup();
    setup.top = feet(4000.0);
    const flight::PathFinder finder(setup);
    const auto target = finder.target(scene.goal);
    flight::AirState failure;
    for (unsigned k = 0; k <= way.question; ++k) {
      failure = maker.failure(scene);
      failure.height_m = feet(maker.between(300.0, 4000.0)).si();
    }
    CHECK(finder.reach(*finder.fan(failure), *target)[way.side].status == flight::ReachStatus::reached);
    CHECK(finder.reach_with_path(*finder.fan(failure), *target)[way.side].status == flight::ReachStatus::reached);
    Tally tally;
    ask({way.seed, scene, failure}, finder, *target, true, tally);
    check(tally, 1);
  }
}

TEST_CASE("Paths flown again are the same on any number of threads", "[flight][law]") {
  const Tally one = chunks(3 * kChunk, 1);
  const Tally three = chunks(3 * kChunk, 3);
  CHECK(one.asked == three.asked);
  CHECK(one.paths == three.paths);
  CHECK(one.near_edge == three.near_edge);
  CHECK(one.flaps == three.flaps);
  CHECK(one.slips == three.slips);
  CHECK(one.worst_off == three.worst_off);
  CHECK(one.worst_low == three.worst_low);
  CHECK(one.worst_high == three.worst_high);
  CHECK(one.worst_alignment == three.worst_alignment);
}
