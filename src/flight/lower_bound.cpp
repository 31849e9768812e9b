#include "lower_bound.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {

LowerBound::LowerBound(const Glider& glider, const Style& style, const Model& model, const PathFinder::Target& target,
                       double top)
    : target_(&target) {
  const Medium& medium = glider.medium();
  const double q_high = medium.at(std::max(top, target.elevation)).tas_per_cas;
  const double q_low = medium.at(std::min(top, target.elevation)).tas_per_cas;
  const double fastest_cas = std::max(style.first.held.cas, style.line_up.held.cas);
  const double Vbg = glider.best_glide_cas() * q_low;
  const double V_most = fastest_cas * q_high;
  const double slopes = V_most / q_high * medium.steepest_tas_slope() + medium.strongest_shear();
  // Thrust is most at the slowest; per metre over the ground it counts for more by the cosine of a steep path.
  constexpr double kLeastCosine = 0.85;
  double ratio = glider.glide_ratio();
  if (glider.is_powered()) {
    const double most = medium.strongest_push() / (glider.is_powered_by_propeller() ? Vbg : 1.0);
    ratio = 1.0 / std::max(equations::kShallowest, 1.0 / ratio - most / kLeastCosine);
  }
  E_ = ratio * (1.0 + V_most / kStandardGravity * slopes);
  speed_ = (V_most * V_most - Vbg * Vbg) / (2.0 * kStandardGravity);
  // Nothing sinks slower than Vbg/E' at these speeds: so long does the wind blow at most.
  drift_ = medium.strongest_wind() * E_ / Vbg;
  crab_ = std::asin(std::min(1.0, medium.strongest_wind() / Vbg));
  double c = 1.0;
  if (model.angle == AngleRule::exact) {
    Trim steep = glider.trim(fastest_cas, 1.0);
    for (const Trim& t : {style.first.held.trim, style.line_up.held.trim}) {
      steep.parasite = std::max(steep.parasite, t.parasite);
      steep.induced = std::max(steep.induced, t.induced);
    }
    const double still = equations::steady_descent(1.0, steep, 0.0, 0.0, model.angle).sin_gamma;
    const double steepest = std::min(0.9, still / std::max(0.5, 1.0 - V_most / kStandardGravity * slopes));
    c = 1.0 - steepest * steepest;
  }
  // What a bank costs is induced drag, which thrust may make up for.
  per_radian_ = glider.is_powered() ? 0.0 : c * Vbg * Vbg / kStandardGravity;
}

LowerBound::Balance LowerBound::at(const Point& p) const {
  const PathFinder::Target& t = *target_;
  Balance b;
  b.energy = p.h - t.elevation + speed_;
  const double along = t.along(p);
  const double across = t.across(p);
  const double beyond = along - std::clamp(along, t.aim_low, t.aim_high);
  const double ground = std::sqrt(beyond * beyond + across * across);
  const double distance = std::max(0.0, ground - drift_ * std::max(0.0, b.energy));
  const double net = std::abs(std::remainder(t.track - p.psi, 2.0 * kPi));
  const double turn = per_radian_ * std::max(0.0, net - crab_);
  b.need = std::sqrt(distance * distance + turn * turn) / E_;
  return b;
}

}  // namespace backfield::flight
