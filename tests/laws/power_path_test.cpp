// Flying with the power that is left: the climb straight on, where a path goes, and what more power must not make
// worse.

#include "tests/tools/amount.hpp"
#include "tests/tools/random_scene.hpp"

#include "backfield/flight/equations.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace backfield;
using namespace backfield::test;
using flight::AirState;
using flight::PathFinder;
using flight::ReachStatus;

namespace {

/// The climb by Runge's midpoint rule in tenths of a second, from the aircraft's file and the weather themselves; as
/// the header says a headwind that grows with height does not help.
struct Climber {
  const RandomScene& scene;
  double cas;

  struct Point {
    double e, n, h;
  };
  [[nodiscard]] double q(double h) const {
    return 1.0 /
           std::sqrt(scene.environment->air.with(scene.model.density).sigma(scene.datum + earth::Height{metres(h)}));
  }
  [[nodiscard]] earth::WindVector wind(double h) const {
    const auto& wind = scene.environment->wind;
    return scene.model.wind == flight::WindRule::uniform ? wind.surface() : wind.at({metres(h)});
  }
  [[nodiscard]] Point rates(const Point& p, double psi) const {
    const bool local = scene.model.density == earth::DensityRule::local;
    const auto conditions = scene.performance->conditions(scene.environment->air.with(scene.model.density),
                                                          scene.datum + earth::Height{metres(local ? p.h : 0.0)});
    const double V = cas * q(p.h);
    const double thrust = aircraft::thrust_left(*scene.performance, conditions, *scene.power).value.at(V);
    auto trim = flight::equations::trim(cas, scene.performance->best_glide().value.si(), 1.0, 1.0,
                                        scene.aeroplane.polar.glide_ratio);
    trim.parasite -= thrust;
    double along = 0.0;
    if (scene.model.shear == flight::ShearRule::on) {
      const auto up = wind(p.h + 0.5);
      const auto down = wind(p.h - 0.5);
      along = (up.towards_east - down.towards_east).si() * std::sin(psi) +
              (up.towards_north - down.towards_north).si() * std::cos(psi);
    }
    if (trim.parasite + trim.induced < 0.0) along = std::max(0.0, along);
    const double dV_dh = cas * (q(p.h + 0.5) - q(p.h - 0.5));
    const auto d = flight::equations::steady_descent(V, trim, dV_dh, along, flight::AngleRule::exact);
    const auto w = wind(p.h);
    return {V * d.cos_gamma * std::sin(psi) + w.towards_east.si(),
            V * d.cos_gamma * std::cos(psi) + w.towards_north.si(), -V * d.sin_gamma};
  }
  [[nodiscard]] Point step(const Point& p, double psi, double dt) const {
    const Point a = rates(p, psi);
    const Point b = rates({p.e + 0.5 * dt * a.e, p.n + 0.5 * dt * a.n, p.h + 0.5 * dt * a.h}, psi);
    return {p.e + dt * b.e, p.n + dt * b.n, p.h + dt * b.h};
  }
};

}  // namespace

TEST_CASE("The climb straight on is the one of the aircraft's file", "[flight][law]") {
  const unsigned wanted = amount("BACKFIELD_CLIMBS", {.sanitized = 60, .ordinary = 200, .all = 5'000});
  SceneMaker maker(71);
  unsigned climbs = 0;
  double worst = 0.0;
  for (unsigned i = 0; i < wanted; ++i) {
    RandomScene scene = maker.scene();
    maker.give_power(scene);
    const PathFinder finder(scene.setup());
    AirState failure = maker.failure(scene);
    failure.bank_rad = 0.0;
    failure.height_m = feet(maker.between(200, 1500)).si();
    const auto states = finder.straight_on(failure, {feet(5000), minutes(5), {}, {}});
    // From the first state in steady flight on.
    const double begin = scene.model.entry == flight::EntryRule::flown ? scene.technique.reaction.si() : 0.0;
    std::size_t first = 1;
    while (first + 1 < states.size() && states[first].time_s < failure.time_s + begin - 1e-6) ++first;
    if (first + 1 >= states.size()) continue;
    ++climbs;
    const double vbg = scene.performance->best_glide().value.si();
    const Climber climber{scene, scene.least_speed ? std::max(vbg, scene.least_speed->value.si()) : vbg};
    Climber::Point p{states[first].east_m, states[first].north_m, states[first].height_m};
    constexpr int kSteps = 10;
    for (std::size_t k = first + 1; k < states.size(); ++k) {
      for (int j = 0; j < kSteps; ++j) p = climber.step(p, states[k].heading_rad, 1.0 / kSteps);
      worst = std::max({worst, std::abs(p.e - states[k].east_m), std::abs(p.n - states[k].north_m),
                        std::abs(p.h - states[k].height_m)});
    }
  }
  WARN("climbs " << climbs << ", worst " << worst << " m");
  CHECK(2 * climbs > wanted);
  CHECK(worst < 0.5);
}

TEST_CASE("A path that keeps its height is where it says when flown again", "[flight][law]") {
  const unsigned wanted = amount("BACKFIELD_PATHS", {.sanitized = 10, .ordinary = 300, .all = 10'000});
  SceneMaker maker(72);
  unsigned paths = 0;
  double worst = 0.0, worst_height = 0.0, worst_aligned = 0.0;
  for (unsigned i = 0; i < wanted; ++i) {
    RandomScene scene = maker.scene();
    maker.give_power(scene);
    scene.goal.aim.high = metres(maker.between(200, 2000));
    const PathFinder finder(scene.setup());
    AirState failure = maker.failure(scene);
    failure.height_m = feet(maker.between(400, 3000)).si();
    for (const flight::PathResult& r : finder.keep_height(*finder.fan(failure), *finder.target(scene.goal))) {
      if (r.status != ReachStatus::reached) continue;
      ++paths;
      std::vector<Flown> steps;
      std::vector<Flown> boundaries;
      fly_again(r.path, scene.flyer(), &boundaries, &steps);
      const double elevation = (scene.goal.elevation - scene.datum).above_datum.si();
      worst_aligned = std::max(
          worst_aligned, std::abs(at_alignment(r.path, boundaries).height_m - elevation - r.alignment_height.si()));
      CHECK(r.alignment_height.si() > scene.goal.alignment_height.si());
      // Height traded or given away at the end of an entry shows in the states a second earlier or later.
      const double entry_s = r.path.entry.empty() ? scene.technique.reaction.si() : r.path.entry.back().time_s;
      for (const AirState& s : finder.states(r.path)) {
        const double t = s.time_s - failure.time_s;
        if (t < entry_s + 1.0) continue;
        const auto near = std::min_element(steps.begin(), steps.end(), [&](const Flown& a, const Flown& b) {
          return std::abs(a.time_s - t) < std::abs(b.time_s - t);
        });
        const double late = t - near->time_s;
        const double speed = s.tas_mps + 25.0;
        worst =
            std::max(worst, std::hypot(s.east_m - near->east_m, s.north_m - near->north_m) - speed * std::abs(late));
        worst_height = std::max(worst_height, std::abs(s.height_m - near->height_m) - 0.5 * speed * std::abs(late));
      }
    }
  }
  WARN("paths " << paths << ", worst " << worst << " m, height " << worst_height << " m, alignment " << worst_aligned
                << " m");
  CHECK(2 * paths > wanted);
  CHECK(worst < 2.0);
  CHECK(worst_height < 2.0 * kMetresPerFoot);
  CHECK(worst_aligned < 2.0 * kMetresPerFoot);
}

TEST_CASE("More power never takes a path away, and none certainly rejected is found", "[flight][law]") {
  const unsigned wanted = amount("BACKFIELD_PATHS", {.sanitized = 10, .ordinary = 400, .all = 10'000});
  SceneMaker maker(73);
  unsigned reached = 0, rejected = 0, worse = 0;
  for (unsigned i = 0; i < wanted; ++i) {
    RandomScene scene = maker.scene();
    maker.give_power(scene);
    scene.power->fraction = maker.between(0.05, 0.7);
    const AirState failure = [&] {
      AirState f = maker.failure(scene);
      f.height_m = feet(maker.between(100, 2500)).si();
      return f;
    }();
    const auto ask = [&](double fraction, bool search) {
      RandomScene& s = scene;
      s.power->fraction = fraction;
      flight::PathFinderSetup setup = s.setup();
      setup.search_hopeless = search;
      const PathFinder finder(setup);
      return finder.keep_height(*finder.fan(failure), *finder.target(s.goal));
    };
    const double fraction = scene.power->fraction;
    const auto little = ask(fraction, false);
    const auto searched = ask(fraction, true);
    const auto more = ask(std::min(1.0, fraction + 0.2), false);
    for (std::size_t s = 0; s < 2; ++s) {
      if (little[s].status == ReachStatus::certainly_none) {
        ++rejected;
        CHECK(searched[s].status != ReachStatus::reached);
      }
      if (little[s].status != ReachStatus::reached) continue;
      ++reached;
      if (more[s].status == ReachStatus::reached || little[s].surplus < feet(5)) continue;
      ++worse;
      WARN("scene " << i << ", " << flight::name_of(little[s].side) << ", " << fraction << ": "
                    << in_feet(little[s].surplus) << " ft to spare at " << failure.height_m << " m, turns "
                    << in_degrees(little[s].first_turn) << " and " << in_degrees(little[s].last_turn)
                    << "; with more: status " << static_cast<int>(more[s].status) << ", surplus "
                    << in_feet(more[s].surplus) << " past " << (more[s].past_end ? more[s].past_end->si() : -1.0));
    }
  }
  WARN("reached " << reached << ", certainly rejected " << rejected << ", lost with more power " << worse);
  CHECK(reached > wanted / 4);
  CHECK(rejected > wanted / 40);
  CHECK(worse == 0);
}
