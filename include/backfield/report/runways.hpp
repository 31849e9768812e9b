#pragma once
// The runway ends of an aerodrome compared for a departure, for people and for programs.

#include "backfield/study/runways.hpp"

#include <string>
#include <vector>

namespace backfield::report {

/// ASCII, lines of at most kPageColumns columns that end in a newline; cautions close it. What is left is rounded down,
/// what is needed and the worst winds are rounded up.
///
/// warnings    of the readers, as sentences
/// fails       std::logic_error for a number that is not finite
/// test        tests/unit/runways_test.cpp, tests/cli/runways_test.py
std::string runways_text(const decision::Case& the_case, const study::RunwayComparison& comparison,
                         const std::vector<std::string>& warnings);

/// JSON by src/io/schema/runways.schema.json, in the manner of json(): the first key is "backfield": "runways/1".
std::string runways_json(const decision::Case& the_case, const study::RunwayComparison& comparison,
                         const std::vector<std::string>& warnings);

}  // namespace backfield::report
