#pragma once
// What is near a place: facts to be listed. Whether any of it can be reached, or is of use, is not said here.

#include "backfield/earth/runway.hpp"

#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace backfield::earth {

struct NearbyRunway {
  /// Of one runway; tracks are in the frame of the aerodrome's reference point, within 0.1 degree of true.
  std::array<RunwayEnd, 2> ends;
  std::optional<Length> width;
  std::string surface;             ///< in a word or two of ours
  std::string surface_as_written;  ///< in the source, where that may say more; or empty

  /// What is left of the pavement behind the landing threshold; no declared distance.
  static Length to_land_on(const RunwayEnd& end) { return end.pavement - end.displaced; }
};

struct NearbyAerodrome {
  std::string id, name, country;  ///< country: ISO 3166-1 alpha-2, or empty
  Geodetic reference;
  Altitude elevation;
  Length distance{};                     ///< geodesic on WGS 84, from the centre to the reference point
  std::optional<TrueDirection> bearing;  ///< true, at the centre; none where it has no meaning: at a pole, or here
  std::string frequency;                 ///< to call; empty when not known
  std::vector<std::pair<std::string, std::string>> frequencies;  ///< service and frequency, "tower" and "118.9 MHz"
  std::vector<NearbyRunway> runways;                             ///< longest first
  int left_out = 0;                                              ///< runways known but not usable
  bool from_own_file = false;
  std::string source;                ///< the own file's source line; empty for the catalogue
  std::vector<std::string> remarks;  ///< what was assumed or looks doubtful
};

struct Nearby {
  std::string place;   ///< as typed
  std::string centre;  ///< id and name of the aerodrome that the place is, or empty
  Geodetic centre_at;
  Length within{};
  std::vector<NearbyAerodrome> aerodromes;  ///< with a usable runway, nearest first
  /// Only when nothing is near: the nearest aerodrome with a usable runway, however far.
  std::optional<NearbyAerodrome> nearest_beyond;

  std::string catalogue;         ///< path as given, or "shipped"
  std::string attribution;       ///< line that source and licence ask for
  std::string stamped;           ///< day of the data, "2026-02-16"
  bool stamped_by_file = false;  ///< that day is the files' own: the data itself states none
  std::optional<int> age_days;   ///< at the day of the question; none when that is not known
  /// Runways within the radius that cannot be used, by reason, the most frequent first.
  std::vector<std::pair<std::string, int>> left_out;
  std::vector<std::string> warnings;
};

}  // namespace backfield::earth
