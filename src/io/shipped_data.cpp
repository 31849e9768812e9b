#include "backfield/io/shipped_data.hpp"

#include <algorithm>
#include <cstdlib>
#include <system_error>

namespace backfield::io {

namespace fs = std::filesystem;

namespace {

// Empty where the system does not tell; the directories after it in the order still serve.
fs::path running_program() {
  std::error_code no_such_link;
  return fs::read_symlink("/proc/self/exe", no_such_link);
}

bool lies_in(const fs::path& file, const fs::path& directory) {
  return std::mismatch(directory.begin(), directory.end(), file.begin(), file.end()).first == directory.end();
}

bool holds_data(const fs::path& directory) { return fs::is_directory(directory / "cases" / "policy"); }

}  // namespace

fs::path shipped_data_directory() {
  const char* named = std::getenv("BACKFIELD_DATA");
  if (named != nullptr && *named != '\0') return named;

  const fs::path source_tree = BACKFIELD_SOURCE_DIR;
  const fs::path program = running_program();
  if (lies_in(program, fs::weakly_canonical(BACKFIELD_BUILD_DIR))) return source_tree;

  if (!program.empty()) {
    fs::path beside_program = (program.parent_path() / BACKFIELD_DATA_FROM_BIN).lexically_normal();
    if (holds_data(beside_program)) return beside_program;
  }
  const fs::path installed = BACKFIELD_INSTALLED_DATA;
  return holds_data(installed) ? installed : source_tree;
}

}  // namespace backfield::io
