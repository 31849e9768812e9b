// An exhaustive search (tests/tools/dense_search.hpp) never finds much more height than the solver's best surplus, and
// lands hardly anywhere the solver says there is no way. Single heights, half of them near the need; whole departures
// are in dense_search_test.cpp.
//
// The exhaustive search is no better than its grid: what only the solver finds is no fault here, and what only the grid
// finds is flown before it counts. BACKFIELD_LONG=1 asks 2,000 cases, BACKFIELD_CASES any number, from
// BACKFIELD_FIRST_SEED on.

#include "tests/tools/amount.hpp"
#include "tests/tools/dense_search.hpp"
#include "tests/tools/parallel.hpp"
#include "tests/tools/random_scene.hpp"

#include <fmt/core.h>
#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <cmath>

using namespace backfield;
using namespace backfield::test;
using flight::ReachStatus;

namespace {

constexpr double kBound_ft = 1.0;    // by which the solver's best surplus may be missed near the need
constexpr double kNear_ft = 100.0;   // of the need, where the solver refines
constexpr double kSpare_ft = 2.0;    // with which the exhaustive search must land for a "none" to be false
constexpr double kReserve_ft = 2.0;  // of the solver, which is no surplus to it
constexpr double kWithin_m = 2.0;  // along the runway, as places of paths are held to; a metre may be worth 3 ft there
constexpr double kTop_ft = 2500.0;
constexpr double kMost_ft = 1000.0;  // shown of what the solver finds more
constexpr double kAhead = 0.1;       // turns of less than 6 degrees: landing ahead, which the decision works out itself
constexpr double kSameTurns = 0.05;  // turns left and right that differ less belong to no side
constexpr double kWorthFlying_ft = 0.5;  // what the exhaustive search finds more is flown before it counts
constexpr double kFallsFar_ft = 10.0;    // a grid of 8 m and 2 degrees may be off by so much
constexpr unsigned kChunk = 5;           // cases of one seed, which share a scene: the tables are what costs
constexpr std::size_t kShown = 5;

/// One side of one case.
struct Compared {
  double missed_ft = 0.0;  ///< surplus the solver does not find
  bool near = false, false_none = false, no_surplus = false;
  std::optional<double> fell_ft;  ///< by which flying it lowered what the exhaustive search found
  std::string text;
};

double feet_of(double metres_) { return in_feet(metres(metres_)); }

bool no_way(const flight::PathResult& r) {
  return r.status == ReachStatus::not_found || r.status == ReachStatus::certainly_none;
}

/// The solver's surplus as the exhaustive search reckons it; none where it finds no path.
double surplus_ft(const flight::PathResult& r) {
  return no_way(r) ? DenseSide::kNone : in_feet(r.surplus) + kReserve_ft;
}

/// What the solver says to both of its callers: a path and how much there is to spare, or whether there is one.
struct Solver {
  std::array<flight::PathResult, 2> exact, decision;
};

/// `flown` gives the exhaustive search's surplus without its grid; asked where it matters, or always.
template <class Flown>
std::optional<Compared> compare(const std::string& where, const Solver& solver, const DenseSide& dense,
                                std::size_t side, bool always, Flown flown) {
  if (dense.surplus_m == DenseSide::kNone) return {};
  const auto ahead = [](double first, double last) { return std::abs(first) < kAhead && std::abs(last) < kAhead; };
  const auto either = [](double first, double last) { return std::abs(std::abs(first) - std::abs(last)) < kSameTurns; };
  if (ahead(dense.surplus_first, dense.surplus_last)) return {};
  const flight::PathResult& mine = solver.exact[side];
  const flight::PathResult& other = solver.exact[1 - side];
  const bool neither = either(dense.surplus_first, dense.surplus_last);
  const double found = neither ? std::max(surplus_ft(mine), surplus_ft(other)) : surplus_ft(mine);
  double theirs = feet_of(dense.surplus_m);
  const double on_grid = theirs;
  Compared c;
  // Near on either scale, for a solver that misses by far must not thereby be elsewhere.
  c.near = std::abs(theirs) < kNear_ft || std::abs(found) < kNear_ft;
  if (c.near && (always || theirs - found > kWorthFlying_ft)) {
    theirs = std::min(theirs, feet_of(flown(dense)));
    c.fell_ft = on_grid - theirs;
  }
  c.no_surplus = found == DenseSide::kNone;
  c.missed_ft = c.no_surplus ? 0.0 : std::max(theirs - found, -kMost_ft);
  const auto reaches = [&](const std::array<flight::PathResult, 2>& r) {
    return r[side].status == ReachStatus::reached ||
           (either(dense.first, dense.last) && r[1 - side].status == ReachStatus::reached);
  };
  const bool reached = reaches(solver.exact) && reaches(solver.decision);
  c.false_none = !reached && feet_of(dense.landing_m) > kSpare_ft && !ahead(dense.first, dense.last);
  if (c.false_none && feet_of(dense.landing_m) < kNear_ft) {
    DenseSide landing = dense;
    landing.surplus_first = dense.first;
    landing.surplus_last = dense.last;
    const double flies = feet_of(flown(landing));
    // Not to find it again when it is flown is no proof that it is not there.
    c.false_none = flies == DenseSide::kNone || flies > kSpare_ft;
  }
  c.text = fmt::format(
      "{}, {}: surplus {:.1f} ft (turns {:.1f} and {:.1f} deg, status {}, to the decision {}), exhaustive {:.1f} ft, "
      "flown {:.1f} ft "
      "(turns {:.1f} and "
      "{:.1f} deg), landing with {:.1f} ft to spare (turns {:.1f} and {:.1f} deg)",
      where, flight::name_of(mine.side), found, in_degrees(mine.first_turn), in_degrees(mine.last_turn),
      static_cast<int>(mine.status), static_cast<int>(solver.decision[side].status), on_grid, theirs,
      in_degrees(radians(dense.surplus_first)), in_degrees(radians(dense.surplus_last)), feet_of(dense.landing_m),
      in_degrees(radians(dense.first)), in_degrees(radians(dense.last)));
  return c;
}

/// The cases of one seed.
std::vector<Compared> chunk(unsigned seed, unsigned cases) {
  SceneMaker maker(seed);
  const RandomScene scene = maker.scene();
  flight::PathFinderSetup setup = scene.setup();
  setup.top = feet(kTop_ft);
  setup.search_hopeless = true;
  const flight::PathFinder finder(setup);
  const auto target = finder.target(scene.goal);
  setup.search_hopeless = false;
  const flight::PathFinder deciding(setup);
  const auto decided = deciding.target(scene.goal);
  const DenseSearch exhaustive(setup);
  const DenseTables tables = exhaustive.prepare(scene.goal);
  std::vector<Compared> compared;
  for (unsigned k = 0; k < cases; ++k) {
    flight::AirState failure = maker.failure(scene);
    double height_ft = maker.between(200, kTop_ft);
    const std::size_t wanted = maker.chance(0.5) ? 0 : 1;
    const double off_ft = maker.between(-kNear_ft, kNear_ft);
    if (maker.chance(0.7)) {
      // Higher by a foot leaves a foot more, roughly: towards the height at which `off_ft` is left.
      for (int i = 0; i < 3; ++i) {
        failure.height_m = feet(height_ft).si();
        const auto r = finder.reach(*finder.fan(failure), *target)[wanted];
        if (!no_way(r)) height_ft = std::clamp(height_ft + off_ft - in_feet(r.surplus), 200.0, kTop_ft);
      }
    }
    failure.height_m = feet(height_ft).si();
    const auto guess = flight::PathFinder::guess();
    const Solver solver{finder.reach_with_path(*finder.fan(failure), *target),
                        deciding.reach(*deciding.fan(failure), *decided, *guess)};
    const auto dense = exhaustive.search(failure, tables);
    const std::string where = fmt::format("seed {}, case {}, height {:.2f} ft", seed, k, height_ft);
    for (std::size_t side = 0; side < 2; ++side) {
      const auto flown = [&](const DenseSide& d) {
        return exhaustive.surplus_flown(failure, tables, d, {feet(kReserve_ft).si(), kWithin_m});
      };
      if (auto c = compare(where, solver, dense[side], side, k == 0, flown)) compared.push_back(std::move(*c));
    }
  }
  return compared;
}

/// Prints the distribution and the worst; returns what is missed at most.
double report(const std::string& name, std::vector<Compared> all) {
  if (all.empty()) return 0.0;
  std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.missed_ft > b.missed_ft; });
  const auto above = std::count_if(all.begin(), all.end(), [](const Compared& c) { return c.missed_ft > 1.0; });
  std::string text =
      fmt::format("{}: compared {}, missed at most {:.2f} ft, 99 % less than {:.2f} ft, above 1 ft {:.2f} %", name,
                  all.size(), all.front().missed_ft, all[all.size() / 100].missed_ft,
                  100.0 * static_cast<double>(above) / static_cast<double>(all.size()));
  for (std::size_t i = 0; i < std::min(kShown, all.size()); ++i) {
    text += fmt::format("\n  {:.2f} ft: {}", all[i].missed_ft, all[i].text);
  }
  WARN(text);
  return all.front().missed_ft;
}

}  // namespace

TEST_CASE("An exhaustive search finds hardly more height than the solver", "[flight][law]") {
  const unsigned cases = amount("BACKFIELD_CASES", {.sanitized = 10, .ordinary = 100, .all = 2'000});
  const unsigned first = amount("BACKFIELD_FIRST_SEED", {0, 0, 0});
  const auto work = [&](unsigned i) { return chunk(first + i, std::min(kChunk, cases - i * kChunk)); };
  std::vector<Compared> near;
  std::vector<Compared> elsewhere;
  unsigned no_surplus = 0;
  unsigned no_surplus_near = 0;
  unsigned false_none = 0;
  unsigned flown = 0;
  unsigned fell = 0;
  for (const auto& some : in_parallel((cases + kChunk - 1) / kChunk, work)) {
    for (const Compared& c : some) {
      if (c.fell_ft) ++flown;
      if (c.fell_ft.value_or(0.0) > kFallsFar_ft) ++fell;
      if (c.false_none) {
        ++false_none;
        WARN("false none: " << c.text);
      }
      if (c.no_surplus) {
        ++no_surplus;
        if (!c.near) continue;
        ++no_surplus_near;
        WARN("not found: " << c.text);
      } else {
        (c.near ? near : elsewhere).push_back(c);
      }
    }
  }
  const double worst = report(fmt::format("within {} ft of the need", kNear_ft), near);
  report("elsewhere", elsewhere);
  const auto sides = static_cast<double>(near.size() + elsewhere.size() + no_surplus);
  WARN("cases " << cases << ", sides compared " << sides << ", false none " << false_none << " ("
                << 1000.0 * false_none / sides << " per thousand), not found by the solver at all " << no_surplus
                << ", near the need " << no_surplus_near << "; of the exhaustive search's " << flown
                << " flown, lower by more than " << kFallsFar_ft << " ft " << fell);
  CHECK(3 * near.size() > cases);
  // Of 2,000 cases (2026-11-29) none is missed by more than 0.52 ft.
  CHECK(worst < kBound_ft);
  CHECK(false_none == 0);
  // Flying is no way to lose what the grid found.
  CHECK(10 * flown > cases);
  CHECK(10 * fell < flown);
  CHECK(no_surplus_near == 0);
}

TEST_CASE("Ways that searches of 16,000 cases once showed to be missing stay found", "[flight][law]") {
  // A final that can be flown from a few feet of height only (430); line-up turns that crab makes next to nothing or
  // once round (1654), and those to the other side of nothing (496, 1070, 1657); straights next to nothing (1143, 1372,
  // 1614, 2269); a corner far above the looks to either side of it (1858); a straight along which crab turns much
  // (3593); a family that turns back with a straight left (2862, 3126, and 5669 of 8,000 others); straights far from
  // parallel, spared as if they were not (2791); a family whose heading hardly changes, and one of straights beyond
  // once round (7921, 6727 of 9,000 others); two feet that only flown paths tell from none (3049). No faults of the
  // search, and none shall come of them: what counts as a final was read otherwise (439, 1810), or a path was read
  // between the nodes of the exhaustive search's grid (55, 1558, 1833).
  constexpr std::array kSeeds{55U,   430U,  439U,  496U,  1070U, 1143U, 1372U, 1558U, 1614U, 1654U, 1657U, 1810U,
                              1833U, 1858U, 2269U, 2791U, 2862U, 3049U, 3126U, 3593U, 5669U, 6727U, 7921U};
  const auto count = static_cast<unsigned>(kSeeds.size());
  const unsigned asked = amount("BACKFIELD_SEEDS", {.sanitized = 1, .ordinary = count, .all = count});
  const auto compared = in_parallel(asked, [&](unsigned i) { return chunk(kSeeds.at(i), kChunk); });
  unsigned near = 0;
  for (const auto& some : compared) {
    for (const Compared& c : some) {
      INFO(c.text);
      CHECK_FALSE(c.false_none);
      if (!c.near) continue;
      ++near;
      CHECK_FALSE(c.no_surplus);
      CHECK(c.missed_ft < kBound_ft);
    }
  }
  CHECK(near > asked);
}
