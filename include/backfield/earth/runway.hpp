#pragma once
// One direction of one runway, as declared.

#include "backfield/earth/altitude.hpp"
#include "backfield/earth/position.hpp"

#include <optional>
#include <string>
#include <vector>

namespace backfield::earth {

enum class Surface { unknown, paved, grass_dry, grass_wet, gravel, dirt, water, wet_paved, contaminated };

/// Where the facts about a runway end come from; decides whether it may be briefed.
enum class Provenance {
  stated,             ///< the case or an aerodrome file states declared distances and surface
  catalogue,          ///< geometry from the open catalogue only: listed, never briefed
  catalogue_and_case  ///< geometry from the catalogue, distances and surface stated by the case
};

/// On which side of a runway something joins it, seen in the direction of the end.
enum class MarkSide { left, right, both };
constexpr const char* name_of(MarkSide side) {
  switch (side) {
    case MarkSide::left:
      return "left";
    case MarkSide::right:
      return "right";
    case MarkSide::both:
      return "both";
  }
  return "";
}

/// A named place along a runway (intersection, exit), measured from `pavement_start` of the end it is stated for. With
/// a side it is one where an aeroplane may turn on or off, and known from both ends.
struct RunwayMark {
  std::string name;
  Length from_start{};
  std::optional<MarkSide> side{};
};

/// A runway end in the sense of its designator: landing on it and taking off from it go in direction `track`.
///
/// Lengths are along the runway. `pavement_start` is where the pavement begins; the landing threshold lies `displaced`
/// further on. A take-off at full length starts at `pavement_start`.
struct RunwayEnd {
  std::string aerodrome;                        ///< identifier, e.g. "ZZDA"
  std::string designator;                       ///< "09", "27L"
  Position pavement_start;                      ///< in the local frame
  TrueDirection track;                          ///< true, in the local frame
  Altitude elevation;                           ///< of the landing threshold
  double slope = 0.0;                           ///< rise over run in direction `track`, uphill positive; -0.12..0.12
  Length pavement{};                            ///< physical length
  Length displaced{};                           ///< of the landing threshold, from pavement_start
  std::optional<Length> tora, toda, asda, lda;  ///< declared; none when not stated. Never filled from `pavement`.
  Surface surface = Surface::unknown;
  bool lit = false;
  Provenance provenance = Provenance::stated;
  std::string frequency;            ///< e.g. "122.800 MHz"; empty when unknown
  std::vector<RunwayMark> marks{};  ///< those with a side, rising from the start

  [[nodiscard]] Position threshold() const { return offset(pavement_start, track, displaced); }
};

struct Aerodrome {
  std::string id;
  std::string name;
  Geodetic reference_point;
  Altitude elevation;
  std::vector<RunwayEnd> ends;
  std::string attribution;  ///< where the data comes from, for the brief
};

}  // namespace backfield::earth
