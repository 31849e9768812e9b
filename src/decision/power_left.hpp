#pragma once
// What can be done with the power that is left.

#include "ground.hpp"

namespace backfield::decision {

PowerLeftAnswer power_left(const Case& the_case, const aircraft::Performance& performance,
                           const std::vector<FlownWorld>& worlds);

}  // namespace backfield::decision
