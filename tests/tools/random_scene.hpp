#pragma once
// Random departures, aeroplanes and weather for law tests. Fixed seeds; light aeroplanes only, or all classes
// of aircraft.

#include "tests/tools/reflight.hpp"
#include "tests/tools/scenes.hpp"

#include <memory>
#include <random>

namespace backfield::test {

/// Everything one question to a PathFinder needs, kept alive together.
struct RandomScene {
  aircraft::Aircraft aeroplane;
  double spread = 1.0;  ///< distances are larger by this, for fast aircraft
  std::unique_ptr<aircraft::Performance> performance;
  flight::Model model;
  flight::Technique technique;
  earth::Altitude datum;
  std::unique_ptr<earth::Environment> environment;
  Angle bank;
  Speed gust_spread{};
  flight::Goal goal;
  std::optional<aircraft::PowerCondition> power;
  std::optional<Cas> least_speed;
  double reflight_step_s = 0.1;  ///< of flyer()

  [[nodiscard]] flight::PathFinderSetup setup() const {
    return {.performance = performance.get(),
            .technique = technique,
            .model = model,
            .environment = *environment,
            .datum = datum,
            .bank = bank,
            .gust_spread = gust_spread,
            .top = feet(6000),
            .power = power,
            .least_speed = least_speed,
            .search_hopeless = false};
  }
  [[nodiscard]] Flyer flyer() const {
    return {performance.get(), technique.glide_factor, model, *environment, datum, reflight_step_s, false, power};
  }
};

enum class Fleet {
  light,       ///< single-engine aeroplanes with best glide speeds of 54 to 109 kt
  all_classes  ///< trainers from 55 kt to light jets of 180 kt, each as likely, aligned by the height of their class
};

class SceneMaker {
 public:
  explicit SceneMaker(unsigned seed, Fleet fleet = Fleet::all_classes) : fleet_(fleet), random_(seed) {}
  [[nodiscard]] double between(double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random_);
  }
  [[nodiscard]] double between(const Interval<double>& range) { return between(range.low, range.high); }
  [[nodiscard]] bool chance(double share) { return between(0.0, 1.0) < share; }

  /// Wind 0 to 40 kt from anywhere, uniform, by a power law or with levels aloft; plain or full physics.
  RandomScene scene();
  /// A failure: mostly after a departure from the runway's other end, else anywhere within 4 km (6.5 km for the
  /// fastest); climbing, now and then in a turn. `height` is left to the caller.
  flight::AirState failure(const RandomScene& scene);

  /// A propeller that takes a while to feather and glides badly until then.
  void give_feathering(RandomScene& scene);
  /// Part of the power is left, of a rate of climb that falls with height; and the aim may lie as far down the runway
  /// as it will: height is no trouble to an aeroplane that can throttle back.
  void give_power(RandomScene& scene);
  /// Instead of any levels aloft: from 100 to 400 ft up one every 60 to 200 ft, up to 20 of them, the wind of each
  /// another than that of the level below by up to `most` in 100 ft, in any direction, and no more than 60 kt.
  void give_shear(RandomScene& scene, Speed most);

 private:
  Fleet fleet_;
  std::mt19937 random_;
};

}  // namespace backfield::test
