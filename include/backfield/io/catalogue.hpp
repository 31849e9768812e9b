#pragma once
// The open catalogue: aerodromes of the world with the geometry of their runways.
//
//   const Loaded<Catalogue> catalogue = Catalogue::open("cases/open-data/runways.csv");
//   const Loaded<CatalogueAerodrome> home = catalogue.value->find("LSZB");
//   const auto near = catalogue.value->within(home.value->reference, nautical_miles(10));
//   const std::vector<earth::RunwayEnd> ends = runway_ends(*home.value, frame);
//
// Three forms of it are read. A directory is taken for the source's own CSV files (airports.csv, runways.csv and, where
// there, airport-frequencies.csv); of files the first bytes tell: the compact extract that is shipped (made by
// cases/open-data/make-extract.py) or the SQLite file of the data package the extract is made from.
//
// The data is collected by volunteers and is partly wrong: lengths that do not fit the coordinates, ends swapped, a
// second end missing. A runway is offered only when its figures agree with each other; the others are kept as
// RejectedRunway with the reason. It has no declared distances, and but for the CSV files hardly any surfaces and no
// "closed" mark for runways, so what comes from it alone is listed and never briefed (earth::Provenance::catalogue).
//
// Opening and one search of the extract take a few milliseconds: nothing is parsed but the lines that are asked for.
// The CSV files are read whole when they are opened. Figures: tests/bench/README.md.

#include "backfield/base/finding.hpp"
#include "backfield/earth/places.hpp"
#include "backfield/earth/runway.hpp"

#include <array>
#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace backfield::io {

/// The kind of surface; the catalogue does not tell wet from dry. No usable runway is of water.
enum class CatalogueSurface { unknown, asphalt, concrete, metal, grass, gravel, dirt, water };

/// The same in a word, "asphalt".
std::string_view describe(CatalogueSurface surface);

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
  std::string surface_as_written;  ///< UTF-8; may say more than the kind ("ASPH-F", "sand"), or nothing
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
  runway_closed,        ///< marked so; only the CSV files can
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
inline constexpr int kRunwayFaults = 16;

/// The same in words, e.g. "length does not match the coordinates".
std::string_view describe(RunwayFault fault);

struct RejectedRunway {
  std::string name;  ///< "09/27", as far as known
  RunwayFault fault = RunwayFault::unreadable;
};

struct CatalogueFrequency {
  std::string service;  ///< "tower", "information", "traffic", "ATIS", "ground", "approach" ...
  std::string mhz;      ///< "118.9 MHz"
};

struct CatalogueAerodrome {
  std::string id;       ///< mostly the ICAO location indicator, else a local or national code ("US-4233")
  std::string name;     ///< UTF-8, one line
  std::string country;  ///< ISO 3166-1 alpha-2
  earth::Geodetic reference;
  earth::Altitude elevation;
  bool elevation_from_ends = false;  ///< none of its own: that of its highest runway end
  std::string frequency;  ///< of the tower, else of an information service, else of the traffic; empty when unknown
  std::vector<CatalogueFrequency> frequencies;           ///< all that a radio can be set to
  std::vector<CatalogueFrequency> doubtful_frequencies;  ///< as written: "25.43" is none
  std::vector<CatalogueRunway> runways;
  std::vector<RejectedRunway> rejected;
  int left_out = 0;  ///< runways known but not usable; `rejected` names them unless the extract left them out
};

/// What a number of aerodromes comes to: how much of the data can be used, and why the rest cannot.
struct CatalogueCount {
  int aerodromes = 0;
  int with_usable_runway = 0;
  int usable_runways = 0;
  int of_unknown_surface = 0;                 ///< of the usable ones
  std::array<int, kRunwayFaults> rejected{};  ///< by RunwayFault
  int left_out_before = 0;                    ///< by the extract, which keeps no reason

  void add(const CatalogueAerodrome& aerodrome);
  [[nodiscard]] int rejected_runways() const;
};

struct Neighbour {
  CatalogueAerodrome aerodrome;
  earth::Geodesic away;  ///< of its reference point; true bearing at the centre
};

struct Neighbourhood {
  std::vector<Neighbour> usable;  ///< those with a usable runway, nearest first
  CatalogueCount count;           ///< of all aerodromes within the radius
};

/// What stamped() is the day of.
enum class StampKind {
  newest_row,  ///< of the data itself
  file         ///< on which the oldest of the CSV files was written: mostly the day of the download
};

class CatalogueSource;

/// Not to be used by two threads at once; a copy shares the open file.
class Catalogue {
 public:
  /// path        an extract, an SQLite file of the data package, opened read-only and never written, or a directory
  /// with
  ///             the source's CSV files
  /// fails       missing or unreadable file; none of the forms; an extract without stamp, attribution or the expected
  ///             columns; an SQLite file that is cut off, damaged or lacks a table or column (named); a CSV file that
  ///             lacks a column, or has a record that is none (file:line)
  /// warns       CSV: rows that belong to no aerodrome, how many and the first of them
  /// test        tests/unit/catalogue_test.cpp, tests/unit/catalogue_sqlite_test.cpp,
  /// tests/unit/catalogue_csv_test.cpp,
  ///             tests/reference/catalogue_reference_test.cpp
  static Loaded<Catalogue> open(const std::string& path);

  /// The aerodrome with this id, as written in the catalogue.
  /// CSV files also know an aerodrome by its ICAO location indicator or GPS code, where this is no other's id.
  /// fails       no such aerodrome; a code of several aerodromes; a line of the extract that cannot be read (file:line)
  /// warns       a figure of it in the CSV files that cannot be read (file:line, column, what is accepted)
  [[nodiscard]] Loaded<CatalogueAerodrome> find(std::string_view id) const;

  /// Every aerodrome with a usable runway whose reference point lies within `radius` of `centre`, nearest first; one
  /// that lies at `centre` is among them. Distances are geodesics on WGS 84.
  /// Works across the antimeridian and the poles.
  /// radius      >= 0; 20,004 km reach all of the Earth
  /// fails       as find, and a line of the extract whose place cannot be read, wherever it is
  /// test        tests/laws/places_test.cpp, tests/reference/catalogue_reference_test.cpp
  [[nodiscard]] Loaded<Neighbourhood> neighbourhood(earth::Geodetic centre, Length radius) const;
  /// The aerodromes of neighbourhood().
  [[nodiscard]] Loaded<std::vector<CatalogueAerodrome>> within(earth::Geodetic centre, Length radius) const;
  /// The first `count` of them, or as many as there are; looks no further than it has to.
  [[nodiscard]] Loaded<std::vector<Neighbour>> nearest(earth::Geodetic centre, std::size_t count, Length radius) const;

  /// Every aerodrome of the file, those without a usable runway included, in the order of the file. Reads all of it.
  [[nodiscard]] Loaded<std::vector<CatalogueAerodrome>> all() const;

  /// One line that names source and licence; it has to go with whatever shows the data.
  [[nodiscard]] const std::string& attribution() const;
  /// A day, "2026-02-16". The data is frozen since: a runway may have changed.
  [[nodiscard]] const std::string& stamped() const;
  [[nodiscard]] StampKind stamp_kind() const;

 private:
  struct Index;
  explicit Catalogue(std::shared_ptr<CatalogueSource> source);
  [[nodiscard]] Loaded<const Index*> index() const;
  template <class Use>
  bool judge_next(const Index& index, earth::Places::Outwards& near, std::size_t most, std::vector<Finding>& findings,
                  Use use) const;

  std::shared_ptr<CatalogueSource> source_;
  std::shared_ptr<std::optional<Index>> index_;  // made by the first search by place
};

/// The usable ends in the frame of a departure: provenance `catalogue`, no declared distances.
///
/// Surface: asphalt and concrete are paved; grass is grass_wet, since the catalogue does not say how wet; metal
/// planking and what is not said are unknown. An unstated displacement is taken as none, an unstated elevation as the
/// aerodrome's, and without both elevations the runway is taken as level: catalogue_assumptions says so.
/// accuracy    position and track follow from the coordinates, given to 1 m in the extract
std::vector<earth::RunwayEnd> runway_ends(const CatalogueAerodrome& aerodrome, const earth::LocalFrame& frame);

/// What is not stated or looks doubtful, as sentences.
std::vector<std::string> catalogue_remarks(const CatalogueAerodrome& aerodrome);
/// The same and what else runway_ends had to assume, as sentences for the brief; one or more per runway.
std::vector<std::string> catalogue_assumptions(const CatalogueAerodrome& aerodrome);

}  // namespace backfield::io
