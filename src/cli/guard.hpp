#pragma once
// The last stop for exceptions.

#include "exit_code.hpp"

#include "backfield/base/version.hpp"

#include <exception>
#include <filesystem>
#include <ostream>

namespace backfield::cli {

/// Runs `work`, which returns an exit code. Whatever it throws becomes a sentence on `err` and a code: trouble with
/// files 74, all else our fault.
template <class Work>
int guarded(std::ostream& err, Work&& work) {
  try {
    return work();
  } catch (const std::filesystem::filesystem_error& error) {
    err << "backfield: " << error.what() << "\n";
    return kFilesTrouble;
  } catch (const std::exception& error) {
    err << "backfield " << version()
        << ": this is a fault of the program, please report it with the input: " << error.what() << "\n";
    return kOurFault;
  }
}

}  // namespace backfield::cli
