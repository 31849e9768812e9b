// Landing straight ahead: on a runway that falls, and past what stands beside the way down.

#include "backfield/aircraft/performance.hpp"
#include "backfield/decision/assess.hpp"
#include "backfield/decision/bracket.hpp"
#include "backfield/flight/glide_ahead.hpp"
#include "backfield/io/load.hpp"
#include "tests/tools/case_flights.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace backfield;

namespace {

/// No runway to come back to is asked for: of that nothing is said here.
decision::Case demo() {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/demo/case.yaml");
  REQUIRE(loaded.ok());
  decision::Case c = *loaded.value;
  c.options.clear();
  return c;
}

}  // namespace

TEST_CASE("Ground below the datum is glided down to at the glide ratio with landing flap", "[flight]") {
  const decision::Case c = demo();
  const aircraft::Performance performance(c.aircraft, c.mass);
  flight::GlideAheadSetup setup{.performance = &performance,
                                .technique = c.policy.technique,
                                .model = c.policy.model,
                                .environment = decision::bracket(c).front().environment,
                                .datum = c.elevation,
                                .track = c.departure.end.track,
                                .top = metres(300)};
  setup.model.shear = flight::ShearRule::off;
  setup.model.density = earth::DensityRule::aerodrome;
  setup.environment.wind = earth::WindProfile::uniform({});
  const flight::GlideAhead glide(setup);
  flight::AirState s;
  s.height_m = 200.0;
  s.heading_rad = c.departure.end.track.angle().si();
  s.tas_mps = performance.v_y().value.si();
  // At best glide speed D/W is (f + 1) / (2 E): the parabolic polar, parasite drag times f (Anderson, Introduction to
  // Flight, ch. 6).
  const double sine =
      (performance.landing_flap_parasite_factor() + 1.0) / (2.0 * performance.aircraft().polar.glide_ratio);
  const double per_metre = std::sqrt(1.0 / (sine * sine) - 1.0);
  const double more = in_metres(glide.distance(s, metres(10)) - glide.distance(s));
  CHECK(more == Approx(10.0 * per_metre).epsilon(0.02));
}

TEST_CASE("Where the runway falls, the height up to which it is enough is less", "[decision]") {
  decision::Case c = demo();
  const auto highest = [&](double slope) {
    c.departure.end.slope = slope;
    const auto answer = decision::assess(c);
    REQUIRE(answer.land_ahead.heights);
    return in_feet(answer.land_ahead.heights->high);
  };
  const double level = highest(0.0), falling = highest(-0.02);
  // 600 m on the runway has fallen by 12 m: flown at six to one 70 m, which is some 10 m of height less to begin from,
  // beside what braking downhill costs.
  CHECK(falling < level - 25.0);
}

TEST_CASE("The way ahead ends where the distance says, and between runs at the slope of the closed form", "[flight]") {
  const decision::Case c = demo();
  const aircraft::Performance performance(c.aircraft, c.mass);
  const flight::GlideAhead glide({.performance = &performance,
                                  .technique = c.policy.technique,
                                  .model = c.policy.model,
                                  .environment = decision::bracket(c).front().environment,
                                  .datum = c.elevation,
                                  .track = c.departure.end.track,
                                  .top = metres(300)});
  const double psi = c.departure.end.track.angle().si();
  for (const double height : {3.0, 20.0, 60.0, 120.0, 280.0}) {
    for (const double below : {0.0, 8.0}) {
      CAPTURE(height, below);
      flight::AirState s;
      s.height_m = height;
      s.heading_rad = psi;
      s.tas_mps = performance.v_y().value.si();
      const auto way = glide.way(s, metres(below));
      const auto along = [&](const flight::WayPoint& p) {
        return p.east_m * std::sin(psi) + p.north_m * std::cos(psi);
      };
      CHECK(along(way.back()) == Approx(glide.distance(s, metres(below)).si()).margin(0.01));
      CHECK(way.back().height_m == Approx(-below).margin(1e-9));
      CHECK(way.front().height_m == height);
      // Never below the ground, never steeper than 17 degrees, and on the track all the way but for drift of the entry.
      for (std::size_t i = 1; i < way.size(); ++i) {
        CHECK(way[i].height_m >= -below - 1e-9);
        CHECK(along(way[i]) >= along(way[i - 1]) - 1e-9);
        CHECK(std::abs(way[i].east_m * std::cos(psi) - way[i].north_m * std::sin(psi)) < 40.0);
      }
    }
  }
}

namespace {

/// The same stands `beside` the centre line (right +), so far from brake release.
decision::Case with_mast(decision::Case c, double along_m, double beside_m, double high_m, double half_width_m = 2.0) {
  const earth::RunwayEnd& end = c.departure.end;
  const earth::Position on = earth::offset(end.pavement_start, end.track, c.departure.start + metres(along_m));
  const earth::Position at = earth::offset(on, end.track.turned(degrees(90)), metres(beside_m));
  c.ground.obstacles.push_back({"mast", at, {c.elevation.above_sea_level + metres(high_m)}, metres(half_width_m)});
  return c;
}

}  // namespace

TEST_CASE("A mast in the strip takes heights of the runway ahead away, one beside it is named, one far off is not",
          "[decision]") {
  const decision::Case c = demo();
  const auto bare = decision::assess(c);
  REQUIRE(bare.land_ahead.heights);
  const Length beside = c.policy.clearance.beside_obstacles;
  const Length over = c.policy.clearance.over_obstacles;

  SECTION("out of the margin beside nothing changes") {
    // In a crosswind the entry drifts off the centre line by some 20 m.
    const auto answer = decision::assess(with_mast(c, 900.0, in_metres(beside) + 2.0 + 40.0, 60.0));
    REQUIRE(answer.land_ahead.heights);
    CHECK(answer.land_ahead.vetoes.empty());
    CHECK(answer.land_ahead.heights->high.si() == Approx(bare.land_ahead.heights->high.si()).margin(0.01));
    CHECK(answer.land_ahead.upper == decision::Limit::stop);
  }
  SECTION("within it, and out of the strip of the runway, it is named and takes nothing away") {
    const auto answer = decision::assess(with_mast(c, 900.0, in_metres(beside) - 10.0, 60.0));
    REQUIRE(answer.land_ahead.heights);
    CHECK(answer.land_ahead.vetoes.empty());
    CHECK(answer.land_ahead.heights->high.si() == Approx(bare.land_ahead.heights->high.si()).margin(0.01));
    REQUIRE(answer.land_ahead.passed.size() == 1);
    CHECK(std::any_of(answer.warnings.begin(), answer.warnings.end(), [](const std::string& w) {
      return w.find("passes beside mast") != std::string::npos && w.find("Land on the runway") != std::string::npos;
    }));
  }
  SECTION("in the strip the glides that come by too low are not briefed, and it is named") {
    const auto answer = decision::assess(with_mast(c, 900.0, 10.0, 60.0));
    REQUIRE(answer.land_ahead.heights);
    CHECK(answer.land_ahead.heights->high < bare.land_ahead.heights->high - feet(50));
    CHECK(answer.land_ahead.heights->low.si() < 0.5);
    CHECK(answer.land_ahead.upper == decision::Limit::clearance);
    REQUIRE(answer.land_ahead.vetoes.size() == 1);
    const decision::Veto& veto = answer.land_ahead.vetoes.front();
    CHECK(veto.what == "mast");
    CHECK(veto.heights.low >= answer.land_ahead.heights->high - feet(1));
    REQUIRE(veto.below);
    // At most all of it lacks: its height, the margin over it, and what is kept in hand.
    CHECK(*veto.below <= metres(60.0) + over + feet(3));
    CHECK(std::any_of(answer.warnings.begin(), answer.warnings.end(), [](const std::string& w) {
      return w.find("ahead would be long enough from failures at") != std::string::npos &&
             w.find("is not clear of mast") != std::string::npos;
    }));
    // What is no longer briefed is a gap.
    REQUIRE_FALSE(answer.gaps.empty());
    CHECK(answer.gaps.front().from_height <= answer.land_ahead.heights->high + feet(1));
  }
  SECTION("one that stands on the runway from lift-off on leaves none from there") {
    const auto answer = decision::assess(with_mast(c, 200.0, 0.0, 30.0));
    CHECK((!answer.land_ahead.heights || answer.land_ahead.heights->low > feet(30)));
    CHECK_FALSE(answer.land_ahead.vetoes.empty());
    // A gate that closes, and nothing that opens, would read as from lift-off on.
    const auto gates = std::count_if(answer.gates.begin(), answer.gates.end(),
                                     [](const decision::Gate& g) { return g.option == "ahead"; });
    CHECK(gates == (answer.land_ahead.heights ? 2 : 0));
  }
  SECTION("with none of the margins, one so low that every glide passes over it takes none") {
    decision::Case low = with_mast(c, 900.0, 0.0, -3.0);
    low.policy.clearance.over_obstacles = {};
    low.policy.clearance.beside_obstacles = {};
    CHECK(decision::assess(low).land_ahead.vetoes.empty());
  }
}

TEST_CASE("No moment from which the runway ahead is briefed has a way down that sampling denies", "[decision][law]") {
  const decision::Case c = demo();
  const aircraft::Performance performance(c.aircraft, c.mass);
  const test::CaseFlights flights(c);
  const test::CaseFlights::Flight& plan = flights.flights().front();
  int denied = 0;
  for (const double along : {350.0, 500.0, 700.0, 900.0, 1100.0, 1400.0}) {
    for (const double high : {2.0, 8.0, 20.0, 45.0}) {
      decision::Case here = with_mast(c, along, 15.0, high, 5.0);
      here.policy.clearance.over_obstacles = metres(5);
      const auto answer = decision::assess(here);
      if (!answer.land_ahead.vetoes.empty()) ++denied;
      if (!answer.land_ahead.heights) continue;
      // In the plan: the climb is straight, so the failure is where the flight of the plan has this height.
      const flight::GlideAhead glide({.performance = &performance,
                                      .technique = c.policy.technique,
                                      .model = c.policy.model,
                                      .environment = plan.world.environment,
                                      .datum = c.elevation,
                                      .track = c.departure.end.track,
                                      .top = metres(300)});
      const earth::Obstacle& mast = here.ground.obstacles.front();
      const double near = mast.half_width.si() + 30.0;  // the strip of the runway
      const double floor = (mast.top - c.elevation).above_datum.si() + 5.0;
      const auto& heights = *answer.land_ahead.heights;
      for (int k = 0; k <= 60; ++k) {
        const Length height = heights.low + (heights.high - heights.low) * (k / 60.0);
        const auto when = plan.timeline.when_at_height(height);
        if (!when) continue;
        const auto way = glide.way(plan.timeline.at(*when));
        for (std::size_t i = 1; i < way.size(); ++i) {
          for (int m = 0; m <= 40; ++m) {
            const double t = m / 40.0;
            const double e = way[i - 1].east_m + t * (way[i].east_m - way[i - 1].east_m);
            const double n = way[i - 1].north_m + t * (way[i].north_m - way[i - 1].north_m);
            const double h = way[i - 1].height_m + t * (way[i].height_m - way[i - 1].height_m);
            if (std::hypot(e - mast.position.east.si(), n - mast.position.north.si()) >= near) continue;
            INFO(along << " m, " << high << " m high, failure at " << in_feet(height) << " ft");
            REQUIRE(h >= floor);
          }
        }
      }
    }
  }
  CHECK(denied > 8);
}
