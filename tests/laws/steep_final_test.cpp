// Finals with landing flap and slips: flown again from their schedule alone they cover the distance planned, and they
// are used only where nothing clean will do.

#include "src/flight/connection.hpp"
#include "tests/tools/amount.hpp"
#include "tests/tools/random_scene.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace backfield;
using namespace backfield::test;
using flight::Configuration;
using flight::ReachStatus;

namespace {

constexpr double kOff_m = 2.0;
constexpr double kLow_m = 2.0 * kMetresPerFoot;
constexpr double kTop_m = 1200.0;

/// The finals of one random scene, by the same construction as the solver's.
struct Scene {
  explicit Scene(SceneMaker& maker)
      : scene(maker.scene()),
        medium(*scene.environment, scene.datum, scene.model, kTop_m + 200.0),
        clean(glider(scene.aeroplane.polar.glide_ratio * scene.technique.glide_factor, 1.0)),
        elevation((scene.goal.elevation - scene.datum).above_datum.si()),
        glides(std::make_shared<const flight::FinalGlides>(flight::FinalGlides{
            final(clean),
            final(glider(scene.aeroplane.polar.glide_ratio, scene.performance->landing_flap_parasite_factor())),
            final(glider(scene.aeroplane.polar.glide_ratio, scene.performance->slip_parasite_factor().value())),
            scene.aeroplane.flap_time.si(), scene.goal.alignment_height.si()})) {}

  [[nodiscard]] flight::Glider glider(double ratio, double parasite) const {
    return {medium, scene.performance->best_glide().value.si(), ratio, scene.model, parasite};
  }
  [[nodiscard]] flight::FinalGlide final(const flight::Glider& with) const {
    return {with, scene.goal.track.angle().si(), elevation, kTop_m};
  }

  RandomScene scene;
  flight::Medium medium;
  flight::Glider clean;
  double elevation;
  std::shared_ptr<const flight::FinalGlides> glides;
};

}  // namespace

TEST_CASE("A final with landing flap or a slip, flown again, covers the distance planned", "[flight][law]") {
  const unsigned wanted = amount("BACKFIELD_FINALS", {.sanitized = 200, .ordinary = 1'000, .all = 20'000});
  SceneMaker maker(7);
  double worst_off = 0.0;
  double worst_high = 0.0;
  unsigned with_slip = 0;
  unsigned flown = 0;
  while (flown < wanted) {
    const Scene s(maker);
    const double height = s.scene.goal.alignment_height.si() + maker.between(1.0, 400.0);
    const double flyable =
        std::min({s.glides->clean.flyable_up_to(), s.glides->flap->flyable_up_to(), s.glides->slip->flyable_up_to()});
    if (height > flyable) continue;
    for (const Configuration most : {Configuration::clean, Configuration::landing_flap, Configuration::slip}) {
      const flight::SteepFinal steep(s.glides, most);
      const double shortest = steep.shortest(height);
      const double longest = s.glides->clean.distance(height);
      const double distance = shortest + maker.between(0.0, 1.0) * (longest - shortest);
      const flight::FinalPlan plan = steep.plan(height, distance);
      CAPTURE(name_of(most), height, shortest, longest, distance, plan.flap_out, plan.slip_end);
      REQUIRE(std::abs(steep.distance(plan) - distance) < 0.01);
      const double clean_s = s.glides->clean.time(height) - s.glides->clean.time(plan.flap_out);
      CHECK(clean_s > s.scene.aeroplane.flap_time.si() - 1e-6);
      const bool slips = plan.slip_end < plan.flap_out;
      if (slips) {
        ++with_slip;
        CHECK(most == Configuration::slip);
        CHECK(plan.slip_end >= s.scene.goal.alignment_height.si());
        CHECK(distance < flight::SteepFinal(s.glides, Configuration::landing_flap).shortest(height));
      }

      const double track = s.scene.goal.track.angle().si();
      const double cas = s.scene.performance->best_glide().value.si();
      flight::Path path;
      path.start.height_m = s.elevation + height;
      path.start.heading_rad = track;
      path.start.tas_mps = cas / std::sqrt(s.scene.environment->air.with(s.scene.model.density)
                                               .sigma(s.scene.datum + earth::Height{metres(path.start.height_m)}));
      steep.fly(plan, track, cas, path.segments);
      const Flown end = fly_again(path, s.scene.flyer());
      const double along = end.east_m * std::sin(track) + end.north_m * std::cos(track);
      const double across = end.east_m * std::cos(track) - end.north_m * std::sin(track);
      const double off = std::max(std::abs(along - distance), std::abs(across));
      const double high = end.height_m - s.elevation;
      CHECK(off < kOff_m);
      CHECK(std::abs(high) < kLow_m);
      worst_off = std::max(worst_off, off);
      worst_high = std::max(worst_high, std::abs(high));
      ++flown;
    }
  }
  WARN("finals " << flown << ", with a slip " << with_slip << ", worst off " << worst_off << " m, worst height "
                 << worst_high << " m");
  CHECK(with_slip > wanted / 20);
}

TEST_CASE("A final with everything out is shorter than a clean one from any height", "[flight][law]") {
  SceneMaker maker(11);
  for (int i = 0; i < 100; ++i) {
    const Scene s(maker);
    const flight::SteepFinal flap(s.glides, Configuration::landing_flap);
    const flight::SteepFinal slip(s.glides, Configuration::slip);
    double before = 0.0;
    for (double h = 1.0; h < std::min(500.0, s.glides->clean.flyable_up_to()); h += 7.0) {
      CAPTURE(i, h);
      const double clean = s.glides->clean.distance(h);
      CHECK(slip.shortest(h) <= flap.shortest(h) + 1e-9);
      CHECK(flap.shortest(h) <= clean + 1e-9);
      // Higher is never shorter: what a longer path takes off it brings the aim nearer.
      CHECK(flap.shortest(h) >= before);
      before = flap.shortest(h);
    }
  }
}

TEST_CASE("Landing flap and slip never take a path away, nor change one that needs neither", "[flight][law]") {
  const unsigned scenes = amount("BACKFIELD_SCENES", {.sanitized = 30, .ordinary = 150, .all = 3'000});
  SceneMaker maker(23);
  unsigned clean = 0;
  unsigned flap = 0;
  unsigned still_too_high = 0;
  for (unsigned i = 0; i < scenes; ++i) {
    RandomScene scene = maker.scene();
    // Hardly any runway is left after stopping: what is too high, whatever turn is begun later, is so more often.
    scene.goal.aim.high = metres(maker.between(10.0, 60.0));
    const flight::PathFinder without(scene.setup());
    scene.technique.landing_flap_on_final = true;
    const flight::PathFinder with_flap(scene.setup());
    scene.technique.slip_on_final = true;
    const flight::PathFinder with_slip(scene.setup());
    const auto goal_without = without.target(scene.goal);
    const auto goal_flap = with_flap.target(scene.goal);
    const auto goal_slip = with_slip.target(scene.goal);
    for (int k = 0; k < 6; ++k) {
      flight::AirState f = maker.failure(scene);
      f.height_m = feet(maker.between(100, 5000)).si();
      const auto a = without.reach(*without.fan(f), *goal_without);
      const auto b = with_flap.reach(*with_flap.fan(f), *goal_flap);
      const auto c = with_slip.reach(*with_slip.fan(f), *goal_slip);
      for (std::size_t s = 0; s < 2; ++s) {
        CAPTURE(i, k, s, f.height_m);
        CHECK(a[s].configuration == Configuration::clean);
        if (a[s].status == ReachStatus::reached) {
          ++clean;
          CHECK(b[s].status == ReachStatus::reached);
          CHECK(b[s].configuration == Configuration::clean);
          CHECK(b[s].surplus == a[s].surplus);
          continue;
        }
        if (b[s].status == ReachStatus::reached) {
          ++flap;
          CHECK(b[s].configuration == Configuration::landing_flap);
          CHECK(c[s].status == ReachStatus::reached);
          CHECK(c[s].configuration == Configuration::landing_flap);
          continue;
        }
        if (c[s].status == ReachStatus::reached) CHECK(c[s].configuration == Configuration::slip);
        if (b[s].status == ReachStatus::too_high && b[s].past_end) {
          ++still_too_high;
          // The flap brings the end of the nearest path nearer, or leaves it.
          REQUIRE(a[s].past_end);
          CHECK(*b[s].past_end <= *a[s].past_end);
          CHECK(b[s].past_end->si() > 0.0);
        }
      }
    }
  }
  WARN("clean " << clean << ", only with landing flap " << flap << ", too high even so " << still_too_high);
  CHECK(clean > scenes / 2);
  CHECK(flap > scenes / 20);
}
