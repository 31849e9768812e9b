#pragma once
// The decision on one case.

#include "backfield/decision/answer.hpp"

namespace backfield::decision {

/// Flies the departure in every world of the bracket, loses the power at every moment, and says what works.
///
/// Pure: the same case gives the same answer, to the last bit, whatever `threads` is.
/// threads     1.. ; 0 takes as many as the machine has
Answer assess(const Case& the_case, unsigned threads = 0);

/// What the altimeter shows at a true height above the departure elevation, with the setting of the case, corrected for
/// the day's temperature. An opening edge never gets a lower reading by the correction, a closing edge never a higher
/// one. Not rounded.
///
/// accuracy    -20 C, 800 ft above a sea-level aerodrome: 911 ft (tests/reference/gate_reading_test.cpp)
/// source      hydrostatic equation in a column of standard lapse rate; the altimeter is an ICAO standard one
Length altimeter_reading(const Case& the_case, Length height, GateKind kind);

/// The reading rounded: opening edges up, closing edges down, to a step; unchanged when the step is zero.
Length rounded(Length reading, GateKind kind, Length step);

/// Height above the runway by which the class of the case's aeroplane has to be aligned, by the policy.
Length alignment_height(const Case& the_case);

/// Where a glide may end on a runway end: the aim interval left when float and roll are taken off LDA.
/// returns     nullopt when nothing is left: the option is limited by the stop
std::optional<flight::Goal> goal_on(const earth::RunwayEnd& end, const Landing& landing, Length alignment_height);

}  // namespace backfield::decision
