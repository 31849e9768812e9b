#pragma once
// The question: what is near this place?

#include "backfield/base/finding.hpp"
#include "backfield/earth/nearby.hpp"

#include <string>
#include <vector>

namespace backfield::io {

struct NearbyQuestion {
  std::string place;                   ///< an id, or a position as parse_position takes it
  std::string within;                  ///< a length with its unit, above 0 and up to 1,000 NM
  std::string catalogue = "shipped";   ///< or a path as Catalogue::open takes it
  std::vector<std::string> own_files;  ///< aerodrome files; each takes the place of the catalogue's one with its id
  std::string today;                   ///< "2026-11-27", for the age of the data; empty when not known
};

/// Everything near the place that has a usable runway, from the catalogue and the own files, with what has to be said
/// about it.
///
/// fails       a place that is neither; an id that is neither in the own files nor in the catalogue; a distance out of
///             range; files that cannot be read; two own files with one id
/// warns       what the readers say; nothing near a typed position, but something near it with latitude and longitude
///             swapped; a pole, where bearings have no meaning
/// accuracy    distances as those of GeographicLib, to a micrometre; tests/laws/places_test.cpp
/// test        tests/unit/nearby_test.cpp, tests/cli/nearby_test.py
Loaded<earth::Nearby> look_nearby(const NearbyQuestion& question);

}  // namespace backfield::io
