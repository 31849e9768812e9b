#pragma once
// `runway_choice` of a policy: by what runway ends are compared, and in which order.

#include "fields.hpp"

#include "backfield/decision/policy.hpp"

namespace backfield::io {

/// Optional; after `take_off`, which some criteria need.
void read_runway_choice(const Fields& root, decision::Policy& policy);

}  // namespace backfield::io
