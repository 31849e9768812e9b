#pragma once
// Cloud base, wet runways and the time of a departure, in a case and in a policy.

#include "fields.hpp"

#include "backfield/decision/case.hpp"
#include "backfield/io/metar.hpp"

namespace backfield::io {

/// "2026-11-27T16:40Z".
std::optional<earth::Instant> read_time(const Value& value);

/// A report that is not of about the departure's time is warned about: one of the two may be in local time, or the day
/// wrong.
void check_report_time(const Value& value, const Metar& report, earth::Instant departure);

/// The cloud base of `weather.cloud_base`, or of the report if there is one.
/// returns     none where neither says anything that limits a flight
std::optional<decision::CloudReport> read_cloud(const Fields& weather, const std::optional<Metar>& report);

/// Why runways are wet, by `weather.surface` or the report's rain; empty where they are as their files say.
std::string read_wetness(const Fields& weather, const std::optional<Metar>& report);

/// Makes every runway of the case wet that its file has dry, and says so.
void wet_runways(const Value& weather, decision::Case& result);

/// `cloud` and `night` of a policy, both optional.
void read_sky_rules(const Fields& root, decision::Policy& policy);

/// A case that states a cloud base or a time needs a policy that says what follows.
void check_sky(const Fields& root, const decision::Case& result);

}  // namespace backfield::io
