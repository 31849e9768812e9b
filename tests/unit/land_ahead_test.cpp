// Landing straight ahead on a runway that falls.

#include "backfield/aircraft/performance.hpp"
#include "backfield/decision/assess.hpp"
#include "backfield/decision/bracket.hpp"
#include "backfield/flight/glide_ahead.hpp"
#include "backfield/io/load.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace backfield;

namespace {

decision::Case demo() {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/demo/case.yaml");
  REQUIRE(loaded.ok());
  return *loaded.value;
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
