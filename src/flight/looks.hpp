#pragma once
// Along every family of paths of two turns and a straight, in the tables.

#include "found.hpp"

namespace backfield::flight {

/// The four words, each over the whole circle of headings: every kHeadingStep first, and where the entry changes;
/// half-way headings only where something changes between two of them, or next to the best.
void look_at_headings(const Question& question, Found& found);

/// Straights that run nearly parallel to the runway, by their duration.
void look_at_straights(const Question& question, Found& found);

}  // namespace backfield::flight
