#pragma once
// Vectors, and zeros of one unknown, for the starting values of a rendezvous.

#include "backfield/base/units.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight::roots {

inline constexpr double kTurn = 2.0 * kPi;

struct Vector {
  double e = 0.0, n = 0.0;
  friend Vector operator+(Vector a, Vector b) { return {a.e + b.e, a.n + b.n}; }
  friend Vector operator-(Vector a, Vector b) { return {a.e - b.e, a.n - b.n}; }
  friend Vector operator*(Vector a, double k) { return {a.e * k, a.n * k}; }
};
inline double cross(Vector a, Vector b) { return a.e * b.n - a.n * b.e; }
inline double dot(Vector a, Vector b) { return a.e * b.e + a.n * b.n; }
inline Vector ahead(double heading) { return {std::sin(heading), std::cos(heading)}; }
inline Vector right_of(Vector ahead) { return {ahead.n, -ahead.e}; }
inline double heading_of(Vector v) { return std::atan2(v.e, v.n); }

/// Zero of f between two ends of different sign, to 1e-8: regula falsi, Illinois. What flies it does better.
template <class F>
double root(F f, double a, double fa, double b, double fb) {
  for (int i = 0; i < 60 && std::abs(b - a) > 1e-8; ++i) {
    double m = (a * fb - b * fa) / (fb - fa);
    if (!(m > std::min(a, b) && m < std::max(a, b))) m = 0.5 * (a + b);
    const double fm = f(m);
    if (fm == 0.0) return m;
    if ((fm < 0.0) != (fb < 0.0)) {
      a = b;
      fa = fb;
    } else {
      fa *= 0.5;
    }
    b = m;
    fb = fm;
  }
  return b;
}

/// Smallest |f| around the middle of three samples, where f does not change sign: two roots may hide there.
template <class F>
double turning_point(F f, double a, double b) {
  constexpr double kGolden = 0.38196601125010515;
  double x = a + kGolden * (b - a);
  double y = b - kGolden * (b - a);
  double fx = std::abs(f(x));
  double fy = std::abs(f(y));
  for (int i = 0; i < 40; ++i) {
    if (fx < fy) {
      b = y;
      y = x;
      fy = fx;
      x = a + kGolden * (b - a);
      fx = std::abs(f(x));
    } else {
      a = x;
      x = y;
      fx = fy;
      y = b - kGolden * (b - a);
      fy = std::abs(f(y));
    }
  }
  return fx < fy ? x : y;
}

/// Can a function that has one sign at three samples, the middle one nearest to 0, be 0 between them? By their
/// parabola, which may be off by a third of what is left; evenly spaced, or nearly.
inline bool may_touch(double f0, double f1, double f2) {
  const double curvature = f0 - 2.0 * f1 + f2;
  if (curvature == 0.0) return false;
  const double vertex = f1 - (f2 - f0) * (f2 - f0) / (8.0 * curvature);
  return (vertex < 0.0) != (f1 < 0.0) || std::abs(vertex) < 0.3 * std::abs(f1) + 0.02 * std::abs(f0 - f2);
}

}  // namespace backfield::flight::roots
