#pragma once
// The distances of a take-off with an engine failing and the path that begins there.

#include "ground.hpp"

#include <string>
#include <vector>

namespace backfield::decision {

/// Fills distances, take-off path and what the path has to pass over, of `out`, whose gradients are there already.
/// weakest     of the worlds, in climb
/// refusal     which table does not cover the day; what it was, if it was anything
void add_engine_out_take_off(const Case& the_case, const aircraft::Performance& performance,
                             const std::vector<FlownWorld>& worlds, const FlownWorld& weakest, OneEngineOut& out,
                             std::string& refusal);

}  // namespace backfield::decision
