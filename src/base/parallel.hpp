#pragma once
// Independent jobs on a few threads. Each job writes to a place of its own, so the result does not depend on how many
// threads there are or which of them is first.

#include <cstddef>
#include <functional>

namespace backfield {

/// As many as the machine has, at least 1.
unsigned machine_threads();

/// Calls job(0) .. job(count - 1), each once; returns when all have ended. Of what jobs throw one exception is passed
/// on, and jobs that have not begun by then may be left out. Jobs may call it themselves.
/// threads     at most so many at once, the caller's among them, and no more than the machine has; at least 1
void for_each_job(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& job);

}  // namespace backfield
