#pragma once

#include "json_values.hpp"

#include "backfield/decision/answer.hpp"

namespace backfield::report::as_json {

/// "cloud" and "night" of the brief, where the case has them.
void add_sky(Json& root, const decision::Answer& answer);

}  // namespace backfield::report::as_json
