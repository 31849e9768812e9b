#pragma once
// The part of the JSON that says how to come back with power.

#include "json_values.hpp"

#include "backfield/decision/answer.hpp"

namespace backfield::report::as_json {

Json circuit(const decision::Circuit& circuit);
Json return_with_power(const decision::Answer& answer);

}  // namespace backfield::report::as_json
