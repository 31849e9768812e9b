// One rendezvous, best of six words; and, where it is installed, the distance of OMPL's Dubins space, which knows
// neither wind nor height.

#include "backfield/flight/rendezvous.hpp"

#include <benchmark/benchmark.h>

#include <array>
#include <chrono>
#include <random>
#include <vector>

#ifdef BACKFIELD_HAS_OMPL
#include <ompl/base/ScopedState.h>
#include <ompl/base/spaces/DubinsStateSpace.h>
#endif

namespace {

using namespace backfield;

constexpr std::size_t kQuestions = 256;

/// Random goals within 2.5 km, from 2,000 ft, the same for all.
struct Poses {
  std::array<flight::AirPose, kQuestions> from;
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

/// A trainer at 65 kt, 45 degrees of bank in the first turn and 30 in the last; invented.
flight::Rendezvous solver_in(Air air) {
  const auto wind = earth::wind_from(earth::true_degrees(350), knots(air == Air::calm ? 0 : 15));
  const flight::Descending straight{knots(66), metres_per_second(4.2)};
  return flight::Rendezvous({.first = flight::circling({knots(66), metres_per_second(6.5)}, degrees(45)),
                             .straight = straight,
                             .last = flight::circling({knots(66), metres_per_second(4.9)}, degrees(30)),
                             .wind = air == Air::profiled ? earth::WindProfile::power_law(wind, {0.143})
                                                          : earth::WindProfile::uniform(wind)});
}

void best_of_six(benchmark::State& state, Air air) {
  const flight::Rendezvous solver = solver_in(air);
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

/// Time for one of a batch of 256.
void batch(benchmark::State& state) {
  const flight::Rendezvous solver = solver_in(Air::profiled);
  const Poses poses;
  std::vector<flight::RendezvousQuery> queries;
  for (std::size_t i = 0; i < kQuestions; ++i) queries.push_back({poses.from[i], poses.to[i]});
  std::vector<std::optional<flight::RendezvousResult>> answers(kQuestions);
  for (auto _ : state) {
    solver.best(queries, answers);
    benchmark::DoNotOptimize(answers.data());
  }
  state.SetItemsProcessed(static_cast<std::int64_t>(state.iterations() * kQuestions));
}
BENCHMARK(batch)->Unit(benchmark::kMicrosecond);

/// Every one of so many failures with every one of so many goals: the time grows as their product. What a goal costs
/// depends on where it lies, by three orders of magnitude; so that only their number differs, the same 64 are asked in
/// every row, so many at a time, and the time is that of one such call, on average.
void failures_and_goals(benchmark::State& state) {
  constexpr std::size_t kGoals = 64;
  const flight::Rendezvous solver = solver_in(Air::profiled);
  const Poses poses;
  const auto failures = static_cast<std::size_t>(state.range(0));
  const auto goals = static_cast<std::size_t>(state.range(1));
  std::vector<std::vector<flight::RendezvousQuery>> calls(kGoals / goals);
  for (std::size_t k = 0; k < kGoals; ++k) {
    for (std::size_t i = 0; i < failures; ++i) {
      std::vector<flight::RendezvousQuery>& queries = calls[k / goals];
      queries.push_back({poses.from[i], poses.to[kQuestions - 1 - k]});
      queries.back().from.height = feet(1000.0 + 8.0 * static_cast<double>(i));
    }
  }
  std::vector<std::optional<flight::RendezvousResult>> answers(failures * goals);
  for (auto _ : state) {
    const auto begin = std::chrono::steady_clock::now();
    for (const auto& queries : calls) {
      solver.best(queries, answers);
      benchmark::DoNotOptimize(answers.data());
    }
    const std::chrono::duration<double> all = std::chrono::steady_clock::now() - begin;
    state.SetIterationTime(all.count() / static_cast<double>(calls.size()));
  }
  state.SetComplexityN(static_cast<std::int64_t>(failures * goals));
}
BENCHMARK(failures_and_goals)
    ->ArgsProduct({{16, 64, 256}, {4, 16, 64}})
    ->UseManualTime()
    ->Unit(benchmark::kMicrosecond)
    ->Complexity(benchmark::oN);

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
