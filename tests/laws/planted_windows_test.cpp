// Narrow windows, planted: a mast, a town or a short landing distance is put in the way of a return until little is
// left, and the whole decision is asked. What the path solver says at every 4 ft without knowing its neighbours is the
// truth here; a stretch of it of 50 ft or more must be listed.

#include "tests/tools/amount.hpp"
#include "tests/tools/case_flights.hpp"
#include "tests/tools/parallel.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <random>

using namespace backfield;
using namespace backfield::test;

namespace {

constexpr double kStep_ft = 4.0;
constexpr double kWidth_ft = 50.0;
constexpr double kHighest_ft = 1800.0;

struct Tally {
  int stretches = 0, narrow = 0, missed = 0, by_clearance = 0;
  std::string text;
};

/// A departure to the north from the origin: something is planted where it would turn back, or lda is cut.
decision::Case planted(unsigned seed) {
  decision::Case c =
      load_case(seed / 3 % 2 == 0 ? "cases/long-runway-headwind/case.yaml" : "cases/long-runway-calm/case.yaml");
  c.policy.power_left.way_back.reset();  // not asked about here
  std::mt19937 random(seed);
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const double side = between(0, 1) < 0.5 ? -1.0 : 1.0;
  const double east = side * between(-100, 150);
  const double north = between(2300, 3200);
  switch (seed % 3) {
    case 0:
      c.ground.obstacles.push_back({"mast",
                                    {metres(east), metres(north)},
                                    c.elevation + earth::Height{metres(between(150, 420))},
                                    metres(between(80, 350))});
      break;
    case 1: {
      const double wide = between(300, 1200);
      const double deep = between(200, 900);
      c.policy.clearance.over_areas = feet(between(300, 1100));
      c.ground.areas.push_back({"town",
                                earth::AreaKind::people,
                                c.elevation,
                                {{metres(east), metres(north)},
                                 {metres(east + side * wide), metres(north)},
                                 {metres(east + side * wide), metres(north + deep)},
                                 {metres(east), metres(north + deep)}}});
      break;
    }
    default:
      for (earth::RunwayEnd& end : c.options) end.lda = metres(between(560, 1100));
  }
  return c;
}

Tally look(unsigned seed) {
  const CaseFlights flights(planted(seed));
  const decision::Answer answer = decision::assess(flights.the_case(), 1);
  const CaseFlights::Flight& flown = flights.flights().front();
  Tally tally;
  for (const Angle bank : flights.the_case().policy.technique.banks) {
    const flight::PathFinder finder(flights.setup(flown, bank));
    for (const decision::RunwayOption& option : answer.options) {
      const auto goal = flights.goal(option.end, flown.world);
      if (!goal || !option.reciprocal) continue;
      const auto target = finder.target(*goal);
      for (const decision::SideAnswer& side : option.sides) {
        const auto listed = [&](double h_ft) {
          for (const decision::Window& w : side.windows) {
            if (w.bank == bank && w.heights.contains(feet(h_ft))) return true;
          }
          return false;
        };
        for (const decision::Window& w : side.windows) {
          if (w.lower == decision::Limit::clearance || w.upper == decision::Limit::clearance) ++tally.by_clearance;
        }
        double from = 0.0;
        int in = 0;
        int asked = 0;
        for (double h = 100.0; h < kHighest_ft; h += kStep_ft) {
          const auto t = flown.timeline.when_at_height(feet(h));
          const auto both = finder.reach(*finder.fan(flown.timeline.at(t.value())), *target);
          const bool yes = both[side.side == flight::Side::left ? 0 : 1].status == flight::ReachStatus::reached;
          if (yes) {
            if (asked++ == 0) from = h;
            in += listed(h) ? 1 : 0;
            continue;
          }
          if (asked > 0 && h - kStep_ft - from >= kWidth_ft) {
            ++tally.stretches;
            if (h - from < 200.0) ++tally.narrow;
            if (in < asked - 2) {
              ++tally.missed;
              tally.text += "seed " + std::to_string(seed) + ", " + flight::name_of(side.side) + ", " +
                            std::to_string(in_degrees(bank)) + " deg: " + std::to_string(from) + " to " +
                            std::to_string(h) + " ft, listed " + std::to_string(in) + " of " + std::to_string(asked) +
                            "\n";
            }
          }
          asked = in = 0;
        }
      }
    }
  }
  return tally;
}

}  // namespace

TEST_CASE("A window of 50 ft or more is not missed for being narrow", "[decision][law]") {
  const unsigned cases = amount("BACKFIELD_PLANTED", {6, 24, 200});
  Tally sum;
  for (const Tally& t : in_parallel(cases, [](unsigned i) { return look(900 + i); })) {
    sum.stretches += t.stretches;
    sum.narrow += t.narrow;
    sum.missed += t.missed;
    sum.by_clearance += t.by_clearance;
    sum.text += t.text;
  }
  WARN(sum.stretches << " closed stretches of 50 ft or more, " << sum.narrow << " of them below 200 ft, "
                     << sum.by_clearance << " windows with an edge by clearance; missed " << sum.missed << "\n"
                     << sum.text);
  CHECK(4 * sum.narrow > static_cast<int>(cases));
  CHECK(4 * sum.by_clearance > static_cast<int>(cases));
  CHECK(sum.missed == 0);
}
