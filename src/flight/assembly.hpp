#pragma once
// From one word that was solved to the schedule that flies it, and to the way it takes.

#include "approach.hpp"
#include "backfield/flight/clearance.hpp"

#include <optional>
#include <vector>

namespace backfield::flight {

class Assembly {
 public:
  Assembly(const Glider& glider, const Style& style, const Approach& approach)
      : glider_(&glider), style_(&style), approach_(&approach) {}

  /// Nothing when the parts do not add up to what was found.
  [[nodiscard]] std::optional<Path> path(const PathFinder::Fan& fan, const PathFinder::Target& target,
                                         const Connection& c) const;
  /// Where `path`, made of `c`, goes: from the failure to the ground, in steps of no more than a few seconds and
  /// degrees.
  [[nodiscard]] std::vector<WayPoint> way(const PathFinder::Fan& fan, const Connection& c, const Path& path) const;

 private:
  [[nodiscard]] int entry_sense(const PathFinder::Fan& fan, const Connection& c) const;

  const Glider* glider_;
  const Style* style_;
  const Approach* approach_;
};

}  // namespace backfield::flight
