#pragma once
// The bytes of an input file, or a finding that says why there are none.

#include "backfield/base/finding.hpp"

#include <cstddef>
#include <string>

namespace backfield::io {

/// Reads at most `largest` bytes; a larger file is refused before it is read. Directories, missing and unreadable files
/// are refused.
Loaded<std::string> read_file(const std::string& path, std::size_t largest);

/// An error about a file as a whole.
Finding file_error(const std::string& file, std::string found, std::string accepted, std::string hint = {});

}  // namespace backfield::io
