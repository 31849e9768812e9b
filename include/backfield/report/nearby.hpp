#pragma once
// What is near a place, for people and for programs.

#include "backfield/earth/nearby.hpp"

#include <string>

namespace backfield::report {

/// ASCII, lines of at most kPageColumns columns that end in a newline. Lengths are rounded down to 1 m, distances to
/// 0.1 NM, bearings to 1 degree. Cautions and the data's attribution close it.
///
/// fails       std::logic_error for a number that is not finite
/// test        tests/unit/nearby_test.cpp, tests/cli/nearby_test.py
std::string nearby_text(const earth::Nearby& nearby);

/// JSON by src/io/schema/nearby.schema.json, in the manner of json(): the first key is "backfield": "nearby/1".
std::string nearby_json(const earth::Nearby& nearby);

}  // namespace backfield::report
