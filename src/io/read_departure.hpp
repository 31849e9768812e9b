#pragma once
// The parts of a case that concern its departure.

#include "fields.hpp"

#include "backfield/decision/case.hpp"

namespace backfield::io {

/// What `departure` says, before aerodromes are known.
struct StatedDeparture {
  std::optional<Value> aerodrome, runway, from;
  std::string aerodrome_id, designator;
};
StatedDeparture read_departure_names(const Fields& departure);

/// `departure.from` as a start of the take-off roll: "full length", a mark's name, or a distance.
void read_start(const StatedDeparture& stated, const std::vector<earth::RunwayMark>& marks,
                decision::Departure& departure);

/// `departure.track`: legs after the runway's own track.
void read_track(const Value& value, const std::optional<Angle>& variation, flight::DepartureTrack& track);

/// `departure.landmark`, and `ground_ahead` but for its file.
std::optional<decision::Landmark> read_landmark(const Value& value);
decision::GroundAhead read_ground_ahead(const Value& value);

/// Refuses a case whose climb or take-off figures lie outside what the aircraft file covers, naming axis, value and
/// end; notes the ones that are clamped. Refuses a climb speed without a figure.
void check_departure_figures(const Fields& root, const decision::Case& result);

/// Refuses a departure runway without a figure for its surface, and one that is too short for the roll.
void check_departure_runway(const Fields& root, const decision::Case& result);

/// Mass against the aircraft's limits.
void check_mass(const Value& mass, Mass value, const aircraft::Aircraft& aircraft);

}  // namespace backfield::io
