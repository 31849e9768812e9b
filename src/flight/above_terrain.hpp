#pragma once
// How much higher a way is than it has to be over terrain.
//
// Along a straight the surface is a quadratic from one line of its grid to the next, what is asked is linear in height
// from one of its two corners to the next, and the runway's surroundings are a rectangle: so the least is found in
// closed form, and no step is too long for a peak to hide in.

#include "backfield/earth/terrain.hpp"
#include "backfield/flight/clearance.hpp"

#include <memory>
#include <vector>

namespace backfield::flight {

class AboveTerrain {
 public:
  AboveTerrain(std::shared_ptr<const earth::Terrain> terrain, const ClearanceRule& rule, earth::Altitude datum)
      : terrain_(std::move(terrain)),
        over_m_(rule.over_terrain.si()),
        around_m_(rule.around_runway.si()),
        datum_m_(datum.above_sea_level.si()) {}

  enum class Of { all, known, unknown };
  /// Brings `least` down to what there is along the way (see clearance.hpp), and notes where, and whether the ground is
  /// known there; of the ground that is asked for.
  void look(const std::vector<WayPoint>& way, const AtRunway& runway, double& least, WayPoint& where, bool& known,
            Of of = Of::all) const;
  /// How much more height would do wherever the way is too low over known ground; >= 0.
  [[nodiscard]] Length below(const std::vector<WayPoint>& way, const AtRunway& runway) const;
  [[nodiscard]] std::optional<earth::Altitude> ground(earth::Position place) const {
    return terrain_->elevation(place);
  }

 private:
  struct Asked;
  /// Calls `note(height, ground, known, point)` where a stretch may be least: heights above the runway, the ground's
  /// with all reserves. Stretches that `passed_over(lowest, highest, ground)` says are.
  template <class PassedOver, class Note>
  void each(const std::vector<WayPoint>& way, const AtRunway& runway, const PassedOver& passed_over,
            const Note& note) const;

  std::shared_ptr<const earth::Terrain> terrain_;
  double over_m_, around_m_, datum_m_;
};

}  // namespace backfield::flight
