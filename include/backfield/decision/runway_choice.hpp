#pragma once
// By what, and in which order, the runway ends of an aerodrome are compared for a departure.

#include "backfield/base/units.hpp"

#include <vector>

namespace backfield::decision {

enum class RunwayCriterion {
  take_off_fits,  ///< by the factors of the policy, in every world; must hold for a choice
  tailwind,       ///< in every world at most `limit`, and at most the aircraft file's; must hold for a choice
  crosswind,      ///< in every world at most the aircraft file's, where it states one; must hold for a choice
  one_engine,     ///< twins: the net path over what is stated; then any climb; then height held; then none
  gap,            ///< fewer seconds without anything briefed but the ground ahead
  window,         ///< the lowest return that is briefed opens lower; none is worse than any
  headwind,       ///< more of it on the roll, in the plan
  runway_left     ///< more of the declared distance left after the take-off, in the worst world
};

constexpr const char* name_of(RunwayCriterion criterion) {
  switch (criterion) {
    case RunwayCriterion::take_off_fits:
      return "take_off_fits";
    case RunwayCriterion::tailwind:
      return "tailwind";
    case RunwayCriterion::crosswind:
      return "crosswind";
    case RunwayCriterion::one_engine:
      return "one_engine";
    case RunwayCriterion::gap:
      return "gap";
    case RunwayCriterion::window:
      return "window";
    case RunwayCriterion::headwind:
      return "headwind";
    case RunwayCriterion::runway_left:
      return "runway_left";
  }
  return "";
}

/// Whether a runway end that does not meet it is never chosen.
constexpr bool must_hold(RunwayCriterion criterion) {
  return criterion == RunwayCriterion::take_off_fits || criterion == RunwayCriterion::tailwind ||
         criterion == RunwayCriterion::crosswind;
}

/// One criterion. Where amounts are compared, those within the same whole `step` are equal.
struct RunwayPreference {
  RunwayCriterion by = RunwayCriterion::take_off_fits;
  Speed limit{};      ///< of tailwind
  double step = 0.0;  ///< > 0 for amounts, in SI: s of gap, m of window and runway left, m/s of headwind
};

/// Each decides only between ends that all before it leave equal.
struct RunwayChoiceRule {
  std::vector<RunwayPreference> order;
};

}  // namespace backfield::decision
