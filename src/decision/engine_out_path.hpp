#pragma once
// Where the path on one engine goes, over the ground and in height, and what it has to be above there.
//
// It follows the departure: a leg's turn is begun where the leg's height is reached on one engine, but not below the
// height up to which the policy flies straight on, with no more bank than it allows. The gross path reaches that height
// sooner than the net one; so both tracks are looked at, the gross and the net height on each, and the worst counts.

#include "ground.hpp"

#include "backfield/aircraft/height_profile.hpp"

#include <optional>
#include <vector>

namespace backfield::decision {

/// What one engine gives in one world. Rates are steady ones, climbing +.
struct EngineOutClimb {
  const FlownWorld* world = nullptr;
  /// From v_1, with the level part in which it accelerates, or from 50 ft into thinner air, in one headwind; none:
  /// steady rates, which do not climb. Straight on it is flown as it is. From the first turn on the lower counts: of
  /// steady rates from there, and of the profile, followed no faster than the wind along the track leaves room for,
  /// less what turns cost. Turns are flown at the speed that the profile has there, but no slower than at that of
  /// steady rates.
  std::optional<aircraft::HeightProfile> gross, net;
  Speed headwind{};  ///< that the profiles are flown in
  Length begins;     ///< from brake release: 50 ft high, or lift-off of an estimated path; before, it does not fly
  Length lost;       ///< until it is clean: gear down and propeller not feathered for so long
  Speed airspeed;    ///< true
  Speed level;       ///< gross rate, wings level
  std::vector<Speed> turning;  ///< gross rate in the turn of each leg of the departure, at `bank`
  double net_decrement = 0.0;  ///< gross less net gradient
};
/// Of the turn of a leg on one engine.
Angle bank_on_one_engine(const Case& the_case, const flight::DepartureLeg& leg);

/// One track of it.
class EngineOutPath {
 public:
  /// by_net    the turns are begun where the net path is high enough, else where the gross one is
  EngineOutPath(const Case& the_case, const EngineOutClimb& climb, bool by_net);

  /// A stretch of the track. The last one runs on without end, the first one begins at brake release.
  struct Stretch {
    earth::Position from;
    earth::TrueDirection track;
    Length flown;       ///< from brake release over the ground, at its beginning
    Length length;      ///< endless for the last one
    Length gross, net;  ///< heights above the aerodrome at its beginning, of the first one at `climb.begins`
    double gross_slope, net_slope;  ///< over the ground
    double curvature;               ///< 1/m, of the turn it is part of; 0: straight
    Length turned_away;             ///< height that turns have cost at its end, against wings level
    Length followed;                ///< of the profile, at its beginning
    double follows;                 ///< metres of the profile for one over the ground, at most 1
  };
  [[nodiscard]] const std::vector<Stretch>& stretches() const { return stretches_; }
  struct Heights {
    Length gross, net;
  };
  /// How far along the profile that is.
  [[nodiscard]] static Length followed(const Stretch& stretch, Length flown) {
    return stretch.followed + (flown - stretch.flown) * stretch.follows;
  }
  /// flown       within that stretch
  [[nodiscard]] Heights at(const Stretch& stretch, Length flown) const;
  [[nodiscard]] Length begins() const { return begins_; }
  /// False: the height of a turn is never reached, and so the track after it is not known.
  [[nodiscard]] bool flies_all_turns() const { return flies_all_turns_; }

 private:
  std::vector<Stretch> stretches_;
  std::optional<aircraft::HeightProfile> gross_, net_;
  Length begins_;
  bool flies_all_turns_ = true;
};

/// What stands along the departure, by the worst of the paths; fills `obstacles`, `aside` and `terrain`.
void look_at_ground(const Case& the_case, const std::vector<EngineOutClimb>& climbs, OneEngineOut& out);

}  // namespace backfield::decision
