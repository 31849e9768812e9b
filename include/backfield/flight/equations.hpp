#pragma once
// The equations of motion every part of the program and every test of it shares. Inputs and outputs are plain SI
// doubles; nothing here looks anything up.
//
//   V      true airspeed (m/s)                 v      V / best glide speed, at the same density
//   gamma  flight-path angle, descending +     n      load factor
//   E      best glide ratio                    f      parasite factor of the configuration, 1 clean
//   phi    bank, right +                       psi    heading of the air path, clockwise from north
//   w      motion of the air (m/s)             h      height (m)

#include "backfield/base/units.hpp"
#include "backfield/flight/technique.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight::equations {

/// Drag over weight of a parabolic polar written about its best glide point: (v^2 f + n^2/v^2) / (2E).
/// source      the parabolic drag polar CD = CD0 + K CL^2, see any text on aircraft performance; f scales CD0
inline double drag_over_weight(double v, double n, double f, double E) {
  return (v * v * f + n * n / (v * v)) / (2.0 * E);
}

struct Descent {
  double sin_gamma;
  double cos_gamma;
};

/// The two parts of drag over weight at a held airspeed and bank; induced still lacks cos(gamma)^2.
struct Trim {
  double cas = 0.0;
  double parasite = 0.0;  ///< v^2 f / 2E
  double induced = 0.0;   ///< 1 / (v^2 cos(phi)^2 2E)
};
inline Trim trim(double cas, double best_glide_cas, double sec2_phi, double f, double E) {
  const double v2 = cas / best_glide_cas * (cas / best_glide_cas);
  return {cas, v2 * f / (2.0 * E), sec2_phi / (v2 * 2.0 * E)};
}

/// The drag that is left when an engine still pushes: `thrust` over weight taken off, but never more than leaves the
/// steady descent in still air at kShallowest. A pilot throttles back rather than climb; so height only ever falls.
/// thrust      over weight at this airspeed; negative where a dead engine drags more than the polar knows of
inline constexpr double kShallowest = 0.01;  // sine: 1 in 100
inline Trim with_thrust(const Trim& t, double thrust) {
  return {t.cas, std::max(t.parasite - thrust, kShallowest - t.induced), t.induced};
}

/// Steady descent at constant calibrated airspeed through air whose density and motion change with height.
///
///   sin(gamma) (1 + (V/g) dV/dh + (V/g) cos(gamma) dw/dh) = D/W,   n = cos(gamma)/cos(phi)
///
/// dV_dh       change of true airspeed with height at constant calibrated airspeed (1/s), >= 0
/// dw_dh       change with height of the wind component along the heading (1/s); a tailwind that grows with height is
///             positive and flattens the glide
/// With AngleRule::small cos(gamma) is 1 throughout.
/// accuracy    the quadratic in sin(gamma) is exact but for cos(gamma) in the shear term, which is taken from a first,
///             small-angle solution: glide ratios from 7: within 1 % of D/W at 0.1 1/s of shear, 0.1 % at 0.02 1/s
///             (tests/unit/equations_test.cpp)
/// A headwind that dies away faster than g/V on the way down leaves no steady glide at all (0.28 1/s at 68 kt: 40 kt of
/// wind gone within 70 m). The path is then taken to be kSteepest, which no one would plan to fly.
inline constexpr double kSteepest = 0.5;  // sine: 30 degrees
inline Descent steady_descent(double V, const Trim& t, double dV_dh, double dw_dh, AngleRule angle) {
  constexpr double kPerGravity = 1.0 / kStandardGravity;
  const double V_g = V * kPerGravity;
  const double c = t.parasite + t.induced;
  if (angle == AngleRule::small) return {c / std::max(2.0 * c, 1.0 + V_g * (dV_dh + dw_dh)), 1.0};
  // A first idea of the angle, for its cosine in the shear term; then induced s^2 + k s - c = 0, the solution written
  // so that it does not cancel.
  const double about = c / std::max(2.0 * c, 1.0 + V_g * (dV_dh + dw_dh));
  const double k = 1.0 + V_g * (dV_dh + (1.0 - 0.5 * about * about) * dw_dh);
  const double sin_gamma = std::min(kSteepest, 2.0 * c / (k + std::sqrt(k * k + 4.0 * t.induced * c)));
  return {sin_gamma, std::sqrt(1.0 - sin_gamma * sin_gamma)};
}

/// Rates of the point mass that is not in a steady descent: the entry after a failure.
///   V'     = g (sin(gamma) - D/W) + V sin(gamma) cos(gamma) dw/dh
///   gamma' = (g/V) (cos(gamma) - n cos(phi))
///   psi'   = g n sin(phi) / (V cos(gamma))
/// gamma       itself, or its sine and cosine
struct EntryRates {
  double V, gamma, psi;
};
struct Bank {
  double sin, cos;
};
inline EntryRates entry_rates(double V, Descent gamma, double n, Bank phi, double drag, double dw_dh) {
  const double s = gamma.sin_gamma;
  const double c = gamma.cos_gamma;
  return {kStandardGravity * (s - drag) + V * s * c * dw_dh, kStandardGravity / V * (c - n * phi.cos),
          kStandardGravity * n * phi.sin / (V * c)};
}
inline EntryRates entry_rates(double V, double gamma, double n, double phi, double drag, double dw_dh) {
  return entry_rates(V, Descent{std::sin(gamma), std::cos(gamma)}, n, Bank{std::sin(phi), std::cos(phi)}, drag, dw_dh);
}

}  // namespace backfield::flight::equations
