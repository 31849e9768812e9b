#pragma once
// What is on the ground, said openly: which sides it forbids, and what the climb itself comes too near to.

#include "briefing.hpp"

namespace backfield::decision {

/// Where one side would land and no path found is clear of the ground, over all worlds and banks; one a thing.
std::vector<Veto> vetoes_of(const Case& the_case, const Scans& scans, std::size_t option, std::size_t side);

/// e.g. "lands from 650 to 1,400 ft, but no path found is clear of radio mast: up to 85 ft too low"
std::string in_words(const Veto& veto);

/// A warning for each veto, another for each thing the climb comes too near to, and what is not looked at.
void add_ground(const Case& the_case, const Scans& scans, Answer& answer);

/// The departure runway, above which a climb is as low as it begins.
flight::AtRunway below_the_climb(const Case& the_case);

}  // namespace backfield::decision
