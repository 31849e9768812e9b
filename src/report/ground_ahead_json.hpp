#pragma once
// The part of the JSON that says what ground is ahead.

#include "json_values.hpp"

#include "backfield/decision/answer.hpp"

namespace backfield::report::as_json {

Json ground_ahead(const decision::GroundAheadAnswer& ground);

}  // namespace backfield::report::as_json
