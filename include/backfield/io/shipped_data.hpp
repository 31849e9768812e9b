#pragma once
// Where the files that come with the program are: aircraft, policies, the extract of the open catalogue.

#include <filesystem>

namespace backfield::io {

/// The directory that holds `aircraft/`, `cases/policy/` and `cases/open-data/`.
///
/// The first of these that applies:
///   1. the environment variable BACKFIELD_DATA, when set and not empty. It is taken as it stands: when it is wrong,
///      the reader of the first file says which path it could not open, and no other policy is used unasked;
///   2. the source tree, for a program that runs from the build tree: no older installed copy is mixed in;
///   3. share/backfield beside the bin directory the running program lies in, so that an installed tree can be moved;
///   4. share/backfield under the prefix the library was configured for;
///   5. the source tree.
/// 3 and 4 count only when the directory holds `cases/policy`.
///
/// returns     never empty; whether the files exist is for their readers to find out
/// fails       throws std::filesystem::filesystem_error when the operating system does not answer
/// test        tests/unit/shipped_data_test.cpp, tests/consumer
std::filesystem::path shipped_data_directory();

}  // namespace backfield::io
