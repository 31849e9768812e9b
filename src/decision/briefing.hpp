#pragma once
// What of all that works is briefed, and what the altimeter shows when it changes.

#include "backfield/decision/assess.hpp"
#include "common.hpp"

namespace backfield::decision {

/// Chooses the briefed windows; marks the standing of each side and says why the others are not briefed.
void choose_windows(const Case& the_case, const Scans& scans, Answer& answer);

/// On landing, in any world; headwind negative.
Speed worst_tailwind(const RunwayOption& option);

/// Gates, cancel line and gaps from what is briefed.
void set_gates(const Case& the_case, const Scans& scans, Answer& answer);
void set_gaps(const Case& the_case, const Scans& scans, Answer& answer);

/// Best option first, each with its reasons.
void rank_options(const Case& the_case, Answer& answer);

/// The fixed cautions, and those this case adds.
std::vector<std::string> cautions(const Case& the_case, const Answer& answer);

}  // namespace backfield::decision
