#pragma once
// What the two forms of the open catalogue have in common: rows, as they stand in the file, of selected aerodromes.

#include "backfield/io/catalogue.hpp"

#include <cmath>
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
  std::string frequency_mhz;
  int left_out = 0;
  std::vector<RunwayRow> runways;
};

/// Which aerodromes: one by its id, those in a band of latitude, or all.
struct Selection {
  std::optional<std::string> id;
  double south_deg = -90.0;
  double north_deg = 90.0;
};

class CatalogueSource {
 public:
  virtual ~CatalogueSource() = default;
  CatalogueSource(const CatalogueSource&) = delete;
  CatalogueSource& operator=(const CatalogueSource&) = delete;

  [[nodiscard]] virtual Loaded<std::vector<AerodromeRows>> rows(const Selection& selection) const = 0;

  std::string file;
  std::string attribution;
  std::string stamped;
  std::string hint_when_not_found;

 protected:
  CatalogueSource() = default;
};

using LoadedSource = Loaded<std::shared_ptr<const CatalogueSource>>;
inline constexpr std::string_view kExtractFirstLine = "# backfield catalogue extract/1";
inline constexpr std::string_view kSqliteFirstBytes{"SQLite format 3\0", 16};
LoadedSource open_catalogue_extract(const std::string& path);
LoadedSource open_catalogue_sqlite(const std::string& path);

/// Rows into an aerodrome: every runway is either usable or has a fault.
CatalogueAerodrome judge(const AerodromeRows& rows);

/// UTF-8 text as one line: control characters, no-break spaces and runs of blanks become single blanks, bytes that are
/// no UTF-8 question marks.
std::string one_line(std::string_view text);

/// An error about a file, or about one line of it.
inline Finding catalogue_error(const std::string& file, std::string found, std::string accepted,
                               std::string hint = {}) {
  Finding f;
  f.file = file;
  f.found = std::move(found);
  f.accepted = std::move(accepted);
  f.hint = std::move(hint);
  return f;
}

}  // namespace backfield::io
