#pragma once
// The part of the JSON that says what the power left is good for.

#include "json_values.hpp"

#include "backfield/decision/power_left.hpp"

namespace backfield::report::as_json {

Json power_left(const decision::PowerLeftAnswer& answer);

}  // namespace backfield::report::as_json
