// A propeller that has to be feathered first: what it costs until then.

#include "tests/tools/amount.hpp"
#include "tests/tools/random_scene.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

using namespace backfield;
using namespace backfield::test;
using flight::ReachStatus;

namespace {

constexpr double kLow_m = 2.0 * kMetresPerFoot;

struct Asked {
  std::array<flight::PathResult, 2> sides;
  [[nodiscard]] bool reached(std::size_t i) const { return sides[i].status == ReachStatus::reached; }
};
Asked ask(const RandomScene& scene, const flight::AirState& failure) {
  const flight::PathFinder finder(scene.setup());
  return {finder.reach_with_path(*finder.fan(failure), *finder.target(scene.goal))};
}

/// A turboprop's scene in full physics and a failure of it.
struct Scene {
  RandomScene scene;
  flight::AirState failure;
  static Scene make(SceneMaker& maker) {
    while (true) {
      Scene s{maker.scene(), {}};
      if (s.scene.aeroplane.kind != aircraft::AircraftClass::single_turboprop) continue;
      if (s.scene.model.entry != flight::EntryRule::flown) continue;
      s.failure = maker.failure(s.scene);
      s.failure.height_m = feet(maker.between(800, 4000)).si();
      return s;
    }
  }
};

}  // namespace

TEST_CASE("What is given away for late feathering is no less than it costs", "[flight][law]") {
  SceneMaker maker(71);
  const unsigned wanted = amount("BACKFIELD_CASES", {.sanitized = 20, .ordinary = 300, .all = 3000});
  unsigned late = 0;
  double worst_low = 0.0;
  double most_spare = 0.0;
  while (late < wanted) {
    auto s = std::make_unique<Scene>(Scene::make(maker));
    s->scene.performance = std::make_unique<aircraft::Performance>(s->scene.aeroplane, s->scene.performance->mass());
    maker.give_feathering(s->scene);
    const Asked asked = ask(s->scene, s->failure);
    for (const flight::PathResult& r : asked.sides) {
      if (r.status != ReachStatus::reached) continue;
      if (r.path.entry.back().time_s >= s->scene.aeroplane.feathering->time.si()) continue;
      Flyer flyer = s->scene.flyer();
      flyer.fly_late_feathering = true;
      std::vector<Flown> after;
      (void)fly_again(r.path, flyer, &after);
      const double elevation = (s->scene.goal.elevation - s->scene.datum).above_datum.si();
      // At alignment: after it the final is flown to a height, not for a time.
      const double high = at_alignment(r.path, after).height_m - elevation - r.alignment_height.si();
      ++late;
      worst_low = std::max(worst_low, -high);
      most_spare = std::max(most_spare, high);
      CAPTURE(late, high, s->scene.aeroplane.feathering->time.si());
      CHECK(high > -kLow_m);
    }
  }
  WARN("late feathering: worst " << worst_low << " m low, most " << most_spare << " m to spare");
}

TEST_CASE("The longer a propeller takes to feather, the less is left; never more than feathered at once",
          "[flight][law]") {
  SceneMaker maker(72);
  unsigned compared = 0;
  for (unsigned i = 0; i < 150; ++i) {
    auto s = std::make_unique<Scene>(Scene::make(maker));
    s->scene.performance = std::make_unique<aircraft::Performance>(s->scene.aeroplane, s->scene.performance->mass());
    maker.give_feathering(s->scene);
    std::array<double, 2> before{1e9, 1e9};
    for (const double time_s : {0.0, 3.0, 6.0, 12.0}) {
      s->scene.aeroplane.feathering->time = seconds(time_s);
      const Asked asked = ask(s->scene, s->failure);
      for (std::size_t side = 0; side < 2; ++side) {
        const flight::PathResult& r = asked.sides[side];
        const bool telling = r.status == ReachStatus::reached || r.status == ReachStatus::too_short;
        // Far from the need the best surplus is a rough figure.
        if (!telling || std::abs(r.surplus.si()) > 100.0 * kMetresPerFoot) {
          before[side] = 1e9;
          continue;
        }
        CAPTURE(i, time_s, side, r.surplus.si(), before[side]);
        CHECK(r.surplus.si() < before[side] + 1.0);
        if (before[side] < 1e9) ++compared;
        before[side] = r.surplus.si();
      }
    }
  }
  CHECK(compared > 20);
}

TEST_CASE("Feathered in no time, the glide until then does not matter", "[flight][law]") {
  SceneMaker maker(73);
  for (unsigned i = 0; i < 20; ++i) {
    auto s = std::make_unique<Scene>(Scene::make(maker));
    s->scene.performance = std::make_unique<aircraft::Performance>(s->scene.aeroplane, s->scene.performance->mass());
    const Asked plain = ask(s->scene, s->failure);
    maker.give_feathering(s->scene);
    s->scene.aeroplane.feathering->time = seconds(0);
    const Asked feathering = ask(s->scene, s->failure);
    for (std::size_t side = 0; side < 2; ++side) {
      CHECK(plain.sides[side].status == feathering.sides[side].status);
      CHECK(plain.sides[side].surplus.si() == feathering.sides[side].surplus.si());
    }
  }
}
