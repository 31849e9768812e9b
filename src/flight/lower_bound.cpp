#include "lower_bound.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {

LowerBound lower_bound(const Glider& glider, const Style& style, const Model& model, const Point& p,
                       const PathFinder::Target& target) {
  const Medium& medium = glider.medium();
  const double q_high = medium.at(std::max(p.h, target.elevation)).tas_per_cas;
  const double q_low = medium.at(std::min(p.h, target.elevation)).tas_per_cas;
  const double fastest_cas = std::max(style.first.held.cas, style.line_up.held.cas);
  const double Vbg = glider.best_glide_cas() * q_low;
  const double V_most = fastest_cas * q_high;
  const double slopes = V_most / q_high * medium.steepest_tas_slope() + medium.strongest_shear();
  const double E = glider.glide_ratio() * (1.0 + V_most / kStandardGravity * slopes);

  LowerBound b;
  b.energy = p.h - target.elevation + (V_most * V_most - Vbg * Vbg) / (2.0 * kStandardGravity);
  const double time = std::max(0.0, b.energy) * E / Vbg;  // nothing sinks slower than Vbg/E' at these speeds
  const double along = target.along(p);
  const double beyond = along - std::clamp(along, target.aim_low, target.aim_high);
  const double distance = std::max(0.0, std::hypot(beyond, target.across(p)) - medium.strongest_wind() * time);
  const double crab = std::asin(std::min(1.0, medium.strongest_wind() / Vbg));
  const double net = std::abs(earth::wrap_signed(radians(target.track - p.psi)).si());
  double c = 1.0;
  if (model.angle == AngleRule::exact) {
    const double sec2 = std::max(style.first.held.sec2, style.line_up.held.sec2);
    const double still = equations::steady_descent(1.0, fastest_cas / glider.best_glide_cas(), sec2, 1.0,
                                                   glider.glide_ratio(), 0.0, 0.0, model.angle)
                             .sin_gamma;
    const double steepest = std::min(0.9, still / std::max(0.5, 1.0 - V_most / kStandardGravity * slopes));
    c = 1.0 - steepest * steepest;
  }
  b.need = std::hypot(distance, c * Vbg * Vbg / kStandardGravity * std::max(0.0, net - crab)) / E;
  return b;
}

}  // namespace backfield::flight
