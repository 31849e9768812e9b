#pragma once
// What the rooms of a rendezvous share: a word, its roots, a little of vectors. Metres, seconds; headings clockwise
// from north, radians.

#include "backfield/base/units.hpp"
#include "backfield/flight/rendezvous.hpp"

#include <cmath>

namespace backfield::flight {

inline constexpr double kFullTurn = 2.0 * kPi;

struct Vector {
  double e = 0.0, n = 0.0;
  friend Vector operator+(Vector a, Vector b) { return {a.e + b.e, a.n + b.n}; }
  friend Vector operator-(Vector a, Vector b) { return {a.e - b.e, a.n - b.n}; }
  friend Vector operator*(Vector a, double k) { return {a.e * k, a.n * k}; }
};
inline double cross(Vector a, Vector b) { return a.e * b.n - a.n * b.e; }
inline double dot(Vector a, Vector b) { return a.e * b.e + a.n * b.n; }
inline double norm(Vector a) { return std::sqrt(dot(a, a)); }
inline Vector ahead(double heading) { return {std::sin(heading), std::cos(heading)}; }
inline Vector right_of(Vector ahead) { return {ahead.n, -ahead.e}; }
/// In [0, 2 pi).
inline double wrap(double angle) {
  const double a = angle - kFullTurn * std::floor(angle * (1.0 / kFullTurn));
  return a < kFullTurn ? a : 0.0;
}

constexpr bool has_straight(Word word) { return word != Word::lrl && word != Word::rlr; }
/// +1 right
constexpr int first_sense(Word word) { return word == Word::rsr || word == Word::rsl || word == Word::rlr ? 1 : -1; }
constexpr int last_sense(Word word) { return word == Word::rsr || word == Word::lsr || word == Word::rlr ? 1 : -1; }

/// One kind of piece.
struct Gait {
  double speed = 1.0;   ///< in the air
  double sink = 1.0;    ///< m/s
  double radius = 0.0;  ///< 0: straight
  double s_rad = 0.0;   ///< time of a radian of turn
  double cost = 1.0;    ///< of a second, in what is to be least
};
struct Craft {
  Gait first, straight, last;
};

/// A word's controls: turns as angles along their senses, a straight as its time.
struct Controls {
  Word word = Word::lsl;
  double first = 0.0, middle = 0.0, last = 0.0;
};
struct Durations {
  double first, middle, last;
  [[nodiscard]] double sum() const { return first + middle + last; }
};
inline Durations durations(const Craft& craft, const Controls& c) {
  return {c.first * craft.first.s_rad, has_straight(c.word) ? c.middle : c.middle * craft.first.s_rad,
          c.last * craft.last.s_rad};
}
inline double cost(const Craft& craft, const Controls& c) {
  const Durations t = durations(craft, c);
  return t.first * craft.first.cost + t.middle * (has_straight(c.word) ? craft.straight : craft.first).cost +
         t.last * craft.last.cost;
}

}  // namespace backfield::flight
