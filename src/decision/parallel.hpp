#pragma once
// Independent jobs on a few threads. Each job writes to a place of its own, so the result does not depend on how many
// threads there are or which of them is first.

#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace backfield::decision {

/// Calls job(0) .. job(count - 1), each once. The first exception is passed on when all threads have ended.
template <class Job>
void for_each_job(std::size_t count, unsigned threads, Job job) {
  std::atomic<std::size_t> next{0};
  std::exception_ptr failure;
  std::mutex failure_mutex;
  const auto work = [&] {
    for (std::size_t i = next++; i < count; i = next++) {
      try {
        job(i);
      } catch (...) {
        const std::lock_guard<std::mutex> lock(failure_mutex);
        if (!failure) failure = std::current_exception();
        return;
      }
    }
  };
  {
    std::vector<std::jthread> others;
    for (unsigned t = 1; t < threads && t < count; ++t) others.emplace_back(work);
    work();
  }
  if (failure) std::rethrow_exception(failure);
}

}  // namespace backfield::decision
