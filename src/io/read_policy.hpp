#pragma once

#include "fields.hpp"

#include "backfield/decision/policy.hpp"

namespace backfield::io {

/// Reads the root of a policy file; the value is complete only when the reading has no error.
decision::Policy read_policy(const Value& root);

}  // namespace backfield::io
