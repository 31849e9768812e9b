#pragma once
// Cloud and night, applied.

#include "common.hpp"

namespace backfield::decision {

/// Highest failure, above the departure elevation, from which a return is planned; none: no cloud base, or not known.
std::optional<Length> cloud_limit(const Case& the_case);

/// Cuts a window off at the cloud limit.
/// returns     why nothing of it is left; empty where something is
std::string cut_at_cloud(const Case& the_case, const Scans& scans, std::size_t option, std::size_t side,
                         CommonWindow& window);

/// When it is night, and which runway ends drop out for it; none where the case states no time.
std::optional<NightAnswer> night(const Case& the_case);

/// Why a runway end is nothing to land on in the dark; empty where it has lights.
std::string unlit(const earth::RunwayEnd& end);

/// Voids circuits that cloud or night forbid; before anything is chosen from them.
void void_circuits(const Case& the_case, Answer& answer);

/// What cloud takes away, once options have their order, and the warnings about both.
void report_sky(const Case& the_case, Answer& answer);

}  // namespace backfield::decision
