#pragma once

#include "fields.hpp"

#include "backfield/io/load.hpp"

namespace backfield::io {

/// Reads the root of an aerodrome file; the value is complete only when the reading has no error.
AerodromeFile read_aerodrome(const Value& root);

/// Declared distances and the displaced threshold of one end, as keys of an aerodrome or a case file.
/// Sets the fields of `end` and checks them against one another and against `end.pavement`, when that is known.
void read_declared(const Fields& fields, earth::RunwayEnd& end);
inline constexpr std::string_view kDeclaredKeys[] = {"tora", "toda", "asda", "lda", "displaced_threshold"};

/// The same aerodrome with positions and tracks in another frame.
earth::Aerodrome moved(const earth::Aerodrome& aerodrome, const earth::LocalFrame& to);

/// Runway directions are named after the magnetic bearing in tens of degrees. Refuses a designator that cannot belong
/// to the track.
/// returns     false after a refusal
bool check_designator(const Value& place, const std::string& designator, earth::TrueDirection track,
                      const std::optional<Angle>& variation_east);

/// Two digits 01 to 36 and perhaps L, C or R.
std::optional<std::string> read_designator(const Value& value);

}  // namespace backfield::io
