#pragma once
// The commands.

#include "arguments.hpp"

namespace backfield::cli {

/// Does what is asked; the answer goes to standard output, what is wrong to standard error.
/// returns     an ExitCode
int run(const Request& request);

}  // namespace backfield::cli
