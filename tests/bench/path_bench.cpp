// How long the questions take: one path to the axis, one moment with all its paths, one case.

#include "backfield/decision/assess.hpp"
#include "backfield/io/load.hpp"
#include "src/flight/search.hpp"
#include "tests/tools/scenes.hpp"

#include <benchmark/benchmark.h>

namespace {

using namespace backfield;

/// A failure 700 ft above the far end of a 2,400 m runway, wind with a profile, 45 degrees of bank.
struct Scene {
  aircraft::Aircraft aeroplane = test::trainer(feet_per_minute(700), metres(250), metres(440));
  aircraft::Performance performance{aeroplane, kilograms(1100)};
  flight::Model model = test::full_model();
  flight::Technique technique = test::full_technique();
  earth::Altitude datum{feet(200)};
  earth::Environment environment{
      {hectopascals(1013.25), datum, celsius(15), model.density},
      earth::WindProfile::power_law(earth::wind_from(earth::true_degrees(350), knots(15)), {0.143})};
  earth::RunwayEnd back = test::opposite(test::runway(360, metres(2400), datum));
  flight::Goal goal{back.threshold(), back.track, datum, {metres(0), metres(1800)}, test::kAlignment};
  flight::AirState failure;

  Scene() {
    failure.north_m = 2400.0;
    failure.height_m = in_metres(feet(900));
    failure.tas_mps = knots(75).si();
    failure.gamma_rad = -0.09;
  }
  [[nodiscard]] flight::PathFinderSetup setup() const {
    return {.performance = &performance,
            .technique = technique,
            .model = model,
            .environment = environment,
            .datum = datum,
            .bank = degrees(45),
            .gust_spread = {},
            .top = feet(3000),
            .search_hopeless = false};
  }
};

void one_fan(benchmark::State& state) {
  const Scene scene;
  const flight::PathFinder finder(scene.setup());
  for (auto _ : state) benchmark::DoNotOptimize(finder.fan(scene.failure));
}
BENCHMARK(one_fan)->Unit(benchmark::kMicrosecond);

void one_moment_one_runway(benchmark::State& state) {
  const Scene scene;
  const flight::PathFinder finder(scene.setup());
  const auto fan = finder.fan(scene.failure);
  const auto target = finder.target(scene.goal);
  for (auto _ : state) benchmark::DoNotOptimize(finder.reach(*fan, *target));
}
BENCHMARK(one_moment_one_runway)->Unit(benchmark::kMicrosecond);

void one_moment_with_its_path(benchmark::State& state) {
  const Scene scene;
  const flight::PathFinder finder(scene.setup());
  const auto fan = finder.fan(scene.failure);
  const auto target = finder.target(scene.goal);
  for (auto _ : state) benchmark::DoNotOptimize(finder.reach_with_path(*fan, *target));
}
BENCHMARK(one_moment_with_its_path)->Unit(benchmark::kMicrosecond);

/// The demo case with its whole bracket, readers left out. Argument: threads.
void assess_demo(benchmark::State& state) {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/demo/case.yaml");
  if (!loaded.ok()) {
    state.SkipWithError("the demo case does not load");
    return;
  }
  for (auto _ : state) {
    benchmark::DoNotOptimize(decision::assess(*loaded.value, static_cast<unsigned>(state.range(0))));
  }
}
BENCHMARK(assess_demo)->Arg(1)->Arg(2)->Unit(benchmark::kMillisecond)->UseRealTime();

/// One plain assessment: one wind, one climb, two banks, two sides.
void assess_plain(benchmark::State& state) {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/long-runway-headwind/case.yaml");
  if (!loaded.ok()) {
    state.SkipWithError("the case does not load");
    return;
  }
  for (auto _ : state) benchmark::DoNotOptimize(decision::assess(*loaded.value, 1));
}
BENCHMARK(assess_plain)->Unit(benchmark::kMillisecond);

}  // namespace
