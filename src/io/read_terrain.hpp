#pragma once
// The key `terrain` of a case: flat, or files of elevations.

#include "fields.hpp"
#include "read_places.hpp"

#include "backfield/decision/case.hpp"
#include "backfield/earth/terrain.hpp"

#include <memory>

namespace backfield::io {

struct StatedTerrain {
  decision::TerrainBasis basis = decision::TerrainBasis::not_stated;
  std::string source;
  std::shared_ptr<const earth::Terrain> terrain;
};

/// Reads `terrain`; that it is absent is noted as an assumption. What is found in its files goes to `parts.nested`.
/// place       origin, elevation and departure runway; null when they could not be read: then no file is opened
StatedTerrain read_terrain(const Fields& root, const decision::Case* place, Parts& parts);

}  // namespace backfield::io
