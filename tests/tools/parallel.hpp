#pragma once
// Independent pieces of work on all processors; what comes out does not depend on how many there are.

#include <algorithm>
#include <atomic>
#include <exception>
#include <thread>
#include <type_traits>
#include <vector>

namespace backfield::test {

/// What work(0) to work(count - 1) return, in that order. The first exception, in that order, is thrown here; Catch's
/// assertions belong on the caller's thread.
template <class Work>
auto in_parallel(unsigned count, Work work, unsigned threads = std::thread::hardware_concurrency()) {
  std::vector<std::invoke_result_t<Work, unsigned>> results(count);
  std::vector<std::exception_ptr> thrown(count);
  std::atomic<unsigned> next = 0;
  {
    std::vector<std::jthread> crew;
    for (unsigned t = 0; t < std::max(1u, threads); ++t) {
      crew.emplace_back([&] {
        for (unsigned i = next++; i < count; i = next++) {
          try {
            results[i] = work(i);
          } catch (...) { thrown[i] = std::current_exception(); }
        }
      });
    }
  }
  for (const auto& e : thrown) {
    if (e) std::rethrow_exception(e);
  }
  return results;
}

}  // namespace backfield::test
