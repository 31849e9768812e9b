#pragma once
// What is typed after the program's name.

#include <optional>
#include <string>
#include <vector>

namespace backfield::cli {

enum class Command { brief, check, nearby, runways };

struct Request {
  Command command = Command::brief;
  std::string file;                 ///< as typed
  std::optional<std::string> json;  ///< where the JSON goes
  bool strict = false;              ///< warnings count as errors
  bool require_option = false;

  // nearby
  std::string place;                  ///< as typed
  std::string within = "20 NM";       ///< the same
  std::string catalogue = "shipped";  ///< or a path
  std::vector<std::string> own_files;
  bool require_one = false;
};

/// A request, or the exit code of what has been dealt with already: help, version, a message about bad usage.
struct Arguments {
  std::optional<Request> request;
  int exit_code = 0;
};
Arguments read_arguments(int argc, const char* const* argv);

}  // namespace backfield::cli
