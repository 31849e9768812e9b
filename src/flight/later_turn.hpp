#pragma once
// Too high with every turn begun at once: glide on before turning.

#include "found.hpp"

namespace backfield::flight {

/// Looks for a path that lands among those whose first turn is begun later, up to 80 s, by turns that others suggest
/// and by every kHeadingStep. A look with twice as many turns, every 4 s, lets 27 more of 240,000 random sides land
/// (tests/bench/README.md).
/// side        has height to spare and nothing that lands
/// at_first    its best path before it was refined
void turn_later(const Question& question, Found& found, Best& side, const Connection& at_first);

}  // namespace backfield::flight
