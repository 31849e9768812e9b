// How long the shipped extract takes: opening it, the first search by place, and searches after it.

#include "backfield/io/catalogue.hpp"

#include <benchmark/benchmark.h>

#include <array>

namespace {

using namespace backfield;
using namespace backfield::io;

constexpr const char* kShipped = BACKFIELD_SOURCE_DIR "/cases/open-data/runways.csv";

/// Crowded and lonely places, one on the antimeridian and one at a pole: a search cannot be quick in one of them only.
earth::Geodetic place(std::size_t i) {
  constexpr std::array<std::array<double, 2>, 6> kPlaces = {
      {{49.9, 11.0}, {51.5, -0.5}, {35.7, 139.8}, {-17.7, 180.0}, {-90.0, 0.0}, {0.0, -30.0}}};
  const auto& [latitude_deg, longitude_deg] = kPlaces[i % kPlaces.size()];
  return {degrees(latitude_deg), degrees(longitude_deg)};
}

void open_and_first_search(benchmark::State& state) {
  for (auto _ : state) {
    const Loaded<Catalogue> catalogue = Catalogue::open(kShipped);
    benchmark::DoNotOptimize(catalogue.value->nearest(place(0), 1, nautical_miles(20)));
  }
}
BENCHMARK(open_and_first_search)->Unit(benchmark::kMillisecond);

/// The target is 1 ms for each of them.
void nearest(benchmark::State& state) {
  const Loaded<Catalogue> catalogue = Catalogue::open(kShipped);
  std::size_t i = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(
        catalogue.value->nearest(place(i++), static_cast<std::size_t>(state.range(0)), metres(20'004'000)));
  }
}
BENCHMARK(nearest)->Arg(1)->Arg(10)->Unit(benchmark::kMicrosecond);

void within_20_nm_of_a_crowded_place(benchmark::State& state) {
  const Loaded<Catalogue> catalogue = Catalogue::open(kShipped);
  for (auto _ : state) benchmark::DoNotOptimize(catalogue.value->neighbourhood(place(1), nautical_miles(20)));
}
BENCHMARK(within_20_nm_of_a_crowded_place)->Unit(benchmark::kMicrosecond);

}  // namespace
