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

  /// What all paths of one failure begin with that enter to the same side.
  struct Entry {
    Path begun;                 ///< the schedule so far
    std::vector<WayPoint> way;  ///< and where it goes
    Point end;                  ///< speed differences already traded for height
  };
  /// The side to which the entry of `c` banks: -1 left, 1 right, 0 not at all.
  [[nodiscard]] int entry_sense(const PathFinder::Fan& fan, const Connection& c) const;
  [[nodiscard]] Entry entry(const PathFinder::Fan& fan, int sense) const;

  /// The schedule of `c`, be it flown or from tables.
  [[nodiscard]] Path about(const Entry& entry, const PathFinder::Fan& fan, const PathFinder::Target& target,
                           const Connection& c) const {
    return schedule(entry, fan, target, c).path;
  }
  /// That of a flown one. Nothing when the parts do not add up to what was found.
  [[nodiscard]] std::optional<Path> path(const Entry& entry, const PathFinder::Fan& fan,
                                         const PathFinder::Target& target, const Connection& c) const;
  /// Where a schedule that begins with `entry` goes: from the failure to the ground, in steps of no more than a few
  /// seconds and degrees.
  [[nodiscard]] std::vector<WayPoint> way(const Entry& entry, const Path& path) const;

 private:
  struct Scheduled {
    Path path;
    Point aligned;
  };
  [[nodiscard]] Scheduled schedule(const Entry& entry, const PathFinder::Fan& fan, const PathFinder::Target& target,
                                   const Connection& c) const;

  const Glider* glider_;
  const Style* style_;
  const Approach* approach_;
};

}  // namespace backfield::flight
