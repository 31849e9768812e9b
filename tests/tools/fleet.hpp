#pragma once
// The aircraft files that are shipped, for tests of what must hold for all of them.

#include "backfield/io/load.hpp"
#include "backfield/io/render_finding.hpp"

#include <algorithm>
#include <filesystem>
#include <stdexcept>
#include <string>
#include <vector>

namespace backfield::test {

/// Their names in the folder aircraft/, in alphabetical order: found there, so that none can be forgotten.
inline std::vector<std::string> fleet() {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(BACKFIELD_SOURCE_DIR "/aircraft")) {
    names.push_back(entry.path().filename().string());
  }
  std::sort(names.begin(), names.end());
  return names;
}

/// Throws with the findings when the file is refused.
inline aircraft::Aircraft load_aircraft(const std::string& name) {
  const auto loaded = io::load_aircraft(BACKFIELD_SOURCE_DIR "/aircraft/" + name);
  if (!loaded.ok()) throw std::runtime_error(io::render(loaded.findings));
  return *loaded.value;
}

}  // namespace backfield::test
