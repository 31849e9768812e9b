#pragma once
// Writing an output file whole or not at all.

#include <optional>
#include <string>
#include <string_view>

namespace backfield::io {

/// Puts `bytes` into the file at `path`, in place of what it held.
///
/// They go into a temporary file in the same directory, which then takes the name: whoever reads at that moment, or
/// after a failure, finds the old bytes or the new ones, never some of both. A symbolic link stays, and what it points
/// at is replaced; a link to nothing makes the file it points at. A new file gets the usual permissions (umask), an old
/// one keeps its own. Nothing is left behind after a failure.
///
/// returns     nullopt when written, or why not, as part of a sentence: "no such directory", "permission denied".
///             Refused are directories, pipes and devices, files that may not be written, and an empty path
/// test        tests/unit/write_file_test.cpp
std::optional<std::string> write_file(const std::string& path, std::string_view bytes);

}  // namespace backfield::io
