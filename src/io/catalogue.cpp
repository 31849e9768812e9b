#include "backfield/io/catalogue.hpp"

#include "catalogue_source.hpp"

#include <algorithm>
#include <fstream>
#include <utility>

namespace backfield::io {
namespace {

std::string first_bytes(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::string bytes(kSqliteFirstBytes.size(), '\0');
  in.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  bytes.resize(static_cast<std::size_t>(std::max<std::streamsize>(in.gcount(), 0)));
  return bytes;
}

/// Bytes of the UTF-8 character that begins at `at`, 0 when none does.           source: RFC 3629 section 4
std::size_t character_length(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return at + i < text.size() ? static_cast<unsigned char>(text[at + i]) : 0U; };
  const unsigned lead = byte(0);
  if (lead < 0x80) return 1;
  const std::size_t length = lead >= 0xC2 && lead <= 0xDF ? 2 : lead >= 0xE0 && lead <= 0xEF ? 3 : lead <= 0xF4 ? 4 : 0;
  if (length == 0 || lead < 0xC2) return 0;
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) & 0xC0U) != 0x80U) return 0;
  }
  const unsigned second = byte(1);
  const bool overlong = (lead == 0xE0 && second < 0xA0) || (lead == 0xF0 && second < 0x90);
  const bool beyond = (lead == 0xED && second > 0x9F) || (lead == 0xF4 && second > 0x8F);
  return overlong || beyond ? 0 : length;
}

std::optional<CatalogueAerodrome> placed(const AerodromeRows& rows) {
  const bool on_earth =
      std::abs(rows.latitude_deg) <= 90.0 && std::abs(rows.longitude_deg) <= 180.0 && std::isfinite(rows.elevation_ft);
  if (!on_earth) return std::nullopt;  // also when a figure is no number
  return judge(rows);
}

Finding without_place(const std::string& file, const AerodromeRows& rows) {
  Finding f = catalogue_error(file, "aerodrome \"" + rows.id + "\" without a usable position or elevation",
                              "latitude -90..90, longitude -180..180 and an elevation", "it is left out");
  f.severity = Severity::warning;
  return f;
}

}  // namespace

std::string one_line(std::string_view text) {
  std::string line;
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t length = character_length(text, i);
    const std::string_view character = text.substr(i, std::max<std::size_t>(length, 1));
    i += character.size();
    const auto lead = static_cast<unsigned char>(character[0]);
    const bool c1_control = character.size() == 2 && lead == 0xC2 && static_cast<unsigned char>(character[1]) < 0xA0;
    if (length == 0) {
      line += '?';
    } else if (lead <= 0x20 || lead == 0x7F || c1_control || character == "\u00A0") {
      if (!line.empty() && line.back() != ' ') line += ' ';
    } else {
      line += character;
    }
  }
  if (!line.empty() && line.back() == ' ') line.pop_back();
  return line;
}

Loaded<Catalogue> Catalogue::open(const std::string& path) {
  LoadedSource source =
      first_bytes(path) == kSqliteFirstBytes ? open_catalogue_sqlite(path) : open_catalogue_extract(path);
  Loaded<Catalogue> result;
  result.findings = std::move(source.findings);
  if (source.value) result.value = Catalogue(std::move(*source.value));
  return result;
}

Loaded<CatalogueAerodrome> Catalogue::find(std::string_view id) const {
  Selection selection;
  selection.id = std::string(id);
  const Loaded<std::vector<AerodromeRows>> rows = source_->rows(selection);
  Loaded<CatalogueAerodrome> result;
  result.findings = rows.findings;
  if (!rows.value) return result;
  if (rows.value->empty()) {
    result.findings.push_back(catalogue_error(source_->file, "no aerodrome \"" + one_line(id) + "\"",
                                              "the id of an aerodrome in this catalogue",
                                              source_->hint_when_not_found));
    return result;
  }
  result.value = placed(rows.value->front());
  if (!result.value) {
    result.findings.push_back(without_place(source_->file, rows.value->front()));
    result.findings.back().severity = Severity::error;
  }
  return result;
}

Loaded<std::vector<CatalogueAerodrome>> Catalogue::within(earth::Geodetic centre, Length radius) const {
  // A degree of latitude is 110.57 km at the least (at the equator, WGS 84). Longitude is left to the exact distance:
  // a band holds few enough aerodromes, and needs no care at the antimeridian or the poles.
  constexpr double kLeastMetresPerDegree = 110500.0;
  const double half_width_deg = in_metres(radius) / kLeastMetresPerDegree;
  Selection selection;
  selection.south_deg = in_degrees(centre.latitude) - half_width_deg;
  selection.north_deg = in_degrees(centre.latitude) + half_width_deg;
  const Loaded<std::vector<AerodromeRows>> rows = source_->rows(selection);
  Loaded<std::vector<CatalogueAerodrome>> result;
  result.findings = rows.findings;
  if (!rows.value) return result;

  std::vector<std::pair<Length, CatalogueAerodrome>> found;
  for (const AerodromeRows& row : *rows.value) {
    const earth::Geodetic place{degrees(row.latitude_deg), degrees(row.longitude_deg)};
    if (!(std::abs(row.latitude_deg) <= 90.0 && std::abs(row.longitude_deg) <= 180.0)) continue;
    const Length away = earth::geodesic(centre, place).length;
    if (away > radius) continue;
    std::optional<CatalogueAerodrome> aerodrome = placed(row);
    if (!aerodrome) {
      result.findings.push_back(without_place(source_->file, row));
    } else if (!aerodrome->runways.empty()) {
      found.emplace_back(away, std::move(*aerodrome));
    }
  }
  std::stable_sort(found.begin(), found.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  result.value.emplace();
  for (auto& [away, aerodrome] : found) result.value->push_back(std::move(aerodrome));
  return result;
}

Loaded<std::vector<CatalogueAerodrome>> Catalogue::all() const {
  const Loaded<std::vector<AerodromeRows>> rows = source_->rows({});
  Loaded<std::vector<CatalogueAerodrome>> result;
  result.findings = rows.findings;
  if (!rows.value) return result;
  result.value.emplace();
  for (const AerodromeRows& row : *rows.value) {
    if (std::optional<CatalogueAerodrome> aerodrome = placed(row)) {
      result.value->push_back(std::move(*aerodrome));
    } else {
      result.findings.push_back(without_place(source_->file, row));
    }
  }
  return result;
}

const std::string& Catalogue::attribution() const { return source_->attribution; }
const std::string& Catalogue::stamped() const { return source_->stamped; }

}  // namespace backfield::io
