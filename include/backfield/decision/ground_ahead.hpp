#pragma once
// The ground ahead, from the areas a case states: which of them a glide reaches, from which failures.
//
// It is said beside a gap and never shortens it. An area counts as reached only where in every world of the bracket one
// straight glide to it, after one turn within the sector, is clear of what the policy keeps clear of, meets the ground
// inside the area, and has as much of the area before it as floating and rolling need by the policy's factor.

#include "backfield/base/interval.hpp"
#include "backfield/base/units.hpp"
#include "backfield/earth/landable.hpp"

#include <optional>
#include <string>
#include <vector>

namespace backfield::decision {

/// Which landable areas count. Every number comes from the policy file; the zeros only mean "not set".
struct GroundAheadRule {
  double length_factor = 0.0;            ///< on float and roll together, >= 1
  std::vector<earth::Surface> surfaces;  ///< that count
  double steepest = 0.0;                 ///< rise over run
  std::vector<earth::Wires> wires;       ///< with which an area counts
  Length narrowest{};                    ///< what is rolled on is as wide as this, at least
  Length beside_avoid{};                 ///< between what is rolled on and what is to be avoided
};

/// What lies under a straight stretch of ground, as shares of its length; together 1.
struct GroundShares {
  double landable = 0.0, avoid = 0.0, unknown = 0.0;
};

/// Failures from which one landable area is reached, in every world of the bracket.
struct ReachedArea {
  std::string name;
  std::string not_counted;                ///< why the policy does not count it, or why nothing is known; else empty
  std::vector<Interval<Length>> heights;  ///< of the failure, rising; empty: from none
};

/// The ground ahead beside one gap.
struct GapGround {
  struct Choice {
    std::size_t area = 0;  ///< index into GroundAheadAnswer::areas
    Length margin;         ///< of aiming points that will do, whose middle is clear, in the worst world; at its best
    Length at_height;      ///< failure at which the margin is that
    Angle bearing;         ///< of the glide there, in the plan, from the departure track; right +
  };
  std::vector<Choice> choices;        ///< reached from failures in the gap, longest margin first
  Duration reached{};                 ///< of the gap, for which any of them is reached
  std::optional<GroundShares> under;  ///< of the glide straight ahead, from failure to ground, mean over the gap
};

struct GroundAheadAnswer {
  std::string file;
  std::vector<ReachedArea> areas;  ///< in the order of the file
  std::vector<GapGround> gaps;     ///< one for each of Answer::gaps
};

}  // namespace backfield::decision
