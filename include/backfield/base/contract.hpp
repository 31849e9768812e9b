#pragma once
// Contracts between parts of the program. A broken one is our fault, never the user's: the command line reports it
// with exit code 70.

#include <stdexcept>
#include <string>

namespace backfield {

/// Throws std::logic_error when `holds` is false. `what` says what was promised and names the values.
inline void require(bool holds, const char* what) {
  if (!holds) throw std::logic_error(std::string("contract broken: ") + what);
}

}  // namespace backfield
