#pragma once
// What one engine gives in one world from 50 ft on: steady rates, and what becomes of them higher up.

#include "engine_out_path.hpp"

namespace backfield::decision {

/// Rates in the air of the height that the policy judges them in. `refusal` names the table that ends before it.
EngineOutClimb steady_climb(const Case& the_case, const aircraft::Performance& performance, const FlownWorld& world,
                            std::string& refusal);

/// Gives a climb that begins at 50 ft less `lost` its profiles: steady up to the height that rates are judged in, above
/// it with what is left there, in layers with the rate at their tops. Nothing is claimed above the height at which
/// nothing is left, or the table ends. A climb that does not climb stays without. test
/// tests/unit/engine_out_take_off_test.cpp
void add_thinning_air(const Case& the_case, const aircraft::Performance& performance, EngineOutClimb& climb);

}  // namespace backfield::decision
