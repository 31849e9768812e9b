#pragma once
// What the rooms of a rendezvous share: a word, its roots, a little of vectors. Metres, seconds; headings clockwise
// from north, radians.

#include "backfield/base/units.hpp"
#include "backfield/flight/rendezvous.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>

namespace backfield::flight {

inline constexpr double kFullTurn = 2.0 * kPi;

// Of numbers or of several side by side (rendezvous_lanes.hpp). What handles those is inlined: nothing is handed over
// in registers that not all processors have.
#pragma GCC diagnostic ignored "-Wpsabi"
template <class T>
struct VectorOf {
  T e{}, n{};
  [[gnu::always_inline]] friend constexpr VectorOf operator+(const VectorOf& a, const VectorOf& b) {
    return {a.e + b.e, a.n + b.n};
  }
  [[gnu::always_inline]] friend constexpr VectorOf operator-(const VectorOf& a, const VectorOf& b) {
    return {a.e - b.e, a.n - b.n};
  }
  template <class Factor>
  [[gnu::always_inline]] friend constexpr VectorOf operator*(const VectorOf& a, const Factor& k) {
    return {a.e * k, a.n * k};
  }
};
using Vector = VectorOf<double>;
template <class T>
[[gnu::always_inline]] inline T cross(const VectorOf<T>& a, const VectorOf<T>& b) {
  return a.e * b.n - a.n * b.e;
}
template <class T>
[[gnu::always_inline]] inline T dot(const VectorOf<T>& a, const VectorOf<T>& b) {
  return a.e * b.e + a.n * b.n;
}
inline double norm(Vector a) { return std::sqrt(dot(a, a)); }
/// The unit vector on a heading, within 1e3 rad. Called dozens of times a question, hence the series, to 2e-16, inline,
/// side by side and without a branch that nobody could predict (tests/unit/rendezvous_word_test.cpp).
inline Vector ahead(double heading) {
  using Both = double __attribute__((vector_size(16)));
  // pi / 2 in two parts, the first of few bits: a multiple of it is exact.
  constexpr double kQuarterHigh = 1.57079632673412561417;
  constexpr double kQuarterLow = 6.07710050650619224932e-11;
  constexpr double kRounder = 6755399441055744.0;  // 3 x 2^51: what is added to it is rounded, its last bits the sum's
  const double rounded = heading * (2.0 / kPi) + kRounder;
  const double k = rounded - kRounder;
  const double x = (heading - k * kQuarterHigh) - k * kQuarterLow;
  const double x2 = x * x;
  const Both y = {x2, x2};
  const Both y2 = y * y;
  const Both low = (Both{-1.0 / 6.0, -1.0 / 2.0} + Both{1.0 / 120.0, 1.0 / 24.0} * y) +
                   (Both{-1.0 / 5040.0, -1.0 / 720.0} + Both{1.0 / 362880.0, 1.0 / 40320.0} * y) * y2;
  const Both high =
      (Both{-1.0 / 39916800.0, -1.0 / 3628800.0} + Both{1.0 / 6227020800.0, 1.0 / 479001600.0} * y) +
      (Both{-1.0 / 1307674368000.0, -1.0 / 87178291200.0} + Both{1.0 / 355687428096000.0, 1.0 / 20922789888000.0} * y) *
          y2;
  const Both sum = Both{x, 1.0} + Both{x * x2, x2} * (low + high * (y2 * y2));
  const auto s = std::bit_cast<std::uint64_t>(sum[0]);
  const auto c = std::bit_cast<std::uint64_t>(sum[1]);
  const auto q = std::bit_cast<std::uint64_t>(rounded);
  const std::uint64_t exchanged = (s ^ c) & (0 - (q & 1U));
  return {std::bit_cast<double>((s ^ exchanged) ^ ((q & 2U) << 62U)),
          std::bit_cast<double>((c ^ exchanged) ^ (((q + 1U) & 2U) << 62U))};
}
/// The heading of a vector that is not 0, in (-pi, pi], to 2e-5 rad, for starts and bounds: a fifth of the time of
/// std::atan2. Abramowitz and Stegun 4.4.49 (from memory; the unit test holds it against std::atan2).
inline double rough_heading(Vector a) {
  const double e = std::abs(a.e);
  const double n = std::abs(a.n);
  const double x = std::min(e, n) / std::max(e, n);
  const double x2 = x * x;
  double angle = x * (0.9998660 + x2 * (-0.3302995 + x2 * (0.1801410 + x2 * (-0.0851330 + x2 * 0.0208351))));
  // Reflected at 45 degrees and at east, without a branch.
  angle = 0.25 * kPi - std::copysign(1.0, n - e) * (0.25 * kPi - angle);
  angle = 0.5 * kPi - std::copysign(1.0, a.n) * (0.5 * kPi - angle);
  return std::copysign(angle, a.e);
}
inline constexpr double kRoughHeading_rad = 2e-5;
template <class T>
[[gnu::always_inline]] inline VectorOf<T> right_of(const VectorOf<T>& ahead) {
  return {ahead.n, -ahead.e};
}
/// A vector turned to the right as `by`, a heading's, is from north.
inline Vector turned(Vector a, Vector by) { return {a.e * by.n + a.n * by.e, a.n * by.n - a.e * by.e}; }
/// In [0, 2 pi).
inline double wrap(double angle) {
  const double turns = angle * (1.0 / kFullTurn);
  auto whole = static_cast<double>(static_cast<long>(turns));  // quicker than std::floor without SSE 4
  if (whole > turns) whole -= 1.0;
  const double a = angle - kFullTurn * whole;
  return a >= 0.0 && a < kFullTurn ? a : 0.0;
}

constexpr bool has_straight(Word word) { return word != Word::lrl && word != Word::rlr; }
/// +1 right
constexpr int first_sense(Word word) { return word == Word::rsr || word == Word::rsl || word == Word::rlr ? 1 : -1; }
constexpr int last_sense(Word word) { return word == Word::rsr || word == Word::lsr || word == Word::rlr ? 1 : -1; }

/// One kind of piece.
struct Gait {
  double speed = 1.0;     ///< in the air
  double sink = 1.0;      ///< m/s
  double radius = 0.0;    ///< 0: straight
  double s_rad = 0.0;     ///< time of a radian of turn
  double cost = 1.0;      ///< of a second, in what is to be least
  double per_sink = 1.0;  ///< time of a metre of height
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
