#include "parallel.hpp"

#include "backfield/base/contract.hpp"

#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <algorithm>

namespace backfield {

unsigned machine_threads() { return static_cast<unsigned>(tbb::info::default_concurrency()); }

void for_each_job(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& job) {
  require(threads > 0, "at least one thread");
  tbb::task_arena arena(static_cast<int>(std::min(threads, machine_threads())));
  // Jobs are few and long: one by one, not in ranges.
  arena.execute([&] { tbb::parallel_for(std::size_t{0}, count, job, tbb::simple_partitioner{}); });
}

}  // namespace backfield
