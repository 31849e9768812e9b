#include "medium.hpp"

namespace backfield::flight {

Medium::Medium(const earth::Environment& environment, earth::Altitude datum, const Model& model, double top_m)
    : shear_(model.shear == ShearRule::on) {
  const earth::Air air = environment.air.with(model.density);
  const earth::WindProfile wind =
      model.wind == WindRule::uniform ? earth::WindProfile::uniform(environment.wind.surface()) : environment.wind;
  const auto sample = [&](double height_m) {
    const earth::Height height{metres(height_m)};
    const earth::WindVector w = wind.at(height);
    strongest_wind_ = std::max(strongest_wind_, w.speed().si());
    return Node{1.0 / std::sqrt(air.sigma(datum + height)), w.towards_east.si(), w.towards_north.si(), 0.0, 0.0};
  };
  flat_ = model.density == earth::DensityRule::aerodrome && wind.is_uniform();
  if (flat_) {
    const Node n = sample(0.0);
    flat_sample_ = {n.q, 0.0, n.we, n.wn, 0.0, 0.0};
    return;
  }
  const auto cells = static_cast<std::size_t>(std::max(1.0, (top_m - kBottom) / kStep + 1.0));
  nodes_.reserve(cells + 2);
  for (std::size_t i = 0; i < cells + 2; ++i) nodes_.push_back(sample(kBottom + kStep * static_cast<double>(i)));
  last_ = static_cast<double>(cells) + 0.999999;
  for (std::size_t i = 0; i + 1 < nodes_.size(); ++i) {
    const Node& a = nodes_[i];
    Node& b = nodes_[i + 1];
    b.east_sum = a.east_sum + 0.5 * (a.we + b.we) * kStep;
    b.north_sum = a.north_sum + 0.5 * (a.wn + b.wn) * kStep;
    steepest_tas_slope_ = std::max(steepest_tas_slope_, (b.q - a.q) / kStep);
    if (shear_) strongest_shear_ = std::max(strongest_shear_, std::hypot(b.we - a.we, b.wn - a.wn) / kStep);
  }
}

}  // namespace backfield::flight
