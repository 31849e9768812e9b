#pragma once
// What the forms of the open catalogue have in common: rows, as they stand in the file, of selected aerodromes.

#include "read_file.hpp"

#include "backfield/io/catalogue.hpp"

#include <cmath>
#include <cstdint>
#include <limits>

namespace backfield::io {

inline constexpr double kUnreadable = std::numeric_limits<double>::quiet_NaN();

struct EndRow {
  std::string designator;
  double latitude_deg = kUnreadable;
  double longitude_deg = kUnreadable;
  double heading_deg = kUnreadable;  ///< true
  std::optional<double> displaced_ft;
  std::optional<double> elevation_ft;
};

struct RunwayRow {
  double length_ft = kUnreadable;
  double width_ft = kUnreadable;
  std::string surface;
  bool closed = false;
  bool lit = false;
  std::vector<EndRow> ends;
};

enum class AerodromeKind { land_planes, closed, other };

struct AerodromeRows {
  AerodromeKind kind = AerodromeKind::land_planes;
  std::string id, name, country;
  double latitude_deg = kUnreadable;
  double longitude_deg = kUnreadable;
  double elevation_ft = kUnreadable;
  std::vector<CatalogueFrequency> frequencies;
  int left_out = 0;
  std::vector<RunwayRow> runways;
  std::vector<Finding> remarks;  ///< warnings about these rows
};

/// Names an aerodrome to the source it comes from.
using AerodromeKey = std::int64_t;

/// Which aerodromes: one by its id, some by their keys, or all.
struct Selection {
  std::optional<std::string> id;
  std::optional<std::vector<AerodromeKey>> keys;
};

struct AerodromePlace {
  AerodromeKey key = 0;
  earth::Geodetic place;
};

class CatalogueSource {
 public:
  virtual ~CatalogueSource() = default;
  CatalogueSource(const CatalogueSource&) = delete;
  CatalogueSource& operator=(const CatalogueSource&) = delete;

  /// Those selected, in the order of the file.
  [[nodiscard]] virtual Loaded<std::vector<AerodromeRows>> rows(const Selection& selection) const = 0;
  /// Where every aerodrome with a place on Earth is; makes the keys, so it is asked first.
  [[nodiscard]] virtual Loaded<std::vector<AerodromePlace>> places() = 0;

  std::string file;
  std::string attribution;
  std::string stamped;
  StampKind stamp_kind = StampKind::newest_row;
  std::string hint_when_not_found;

 protected:
  CatalogueSource() = default;
};

using LoadedSource = Loaded<std::shared_ptr<CatalogueSource>>;
inline constexpr std::string_view kExtractFirstLine = "# backfield catalogue extract/1";
inline constexpr std::string_view kSqliteFirstBytes{"SQLite format 3\0", 16};
LoadedSource open_catalogue_extract(const std::string& path);
LoadedSource open_catalogue_sqlite(const std::string& path);
LoadedSource open_catalogue_csv(const std::string& directory);

/// The source's word for a kind of aerodrome; a word that is not known is none for land planes.
AerodromeKind kind_named(std::string_view type);

/// The places of those that have one on Earth; a key is the place in the list.
std::vector<AerodromePlace> places_of(const std::vector<AerodromeRows>& all);

/// What a surface's name means; unknown when it means nothing to us, or several things.
CatalogueSurface read_surface(std::string_view text);

inline bool is_on_earth(double latitude_deg, double longitude_deg) {
  return std::abs(latitude_deg) <= 90.0 && std::abs(longitude_deg) <= 180.0;  // false when one is no number
}

/// Rows into an aerodrome: every runway is either usable or has a fault. None without a place on Earth, or without an
/// elevation of its own and of its runways' ends.
std::optional<CatalogueAerodrome> judge(const AerodromeRows& rows);

/// UTF-8 text as one line: control characters, no-break spaces and runs of blanks become single blanks, bytes that are
/// no UTF-8 question marks.
std::string one_line(std::string_view text);

}  // namespace backfield::io
