#pragma once
// The wind that distances and paths with an engine out are allowed.

#include "ground.hpp"

namespace backfield::decision {

/// Along a track, tailwind negative: what a world has at 10 m, but no kinder than the policy's shares of what is
/// reported. A variable wind is taken to come from behind.
/// test        tests/unit/engine_out_take_off_test.cpp
Speed counted_headwind(const Case& the_case, const FlownWorld& world, earth::TrueDirection track);

/// Neither kinder than what the world has at the height that rates are judged in.
Speed counted_headwind_aloft(const Case& the_case, const FlownWorld& world, earth::TrueDirection track);

}  // namespace backfield::decision
