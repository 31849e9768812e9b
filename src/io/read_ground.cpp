#include "read_ground.hpp"

#include "catalogue_source.hpp"

#include "read_obstacles.hpp"

#include "backfield/base/polygon.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::io {
namespace {

constexpr Range kAreaElevation{-1500, 15000, "ft", -400, 7000};
const Length kNearlySame = metres(0.5);     // corners nearer than this are one
constexpr std::size_t kMostCorners = 1000;  // of an outline: more is a drawing, not a margin

/// Nullopt after a complaint, or where a place was not to be had.
std::optional<std::vector<earth::Position>> read_corners(const Value& list, const earth::LocalFrame* frame) {
  std::vector<earth::Position> ring;
  const std::vector<Value> items = list.items("a list of at least three positions");
  if (items.empty()) return std::nullopt;
  if (items.size() < 3 || items.size() > kMostCorners) {
    list.refuse(items.size() < 3 ? "at least three corners" : "at most " + std::to_string(kMostCorners) + " corners");
    return std::nullopt;
  }
  for (const Value& item : items) {
    const auto place = read_place(item, frame);
    if (!place) continue;
    const bool last = &item == &items.back();
    if (last && !ring.empty() && earth::distance(ring.front(), *place) < kNearlySame) {
      item.refuse("a corner of its own", "the last corner is joined to the first: do not repeat it");
      return std::nullopt;
    }
    if (!ring.empty() && earth::distance(ring.back(), *place) < kNearlySame) {
      item.refuse("a corner of its own", "it is the one before it again");
      return std::nullopt;
    }
    ring.push_back(*place);
  }
  if (ring.size() != items.size()) return std::nullopt;
  Ring corners;
  for (const earth::Position& p : ring) corners.push_back({p.east.si(), p.north.si()});
  if (const std::string needed = needed_of_ring(corners, kThinnestArea.si()); !needed.empty()) {
    list.refuse(needed, "corners in the order in which one would walk around the area");
    return std::nullopt;
  }
  return ring;
}

void read_area(const Value& value, const earth::LocalFrame* frame, earth::Altitude elevation,
               const std::vector<earth::RunwayEnd>& ends, earth::Ground& ground) {
  const Fields fields(value, {"name", "what", "elevation", "corners"});
  earth::AvoidArea area;
  area.name = fields.need_text("name", "a name for the brief").value_or("");
  area.kind = fields
                  .need_choice<earth::AreaKind>("what", {{"people", earth::AreaKind::people},
                                                         {"water", earth::AreaKind::water},
                                                         {"forest", earth::AreaKind::forest}})
                  .value_or(earth::AreaKind::people);
  area.elevation = elevation;
  if (fields.has("elevation")) {
    area.elevation = {fields.get_quantity<Length>("elevation", Dimension::length, kAreaElevation).value_or(Length{})};
  } else {
    value.assume(area.name + ": no elevation stated, taken as the aerodrome's");
  }
  const auto corners = fields.need("corners", "a list of at least three positions");
  auto ring = corners ? read_corners(*corners, frame) : std::nullopt;
  if (!ring) return;
  area.ring = std::move(*ring);
  if (const std::string covered = threshold_in(area, ends); !covered.empty()) {
    corners->refuse("an outline that leaves out the runways", covered);
    return;
  }
  ground.areas.push_back(std::move(area));
}

}  // namespace

std::optional<earth::Position> read_place(const Value& value, const earth::LocalFrame* frame) {
  const auto place = read_position(value);
  if (!place || frame == nullptr) return std::nullopt;
  const earth::Position local = frame->to_local(*place);
  if (earth::distance(local, {}) > kFarthestOnGround) {
    value.refuse(kAcceptedOnGround, "are latitude and longitude swapped, or is a letter wrong?");
    return std::nullopt;
  }
  return local;
}

std::optional<earth::Position> near_place(const earth::LocalFrame& frame, double latitude_deg, double longitude_deg) {
  if (!is_on_earth(latitude_deg, longitude_deg)) return std::nullopt;
  const earth::Position local = frame.to_local({degrees(latitude_deg), degrees(longitude_deg)});
  return earth::distance(local, {}) > kFarthestOnGround ? std::nullopt : std::optional(local);
}

bool near_if_swapped(const earth::LocalFrame& frame, double latitude_deg, double longitude_deg) {
  return near_place(frame, longitude_deg, latitude_deg).has_value();
}

std::string threshold_in(const earth::AvoidArea& area, const std::vector<earth::RunwayEnd>& ends) {
  for (const earth::RunwayEnd& end : ends) {
    if (earth::distance_to(area, end.threshold()).si() > 0.0) continue;
    return "it covers the threshold of " + end.aerodrome + " " + end.designator + ", where no path could ever land";
  }
  return "";
}

earth::Ground read_ground(const Fields& fields, const earth::LocalFrame* frame, earth::Altitude elevation,
                          const std::vector<earth::RunwayEnd>& ends) {
  earth::Ground ground;
  if (const auto value = fields.get("obstacles")) read_obstacles(*value, frame, elevation, ground);
  if (const auto list = fields.get("avoid")) {
    for (const Value& item : list->items("a list of {name, what, corners}")) {
      read_area(item, frame, elevation, ends, ground);
    }
  }
  return ground;
}

earth::Ground moved(const earth::Ground& ground, const earth::LocalFrame& from, const earth::LocalFrame& to) {
  earth::Ground result = ground;
  for (earth::Obstacle& o : result.obstacles) o.position = to.to_local(from.to_geodetic(o.position));
  for (earth::AvoidArea& a : result.areas) {
    for (earth::Position& p : a.ring) p = to.to_local(from.to_geodetic(p));
  }
  return result;
}

}  // namespace backfield::io
