#pragma once
// Four numbers side by side: the words with a straight, or four questions. Every operation is that of IEEE 754 on each
// of them alone, so the lanes add no difference between processors (libm may, by a last bit), nor to one by one.

#include "rendezvous_word.hpp"

#include <array>
#include <cstddef>
#include <type_traits>

// What is inlined into functions that exist for several processors; the best is taken when the program starts.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
#define BACKFIELD_FOR_EACH_PROCESSOR __attribute__((target_clones("arch=x86-64-v4", "avx2", "default")))
#else
#define BACKFIELD_FOR_EACH_PROCESSOR
#endif
#define BACKFIELD_INLINED [[gnu::always_inline]] inline
#define BACKFIELD_ALWAYS __attribute__((always_inline))  // of a lambda

namespace backfield::flight {

inline constexpr std::size_t kLanes = 4;
using Lanes = double __attribute__((vector_size(kLanes * sizeof(double))));
using LaneBits = std::int64_t __attribute__((vector_size(kLanes * sizeof(double))));  // all ones: true
using LaneVector = VectorOf<Lanes>;
/// Yes or no for one number or for several.
template <class T>
using Truth = std::conditional_t<std::is_same_v<T, double>, bool, LaneBits>;

BACKFIELD_INLINED Lanes lanes(double x) { return Lanes{x, x, x, x}; }
BACKFIELD_INLINED LaneVector lanes(Vector a) { return {lanes(a.e), lanes(a.n)}; }
BACKFIELD_INLINED Lanes side_by_side(double a, double b, double c, double d) { return Lanes{a, b, c, d}; }
BACKFIELD_INLINED LaneVector side_by_side(Vector a, Vector b, Vector c, Vector d) {
  return {Lanes{a.e, b.e, c.e, d.e}, Lanes{a.n, b.n, c.n, d.n}};
}
/// What `part` has of each.
template <class Whole, class Part>
BACKFIELD_INLINED auto gather(const std::array<Whole, kLanes>& a, const Part& part) {
  return side_by_side(part(a[0]), part(a[1]), part(a[2]), part(a[3]));
}
BACKFIELD_INLINED bool any(const LaneBits& b) { return (b[0] | b[1] | b[2] | b[3]) != 0; }
BACKFIELD_INLINED Lanes least(const Lanes& a, const Lanes& b) { return a < b ? a : b; }
BACKFIELD_INLINED Lanes most(const Lanes& a, const Lanes& b) { return a > b ? a : b; }
BACKFIELD_INLINED Lanes magnitude(const Lanes& a) {
  return std::bit_cast<Lanes>(std::bit_cast<LaneBits>(a) & std::int64_t{0x7fffffffffffffff});
}
BACKFIELD_INLINED Lanes with_sign(const Lanes& a, const Lanes& sign) {
  return std::bit_cast<Lanes>((std::bit_cast<LaneBits>(a) & std::int64_t{0x7fffffffffffffff}) |
                              (std::bit_cast<LaneBits>(sign) & ~std::int64_t{0x7fffffffffffffff}));
}
BACKFIELD_INLINED Lanes root(const Lanes& a) {
  return Lanes{std::sqrt(a[0]), std::sqrt(a[1]), std::sqrt(a[2]), std::sqrt(a[3])};
}
BACKFIELD_INLINED Lanes inverse_sine(const Lanes& a) {
  return Lanes{std::asin(a[0]), std::asin(a[1]), std::asin(a[2]), std::asin(a[3])};
}
BACKFIELD_INLINED Lanes norm(const LaneVector& a) { return root(dot(a, a)); }

// The same for one number and for several.
BACKFIELD_INLINED double least(double a, double b) { return a < b ? a : b; }
BACKFIELD_INLINED double most(double a, double b) { return a > b ? a : b; }
BACKFIELD_INLINED double magnitude(double a) { return std::abs(a); }
BACKFIELD_INLINED double root(double a) { return std::sqrt(a); }
BACKFIELD_INLINED double inverse_sine(double a) { return std::asin(a); }
BACKFIELD_INLINED bool both(bool a, bool b) { return a && b; }
BACKFIELD_INLINED bool either(bool a, bool b) { return a || b; }
BACKFIELD_INLINED bool any(bool a) { return a; }
BACKFIELD_INLINED bool no(bool a) { return !a; }
BACKFIELD_INLINED LaneBits both(const LaneBits& a, const LaneBits& b) { return a & b; }
BACKFIELD_INLINED LaneBits either(const LaneBits& a, const LaneBits& b) { return a | b; }
BACKFIELD_INLINED LaneBits no(const LaneBits& a) { return ~a; }
BACKFIELD_INLINED double choose(bool which, double a, double b) { return which ? a : b; }
BACKFIELD_INLINED Lanes choose(const LaneBits& which, const Lanes& a, const Lanes& b) { return which != 0 ? a : b; }
BACKFIELD_INLINED Lanes choose(bool which, const Lanes& a, const Lanes& b) { return which ? a : b; }
/// One number for all lanes and one for each, in either order.
template <class A, class B>
requires(!std::is_same_v<A, B>) BACKFIELD_INLINED LaneVector operator+(const VectorOf<A>& a, const VectorOf<B>& b) {
  return {a.e + b.e, a.n + b.n};
}
template <class A, class B>
requires(!std::is_same_v<A, B>) BACKFIELD_INLINED LaneVector operator-(const VectorOf<A>& a, const VectorOf<B>& b) {
  return {a.e - b.e, a.n - b.n};
}

/// ahead(), to the last bit, rough_heading() and wrap() of rendezvous_word.hpp.
BACKFIELD_INLINED LaneVector ahead(const Lanes& heading) {
  constexpr double kQuarterHigh = 1.57079632673412561417;
  constexpr double kQuarterLow = 6.07710050650619224932e-11;
  constexpr double kRounder = 6755399441055744.0;
  const Lanes rounded = heading * (2.0 / kPi) + kRounder;
  const Lanes k = rounded - kRounder;
  const Lanes x = (heading - k * kQuarterHigh) - k * kQuarterLow;
  const Lanes x2 = x * x;
  const Lanes x4 = x2 * x2;
  const Lanes x8 = x4 * x4;
  const Lanes s_low = (-1.0 / 6.0 + 1.0 / 120.0 * x2) + (-1.0 / 5040.0 + 1.0 / 362880.0 * x2) * x4;
  const Lanes c_low = (-1.0 / 2.0 + 1.0 / 24.0 * x2) + (-1.0 / 720.0 + 1.0 / 40320.0 * x2) * x4;
  const Lanes s_high =
      (-1.0 / 39916800.0 + 1.0 / 6227020800.0 * x2) + (-1.0 / 1307674368000.0 + 1.0 / 355687428096000.0 * x2) * x4;
  const Lanes c_high =
      (-1.0 / 3628800.0 + 1.0 / 479001600.0 * x2) + (-1.0 / 87178291200.0 + 1.0 / 20922789888000.0 * x2) * x4;
  const auto s = std::bit_cast<LaneBits>(x + (x * x2) * (s_low + s_high * x8));
  const auto c = std::bit_cast<LaneBits>(1.0 + x2 * (c_low + c_high * x8));
  const auto q = std::bit_cast<LaneBits>(rounded);
  const LaneBits exchanged = (s ^ c) & -(q & 1);
  return {std::bit_cast<Lanes>((s ^ exchanged) ^ ((q & 2) << 62)),
          std::bit_cast<Lanes>((c ^ exchanged) ^ (((q + 1) & 2) << 62))};
}
BACKFIELD_INLINED Lanes rough_heading(const LaneVector& a) {
  const Lanes e = magnitude(a.e);
  const Lanes n = magnitude(a.n);
  const Lanes x = least(e, n) / most(e, n);
  const Lanes x2 = x * x;
  Lanes angle = x * (0.9998660 + x2 * (-0.3302995 + x2 * (0.1801410 + x2 * (-0.0851330 + x2 * 0.0208351))));
  angle = 0.25 * kPi - with_sign(lanes(1.0), n - e) * (0.25 * kPi - angle);
  angle = 0.5 * kPi - with_sign(lanes(1.0), a.n) * (0.5 * kPi - angle);
  return with_sign(angle, a.e);
}
BACKFIELD_INLINED Lanes wrap(const Lanes& angle) {
  constexpr double kRounder = 6755399441055744.0;
  const Lanes turns = angle * (1.0 / kFullTurn);
  const Lanes nearest = (turns + kRounder) - kRounder;
  const Lanes whole = nearest > turns ? nearest - 1.0 : nearest;
  const Lanes a = angle - kFullTurn * whole;
  return ((a >= 0.0) & (a < kFullTurn)) != 0 ? a : lanes(0.0);
}

}  // namespace backfield::flight
