#include "arguments.hpp"
#include "guard.hpp"
#include "run.hpp"

#include <iostream>

int main(int argc, char** argv) {
  return backfield::cli::guarded(std::cerr, [&] {
    const backfield::cli::Arguments arguments = backfield::cli::read_arguments(argc, argv);
    return arguments.request ? backfield::cli::run(*arguments.request) : arguments.exit_code;
  });
}
