#pragma once
// Straight ahead without power: where the glide meets the ground of the runway just left.

#include "backfield/aircraft/performance.hpp"
#include "backfield/earth/environment.hpp"
#include "backfield/flight/clearance.hpp"
#include "backfield/flight/technique.hpp"
#include "backfield/flight/timeline.hpp"

#include <memory>
#include <vector>

namespace backfield::flight {

struct GlideAheadSetup {
  const aircraft::Performance* performance = nullptr;  ///< must outlive the object
  Technique technique;
  Model model;
  earth::Environment environment;
  earth::Altitude datum;
  earth::TrueDirection track;  ///< of the runway
  Length top{};                ///< highest failure asked for, above the datum
};

/// Entry wings level, then a glide with landing flap at best glide speed along the runway's track. With the entry flown
/// the flap comes out over the aircraft's flap time, counted as clean glide. The glide ratio with landing flap is taken
/// as the file has it: a worse one would only shorten the distance.
///
/// Where the height does not last through the entry the whole distance of the entry is charged all the same.
///
/// accuracy    against the reference arithmetic of tests/golden/scenarios_test.py
class GlideAhead {
 public:
  explicit GlideAhead(const GlideAheadSetup& setup);
  ~GlideAhead();
  GlideAhead(GlideAhead&&) noexcept;
  GlideAhead& operator=(GlideAhead&&) noexcept;

  /// Ground distance along the track from the failure to where the glide would meet the ground.
  ///
  /// ground_below  >= 0, of the ground where it is met below that which heights of the failure are above; what it adds
  /// is
  ///               glided as the last metre above the datum is
  [[nodiscard]] Length distance(const AirState& failure, Length ground_below = {}) const;

  /// The same way through the air, from the failure to the ground: the lowest that a pilot may fly, for flap that comes
  /// out later only leaves him higher. Points on the straight are no more than 5 m of height apart. Where the entry
  /// ends below the ground, what is charged for it goes along the ground.
  ///
  /// accuracy    tests/unit/land_ahead_test.cpp: ends where distance() says, and falls as a closed form does
  [[nodiscard]] std::vector<WayPoint> way(const AirState& failure, Length ground_below = {}) const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace backfield::flight
