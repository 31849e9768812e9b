#include "steep_final.hpp"

#include <algorithm>

namespace backfield::flight {
namespace {

constexpr double kNarrow_m = 1e-4;

}  // namespace

FinalPlan SteepFinal::steepest(double height) const {
  if (most_ == Configuration::clean) return {height, 0.0, 0.0};
  const FinalGlides& g = *glides_;
  FinalPlan plan{height, g.clean.height_left(height, g.flap_time), 0.0};
  plan.flap_out = std::min(plan.flap_out, g.flap->flyable_up_to());
  plan.slip_end = plan.flap_out;
  if (most_ != Configuration::slip) return plan;
  // The wind may forbid a slip higher up that is possible lower down.
  if (plan.flap_out <= g.slip->flyable_up_to()) plan.slip_end = std::min(plan.flap_out, g.level_below);
  return plan;
}

double SteepFinal::distance(const FinalPlan& plan) const {
  const FinalGlides& g = *glides_;
  double sum = g.clean.distance(plan.from) - g.clean.distance(plan.flap_out);
  if (plan.slip_end < plan.flap_out) sum += g.slip->distance(plan.flap_out) - g.slip->distance(plan.slip_end);
  if (plan.slip_end > 0.0) sum += g.flap->distance(plan.slip_end);
  return sum;
}

FinalPlan SteepFinal::plan(double height, double distance) const {
  if (most_ == Configuration::clean) return {height, 0.0, 0.0};
  const FinalPlan most = steepest(height);
  // Without a slip, and later and later flap; if that is too far, with flap at once and a longer and longer slip.
  FinalPlan best = most;
  best.slip_end = most.flap_out;
  const bool slips = this->distance(best) > distance;
  double& free = slips ? best.slip_end : best.flap_out;
  double steep = slips ? most.slip_end : most.flap_out;
  double flat = slips ? most.flap_out : 0.0;
  const auto set = [&](double value) {
    free = value;
    if (!slips) best.slip_end = value;
  };
  while (std::abs(steep - flat) > kNarrow_m) {
    const double mid = 0.5 * (steep + flat);
    set(mid);
    (this->distance(best) > distance ? flat : steep) = mid;
  }
  set(steep);
  return best;
}

void SteepFinal::fly(const FinalPlan& plan, double track, double cas, std::vector<Segment>& segments) const {
  const FinalGlides& g = *glides_;
  const auto add = [&](Configuration configuration, const FinalGlide& glide, double from, double to) {
    if (from <= to) return;
    Segment s;
    s.hold = Hold::track;
    s.configuration = configuration;
    s.track_rad = track;
    s.cas_from_mps = s.cas_to_mps = cas;
    s.duration_s = glide.time(from) - glide.time(to);
    segments.push_back(s);
  };
  add(Configuration::clean, g.clean, plan.from, plan.flap_out);
  if (g.slip) add(Configuration::slip, *g.slip, plan.flap_out, plan.slip_end);
  if (g.flap) add(Configuration::landing_flap, *g.flap, plan.slip_end, 0.0);
}

}  // namespace backfield::flight
