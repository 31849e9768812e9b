#pragma once
// The file of a case that says what the ground ahead is: GeoJSON, each feature landable or to be avoided.

#include "fields.hpp"
#include "read_places.hpp"

#include "backfield/decision/case.hpp"

namespace backfield::io {

/// Reads the file that `value` names: landable areas into `place.ground_ahead.areas`, areas to avoid beside those of
/// the case in `place.ground`. What is found in it goes to `parts.nested`.
///
/// Properties of a feature, all of its words ours:
///   kind: landable   name, length_m (usable), surface, slope_percent (steepest), wires: yes, no or unknown
///   kind: avoid      name, why: people, water or forest
///   both             elevation_m, of its ground; without it the aerodrome's, which is noted
///
/// place       origin, elevation and runway ends
void read_ground_file(const Value& value, decision::Case& place, Parts& parts);

}  // namespace backfield::io
