#pragma once
// The two ways a policy can have an entry flown, behind one call.

#include "entry.hpp"

namespace backfield::flight {

struct EntryStyle {
  EntryRule rule = EntryRule::flown;
  double reaction_s = 0.0;
  double roll_rate = 0.0;     ///< rad/s
  double stall_cas = 0.0;     ///< 1 g, clean
  double height_given = 0.0;  ///< allowance for rolling, given away once
  /// The glide until the propeller is feathered, where it has to be, and how long that takes from the failure (s).
  const Glider* unfeathered = nullptr;
  double feathered_after = 0.0;
  double turn_bank = 0.0, turn_cas = 0.0;  ///< of the first turn: what late feathering costs may be lost in it
};

/// A failure with its reaction flown, from which all entries go on.
struct Beginning {
  AirState failure;
  Reacted reacted;  ///< with EntryRule::flown
};
/// track       when given, receives where the aeroplane is on the way, step by step; nothing with EntryRule::speed_kept
Beginning begin_entry(const AirState& failure, const EntryStyle& style, const Glider& glider,
                      std::vector<Point>* track = nullptr);

/// From the failure to a steady glide at `cas_target`, at a signed bank or wings level (0). `path`, when given,
/// receives the schedule: entry samples, or the reaction as a segment. `track` as above.
EntryEnd enter(const Beginning& beginning, double bank_target, double cas_target, const EntryStyle& style,
               const Glider& glider, Path* path, std::vector<Point>* track = nullptr);

}  // namespace backfield::flight
