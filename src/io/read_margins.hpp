#pragma once
// The parts of a policy that charge a take-off and a landing with power.

#include "fields.hpp"

#include "backfield/decision/policy.hpp"

namespace backfield::io {

/// `landing_assessment`, `take_off` and `return_with_power`, all optional.
void read_margins(const Fields& root, decision::Policy& policy);

}  // namespace backfield::io
