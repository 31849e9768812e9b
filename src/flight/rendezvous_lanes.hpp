#pragma once
// Four numbers side by side: the words with a straight, or four questions. Every operation is that of IEEE 754 on each
// of them alone, so what comes out is the same bytes on every processor, and those of one by one.

#include "rendezvous_word.hpp"

#include <cstddef>

// What is inlined into functions that exist for several processors; the best is taken when the program starts.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
#define BACKFIELD_FOR_EACH_PROCESSOR __attribute__((target_clones("avx2", "default")))
#else
#define BACKFIELD_FOR_EACH_PROCESSOR
#endif
// Everything here is inlined; nothing is handed over in registers that not all processors have.
#pragma GCC diagnostic ignored "-Wpsabi"
#define BACKFIELD_INLINED [[gnu::always_inline]] inline

namespace backfield::flight {

inline constexpr std::size_t kLanes = 4;
using Lanes = double __attribute__((vector_size(kLanes * sizeof(double))));
using LaneBits = std::int64_t __attribute__((vector_size(kLanes * sizeof(double))));  // all ones: true
using LaneVector = VectorOf<Lanes>;

BACKFIELD_INLINED Lanes lanes(double x) { return Lanes{x, x, x, x}; }
BACKFIELD_INLINED LaneVector lanes(Vector a) { return {lanes(a.e), lanes(a.n)}; }
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
BACKFIELD_INLINED Lanes norm(const LaneVector& a) { return root(a.e * a.e + a.n * a.n); }

/// ahead(), rough_heading() and wrap() of rendezvous_word.hpp.
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
