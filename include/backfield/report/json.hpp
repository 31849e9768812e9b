#pragma once
// The brief for programs.

#include "backfield/decision/answer.hpp"

#include <string>

namespace backfield::report {

/// JSON by src/io/schema/brief.schema.json, indented by two spaces, ending in a newline; the first key is
/// "backfield": "brief/1".
///
/// Keys carry their unit (`_ft`, `_m`, `_kt`, `_s`, `_deg`); what has no value is null, never left out. Numbers are
/// rounded to 0.1 of their unit (factors to 0.001), to the nearest and not to the unfavourable side as on paper, so
/// that the bytes do not hang on the last bit of a sum. Heights are true, above the departure elevation; readings are
/// what the altimeter shows. Lists keep the order of the answer. Text is UTF-8; bytes that are not are replaced by
/// U+FFFD.
///
/// An answer that is a refusal has the keys `refusal`, `warnings` and `cautions` beside the case, and no others.
///
/// fails       std::logic_error for a number that is not finite: JSON has none
/// test        tests/unit/report_test.cpp, tests/cli/brief_test.py (the schema)
std::string json(const decision::Case& the_case, const decision::Answer& answer);

}  // namespace backfield::report
