#pragma once
// Every runway end of the departure aerodrome, and every intersection, as a place to depart from today.

#include "backfield/decision/case.hpp"
#include "backfield/decision/runway_needs.hpp"

#include <optional>
#include <string>
#include <vector>

namespace backfield::study {

/// Turnbacks to one side that work in every world and at every bank, to any runway.
struct TurnbackWindows {
  std::size_t count = 0;
  std::optional<Length> lowest_edge;  ///< height above the aerodrome; none: there is none
  bool briefed = false;               ///< one of them at least
};

/// A twin on one engine from there.
struct OnOneEngine {
  decision::EngineOutVerdict verdict = decision::EngineOutVerdict::sinks;
  std::string
      in_the_way;  ///< the first stated obstacle, or the ground, that its net path does not clear; empty: none is known
  bool obstacles_assessed = true;  ///< false: some are stated, and not looked at, for a turn's height is not reached
  bool ground_known = true;        ///< false: elevations are stated, and do not cover the path as far as is looked
};

/// One start of a take-off roll.
struct RunwayRow {
  earth::RunwayEnd end;
  Length start{};
  std::string start_name;
  bool as_stated = false;    ///< it is the departure that the case states
  std::string not_assessed;  ///< why; empty: it is, and all that follows is filled

  Speed headwind, crosswind_from_right;           ///< at 10 m, in the plan; tailwind negative
  Speed tailwind_worst, crosswind_worst;          ///< most in any world, magnitude; zero: none
  std::optional<decision::TakeOffNeed> take_off;  ///< in the world with least left; none: the policy has no take_off
  std::string take_off_world;
  Duration gap{};  ///< nothing briefed but the ground ahead, in all
  TurnbackWindows left, right;
  std::optional<Length> lowest_return;           ///< where the lowest briefed return opens, above the aerodrome
  std::optional<OnOneEngine> one_engine;         ///< twins whose tables cover the day
  decision::GroundAhead ground_ahead;            ///< unknown for all directions but the one that the case states
  std::vector<decision::RunwayCriterion> fails;  ///< criteria that must hold for a choice and do not
};

struct RunwayComparison {
  std::vector<RunwayRow> rows;  ///< best first; what was not assessed last
  bool chosen = false;          ///< the first row meets every criterion that must hold
  /// The first criterion by which the first two rows differ; none: only one was assessed, or they are equal by all.
  std::optional<decision::RunwayCriterion> decided_by;
  std::vector<std::string> assumptions, cautions;
};

/// Assesses the case from each of them, in parallel, and puts them in the order of the policy. The ground ahead, the
/// landmark and the turns of a departure track belong to the direction that the case states; from others the ground is
/// unknown and the departure straight, which is said.
///
/// Pure and the same to the last bit whatever `threads` is.
/// the_case    its policy has a runway_choice; else std::logic_error
/// threads     1.. ; 0 takes as many as the machine has
/// test        tests/unit/runways_test.cpp
RunwayComparison compare_runways(const decision::Case& the_case, unsigned threads = 0);

}  // namespace backfield::study
