#include "read_ground_file.hpp"

#include "read_obstacles.hpp"

#include "geojson.hpp"
#include "read_figure.hpp"
#include "read_ground.hpp"
#include "read_ground_rule.hpp"

#include "backfield/earth/terrain.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::io {
namespace {

constexpr double kLongerThanOutline = 1.02;  // a usable length may be paced out a little long
const Words<earth::AreaKind> kWhy{
    {"people", earth::AreaKind::people}, {"water", earth::AreaKind::water}, {"forest", earth::AreaKind::forest}};

struct GroundFile {
  std::vector<earth::LandableArea> landable;
  std::vector<earth::AvoidArea> avoid;
};

/// In the local frame; nothing after a complaint.
std::optional<Ring> local_ring(const GeoPolygon& polygon, const GeodeticRing& corners, const earth::LocalFrame& frame) {
  Ring ring;
  for (const earth::Geodetic& place : corners) {
    const auto local = near_place(frame, in_degrees(place.latitude), in_degrees(place.longitude));
    if (!local) {
      const bool swapped = near_if_swapped(frame, in_degrees(place.latitude), in_degrees(place.longitude));
      polygon.coordinates.refuse(
          "corners within 60 km of the aerodrome",
          swapped ? "latitude and longitude are swapped: GeoJSON has longitude first" : "is a digit or a sign wrong?");
      return std::nullopt;
    }
    ring.push_back({local->east.si(), local->north.si()});
  }
  return ring;
}

std::optional<PlanePolygon> local_polygon(const GeoPolygon& polygon, const earth::LocalFrame& frame) {
  PlanePolygon plane;
  for (std::size_t i = 0; i < polygon.rings.size(); ++i) {
    auto ring = local_ring(polygon, polygon.rings[i], frame);
    if (!ring) return std::nullopt;
    (i == 0 ? plane.outline : plane.holes.emplace_back()) = std::move(*ring);
  }
  if (const std::string needed = needed_of_polygon(plane, kThinnestArea.si()); !needed.empty()) {
    polygon.coordinates.refuse(needed, "corners in the order in which one would walk around the area");
    return std::nullopt;
  }
  return plane;
}

/// Between the two corners that are farthest apart.
double longest(const Ring& ring) {
  double most = 0.0;
  for (const PlanePoint& a : ring) {
    for (const PlanePoint& b : ring) most = std::max(most, std::hypot(a.x - b.x, a.y - b.y));
  }
  return most;
}

/// As stated; none where the terrain is to be asked for each outline.
std::optional<earth::Altitude> read_elevation(const Fields& fields, const std::string& name,
                                              const decision::Case& place) {
  if (const auto elevation = fields.get("elevation_m")) {
    return earth::Altitude{metres(elevation->si(Dimension::number, {-450, 4500, "", -100, 2000}).value_or(0.0))};
  }
  fields.map().assume(name + (place.ground.terrain ? ": no elevation stated, taken from the terrain at its middle"
                                                   : ": no elevation stated, taken as the aerodrome's"));
  return place.ground.terrain ? std::nullopt : std::optional(place.elevation);
}

/// Of the terrain at the middle of all corners; where that is not known, the aerodrome's.
earth::Altitude elevation_at(const Ring& ring, const decision::Case& place) {
  PlanePoint sum{0.0, 0.0};
  for (const PlanePoint& p : ring) sum = {sum.x + p.x, sum.y + p.y};
  const auto count = static_cast<double>(ring.size());
  return place.ground.terrain->elevation({metres(sum.x / count), metres(sum.y / count)}).value_or(place.elevation);
}

void read_landable(const GeoFeature& feature, const decision::Case& place, GroundFile& file) {
  const Fields fields(feature.properties,
                      {"kind", "name", "length_m", "surface", "slope_percent", "wires", "elevation_m"});
  earth::LandableArea area;
  const auto name = fields.need_text("name", "a name for the brief");
  const auto length = fields.need_number("length_m", {20, 5000, "", 100, 2000});
  const auto surface = fields.need_choice("surface", surface_words());
  const auto slope = fields.need_number("slope_percent", {0, 30, "", 0, 10});
  const auto wires = fields.need_choice("wires", wires_words());
  if (!name || !length || !surface || !slope || !wires) return;
  area.name = *name;
  area.usable = metres(*length);
  area.surface = *surface;
  area.slope = *slope / 100.0;
  area.wires = *wires;
  const auto elevation = read_elevation(fields, area.name, place);
  const earth::LocalFrame frame(place.origin);
  double most = 0.0;
  for (const GeoPolygon& polygon : feature.polygons) {
    auto outline = local_polygon(polygon, frame);
    if (!outline) return;
    area.elevation = elevation ? *elevation : elevation_at(outline->outline, place);
    most = std::max(most, longest(outline->outline));
    area.outline = std::move(*outline);
    file.landable.push_back(area);
  }
  if (!feature.polygons.empty() && *length > kLongerThanOutline * most) {
    fields.get("length_m")
        ->refuse("a usable length that fits into the outline",
                 "its corners are at most " + plain(std::round(most)) + " m apart");
  }
}

void read_avoid(const GeoFeature& feature, const decision::Case& place, GroundFile& file) {
  const Fields fields(feature.properties, {"kind", "name", "why", "elevation_m"});
  const auto name = fields.need_text("name", "a name for the brief");
  const auto why = fields.need_choice<earth::AreaKind>("why", kWhy);
  if (!name || !why) return;
  const auto elevation = read_elevation(fields, *name, place);
  const earth::LocalFrame frame(place.origin);
  for (const GeoPolygon& polygon : feature.polygons) {
    const auto outline = local_polygon(polygon, frame);
    if (!outline) return;
    if (!outline->holes.empty()) fields.map().assume(*name + ": what is cut out of it is avoided as well");
    earth::AvoidArea area{*name, *why, elevation ? *elevation : elevation_at(outline->outline, place), {}};
    for (const PlanePoint& p : outline->outline) area.ring.push_back({metres(p.x), metres(p.y)});
    if (const std::string covered = threshold_in(area, place.options); !covered.empty()) {
      polygon.coordinates.refuse("an outline that leaves out the runways", covered);
      return;
    }
    file.avoid.push_back(std::move(area));
  }
}

GroundFile read_file_of(const Value& root, const decision::Case& place) {
  enum class Kind { landable, avoid };
  GroundFile file;
  std::vector<std::string> names;
  for (const GeoFeature& feature : read_features(root)) {
    if (!feature.properties.is_map()) {
      feature.properties.refuse("{kind, name, ...}");
      continue;
    }
    const auto value = feature.properties.child("kind");
    if (!value) {
      feature.properties.refuse("\"kind\": landable or avoid", "it is missing");
      continue;
    }
    const auto kind = value->choice<Kind>({{"landable", Kind::landable}, {"avoid", Kind::avoid}});
    if (!kind) continue;
    if (const auto name = feature.properties.child("name"); name && name->is_text()) {
      if (std::find(names.begin(), names.end(), name->raw()) != names.end()) {
        name->refuse("a name of its own for each feature", "parts of one area are one MultiPolygon");
      }
      names.push_back(name->raw());
    }
    *kind == Kind::landable ? read_landable(feature, place, file) : read_avoid(feature, place, file);
  }
  return file;
}

}  // namespace

void read_ground_file(const Value& value, decision::Case& place, Parts& parts) {
  const std::string accepted = "the path of a GeoJSON file";
  const auto path = value.text(accepted);
  if (!path) return;
  const auto load = [&place](const std::string& name) {
    const Document document = read_document(name);
    Reading reading(document);
    Loaded<GroundFile> loaded;
    if (const auto finding = document.bytes.empty() ? std::nullopt : not_json(document)) {
      loaded.findings.push_back(*finding);
      return loaded;
    }
    const Value root = Value::root(reading);
    if (document.readable) loaded.value = read_file_of(root, place);
    if (reading.failed()) loaded.value.reset();
    loaded.findings = reading.take();
    name_features(root, loaded.findings);
    return loaded;
  };
  auto file = load_named(value, beside(value.reading().document(), *path), load, accepted, parts);
  if (!file) return;
  place.ground_ahead.file = *path;
  place.ground_ahead.areas = std::move(file->landable);
  place.ground.areas.insert(place.ground.areas.end(), file->avoid.begin(), file->avoid.end());
}

}  // namespace backfield::io
