#pragma once
// Exits and intersections as places that can be seen: where the roll should have ended, where a stop must have begun,
// where a landing turns off.

#include "backfield/earth/runway.hpp"

#include <optional>
#include <string>

namespace backfield::decision {

/// A place beside the take-off roll.
struct MarkOnRoll {
  std::string name;
  Length from_release;  ///< along the runway, > 0
};

/// Marks that have a side only; a mark without one is a name for the start of the roll.
struct MarksOnRoll {
  bool stated = false;  ///< the departure end has some beyond the start of the roll
  std::optional<MarkOnRoll>
      rotate_by;  ///< the first one not before the longest roll of the bracket; none: none is left
  std::optional<MarkOnRoll> stop_before;  ///< the last one from which a stop still fits in every world; none: a stop
                                          ///< fits to lift-off, or no mark lies before
};

/// Where a landing with power turns off.
struct LandingExit {
  std::string name;
  earth::MarkSide side = earth::MarkSide::both;
  Length left;  ///< of the LDA, beyond it; >= 0
};

/// The first exit at or beyond the place where a landing stops that needs so much from the landing threshold; none: no
/// exit is stated beyond it within the LDA, or the LDA is not stated.
/// needed      from the landing threshold, margins included; >= 0
std::optional<LandingExit> exit_after(const earth::RunwayEnd& end, Length needed);

}  // namespace backfield::decision
