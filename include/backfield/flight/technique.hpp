#pragma once
// How the aeroplane is flown after the failure, and which physics is switched on. Every number comes from the policy
// file; the zeros here only mean "not set".

#include "backfield/base/units.hpp"
#include "backfield/earth/atmosphere.hpp"

#include <optional>
#include <vector>

namespace backfield::flight {

enum class AngleRule { small, exact };       ///< sin(gamma) ~ tan(gamma) ~ gamma and cos(gamma) = 1, or exact
enum class ShearRule { off, on };            ///< wind change along the path enters the energy balance, or not
enum class WindRule { uniform, profile };    ///< the surface wind everywhere, or the profile
enum class RollRule { allowance, rate };     ///< a height allowance for rolling, or rolling at the roll rate
enum class EntryRule { speed_kept, flown };  ///< energy traded at once, or the entry integrated

/// The physics switches, all recorded on the brief.
struct Model {
  earth::DensityRule density = earth::DensityRule::local;
  AngleRule angle = AngleRule::exact;
  ShearRule shear = ShearRule::on;
  WindRule wind = WindRule::profile;
  RollRule roll = RollRule::rate;
  EntryRule entry = EntryRule::flown;
};

struct Technique {
  Duration reaction{};                 ///< nothing is done for so long after the failure
  double glide_factor = 0.0;           ///< on the book glide ratio, power off only
  std::vector<Angle> banks;            ///< each computed by itself; the briefed window must hold for all
  std::optional<Angle> line_up_bank;   ///< of the last turn; none: the same as the first turn's
  double turn_stall_margin = 0.0;      ///< turn speed >= margin * stall * sqrt(n)
  bool half_gust_on_speed = false;     ///< turn and glide speed get half of (gust - mean)
  Length roll_allowance{};             ///< height given away for rolling, with RollRule::allowance
  bool landing_flap_on_final = false;  ///< height too much for a clean path may be lost with landing flap ...
  bool slip_on_final = false;          ///< ... and then in a slip, where the aircraft's file has a figure for it
  int briefed_reversals = 0;           ///< turn reversals a briefed path may have
};

}  // namespace backfield::flight
