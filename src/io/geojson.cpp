#include "geojson.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

namespace backfield::io {
namespace {

constexpr std::size_t kMostFeatures = 500;
constexpr std::size_t kMostCorners = 1000;  // of a ring: more is a drawing, not a margin
const char* const kAcceptedTypes = "Polygon or MultiPolygon";
const char* const kAcceptedPlace = "[longitude, latitude] in degrees";

/// The member of an object, or a complaint that it is missing.
std::optional<Value> member(const Value& object, std::string_view key, const std::string& accepted) {
  auto value = object.is_map() ? object.child(key) : std::nullopt;
  if (!value) { object.refuse("\"" + std::string(key) + "\": " + accepted, object.is_map() ? "it is missing" : ""); }
  return value;
}

bool is_type(const Value& object, const std::string& type) {
  const auto stated = member(object, "type", type);
  if (!stated) return false;
  if (stated->is_text() && stated->raw() == type) return true;
  stated->refuse(type);
  return false;
}

std::optional<earth::Geodetic> read_place(const Value& value) {
  const std::vector<Value> numbers = value.items(kAcceptedPlace);
  if (numbers.empty()) return std::nullopt;
  if (numbers.size() < 2 || numbers.size() > 3) {
    value.refuse(kAcceptedPlace);
    return std::nullopt;
  }
  const auto longitude = numbers[0].si(Dimension::number, {-180, 180, ""});
  const auto latitude = numbers[1].si(Dimension::number, {-90, 90, ""});
  if (!longitude || !latitude) return std::nullopt;
  return earth::Geodetic{degrees(*latitude), degrees(*longitude)};
}

std::optional<GeodeticRing> read_ring(const Value& value) {
  const std::string accepted = "a closed ring of at least four positions, the last the same as the first";
  GeodeticRing ring;
  const std::vector<Value> items = value.items(accepted);
  if (items.empty()) return std::nullopt;
  if (items.size() > kMostCorners + 1) {
    value.refuse("at most " + std::to_string(kMostCorners) + " corners");
    return std::nullopt;
  }
  for (const Value& item : items) {
    const auto place = read_place(item);
    if (!place) return std::nullopt;
    if (!ring.empty() && std::abs((place->longitude - ring.back().longitude).si()) > kPi) {
      item.refuse(
          "outlines that are cut where they cross the antimeridian (RFC 7946, 3.1.9)",
          "from the corner before it is more than 180 degrees of longitude: make two polygons, one on each side");
      return std::nullopt;
    }
    ring.push_back(*place);
  }
  const bool closed = ring.front().latitude.si() == ring.back().latitude.si() &&
                      ring.front().longitude.si() == ring.back().longitude.si();
  if (!closed || ring.size() < 4) {
    value.refuse(accepted, closed ? "" : "the ring is not closed: repeat its first position at its end");
    return std::nullopt;
  }
  ring.pop_back();
  return ring;
}

std::optional<GeoPolygon> read_polygon(const Value& coordinates) {
  GeoPolygon polygon{coordinates, {}};
  for (const Value& item : coordinates.items("a list of rings: the outline, then holes")) {
    auto ring = read_ring(item);
    if (!ring) return std::nullopt;
    polygon.rings.push_back(std::move(*ring));
  }
  if (polygon.rings.empty()) return std::nullopt;
  return polygon;
}

/// Nothing after a complaint.
std::vector<GeoPolygon> read_geometry(const Value& geometry) {
  const auto type = member(geometry, "type", kAcceptedTypes);
  if (!type) return {};
  const bool one = type->is_text() && type->raw() == "Polygon";
  if (!one && !(type->is_text() && type->raw() == "MultiPolygon")) {
    type->refuse(kAcceptedTypes);
    return {};
  }
  const auto coordinates = member(geometry, "coordinates", "a list of rings");
  if (!coordinates) return {};
  std::vector<GeoPolygon> polygons;
  const std::vector<Value> all = one ? std::vector<Value>{*coordinates} : coordinates->items("a list of polygons");
  for (const Value& item : all) {
    auto polygon = read_polygon(item);
    if (!polygon) return {};
    polygons.push_back(std::move(*polygon));
  }
  return polygons;
}

/// The 2008 format could name another datum; programs that still write the member mostly name the only one there is
/// now.
void check_crs(const Value& root) {
  const auto crs = root.child("crs");
  if (!crs) return;
  const auto properties = crs->is_map() ? crs->child("properties") : std::nullopt;
  const auto name = properties && properties->is_map() ? properties->child("name") : std::nullopt;
  if (name && name->is_text() && name->raw() == "urn:ogc:def:crs:OGC:1.3:CRS84") return;
  crs->refuse("WGS 84 longitude and latitude, without a member crs (RFC 7946, 4)",
              "export the file again in that system");
}

}  // namespace

std::optional<Finding> not_json(const Document& document) {
  try {
    // What parses is thrown away: the reader of YAML keeps places and numbers as typed.
    const nlohmann::json parsed = nlohmann::json::parse(document.bytes);
    static_cast<void>(parsed);
    return std::nullopt;
  } catch (const nlohmann::json::out_of_range&) {
    return std::nullopt;  // a number too large for a double is refused where it stands
  } catch (const nlohmann::json::parse_error& error) {
    // The parser counts bytes from 1, and at the end of the file one more than there are.
    const std::size_t at = std::min(error.byte == 0 ? 0 : error.byte - 1, document.bytes.size());
    const auto begin = document.bytes.begin();
    const auto here = begin + static_cast<std::ptrdiff_t>(at);
    Place place{static_cast<int>(std::count(begin, here, '\n')) + 1, 0};
    const std::size_t line_start = document.bytes.rfind('\n', at == 0 ? 0 : at - 1);
    const auto from = line_start == std::string::npos || line_start >= at
                          ? begin
                          : begin + static_cast<std::ptrdiff_t>(line_start) + 1;
    place.column = 1 + static_cast<int>(std::count_if(
                           from, here, [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
    Finding finding;
    finding.file = document.file;
    finding.line = place.line;
    finding.column = place.column;
    finding.found = at == document.bytes.size() ? "the end of the file" : "something that is not JSON";
    finding.accepted = "GeoJSON (RFC 7946)";
    finding.hint = at == document.bytes.size() ? "was the file cut off?" : "";
    finding.excerpt = document.excerpt(place);
    return finding;
  }
}

std::vector<GeoFeature> read_features(const Value& root) {
  std::vector<GeoFeature> features;
  if (!is_type(root, "FeatureCollection")) return features;
  check_crs(root);
  const auto list = member(root, "features", "a list of features");
  if (!list) return features;
  const std::vector<Value> items = list->items("a list of at least one feature");
  if (items.size() > kMostFeatures) {
    list->refuse("at most " + std::to_string(kMostFeatures) + " features");
    return features;
  }
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (!is_type(items[i], "Feature")) continue;
    const auto geometry = member(items[i], "geometry", "a Polygon or a MultiPolygon");
    const auto properties = member(items[i], "properties", "{kind, name, ...}");
    if (!geometry || !properties) continue;
    GeoFeature feature{i + 1, *properties, read_geometry(*geometry)};
    features.push_back(std::move(feature));
  }
  return features;
}

void name_features(const Value& root, std::vector<Finding>& findings) {
  const auto list = root.is_map() ? root.child("features") : std::nullopt;
  if (!list || !list->is_list()) return;
  const std::string begin = "features[";
  for (Finding& finding : findings) {
    if (finding.severity == Severity::note || finding.key.compare(0, begin.size(), begin) != 0) continue;
    const std::size_t number = std::stoul(finding.key.substr(begin.size()));
    std::string who = "feature " + std::to_string(number);
    const Value feature = list->items("")[number - 1];
    const auto properties = feature.is_map() ? feature.child("properties") : std::nullopt;
    const auto name = properties && properties->is_map() ? properties->child("name") : std::nullopt;
    who += name && name->is_text() ? ", \"" + name->raw() + "\"" : ", which has no name";
    finding.hint = who + (finding.hint.empty() ? "" : ": " + finding.hint);
  }
}

}  // namespace backfield::io
