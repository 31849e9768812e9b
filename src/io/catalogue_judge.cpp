// Whether the figures of a runway agree with each other, and the runway ends that follow from them.
//
// The limits are those of cases/open-data/make-extract.py, which applies the same rule; a test holds that the shipped
// extract passes here without a single rejection. Counted over the 12,849 open land runways with two ends: the distance
// between the ends is within 200 ft or 5 % of the length for 88 %; the headings are within 15 degrees of the bearing
// for 97 %, and most of what lies beyond is wrong by 90 degrees or more. A designator may differ from the true bearing
// by the magnetic variation; 60 degrees leave room for that and still tell an end that carries the other one's name.

#include "catalogue_source.hpp"
#include "csv.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace backfield::io {
namespace {

constexpr double kShortestFt = 600.0;
constexpr double kLongestFt = 20000.0;
constexpr double kLengthToleranceFt = 200.0;
constexpr double kLengthTolerance = 0.05;
constexpr double kThresholdsFromFt = 300.0;  // total displacement from which thresholds can be told from pavement ends
constexpr double kThresholdToleranceFt = 100.0;
constexpr double kSwappedDeg = 160.0;
constexpr double kHeadingToleranceDeg = 15.0;
constexpr double kDesignatorToleranceDeg = 60.0;
constexpr double kMostDisplaced = 0.6;
constexpr double kFurthestEndNm = 3.0;
constexpr double kSteepest = 0.12;
constexpr double kNarrowestFt = 10.0;
constexpr double kWidestFt = 500.0;

constexpr double kDoubtfulSlope = 0.04;  // 12 of 10,066 runways exceed it, some of them genuinely
constexpr double kDoubtfulElevationFt = 300.0;

bool is_digit(char c) { return c >= '0' && c <= '9'; }

double apart_deg(double a, double b) { return std::abs(std::remainder(a - b, 360.0)); }

/// Ten times the number in a designator; none for "N" or "SE".
std::optional<double> direction_of(const std::string& designator) {
  int number = 0;
  std::size_t digits = 0;
  while (digits < 2 && digits < designator.size() && is_digit(designator[digits])) {
    number = 10 * number + (designator[digits++] - '0');
  }
  if (digits == 0) return std::nullopt;
  return 10.0 * number;
}

bool readable(const RunwayRow& r) {
  const auto sound = [](const EndRow& e) {
    return std::abs(e.latitude_deg) <= 90.0 && std::abs(e.longitude_deg) <= 180.0 && e.heading_deg >= 0.0 &&
           e.heading_deg <= 360.0 && e.displaced_ft.value_or(0.0) >= 0.0 &&
           std::isfinite(e.elevation_ft.value_or(0.0)) && !e.designator.empty();
  };
  return std::isfinite(r.length_ft) && std::all_of(r.ends.begin(), r.ends.end(), sound);
}

earth::Geodetic place_of(const EndRow& e) { return {degrees(e.latitude_deg), degrees(e.longitude_deg)}; }

/// What the coordinates say about a runway of two ends.
struct Geometry {
  double between_ft;
  std::array<double, 2> bearing_deg;
  EndCoordinates coordinates;
};

Geometry measure(const RunwayRow& r) {
  const earth::Geodesic there = earth::geodesic(place_of(r.ends[0]), place_of(r.ends[1]));
  const earth::Geodesic back = earth::geodesic(place_of(r.ends[1]), place_of(r.ends[0]));
  Geometry g{in_feet(there.length), {there.initial_bearing.deg(), back.initial_bearing.deg()}, {}};
  const double displaced_ft = r.ends[0].displaced_ft.value_or(0.0) + r.ends[1].displaced_ft.value_or(0.0);
  const bool thresholds = displaced_ft >= kThresholdsFromFt &&
                          std::abs(g.between_ft - (r.length_ft - displaced_ft)) <= kThresholdToleranceFt;
  g.coordinates = thresholds ? EndCoordinates::landing_thresholds : EndCoordinates::pavement_ends;
  return g;
}

std::optional<RunwayFault> geometry_fault(const AerodromeRows& aerodrome, const RunwayRow& r, const Geometry& g) {
  if (g.coordinates == EndCoordinates::pavement_ends &&
      std::abs(g.between_ft - r.length_ft) > std::max(kLengthToleranceFt, kLengthTolerance * r.length_ft)) {
    return RunwayFault::length_mismatch;
  }
  const std::array<double, 2> off = {apart_deg(g.bearing_deg[0], r.ends[0].heading_deg),
                                     apart_deg(g.bearing_deg[1], r.ends[1].heading_deg)};
  if (std::min(off[0], off[1]) > kSwappedDeg) return RunwayFault::ends_swapped;
  if (std::max(off[0], off[1]) > kHeadingToleranceDeg) return RunwayFault::heading_mismatch;
  const earth::Geodetic reference{degrees(aerodrome.latitude_deg), degrees(aerodrome.longitude_deg)};
  bool displaced = false;
  bool far = false;
  for (std::size_t i = 0; i < 2; ++i) {
    const EndRow& e = r.ends[i];
    const std::optional<double> named_deg = direction_of(e.designator);
    if (named_deg && apart_deg(*named_deg, g.bearing_deg[i]) > kDesignatorToleranceDeg) {
      return RunwayFault::designator_mismatch;
    }
    displaced = displaced || e.displaced_ft.value_or(0.0) >= kMostDisplaced * r.length_ft;
    far = far || earth::geodesic(reference, place_of(e)).length > nautical_miles(kFurthestEndNm);
  }
  if (displaced) return RunwayFault::displacement;
  if (far) return RunwayFault::far_from_aerodrome;
  const std::optional<double> low_ft = r.ends[0].elevation_ft;
  const std::optional<double> high_ft = r.ends[1].elevation_ft;
  if (low_ft && high_ft && std::abs(*high_ft - *low_ft) > kSteepest * r.length_ft) return RunwayFault::slope;
  return std::nullopt;
}

std::optional<RunwayFault> row_fault(const AerodromeRows& aerodrome, const RunwayRow& r) {
  if (aerodrome.kind == AerodromeKind::closed) return RunwayFault::aerodrome_closed;
  if (aerodrome.kind == AerodromeKind::other) return RunwayFault::not_for_land_planes;
  if (r.closed) return RunwayFault::runway_closed;
  if (read_surface(r.surface) == CatalogueSurface::water) return RunwayFault::water;
  if (r.ends.empty()) return RunwayFault::no_ends;
  if (r.ends.size() == 1) return RunwayFault::one_end;
  if (r.ends.size() > 2) return RunwayFault::too_many_ends;
  if (!readable(r)) return RunwayFault::unreadable;
  if (r.length_ft < kShortestFt || r.length_ft > kLongestFt) return RunwayFault::length_out_of_range;
  return std::nullopt;
}

CatalogueRunway usable_runway(const RunwayRow& r, const Geometry& g) {
  CatalogueRunway runway;
  runway.length = feet(r.length_ft);
  const bool width_possible = r.width_ft >= kNarrowestFt && r.width_ft <= std::min(kWidestFt, r.length_ft);
  if (width_possible) runway.width = feet(r.width_ft);
  runway.surface = read_surface(r.surface);
  runway.surface_as_written = r.surface;
  runway.lit = r.lit;
  runway.coordinates = g.coordinates;
  for (std::size_t i = 0; i < 2; ++i) {
    const EndRow& row = r.ends[i];
    CatalogueEnd& end = runway.ends[i];
    end.designator = row.designator;
    if (row.displaced_ft) end.displaced = feet(*row.displaced_ft);
    if (row.elevation_ft) end.elevation = earth::Altitude{feet(*row.elevation_ft)};
    const Length back =
        g.coordinates == EndCoordinates::landing_thresholds ? end.displaced.value_or(Length{}) : Length{};
    const earth::TrueDirection outwards = earth::true_degrees(g.bearing_deg[i]).reciprocal();
    end.pavement_start = back > Length{} ? earth::destination(place_of(row), outwards, back) : place_of(row);
    end.bearing = earth::true_degrees(g.bearing_deg[i]);
  }
  return runway;
}

/// Of an aerodrome whose own is not there: that of its highest runway end, which is what an aerodrome's elevation means
/// (ICAO Annex 14, 1.1: the highest point of the landing area). NaN when no end has one.
double elevation_of_ends_ft(const AerodromeRows& rows) {
  double highest_ft = kUnreadable;
  for (const RunwayRow& r : rows.runways) {
    for (const EndRow& e : r.ends) highest_ft = std::fmax(highest_ft, e.elevation_ft.value_or(kUnreadable));
  }
  return highest_ft;
}

std::string name_of(const RunwayRow& r) {
  std::string name;
  for (const EndRow& e : r.ends) name += (name.empty() ? "" : "/") + e.designator;
  return name;
}

earth::Surface surface_to_land_on(CatalogueSurface s) {
  switch (s) {
    case CatalogueSurface::asphalt:
    case CatalogueSurface::concrete:
      return earth::Surface::paved;
    case CatalogueSurface::grass:
      return earth::Surface::grass_wet;
    case CatalogueSurface::gravel:
      return earth::Surface::gravel;
    case CatalogueSurface::dirt:
      return earth::Surface::dirt;
    case CatalogueSurface::metal:
    case CatalogueSurface::water:
    case CatalogueSurface::unknown:
      break;
  }
  return earth::Surface::unknown;
}

/// Whether an aircraft's radio can be set to it: 108 to 137 MHz, or the military band of 225 to 400 MHz (ICAO Annex 10
/// volume V and, for the latter, common practice; from memory). The data has figures like "25.43" among them.
bool is_airband(const std::string& mhz) {
  const std::optional<double> value = number_in(mhz);
  return value && ((*value >= 108.0 && *value < 137.0) || (*value >= 225.0 && *value < 400.0));
}

void add_frequencies(const AerodromeRows& rows, CatalogueAerodrome& aerodrome) {
  for (const CatalogueFrequency& f : rows.frequencies) {
    if (is_airband(f.mhz)) {
      aerodrome.frequencies.push_back({f.service, f.mhz + " MHz"});
    } else {
      aerodrome.doubtful_frequencies.push_back(f);
    }
  }
  for (const char* service : {"tower", "tower or traffic", "information", "traffic"}) {
    for (const CatalogueFrequency& f : aerodrome.frequencies) {
      if (aerodrome.frequency.empty() && f.service == service) aerodrome.frequency = f.mhz;
    }
  }
}

/// "09", "09 and 27" or nothing: the ends that lack something.
template <class Has>
std::string without(const CatalogueRunway& runway, Has has) {
  std::string names;
  for (const CatalogueEnd& end : runway.ends) {
    if (!has(end)) names += (names.empty() ? "" : " and ") + end.designator;
  }
  return names;
}

/// What had to be assumed about one runway, and what looks doubtful.
void add_remarks(const CatalogueAerodrome& aerodrome, const CatalogueRunway& runway, std::vector<std::string>& lines) {
  const std::string name = aerodrome.id + " " + runway.name();
  const auto say = [&](const std::string& text) { lines.push_back(std::string(name).append(": ").append(text)); };
  const double aerodrome_ft = in_feet(aerodrome.elevation.above_sea_level);
  const std::string low = without(runway, [](const CatalogueEnd& end) { return end.elevation.has_value(); });
  if (!low.empty()) {
    say(fmt::format("taken as level, and {} as high as the aerodrome, {:.0f} ft: the open catalogue does not say", low,
                    aerodrome_ft));
  } else if (const double slope = runway.slope().value_or(0.0); std::abs(slope) > kDoubtfulSlope) {
    say(fmt::format("the open catalogue's elevations make a slope of {:.1f} %: check it", 100.0 * std::abs(slope)));
  }
  for (const CatalogueEnd& end : runway.ends) {
    if (!end.elevation) continue;
    const double end_ft = in_feet(end.elevation->above_sea_level);
    if (std::abs(end_ft - aerodrome_ft) > kDoubtfulElevationFt) {
      say(fmt::format("elevation of {}, {:.0f} ft, is far from the aerodrome's, {:.0f} ft: check it", end.designator,
                      end_ft, aerodrome_ft));
    }
  }
  const std::string silent = without(runway, [](const CatalogueEnd& end) { return end.displaced.has_value(); });
  if (!silent.empty()) say("no displaced threshold assumed at " + silent + ": the open catalogue does not say");
  if (runway.coordinates == EndCoordinates::landing_thresholds) {
    say("the open catalogue's coordinates are taken to mark the landing thresholds, since they fit its length only so");
  }
}

}  // namespace

AerodromeKind kind_named(std::string_view type) {
  if (type == "closed") return AerodromeKind::closed;
  const bool land = type == "small_airport" || type == "medium_airport" || type == "large_airport";
  return land ? AerodromeKind::land_planes : AerodromeKind::other;
}

std::string_view describe(RunwayFault fault) {
  switch (fault) {
    case RunwayFault::aerodrome_closed:
      return "aerodrome closed";
    case RunwayFault::not_for_land_planes:
      return "not an aerodrome for land planes";
    case RunwayFault::runway_closed:
      return "runway closed";
    case RunwayFault::water:
      return "water";
    case RunwayFault::no_ends:
      return "no coordinates of its ends";
    case RunwayFault::one_end:
      return "coordinates of one end only";
    case RunwayFault::too_many_ends:
      return "coordinates of more than two ends";
    case RunwayFault::unreadable:
      return "a figure that is missing or cannot be";
    case RunwayFault::length_out_of_range:
      return "length below 600 or above 20,000 ft";
    case RunwayFault::length_mismatch:
      return "length does not match the coordinates";
    case RunwayFault::ends_swapped:
      return "ends swapped";
    case RunwayFault::heading_mismatch:
      return "headings do not match the coordinates";
    case RunwayFault::designator_mismatch:
      return "designator does not match the coordinates";
    case RunwayFault::displacement:
      return "threshold displaced by 60 % or more";
    case RunwayFault::far_from_aerodrome:
      return "an end over 3 NM from the aerodrome";
    case RunwayFault::slope:
      return "slope over 12 %";
  }
  return "";
}

std::string_view describe(CatalogueSurface surface) {
  constexpr std::array<std::string_view, 8> kWords = {"unknown", "asphalt", "concrete", "metal",
                                                      "grass",   "gravel",  "dirt",     "water"};
  return kWords[static_cast<std::size_t>(surface)];
}

void CatalogueCount::add(const CatalogueAerodrome& aerodrome) {
  ++aerodromes;
  if (!aerodrome.runways.empty()) ++with_usable_runway;
  usable_runways += static_cast<int>(aerodrome.runways.size());
  for (const CatalogueRunway& r : aerodrome.runways) {
    of_unknown_surface += r.surface == CatalogueSurface::unknown ? 1 : 0;
  }
  for (const RejectedRunway& r : aerodrome.rejected) ++rejected[static_cast<std::size_t>(r.fault)];
  left_out_before += aerodrome.left_out - static_cast<int>(aerodrome.rejected.size());
}

int CatalogueCount::rejected_runways() const {
  int all = 0;
  for (const int n : rejected) all += n;
  return all;
}

std::optional<double> CatalogueRunway::slope() const {
  if (!ends[0].elevation || !ends[1].elevation) return std::nullopt;
  return (*ends[1].elevation - *ends[0].elevation).above_datum / length;
}

std::optional<CatalogueAerodrome> judge(const AerodromeRows& rows) {
  const double elevation_ft = std::isfinite(rows.elevation_ft) ? rows.elevation_ft : elevation_of_ends_ft(rows);
  if (!is_on_earth(rows.latitude_deg, rows.longitude_deg) || !std::isfinite(elevation_ft)) return std::nullopt;
  CatalogueAerodrome aerodrome;
  aerodrome.id = rows.id;
  aerodrome.name = rows.name;
  aerodrome.country = rows.country;
  aerodrome.reference = {degrees(rows.latitude_deg), degrees(rows.longitude_deg)};
  aerodrome.elevation = {feet(elevation_ft)};
  aerodrome.elevation_from_ends = !std::isfinite(rows.elevation_ft);
  add_frequencies(rows, aerodrome);
  for (const RunwayRow& row : rows.runways) {
    std::optional<RunwayFault> fault = row_fault(rows, row);
    if (!fault) {
      const Geometry geometry = measure(row);
      fault = geometry_fault(rows, row, geometry);
      if (!fault) aerodrome.runways.push_back(usable_runway(row, geometry));
    }
    if (fault) aerodrome.rejected.push_back({name_of(row), *fault});
  }
  aerodrome.left_out = rows.left_out + static_cast<int>(aerodrome.rejected.size());
  return aerodrome;
}

std::vector<earth::RunwayEnd> runway_ends(const CatalogueAerodrome& aerodrome, const earth::LocalFrame& frame) {
  std::vector<earth::RunwayEnd> ends;
  for (const CatalogueRunway& runway : aerodrome.runways) {
    const double slope = runway.slope().value_or(0.0);
    for (std::size_t i = 0; i < 2; ++i) {
      const CatalogueEnd& from = runway.ends[i];
      earth::RunwayEnd end;
      end.aerodrome = aerodrome.id;
      end.designator = from.designator;
      end.pavement_start = frame.to_local(from.pavement_start);
      end.track = frame.to_local(from.pavement_start, from.bearing);
      end.elevation = from.elevation.value_or(aerodrome.elevation);
      end.slope = i == 0 ? slope : 0.0 - slope;
      end.pavement = runway.length;
      end.displaced = from.displaced.value_or(Length{});
      end.surface = surface_to_land_on(runway.surface);
      end.lit = runway.lit;
      end.provenance = earth::Provenance::catalogue;
      end.frequency = aerodrome.frequency;
      ends.push_back(std::move(end));
    }
  }
  return ends;
}

std::vector<std::string> catalogue_remarks(const CatalogueAerodrome& aerodrome) {
  std::vector<std::string> lines;
  for (const CatalogueFrequency& f : aerodrome.doubtful_frequencies) {
    lines.push_back(fmt::format("{}: {} frequency \"{}\" left out: no aeronautical frequency in MHz", aerodrome.id,
                                f.service, f.mhz));
  }
  if (aerodrome.elevation_from_ends) {
    lines.push_back(
        fmt::format("{}: elevation taken from its highest runway end, {:.0f} ft: the open catalogue has none",
                    aerodrome.id, in_feet(aerodrome.elevation.above_sea_level)));
  }
  for (const CatalogueRunway& runway : aerodrome.runways) add_remarks(aerodrome, runway, lines);
  return lines;
}

std::vector<std::string> catalogue_assumptions(const CatalogueAerodrome& aerodrome) {
  std::vector<std::string> lines = catalogue_remarks(aerodrome);
  for (const CatalogueRunway& runway : aerodrome.runways) {
    if (runway.surface != CatalogueSurface::grass) continue;
    lines.push_back(aerodrome.id + " " + runway.name() +
                    ": grass taken as wet: the open catalogue does not say how wet");
  }
  return lines;
}

}  // namespace backfield::io
