#pragma once
// What is asked of the four words with a straight: guesses, and where they can be. Lanes are the words of one question,
// in the order of Word, or several questions.

#include "rendezvous_errand.hpp"
#include "rendezvous_solve.hpp"

#include <array>
#include <cstddef>

namespace backfield::flight {

/// A straight between two turns as in calm air, to a goal moved against the wind for about as long as that takes.
struct LaneGuess {
  Lanes first{}, middle{}, last{};
  Lanes cost{};  ///< infinite when the circles overlap: no guess
};
/// Where the paths of a word are, if any, that do not certainly cost more than the limit: struct Bounds, side by side.
struct LaneBounds {
  Lanes strips{}, at_none{}, room{};
  Lanes from{}, to{};                            ///< first turns
  Lanes strip_from{}, strip_to{}, strip_last{};  ///< the only strip
  LaneBits found{};                              ///< the only root there is
  Lanes first{}, straight_time{}, last{};        ///< that root
};
LaneGuess guess_straight_words(const Craft& craft, const UniformErrand& errand);
LaneBounds bound_straight_words(const Craft& craft, const UniformErrand& errand, double limit, const Controls& known);

/// Several questions, with the guess of each that is tried first.
struct StartGroup {
  ErrandGroup errands;
  Turning<Lanes> guesses;
  LaneBits any{};  ///< is there one?
};
StartGroup start_side_by_side(const Craft& craft, const Drift& drift, const std::array<AskedOf<double>, kLanes>& asked);
/// What is to be bettered, and where that can be, word after word.
struct BoundGroup {
  Posed<Lanes> posed;
  std::array<LaneBounds, kLanes> words;
};
BoundGroup bound_side_by_side(const Craft& craft, const Drift& drift, bool quickest, const ErrandGroup& errands,
                              const SolutionGroup& known);

}  // namespace backfield::flight
