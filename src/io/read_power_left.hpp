#pragma once
// The part of a policy that concerns power that is left.

#include "fields.hpp"

#include "backfield/decision/power_left.hpp"

namespace backfield::io {

void read_power_left(const Fields& root, decision::PowerLeftRule& rule);

}  // namespace backfield::io
