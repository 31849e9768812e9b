#pragma once
// Independent pieces of work on all processors; what comes out does not depend on how many there are.

#include "src/base/parallel.hpp"

#include <algorithm>
#include <exception>
#include <type_traits>
#include <vector>

namespace backfield::test {

/// What work(0) to work(count - 1) return, in that order. The first exception, in that order, is thrown here; Catch's
/// assertions belong on the caller's thread.
template <class Work>
auto in_parallel(unsigned count, Work work, unsigned threads = machine_threads()) {
  std::vector<std::invoke_result_t<Work, unsigned>> results(count);
  std::vector<std::exception_ptr> thrown(count);
  for_each_job(count, std::max(1u, threads), [&](std::size_t i) {
    try {
      results[i] = work(static_cast<unsigned>(i));
    } catch (...) { thrown[i] = std::current_exception(); }
  });
  for (const auto& e : thrown) {
    if (e) std::rethrow_exception(e);
  }
  return results;
}

}  // namespace backfield::test
