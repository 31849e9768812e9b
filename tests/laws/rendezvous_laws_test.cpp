// From one gliding pose to another fixed one: every path is flown again, and what must not matter does not.

#include "backfield/flight/rendezvous.hpp"
#include "src/flight/rendezvous_flight.hpp"
#include "tests/tools/random_scene.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace backfield;
using namespace backfield::test;
using flight::GlidePose;
using flight::RendezvousGoal;
using flight::RendezvousResult;
using Along = flight::RendezvousGoal::Along;

namespace {

constexpr double kOff_m = 2.0;
constexpr double kLow_m = 2.0 * kMetresPerFoot;

#ifdef __SANITIZE_ADDRESS__
constexpr int kShare = 20;  // the sanitized build looks for other faults, twenty times slower
#else
constexpr int kShare = 1;
#endif

/// A scene of the maker's with two banks and a place to go to. Stays where it is made: the performance points into it.
struct Question {
  explicit Question(SceneMaker& maker) : scene(maker.scene()), setup(make_setup(maker)) {
    const double reach = maker.chance(0.5) ? 700.0 : 3000.0;
    const auto place = [&] {
      return earth::Position{metres(maker.between(-reach, reach)), metres(maker.between(-reach, reach))};
    };
    const auto direction = [&] { return earth::TrueDirection(radians(maker.between(0, 2 * kPi))); };
    from = {place(), direction(), feet(maker.between(300, 5000))};
    to = {place(), direction(), maker.chance(0.7) ? Along::track : Along::heading};
  }
  Question(const Question&) = delete;

  RandomScene scene;
  flight::RendezvousSetup setup;
  GlidePose from;
  RendezvousGoal to;

 private:
  [[nodiscard]] flight::RendezvousSetup make_setup(SceneMaker& maker) const {
    const auto turn_speed = [&](Angle bank) {
      return flight::power_off_turn_speed(*scene.performance, scene.technique, bank, scene.gust_spread);
    };
    const Angle last_bank = maker.chance(0.5) ? scene.bank : degrees(maker.between(20, 50));
    return {.performance = scene.performance.get(),
            .glide_factor = scene.technique.glide_factor,
            .model = scene.model,
            .environment = *scene.environment,
            .datum = scene.datum,
            .first_bank = scene.bank,
            .last_bank = last_bank,
            .first_speed = turn_speed(scene.bank),
            .last_speed = turn_speed(last_bank),
            .height_given = scene.technique.roll_allowance,
            .top = feet(5000)};
  }
};

double wrapped(double angle) { return angle - 2 * kPi * std::round(angle / (2 * kPi)); }

}  // namespace

TEST_CASE("A rendezvous flown again ends where, as high and on the track it was claimed", "[flight][law]") {
  SceneMaker maker(8'311);
  const int scenes = 3000 / kShare;
  int paths = 0;
  int none = 0;
  double worst_off = 0.0;
  double worst_high = 0.0;
  double worst_turned = 0.0;
  for (int i = 0; i < scenes; ++i) {
    const Question q(maker);
    const flight::Rendezvous solver(q.setup);
    const auto results = solver.all(q.from, q.to);
    if (results.empty()) ++none;
    for (const RendezvousResult& r : results) {
      if (r.end_height < metres(0)) continue;  // nobody flies below the ground
      ++paths;
      const Flown end = fly_again(solver.path(q.from, r), q.scene.flyer());
      const double off = std::hypot(end.east_m - q.to.position.east.si(), end.north_m - q.to.position.north.si());
      const double high = end.height_m - r.end_height.si();
      double turned = wrapped(end.heading_rad - q.to.direction.angle().si());
      if (q.to.along == Along::track) {
        // The track from the wind triangle, the air's motion from the profile itself.
        const auto& wind = q.scene.model.wind == flight::WindRule::uniform
                               ? earth::WindProfile::uniform(q.scene.environment->wind.surface())
                               : q.scene.environment->wind;
        const auto air = q.scene.environment->air.with(q.scene.model.density);
        const auto w = wind.at({metres(end.height_m)});
        const double V = q.scene.performance->best_glide().value.si() /
                         std::sqrt(air.sigma(q.scene.datum + earth::Height{metres(end.height_m)}));
        const double t = q.to.direction.angle().si();
        const double across = w.towards_east.si() * std::cos(t) - w.towards_north.si() * std::sin(t);
        turned = wrapped(end.heading_rad - (t - std::asin(across / V)));
      }
      worst_off = std::max(worst_off, off);
      worst_high = std::max(worst_high, std::abs(high));
      worst_turned = std::max(worst_turned, std::abs(turned));
      CAPTURE(i, flight::name_of(r.word), r.first_turn.si(), r.middle_turn.si(), r.last_turn.si(), r.straight.si());
      CAPTURE(in_feet(q.from.height), r.end_height.si(), off, high, in_degrees(radians(turned)));
      CHECK(off < kOff_m);
      CHECK(std::abs(high) < kLow_m);
      CHECK(std::abs(turned) < 0.02);
    }
  }
  WARN("scenes " << scenes << ", without a path " << none << ", paths " << paths << ", worst off " << worst_off
                 << " m, height " << worst_high << " m, heading " << worst_turned << " rad");
  CHECK(paths > 2 * scenes);
}

TEST_CASE("A rendezvous' mirror image is as high, and so is one asked for a full circle on", "[flight][law]") {
  SceneMaker maker(411);
  for (int i = 0; i < 300 / kShare; ++i) {
    const Question q(maker);
    const auto results = flight::Rendezvous(q.setup).all(q.from, q.to);

    // East and west exchanged.
    auto setup = q.setup;
    std::vector<earth::WindProfile::Level> levels = q.scene.environment->wind.data();
    for (auto& level : levels) level.wind.towards_east = -level.wind.towards_east;
    setup.environment.wind = earth::WindProfile::levels(levels);
    const auto flipped = [](earth::Position p) { return earth::Position{-p.east, p.north}; };
    const auto turned = [](earth::TrueDirection d) { return earth::TrueDirection(-d.angle()); };
    const GlidePose from{flipped(q.from.position), turned(q.from.heading), q.from.height};
    const RendezvousGoal to{flipped(q.to.position), turned(q.to.direction), q.to.along};
    const auto mirrored = flight::Rendezvous(setup).all(from, to);
    CAPTURE(i, results.size(), mirrored.size());
    REQUIRE(mirrored.empty() == results.empty());
    if (results.empty()) continue;
    CHECK(mirrored.front().end_height.si() == Approx(results.front().end_height.si()).margin(1e-3));

    const RendezvousGoal on{q.to.position, earth::TrueDirection(q.to.direction.angle() + radians(2 * kPi)), q.to.along};
    const auto again = flight::Rendezvous(q.setup).best(q.from, on);
    REQUIRE(again);
    CHECK(again->word == results.front().word);
    CHECK(again->end_height.si() == Approx(results.front().end_height.si()).margin(1e-3));
  }
}

TEST_CASE("A uniform wind only carries the goal along: the same flight, as high", "[flight][law]") {
  // Galileo: with a wind added and the goal moved down it by the time of the path, controls and height are the same.
  SceneMaker maker(97);
  int compared = 0;
  for (int i = 0; i < 400 / kShare; ++i) {
    Question q(maker);
    q.setup.environment.wind = earth::WindProfile::uniform(q.scene.environment->wind.surface());
    q.to.along = Along::heading;
    const auto results = flight::Rendezvous(q.setup).all(q.from, q.to);
    const earth::WindVector more{metres_per_second(maker.between(-8, 8)), metres_per_second(maker.between(-8, 8))};
    auto setup = q.setup;
    const auto surface = q.scene.environment->wind.surface();
    setup.environment.wind = earth::WindProfile::uniform(
        {surface.towards_east + more.towards_east, surface.towards_north + more.towards_north});
    const flight::Rendezvous carried(setup);
    for (const RendezvousResult& r : results) {
      RendezvousGoal to = q.to;
      to.position.east = to.position.east + metres(more.towards_east.si() * r.time.si());
      to.position.north = to.position.north + metres(more.towards_north.si() * r.time.si());
      const auto there = carried.all(q.from, to);
      const bool found = std::any_of(there.begin(), there.end(), [&](const RendezvousResult& o) {
        return o.word == r.word && std::abs(o.time.si() - r.time.si()) < 1e-3 &&
               std::abs(o.end_height.si() - r.end_height.si()) < 1e-3;
      });
      CAPTURE(i, flight::name_of(r.word), r.first_turn.si(), r.middle_turn.si(), r.last_turn.si(), r.straight.si());
      CHECK(found);
      ++compared;
    }
  }
  CHECK(compared > 1000 / kShare);
}

TEST_CASE("No wind at all is the limit of a faint one", "[flight][law]") {
  SceneMaker maker(5);
  for (int i = 0; i < 300 / kShare; ++i) {
    Question q(maker);
    const auto at = [&](double wind) {
      q.setup.environment.wind = earth::WindProfile::uniform({metres_per_second(wind), metres_per_second(wind)});
      return flight::Rendezvous(q.setup).best(q.from, q.to);
    };
    const auto calm = at(0.0);
    const auto faint = at(1e-7);
    CAPTURE(i);
    REQUIRE(calm);
    REQUIRE(faint);
    CHECK(faint->end_height.si() == Approx(calm->end_height.si()).margin(2e-3));
  }
}
