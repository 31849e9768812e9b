#pragma once
// The group `ground_ahead` of a policy: which ground counts as landable.

#include "fields.hpp"

#include "backfield/decision/policy.hpp"

namespace backfield::io {

/// None where the policy has no such group.
std::optional<decision::GroundAheadRule> read_ground_rule(const Fields& root);

/// What a file may say about wires.
const Words<earth::Wires>& wires_words();

}  // namespace backfield::io
