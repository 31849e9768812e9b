#pragma once
// Dubins' six words in a uniform wind: all of their roots, as starting values for the flown ones.
//
// A turn that is rolled into and out of is taken as an arc with a short straight before and after it. Headings are
// clockwise from north, radians; metres, seconds.

#include "backfield/flight/rendezvous.hpp"

#include <vector>

namespace backfield::flight {

/// Turns and straights in air that is the same everywhere.
struct UniformAir {
  double wind_east = 0.0, wind_north = 0.0;
  double V = 1.0;                                ///< wings level
  double first_radius = 1.0, last_radius = 1.0;  ///< in the air
  double first_s_rad = 1.0, last_s_rad = 1.0;    ///< time per radian
  /// Straight before and after each turn that stands for rolling (m).
  double first_margin = 0.0, middle_margin = 0.0, last_margin = 0.0;
  double sink = 0.0;                         ///< wings level, m/s
  double first_loss = 0.0, last_loss = 0.0;  ///< height lost in a radian (m)
  [[nodiscard]] bool calm() const { return wind_east == 0.0 && wind_north == 0.0; }
};

/// What is asked, from the origin.
struct Errand {
  double heading = 0.0;            ///< at the start
  double east = 0.0, north = 0.0;  ///< the goal
  double end_heading = 0.0;
};

/// One root. `middle` is the time of the straight (may be a little below 0: small turns need less margin) or the angle
/// of the middle turn.
struct Start {
  Word word = Word::lsl;
  double first = 0.0, middle = 0.0, last = 0.0;
  double time = 0.0;
  double loss = 0.0;  ///< of height, about
};

constexpr bool has_straight(Word word) { return word != Word::lrl && word != Word::rlr; }
/// +1 right
constexpr int first_sense(Word word) { return word == Word::rsr || word == Word::rsl || word == Word::rlr ? 1 : -1; }
constexpr int last_sense(Word word) { return word == Word::rsr || word == Word::lsr || word == Word::rlr ? 1 : -1; }

/// Appends every root of a word.
void find_starts(const UniformAir& air, const Errand& errand, Word word, std::vector<Start>& starts);

/// The words without a straight, for find_starts.
void find_three_turns(const UniformAir& air, const Errand& errand, Word word, std::vector<Start>& starts);

/// An angle in [0, 2 pi); less than 1e-9 short of a full turn is none.
double wrap(double angle);

}  // namespace backfield::flight
