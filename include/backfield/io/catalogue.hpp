#pragma once
// The open catalogue: aerodromes of the world with the geometry of their runways.
//
//   const Loaded<Catalogue> catalogue = Catalogue::open("cases/open-data/runways.csv");
//   const Loaded<CatalogueAerodrome> home = catalogue.value->find("LSZB");
//   const auto near = catalogue.value->within(home.value->reference, nautical_miles(10));
//   const std::vector<earth::RunwayEnd> ends = runway_ends(*home.value, frame);
//
// Two forms of it are read, told apart by the file's first bytes: the compact extract that is shipped (made by
// cases/open-data/make-extract.py) and the SQLite file of the data package the extract is made from.
//
// The data is collected by volunteers and is partly wrong: lengths that do not fit the coordinates, ends swapped, a
// second end missing. A runway is offered only when its figures agree with each other; the others are kept as
// RejectedRunway with the reason. It has no declared distances, hardly any surfaces and no "closed" mark for runways,
// so what comes from it alone is listed and never briefed (earth::Provenance::catalogue).
//
// Opening and one search of the extract take a few milliseconds: nothing is parsed but the lines that are asked for.

#include "backfield/base/finding.hpp"
#include "backfield/earth/runway.hpp"

#include <array>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace backfield::io {

/// The word of the catalogue; it does not tell wet from dry.
enum class CatalogueSurface { unknown, asphalt, concrete, metal, grass, gravel, dirt };

/// What the coordinates of a runway's ends mark. Nearly always the pavement's ends; that they mark displaced landing
/// thresholds is concluded only when the distance between them is, to 100 ft, the length without the displacements, and
/// those are 300 ft or more together.
enum class EndCoordinates { pavement_ends, landing_thresholds };

struct CatalogueEnd {
  std::string designator;           ///< "09", "27L", also "5", "08T", "N"
  earth::Geodetic pavement_start;   ///< where the pavement begins, worked back from the threshold where need be
  earth::TrueDirection bearing;     ///< true, at pavement_start, towards the other end's; from the coordinates
  std::optional<Length> displaced;  ///< none when the catalogue is silent, which is not the same as zero
  std::optional<earth::Altitude> elevation;
};

struct CatalogueRunway {
  std::array<CatalogueEnd, 2> ends;
  Length length{};              ///< of the pavement, 600..20,000 ft
  std::optional<Length> width;  ///< none when the figure cannot be one: below 10 ft, above 500 ft or above the length
  CatalogueSurface surface = CatalogueSurface::unknown;
  bool lit = false;
  EndCoordinates coordinates = EndCoordinates::pavement_ends;

  /// "09/27"
  [[nodiscard]] std::string name() const { return ends[0].designator + "/" + ends[1].designator; }
  /// Rise over run from ends[0] to ends[1], at most 0.12 either way; none unless both elevations are there.
  [[nodiscard]] std::optional<double> slope() const;
};

/// Why a runway cannot be used; the first that applies, in this order.
enum class RunwayFault {
  aerodrome_closed,
  not_for_land_planes,  ///< heliport, seaplane base, balloon port
  water,                ///< a water runway at an aerodrome for land planes
  no_ends,              ///< no coordinates of its ends
  one_end,
  too_many_ends,
  unreadable,           ///< a figure that is missing, no number or out of its range
  length_out_of_range,  ///< below 600 or above 20,000 ft
  length_mismatch,      ///< further from the distance between the ends than 200 ft or 5 %, whichever is more
  ends_swapped,         ///< both headings off by more than 160 degrees
  heading_mismatch,     ///< a heading more than 15 degrees from the bearing between the ends
  designator_mismatch,  ///< the number more than 60 degrees from the bearing: magnetic variation does not explain it
  displacement,         ///< a threshold displaced by 60 % of the length or more
  far_from_aerodrome,   ///< an end more than 3 NM from the aerodrome's reference point
  slope                 ///< more than 12 % between the ends' elevations
};
inline constexpr int kRunwayFaults = 15;

/// The same in words, e.g. "length does not match the coordinates".
std::string_view describe(RunwayFault fault);

struct RejectedRunway {
  std::string name;  ///< "09/27", as far as known
  RunwayFault fault = RunwayFault::unreadable;
};

struct CatalogueAerodrome {
  std::string id;       ///< mostly the ICAO location indicator, else a local or national code ("US-4233")
  std::string name;     ///< UTF-8, one line
  std::string country;  ///< ISO 3166-1 alpha-2
  earth::Geodetic reference;
  earth::Altitude elevation;
  std::string frequency;  ///< of the tower, else the common traffic frequency: "118.9 MHz"; empty when unknown
  std::vector<CatalogueRunway> runways;
  std::vector<RejectedRunway> rejected;
  int left_out = 0;  ///< runways known but not usable; `rejected` names them unless the extract left them out
};

class CatalogueSource;

/// Not to be used by two threads at once; a copy shares the open file.
class Catalogue {
 public:
  /// path        an extract or an SQLite file of the data package; the latter is opened read-only and never written
  /// fails       missing or unreadable file, directory; neither form; an extract without stamp, attribution or the
  ///             expected columns; an SQLite file that is cut off, damaged or lacks a table or column (named)
  /// test        tests/unit/catalogue_test.cpp, tests/unit/catalogue_sqlite_test.cpp,
  /// tests/reference/catalogue_reference_test.cpp
  static Loaded<Catalogue> open(const std::string& path);

  /// The aerodrome with this id, as written in the catalogue.
  /// fails       no such aerodrome; a line or row of it that cannot be read (file:line)
  [[nodiscard]] Loaded<CatalogueAerodrome> find(std::string_view id) const;

  /// Every aerodrome with a usable runway whose reference point lies within `radius` of `centre`, nearest first; one
  /// that lies at `centre` is among them.
  /// Works across the antimeridian and the poles.
  /// fails       as find
  [[nodiscard]] Loaded<std::vector<CatalogueAerodrome>> within(earth::Geodetic centre, Length radius) const;

  /// Every aerodrome of the file, those without a usable runway included, in the order of the file. Reads all of it.
  [[nodiscard]] Loaded<std::vector<CatalogueAerodrome>> all() const;

  /// One line that names source and licence; it has to go with whatever shows the data.
  [[nodiscard]] const std::string& attribution() const;
  /// Day of the newest row, "2026-02-16". The extract and the package are frozen: a runway may have changed since.
  [[nodiscard]] const std::string& stamped() const;

 private:
  explicit Catalogue(std::shared_ptr<const CatalogueSource> source) : source_(std::move(source)) {}
  std::shared_ptr<const CatalogueSource> source_;
};

/// The usable ends in the frame of a departure: provenance `catalogue`, no declared distances.
///
/// Surface: asphalt and concrete are paved; grass is grass_wet, since the catalogue does not say how wet; metal
/// planking and what is not said are unknown. An unstated displacement is taken as none, an unstated elevation as the
/// aerodrome's, and without both elevations the runway is taken as level: catalogue_assumptions says so.
/// accuracy    position and track follow from the coordinates, given to 1 m in the extract
std::vector<earth::RunwayEnd> runway_ends(const CatalogueAerodrome& aerodrome, const earth::LocalFrame& frame);

/// What runway_ends had to assume, and what looks doubtful, as sentences for the brief; one or more per runway.
std::vector<std::string> catalogue_assumptions(const CatalogueAerodrome& aerodrome);

}  // namespace backfield::io
