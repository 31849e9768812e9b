#pragma once
// The way back with the power that is left, and at each second of it: if the rest stops now, what can be reached?

#include "scan.hpp"

namespace backfield::decision {

/// Flies and samples the ways that the policy's rule asks for: at each share of power, or on one engine, from each
/// height of failure. Nothing where the policy has no such rule.
/// plans       of all worlds and banks, worlds outermost
/// scanned     the same with their answers: what is asked when the rest stops
/// answer      with its options, what is briefed and the night; gets the ways
void add_ways_back(const Case& the_case, const std::vector<ScanRequest>& plans, const std::vector<ScanResult>& scanned,
                   unsigned threads, Answer& answer);

}  // namespace backfield::decision
