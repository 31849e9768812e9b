// How long a look into a table of mass, pressure altitude and temperature takes. The target is 100 ns.

#include "backfield/earth/atmosphere.hpp"

#include "tests/tools/fleet.hpp"

#include <benchmark/benchmark.h>

#include <random>
#include <vector>

namespace {

using namespace backfield;

/// States inside the tables of the shipped light twin, in no order.
std::vector<aircraft::Conditions> states() {
  std::mt19937 random{20260809};
  const auto between = [&random](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  std::vector<aircraft::Conditions> all;
  for (int i = 0; i < 1024; ++i) {
    const earth::PressureAltitude h{feet(between(0.0, 8000.0))};
    const Temperature t = celsius(between(-20.0, 40.0));
    all.push_back({kilograms(between(1600.0, 2000.0)), h, t, earth::density_ratio(earth::standard_pressure(h), t)});
  }
  return all;
}

void table_lookup(benchmark::State& state) {
  const aircraft::Aircraft a = test::load_aircraft("light-twin.yaml");
  const aircraft::Figure& climb = a.one_engine_out.value().climb_rate;
  const std::vector<aircraft::Conditions> asked = states();
  std::size_t i = 0;
  for (auto _ : state) benchmark::DoNotOptimize(climb.at(asked[i++ % asked.size()]));
}
BENCHMARK(table_lookup)->Unit(benchmark::kNanosecond);

/// Beyond the table: axis and end are put into words.
void table_lookup_outside(benchmark::State& state) {
  const aircraft::Aircraft a = test::load_aircraft("light-twin.yaml");
  const aircraft::Figure& climb = a.one_engine_out.value().climb_rate;
  std::vector<aircraft::Conditions> asked = states();
  for (aircraft::Conditions& c : asked) c.mass = c.mass + kilograms(500.0);
  std::size_t i = 0;
  for (auto _ : state) benchmark::DoNotOptimize(climb.at(asked[i++ % asked.size()]));
}
BENCHMARK(table_lookup_outside)->Unit(benchmark::kNanosecond);

}  // namespace
