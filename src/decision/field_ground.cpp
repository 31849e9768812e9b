// How high the ground of an area stated ahead is: as stated, and as the terrain has it.

#include "ground_ahead.hpp"
#include "words.hpp"

#include "backfield/earth/terrain.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace backfield::decision {
namespace {

constexpr double kApart_m = 30.0;  // of places where the terrain is asked; posts are that far apart or farther
constexpr Length kWorthSaying = metres(15);  // as between terrain and a runway

/// Calls `ask` about places all over an outline, its corners among them.
template <class Ask>
void each_place(const PlanePolygon& polygon, const Ask& ask) {
  for (const PlanePoint& p : polygon.outline) ask(p.x, p.y);
  const auto [south, north] = std::minmax_element(polygon.outline.begin(), polygon.outline.end(),
                                                  [](const auto& a, const auto& b) { return a.y < b.y; });
  const int rows = std::max(1, static_cast<int>(std::ceil((north->y - south->y) / kApart_m)));
  for (int k = 0; k <= rows; ++k) {
    const double y = south->y + (north->y - south->y) * k / rows;
    for (const Interval<double>& row : chords(polygon, Along::x, y)) {
      const int steps = std::max(1, static_cast<int>(std::ceil(row.width() / kApart_m)));
      for (int i = 0; i <= steps; ++i) ask(row.low + row.width() * i / steps, y);
    }
  }
}

}  // namespace

FieldGround ground_of(const Case& c, const earth::LandableArea& area) {
  const Length stated = area.elevation.above_sea_level - c.elevation.above_sea_level;
  FieldGround ground{{stated, stated}, true};
  if (!c.ground.terrain) return ground;
  each_place(area.outline, [&](double east_m, double north_m) {
    const auto found = c.ground.terrain->elevation({metres(east_m), metres(north_m)});
    if (!found) {
      ground.known = false;
      return;
    }
    const Length height = found->above_sea_level - c.elevation.above_sea_level;
    ground.heights.low = std::min(ground.heights.low, height);
    ground.heights.high = std::max(ground.heights.high, height);
  });
  return ground;
}

void add_field_ground(const Case& c, const std::vector<UsableArea>& areas, Answer& answer) {
  if (!c.ground.terrain) return;
  for (const UsableArea& area : areas) {
    if (area.pieces.empty()) continue;
    const Length stated = area.stated->elevation.above_sea_level;
    const auto in_altitude = [&](Length height) { return in_words_ft(height + c.elevation.above_sea_level); };
    if (!area.ground.known) {
      answer.warnings.push_back("ground ahead, " + area.stated->name +
                                ": the terrain does not cover all of it; what it does not is taken for the stated " +
                                in_words_ft(stated) + ", NOT ASSESSED.");
    }
    const Interval<Length>& heights = area.ground.heights;
    if (heights.width() <= kWorthSaying) continue;
    answer.assumptions.push_back("ground ahead, " + area.stated->name +
                                 ": by its statement and the terrain it lies at " + in_altitude(heights.low) + " to " +
                                 in_altitude(heights.high) +
                                 "; a glide must not be too short for the highest of it nor too long for the lowest");
  }
}

}  // namespace backfield::decision
