#pragma once
// What height is worth with an engine out: drift-down, and which comes first as the air thins, the stall or the loss of
// control.

#include "ground.hpp"

namespace backfield::decision {

/// Fills `drift_down` and `controls` of `out`, whose verdict is there already.
void add_engine_out_height(const Case& the_case, const aircraft::Performance& performance, const FlownWorld& weakest,
                           OneEngineOut& out);

/// The committal height with what the approach flap costs, where the aircraft file states it.
void add_approach_flap(const Case& the_case, PowerLeftAnswer& answer);

}  // namespace backfield::decision
