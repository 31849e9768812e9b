#pragma once
// A way in stages of a few stretches, each with the least that it lies within: what is far from that is not looked at
// any closer.

#include "backfield/flight/clearance.hpp"

#include <algorithm>
#include <cstddef>
#include <vector>

namespace backfield::flight {

/// Stretches that follow each other: those that end at the points [first, last).
struct Stage {
  std::size_t first, last;
  double west, east, south, north;
  double lowest;
  double off = 0.0;  ///< the most that the way is off its stretches

  void take_in(const Stage& s) {
    west = std::min(west, s.west);
    east = std::max(east, s.east);
    south = std::min(south, s.south);
    north = std::max(north, s.north);
    lowest = std::min(lowest, s.lowest);
    off = std::max(off, s.off);
  }
};

inline std::vector<Stage> stages_of(const std::vector<WayPoint>& way) {
  constexpr std::size_t kPoints = 8;
  const auto at = [&way](std::size_t i) {
    const WayPoint& p = way[i];
    return Stage{i, i + 1, p.east_m, p.east_m, p.north_m, p.north_m, p.height_m, p.off_m};
  };
  std::vector<Stage> stages;
  stages.reserve(way.size() / kPoints + 1);
  for (std::size_t first = 0; first < way.size(); first += kPoints) {
    Stage stage = at(first == 0 ? 0 : first - 1);
    stage.first = first;
    stage.last = std::min(first + kPoints, way.size());
    for (std::size_t i = first; i < stage.last; ++i) stage.take_in(at(i));
    stages.push_back(stage);
  }
  return stages;
}

/// All of them together.
inline Stage all_of(const std::vector<Stage>& stages) {
  Stage all = stages.front();
  for (const Stage& s : stages) all.take_in(s);
  all.last = stages.back().last;
  return all;
}

}  // namespace backfield::flight
