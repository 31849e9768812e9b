#include "src/base/parallel.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <atomic>
#include <stdexcept>
#include <vector>

using backfield::for_each_job;
using backfield::machine_threads;

TEST_CASE("Every job is called once, on any number of threads", "[base]") {
  for (const unsigned threads : {1U, 2U, 3U, machine_threads(), 64U}) {
    for (const std::size_t count : {0U, 1U, 2U, 1000U}) {
      std::vector<std::atomic<int>> called(count);
      for_each_job(count, threads, [&](std::size_t i) { ++called[i]; });
      CHECK(std::all_of(called.begin(), called.end(), [](const std::atomic<int>& n) { return n == 1; }));
    }
  }
}

TEST_CASE("No more jobs run at once than threads are given", "[base]") {
  std::atomic<int> running = 0;
  std::atomic<int> most = 0;
  for_each_job(200, 1, [&](std::size_t) {
    const int now = ++running;
    most = std::max(most.load(), now);
    --running;
  });
  CHECK(most == 1);
}

TEST_CASE("What a job throws reaches the caller when the others have ended", "[base]") {
  std::atomic<int> running = 0;
  const auto job = [&](std::size_t i) {
    ++running;
    if (i == 17) {
      --running;
      throw std::runtime_error("seventeen");
    }
    --running;
  };
  CHECK_THROWS_WITH(for_each_job(100, 4, job), "seventeen");
  CHECK(running == 0);
  CHECK_THROWS_AS(for_each_job(1, 0, job), std::logic_error);
}

TEST_CASE("Jobs may have jobs of their own", "[base]") {
  std::vector<std::atomic<int>> called(100);
  for_each_job(10, 2, [&](std::size_t i) { for_each_job(10, 2, [&](std::size_t k) { ++called[10 * i + k]; }); });
  CHECK(std::all_of(called.begin(), called.end(), [](const std::atomic<int>& n) { return n == 1; }));
}
