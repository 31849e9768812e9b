#pragma once
// One departure on one day: everything `assess` needs, already checked and in the local frame.

#include "backfield/decision/policy.hpp"
#include "backfield/earth/atmosphere.hpp"
#include "backfield/earth/ground.hpp"
#include "backfield/earth/landable.hpp"
#include "backfield/earth/runway.hpp"
#include "backfield/earth/wind.hpp"
#include "backfield/flight/departure_track.hpp"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace backfield::decision {

/// The wind as reported at 10 m.
struct WindReport {
  earth::TrueDirection from;
  Speed mean{};
  std::optional<Speed> gust;
  bool variable = false;                                                        ///< VRB, or calm
  std::optional<std::pair<earth::TrueDirection, earth::TrueDirection>> sector;  ///< clockwise from first to second
};

struct Weather {
  Pressure qnh{};
  Temperature oat{};  ///< at the departure aerodrome's elevation
  WindReport wind;
  std::vector<earth::WindProfile::Level> aloft;  ///< heights above the departure elevation; may be empty
  std::string wet_because;                       ///< why runways are taken as wet; empty: as stated for each
  std::optional<CloudReport> cloud;              ///< none: nothing said of it, or the report has no ceiling
  std::string as_read;                           ///< the report or fields as typed, for the brief
};

struct Departure {
  earth::RunwayEnd end;
  Length start{};          ///< of the take-off roll, from pavement_start
  std::string start_name;  ///< "full length" or the intersection's name
  flight::DepartureTrack track;
  flight::ClimbSpeed climb = flight::ClimbSpeed::v_y;
  std::optional<earth::Instant> time;  ///< of brake release; none: night is not assessed
};

/// What the case says about the ground ahead; never inferred.
struct GroundAhead {
  enum class Landable { unknown, yes, no } landable = Landable::unknown;
  std::string note;  ///< e.g. "fields left of the river"
  std::string file;  ///< of the areas; empty: none, and `landable` is all that is known
  std::vector<earth::LandableArea> areas;
};

/// What the case says about the height of the ground.
enum class TerrainBasis {
  not_stated,  ///< taken as flat at the departure elevation, which is said on every page that matters
  flat,        ///< stated as flat
  posts        ///< Ground::terrain
};

enum class AltimeterSetting { qnh, qfe };

/// A place on the departure track whose overflight can be seen, for the cancel line.
struct Landmark {
  std::string name;
  Length from_brake_release{};  ///< along the ground track
};

struct Case {
  std::string title;
  std::string file;
  bool invented = false;
  aircraft::Aircraft aircraft;
  Mass mass{};                                     ///< at brake release; a return without power lands at this mass
  std::optional<aircraft::LoadSheet> load_sheet;   ///< how it is made up; none: the case states the mass alone
  std::optional<Duration> return_after;            ///< of a return with power; none: at once
  std::optional<earth::Altitude> drift_down_from;  ///< with an engine out; none: not stated
  std::optional<Mass> return_mass;                 ///< then, after burn; none: as at brake release
  Departure departure;
  earth::Geodetic origin;                 ///< of the local frame: departure aerodrome
  earth::Altitude elevation;              ///< of the departure aerodrome: datum of all heights
  Angle magnetic_variation{};             ///< east positive
  std::vector<earth::RunwayEnd> options;  ///< every runway end that might be landed on
  std::vector<earth::RunwayMark> marks;   ///< along the departure runway
  earth::Ground ground;                   ///< what stands on the ground about them, and what is not to be crossed
  TerrainBasis terrain = TerrainBasis::not_stated;
  std::string terrain_source;  ///< with TerrainBasis::posts: which files, and how far apart their posts are
  Weather weather;
  AltimeterSetting altimeter = AltimeterSetting::qnh;
  bool turnback_trained = false;
  GroundAhead ground_ahead;
  std::optional<Landmark> landmark;
  std::vector<std::string> assumptions;   ///< everything a reader had to assume, in plain words
  std::vector<std::string> attributions;  ///< of data used
  Policy policy;
};

}  // namespace backfield::decision
