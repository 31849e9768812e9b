#pragma once
// What ground a glide reaches ahead: along straight ground tracks, each after one turn from the failure.
//
// Seen from above, the ends of the glides on all tracks of a sector bound the footprint. In still air, with turns that
// cost nothing, it is a sector of the circle whose radius is height times glide ratio; a constant wind carries every
// point of it along for the time its glide takes; in a wind that changes with height each track is held by a crab that
// changes on the way down, as on a final (tests/laws/glide_reach_test.cpp).
//
// The entry is wings level and the turn follows it, as the path solver flies turns of less than about 120 degrees.
// Height to spare is lost by landing flap alone: S-turns, circles and slips would bring nearer ground into reach, and
// are not computed.

#include "backfield/aircraft/performance.hpp"
#include "backfield/earth/environment.hpp"
#include "backfield/flight/clearance.hpp"
#include "backfield/flight/technique.hpp"
#include "backfield/flight/timeline.hpp"

#include <cstddef>
#include <memory>
#include <optional>
#include <vector>

namespace backfield::flight {

struct GlideReachSetup {
  const aircraft::Performance* performance = nullptr;  ///< must outlive the object
  Technique technique;
  Model model;
  earth::Environment environment;
  earth::Altitude datum;                     ///< elevation of the departure aerodrome
  Angle bank;                                ///< of the turn, 5..60 degrees
  Speed gust_spread{};                       ///< gust minus mean, >= 0
  Length top{};                              ///< highest failure asked for, above the datum
  Length lowest{};                           ///< lowest ground asked for, above the datum
  std::vector<earth::TrueDirection> tracks;  ///< over the ground, that may be asked for
};

/// One straight glide over the ground.
struct GlideRay {
  earth::Position from;        ///< where the turn has ended, wings level
  Length height;               ///< there, above the datum
  earth::TrueDirection track;  ///< over the ground
  std::size_t index = 0;       ///< of the track in the setup
  Duration since_failure{};    ///< until `from`
};

class GlideReach {
 public:
  explicit GlideReach(const GlideReachSetup& setup);
  ~GlideReach();
  GlideReach(GlideReach&&) noexcept;
  GlideReach& operator=(GlideReach&&) noexcept;

  /// All that a failure needs to be asked for several tracks.
  class Failure;
  [[nodiscard]] std::shared_ptr<const Failure> failure(const AirState& state) const;

  /// The entry wings level, then the turn to a track by the shorter way. None where the turn ends at or below the
  /// lowest ground, or where the wind does not let the track be held from there down.
  [[nodiscard]] std::optional<GlideRay> ray(const Failure& failure, std::size_t track) const;

  /// Along a ray, from `from` to where the glide meets ground of an elevation above the datum.
  struct Distances {
    Length longest;   ///< clean, at the policy's glide ratio
    Length shortest;  ///< with landing flap as soon as it comes out, at the file's ratio; no longer than `longest`
    Duration time;    ///< of the longest
  };
  /// None: the ray begins below that ground.
  /// accuracy    0.1 m against closed forms (tests/laws/glide_reach_test.cpp); the straight is the table of a final,
  /// which
  ///             tests/laws/reflight_test.cpp covers
  [[nodiscard]] std::optional<Distances> distances(const GlideRay& ray, Length elevation) const;

  /// The way over the ground from the failure along a ray, straight down to `distance` from its beginning, where it
  /// meets the ground.
  [[nodiscard]] std::vector<WayPoint> way(const Failure& failure, const GlideRay& ray, Length distance,
                                          Length elevation) const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace backfield::flight
