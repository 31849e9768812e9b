#pragma once
// Where the path with one engine out is, and what stands under it.

#include "ground.hpp"

#include <string>
#include <vector>

namespace backfield::decision {

/// Fills distances, take-off path and obstacles of `out`, whose gradients are there already.
/// weakest     of the worlds, in climb
/// refusal     which table does not cover the day; what it was, if it was anything
void add_engine_out_path(const Case& the_case, const aircraft::Performance& performance,
                         const std::vector<FlownWorld>& worlds, const FlownWorld& weakest, OneEngineOut& out,
                         std::string& refusal);

}  // namespace backfield::decision
