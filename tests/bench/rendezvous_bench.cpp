// One rendezvous, best of six words; and, where it is installed, the distance of OMPL's Dubins space, which knows
// neither wind nor height.

#include "backfield/flight/rendezvous.hpp"
#include "tests/tools/scenes.hpp"

#include <benchmark/benchmark.h>

#include <array>
#include <random>

#ifdef BACKFIELD_HAS_OMPL
#include <ompl/base/ScopedState.h>
#include <ompl/base/spaces/DubinsStateSpace.h>
#endif

namespace {

using namespace backfield;

constexpr std::size_t kQuestions = 256;

/// Random goals within 2.5 km, from 2,000 ft, the same for all.
struct Poses {
  std::array<flight::GlidePose, kQuestions> from;
  std::array<flight::RendezvousGoal, kQuestions> to;
  Poses() {
    std::mt19937 random(1);
    const auto between = [&](double a, double b) { return std::uniform_real_distribution<double>(a, b)(random); };
    for (std::size_t i = 0; i < kQuestions; ++i) {
      from[i] = {{}, earth::true_degrees(between(0, 360)), feet(2000)};
      to[i] = {{metres(between(-2500, 2500)), metres(between(-2500, 2500))},
               earth::true_degrees(between(0, 360)),
               flight::RendezvousGoal::Along::track};
    }
  }
};

enum class Air { profiled, uniform, calm };

void best_of_six(benchmark::State& state, Air air) {
  const aircraft::Aircraft aeroplane = test::trainer(feet_per_minute(700), metres(250), metres(440));
  const aircraft::Performance performance(aeroplane, kilograms(1100));
  const flight::Model model = air == Air::profiled ? test::full_model() : test::plain_model();
  const earth::Altitude datum{feet(200)};
  const auto wind = earth::wind_from(earth::true_degrees(350), knots(air == Air::calm ? 0 : 15));
  const auto speed = [&](Angle bank) {
    return flight::power_off_turn_speed(performance, test::full_technique(), bank, {});
  };
  const flight::Rendezvous solver({.performance = &performance,
                                   .glide_factor = 0.9,
                                   .model = model,
                                   .environment = {{hectopascals(1013.25), datum, celsius(15), model.density},
                                                   air == Air::profiled ? earth::WindProfile::power_law(wind, {0.143})
                                                                        : earth::WindProfile::uniform(wind)},
                                   .datum = datum,
                                   .first_bank = degrees(45),
                                   .last_bank = degrees(30),
                                   .first_speed = speed(degrees(45)),
                                   .last_speed = speed(degrees(30)),
                                   .height_given = {},
                                   .top = feet(3000)});
  const Poses poses;
  std::size_t i = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(solver.best(poses.from[i], poses.to[i]));
    i = (i + 1) % kQuestions;
  }
}
BENCHMARK_CAPTURE(best_of_six, profiled_wind, Air::profiled)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(best_of_six, uniform_wind, Air::uniform)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(best_of_six, calm, Air::calm)->Unit(benchmark::kMicrosecond);

#ifdef BACKFIELD_HAS_OMPL
void ompl_calm_distance(benchmark::State& state) {
  const auto space = std::make_shared<ompl::base::DubinsStateSpace>(100.0);
  ompl::base::RealVectorBounds bounds(2);
  bounds.setLow(-1e4);
  bounds.setHigh(1e4);
  space->setBounds(bounds);
  const Poses poses;
  using Scoped = ompl::base::ScopedState<ompl::base::SE2StateSpace>;
  std::vector<Scoped> from;
  std::vector<Scoped> to;
  for (std::size_t i = 0; i < kQuestions; ++i) {
    Scoped a(space);
    a->setXY(0, 0);
    a->setYaw(kPi / 2 - poses.from[i].heading.angle().si());
    from.push_back(a);
    Scoped b(space);
    b->setXY(poses.to[i].position.east.si(), poses.to[i].position.north.si());
    b->setYaw(kPi / 2 - poses.to[i].direction.angle().si());
    to.push_back(b);
  }
  std::size_t i = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(space->distance(from[i].get(), to[i].get()));
    i = (i + 1) % kQuestions;
  }
}
BENCHMARK(ompl_calm_distance)->Unit(benchmark::kMicrosecond);
#endif

}  // namespace
