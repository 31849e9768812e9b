#include "medium.hpp"

namespace backfield::flight {
namespace {

constexpr double kBottom_m = -300.0;
constexpr double kMostStep_m = 60.0;

}  // namespace

Medium::Medium(const earth::Environment& environment, earth::Altitude datum, const Model& model, double top_m,
               const Push& push)
    : shear_(model.shear == ShearRule::on) {
  const earth::Air air = environment.air.with(model.density);
  const earth::WindProfile wind =
      model.wind == WindRule::uniform ? earth::WindProfile::uniform(environment.wind.surface()) : environment.wind;
  const auto sample = [&](double height_m) {
    const earth::Height height{metres(height_m)};
    const earth::WindVector w = wind.at(height);
    strongest_wind_ = std::max(strongest_wind_, w.speed().si());
    return Node{height_m,
                1.0 / std::sqrt(air.sigma(datum + height)),
                w.towards_east.si(),
                w.towards_north.si(),
                push ? push(height_m) : 0.0,
                0.0,
                0.0,
                0.0,
                0.0,
                0.0,
                0.0};
  };
  flat_ = model.density == earth::DensityRule::aerodrome && wind.is_uniform();
  if (flat_) {
    const Node n = sample(0.0);
    strongest_push_ = std::max(0.0, n.push);
    flat_sample_ = {n.q, 0.0, n.we, n.wn, 0.0, 0.0, n.push};
    return;
  }
  if (!wind.is_uniform()) {
    for (const earth::WindProfile::Level& level : wind.data()) kinks_.push_back(level.height.above_datum.si());
  }
  grid_ = HeightGrid(kBottom_m, std::max(top_m, kBottom_m + kMostStep_m), kMostStep_m, kinks_);
  nodes_.reserve(grid_.size());
  for (std::size_t i = 0; i < grid_.size(); ++i) nodes_.push_back(sample(grid_[i]));
  for (const Node& n : nodes_) strongest_push_ = std::max(strongest_push_, n.push);
  for (std::size_t i = 0; i + 1 < nodes_.size(); ++i) {
    Node& a = nodes_[i];
    Node& b = nodes_[i + 1];
    const double step = b.h - a.h;
    a.q_slope = (b.q - a.q) / step;
    a.we_slope = (b.we - a.we) / step;
    a.wn_slope = (b.wn - a.wn) / step;
    a.push_slope = (b.push - a.push) / step;
    b.east_sum = a.east_sum + 0.5 * (a.we + b.we) * step;
    b.north_sum = a.north_sum + 0.5 * (a.wn + b.wn) * step;
    steepest_tas_slope_ = std::max(steepest_tas_slope_, a.q_slope);
    if (!shear_) continue;
    strongest_shear_ = std::max(strongest_shear_, std::hypot(a.we_slope, a.wn_slope));
    if (i > 0) a.jump = std::hypot(a.we_slope - nodes_[i - 1].we_slope, a.wn_slope - nodes_[i - 1].wn_slope);
  }
}

}  // namespace backfield::flight
