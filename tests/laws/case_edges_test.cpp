// The edges of the windows of a whole case, against an exhaustive search (tests/tools/dense_search.hpp): in the
// reference departures with two inputs moved by a tenth, so that no known answer helps.
//
// A lower edge may come out up to 20 ft below the other's, whose grid is coarse, never more than 15 ft above it; an
// upper edge within 30 ft: the tolerances of tests/golden/scenarios_test.py. Windows back to the departure's own
// direction have known gaps and are left to dense_search_test.

#include "tests/tools/case_flights.hpp"
#include "tests/tools/dense_search.hpp"
#include "tests/tools/scenes.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <variant>

using namespace backfield;
using namespace backfield::test;

namespace {

constexpr double kLow_ft = 100.0;
constexpr double kHigh_ft = 3000.0;

/// Factors on what a case rests on.
struct Moved {
  double mass = 1.0, wind = 1.0, climb = 1.0, glide = 1.0;
};
const std::vector<Moved> kMoves{{.mass = 0.9, .wind = 1.1},
                                {.climb = 0.9, .glide = 1.1},
                                {.climb = 1.1, .glide = 0.9},
                                {.mass = 0.9, .climb = 1.1},
                                {.wind = 0.9, .glide = 0.9}};

/// The figure times a factor, valid everywhere.
aircraft::Figure times(const aircraft::Figure& figure, double factor) {
  aircraft::Scaled scaled = std::get<aircraft::Scaled>(figure.data());
  scaled.value_si *= factor;
  return {scaled, {}, figure.source()};
}

decision::Case move(decision::Case c, const Moved& m) {
  c.mass = c.mass * m.mass;
  c.weather.wind.mean = c.weather.wind.mean * m.wind;
  c.aircraft.polar.glide_ratio *= m.glide;
  c.aircraft.climb_rate_v_y = times(c.aircraft.climb_rate_v_y, m.climb);
  aircraft::Distances& d = c.aircraft.distances;
  for (aircraft::Figure* f : {&d.take_off_roll, &d.take_off_to_50ft, &d.landing_float, &d.landing_roll}) {
    *f = times(*f, 1.0);
  }
  return c;
}

struct Tally {
  int windows = 0, without = 0;
  double lower_above_ft = -1e9, lower_below_ft = -1e9, upper_off_ft = 0.0;
};

void compare(const std::vector<Interval<Length>>& tool, const std::vector<Interval<Length>>& dense, Tally& tally) {
  if (tool.empty() && dense.empty()) ++tally.without;
  CHECK(tool.size() == dense.size());
  for (std::size_t i = 0; i < std::min(tool.size(), dense.size()); ++i) {
    const double lower = in_feet(tool[i].low - dense[i].low);
    const double upper = in_feet(tool[i].high - dense[i].high);
    CAPTURE(in_feet(tool[i].low), in_feet(tool[i].high), in_feet(dense[i].low), in_feet(dense[i].high));
    ++tally.windows;
    tally.lower_above_ft = std::max(tally.lower_above_ft, lower);
    tally.lower_below_ft = std::max(tally.lower_below_ft, -lower);
    tally.upper_off_ft = std::max(tally.upper_off_ft, std::abs(upper));
    CHECK(lower <= 15.0);
    CHECK(lower >= -20.0);
    CHECK(std::abs(upper) <= 30.0);
  }
}

/// The plan's world, every bank, every runway end that does not lie in the departure's direction.
void check_case(const decision::Case& c, Tally& tally) {
  const CaseFlights flights(c);
  const CaseFlights::Flight& plan = flights.flights().front();
  const decision::Answer answer = decision::assess(c);
  REQUIRE(answer.refusal.empty());
  const Interval<Length> scanned{feet(kLow_ft),
                                 std::min(feet(kHigh_ft), metres(plan.timeline.nodes().back().height_m))};
  for (const decision::RunwayOption& o : answer.options) {
    if (std::cos(earth::turn_between(c.departure.end.track, o.end.track).si()) > 0.5) continue;
    const auto goal = flights.goal(o.end, plan.world);
    for (const Angle bank : c.policy.technique.banks) {
      flight::PathFinderSetup setup = flights.setup(plan, bank);
      setup.top = scanned.high;
      const DenseSearch search(setup);
      const auto tables = goal ? std::make_optional(search.prepare(*goal)) : std::nullopt;
      for (const decision::SideAnswer& side : o.sides) {
        std::vector<Interval<Length>> tool;
        for (const decision::Window& w : side.windows) {
          if (w.world != plan.world.name || w.bank != bank || w.heights.low > scanned.high) continue;
          tool.push_back({w.heights.low, std::min(w.heights.high, scanned.high)});
        }
        std::vector<Interval<Length>> dense;
        if (tables) dense = dense_windows(plan.timeline, search, *tables, side.side, scanned);
        if (!dense.empty() && scanned.high - dense.back().high < feet(25)) dense.back().high = scanned.high;
        CAPTURE(o.end.designator, flight::name_of(side.side), in_degrees(bank), tool.size(), dense.size());
        compare(tool, dense, tally);
      }
    }
  }
}

void report(const Tally& t) {
  WARN("windows compared " << t.windows << ", sides without " << t.without << "; lower edges at most "
                           << t.lower_above_ft << " ft above and " << t.lower_below_ft
                           << " ft below the exhaustive search's, upper edges at most " << t.upper_off_ft << " ft off");
}

}  // namespace

TEST_CASE("Reference arithmetic: with two inputs moved the edges are those of an exhaustive search",
          "[decision][law]") {
  Tally tally;
  for (const std::string name :
       {"long-runway-headwind", "long-runway-calm", "hot-and-high", "short-strip-strong-wind"}) {
    const decision::Case c = load_case("cases/" + name + "/case.yaml");
    for (const Moved& m : kMoves) {
      CAPTURE(name, m.mass, m.wind, m.climb, m.glide);
      check_case(move(c, m), tally);
    }
  }
  report(tally);
  CHECK(tally.windows > 20);
}

TEST_CASE("Full model: with two inputs moved the edges are those of an exhaustive search", "[decision][law]") {
  Tally tally;
  std::vector<std::string> names{"long-runway-headwind", "long-runway-calm"};
  std::vector<std::size_t> moves{0, 1, 4};
#ifdef __SANITIZE_ADDRESS__
  names.resize(1);  // the sanitized build looks for other faults, ten times slower
  moves.resize(1);
#endif
  for (const std::string& name : names) {
    const decision::Case c = load_case("cases/" + name + "/default.yaml");
    for (const std::size_t i : moves) {
      const Moved& m = kMoves[i];
      CAPTURE(name, m.mass, m.wind, m.climb, m.glide);
      check_case(move(c, m), tally);
    }
  }
  report(tally);
  CHECK(tally.windows > 0);
}
