#include "backfield/io/catalogue.hpp"

#include "catalogue_source.hpp"

#include "backfield/base/contract.hpp"

#include <algorithm>
#include <filesystem>
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

Finding without_place(const std::string& file, const AerodromeRows& rows) {
  Finding f = file_error(file, "aerodrome \"" + rows.id + "\" without a usable position or elevation",
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

std::vector<AerodromePlace> places_of(const std::vector<AerodromeRows>& all) {
  std::vector<AerodromePlace> places;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const AerodromeRows& a = all[i];
    if (!is_on_earth(a.latitude_deg, a.longitude_deg)) continue;
    places.push_back({static_cast<AerodromeKey>(i), {degrees(a.latitude_deg), degrees(a.longitude_deg)}});
  }
  return places;
}

/// Of the aerodromes near a place; used here and nowhere else.
struct Catalogue::Index {
  std::vector<AerodromeKey> keys;
  earth::Places places;
};

Catalogue::Catalogue(std::shared_ptr<CatalogueSource> source)
    : source_(std::move(source)), index_(std::make_shared<std::optional<Index>>()) {}

Loaded<Catalogue> Catalogue::open(const std::string& path) {
  std::error_code failed;
  LoadedSource source = std::filesystem::is_directory(path, failed) ? open_catalogue_csv(path)
                        : first_bytes(path) == kSqliteFirstBytes    ? open_catalogue_sqlite(path)
                                                                    : open_catalogue_extract(path);
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
    result.findings.push_back(file_error(source_->file, "no aerodrome \"" + one_line(id) + "\"",
                                         "the id of an aerodrome in this catalogue", source_->hint_when_not_found));
    return result;
  }
  const AerodromeRows& first = rows.value->front();
  append(result.findings, first.remarks);
  result.value = judge(first);
  if (!result.value) {
    result.findings.push_back(without_place(source_->file, first));
    result.findings.back().severity = Severity::error;
  }
  return result;
}

Loaded<const Catalogue::Index*> Catalogue::index() const {
  if (!*index_) {
    Loaded<std::vector<AerodromePlace>> all = source_->places();
    if (!all.value) return {std::nullopt, std::move(all.findings)};
    std::vector<AerodromeKey> keys;
    std::vector<earth::Geodetic> places;
    for (const AerodromePlace& a : *all.value) {
      keys.push_back(a.key);
      places.push_back(a.place);
    }
    index_->emplace(Index{std::move(keys), earth::Places(places)});
  }
  return {&**index_, {}};
}

/// Judges the next aerodromes, so many of them at most, and hands them on. False when there is none left, or trouble.
template <class Use>
bool Catalogue::judge_next(const Index& index, earth::Places::Outwards& near, std::size_t most,
                           std::vector<Finding>& findings, Use use) const {
  Selection selection;
  selection.keys.emplace();
  std::vector<earth::Geodesic> away;
  while (away.size() < most) {
    const std::optional<earth::Places::Near> next = near.next();
    if (!next) break;
    selection.keys->push_back(index.keys[next->index]);
    away.push_back(next->away);
  }
  if (away.empty()) return false;
  Loaded<std::vector<AerodromeRows>> rows = source_->rows(selection);
  append(findings, std::move(rows.findings));
  if (!rows.value) return false;
  require(rows.value->size() == away.size(), "a source has rows for each of its keys");
  for (std::size_t i = 0; i < away.size(); ++i) {
    AerodromeRows& row = (*rows.value)[i];
    std::optional<CatalogueAerodrome> aerodrome = judge(row);
    append(findings, std::move(row.remarks));
    if (aerodrome) {
      use(std::move(*aerodrome), away[i]);
    } else if (row.kind == AerodromeKind::land_planes && !row.runways.empty()) {
      findings.push_back(without_place(source_->file, row));
    }
  }
  return true;
}

Loaded<Neighbourhood> Catalogue::neighbourhood(earth::Geodetic centre, Length radius) const {
  Loaded<Neighbourhood> result;
  const Loaded<const Index*> known = index();
  result.findings = known.findings;
  if (!known.value) return result;
  Neighbourhood all;
  earth::Places::Outwards near = (*known.value)->places.from(centre, radius);
  constexpr std::size_t kAtOnce = 100'000;  // one look into the file serves all
  while (judge_next(**known.value, near, kAtOnce, result.findings, [&all](CatalogueAerodrome a, earth::Geodesic away) {
    all.count.add(a);
    if (!a.runways.empty()) all.usable.push_back({std::move(a), away});
  })) {}
  if (!has_error(result.findings)) result.value = std::move(all);
  return result;
}

Loaded<std::vector<CatalogueAerodrome>> Catalogue::within(earth::Geodetic centre, Length radius) const {
  Loaded<Neighbourhood> near = neighbourhood(centre, radius);
  Loaded<std::vector<CatalogueAerodrome>> result;
  result.findings = std::move(near.findings);
  if (!near.value) return result;
  result.value.emplace();
  for (Neighbour& n : near.value->usable) result.value->push_back(std::move(n.aerodrome));
  return result;
}

Loaded<std::vector<Neighbour>> Catalogue::nearest(earth::Geodetic centre, std::size_t count, Length radius) const {
  Loaded<std::vector<Neighbour>> result;
  const Loaded<const Index*> known = index();
  result.findings = known.findings;
  if (!known.value) return result;
  std::vector<Neighbour> found;
  earth::Places::Outwards near = (*known.value)->places.from(centre, radius);
  const auto keep = [&](CatalogueAerodrome a, earth::Geodesic away) {
    if (found.size() < count && !a.runways.empty()) found.push_back({std::move(a), away});
  };
  for (std::size_t at_once = count; found.size() < count; at_once *= 2) {
    if (!judge_next(**known.value, near, at_once, result.findings, keep)) break;
  }
  if (!has_error(result.findings)) result.value = std::move(found);
  return result;
}

Loaded<std::vector<CatalogueAerodrome>> Catalogue::all() const {
  Loaded<std::vector<AerodromeRows>> rows = source_->rows({});
  Loaded<std::vector<CatalogueAerodrome>> result;
  result.findings = std::move(rows.findings);
  if (!rows.value) return result;
  result.value.emplace();
  for (AerodromeRows& row : *rows.value) {
    append(result.findings, std::move(row.remarks));
    if (std::optional<CatalogueAerodrome> aerodrome = judge(row)) {
      result.value->push_back(std::move(*aerodrome));
    } else {
      result.findings.push_back(without_place(source_->file, row));
    }
  }
  return result;
}

const std::string& Catalogue::attribution() const { return source_->attribution; }
const std::string& Catalogue::stamped() const { return source_->stamped; }
StampKind Catalogue::stamp_kind() const { return source_->stamp_kind; }

}  // namespace backfield::io
