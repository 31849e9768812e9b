#pragma once
// From one word that was solved to the schedule that flies it, and to the way it takes.

#include "approach.hpp"
#include "backfield/flight/clearance.hpp"
#include "settle.hpp"

#include <optional>
#include <vector>

namespace backfield::flight {

/// Where alignment comes, along the track from the threshold.
inline double place_of(const Connection& c, const PathFinder::Target& target) {
  return c.aim - target.final.shortest(c.alignment);
}
/// Of all finals a path may end with, one that meets the ground in the first third of the aim interval, or as near to
/// it as can be.
FinalPlan planned(const Connection& c, const PathFinder::Target& target);

class Assembly {
 public:
  Assembly(const Gliders& gliders, const Style& style, const Approach& approach)
      : gliders_(&gliders), glider_(&gliders.clean), style_(&style), approach_(&approach) {}

  /// What all paths of one failure begin with that enter to the same side.
  struct Entry {
    Path begun;                 ///< the schedule so far
    std::vector<WayPoint> way;  ///< and where it goes
    Point end;                  ///< speed differences already traded for height
    double height_given = 0.0;  ///< and this given away
  };
  /// The side to which the entry of `c` banks: -1 left, 1 right, 0 not at all.
  [[nodiscard]] int entry_sense(const PathFinder::Fan& fan, const Connection& c) const;
  [[nodiscard]] Entry entry(const PathFinder::Fan& fan, int sense) const;

  struct Scheduled {
    Path path;
    Connection connection;  ///< alignment and aim as scheduled: what was found may be off by what tables are
    double off_axis = 0.0;  ///< metres, where alignment comes
  };
  /// The schedule of `c`, be it flown or from tables.
  [[nodiscard]] Path about(const Entry& entry, const PathFinder::Fan& fan, const PathFinder::Target& target,
                           const Connection& c) const {
    return schedule(entry, fan, target, c).path;
  }
  /// That of a flown one. Nothing when the parts do not add up to what was found, or add up to something else when they
  /// are flown in finer steps or begun a little higher or lower: a roll-out that skims a level where the shear jumps
  /// may go either way.
  [[nodiscard]] std::optional<Scheduled> path(const Entry& entry, const PathFinder::Fan& fan,
                                              const PathFinder::Target& target, const Connection& c) const;
  /// Where a schedule that begins with `entry` goes: from the failure to the ground, in steps of no more than a few
  /// seconds and degrees.
  [[nodiscard]] std::vector<WayPoint> way(const Entry& entry, const Path& path) const;

  /// Up to the final, in steps of no more than a second.
  [[nodiscard]] std::vector<AirState> states(const Path& path) const;

 private:
  [[nodiscard]] const Glider& glider_of(const Segment& g) const;
  [[nodiscard]] Scheduled schedule(const Entry& entry, const PathFinder::Fan& fan, const PathFinder::Target& target,
                                   const Connection& c) const;
  /// Is it aligned there and as high when it is flown in fine steps, and as high above or below that when it begins a
  /// little higher or lower?
  [[nodiscard]] bool flies_again(const Entry& entry, const PathFinder::Target& target, const Scheduled& s) const;

  const Gliders* gliders_;
  const Glider* glider_;  ///< clean
  const Style* style_;
  const Approach* approach_;
};

}  // namespace backfield::flight
