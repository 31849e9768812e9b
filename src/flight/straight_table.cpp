#include "straight_table.hpp"

namespace backfield::flight {

StraightTable::StraightTable(const Glider& glider) {
  const Medium& medium = glider.medium();
  by_heading_ = medium.strongest_shear() > 0.0;
  const std::size_t terms = by_heading_ ? kTerms : 1;
  grid_ = medium.flat() ? HeightGrid(0.0, 1000.0, 1000.0, {}) : medium.grid();

  // Counted from the wind, the table turns and mirrors with the scene.
  const AirSample low = medium.at(0.0);
  const double wind = std::hypot(low.wind_east, low.wind_north);
  if (wind > 0.0) {
    zero_s_ = low.wind_east / wind;
    zero_c_ = low.wind_north / wind;
  }
  std::vector<Heading> headings;
  for (std::size_t j = 0; j < kTerms; ++j) {
    const double angle = 2.0 * kPi * static_cast<double>(j) / kTerms;
    const double s = std::sin(angle);
    const double c = std::cos(angle);
    headings.push_back(heading(s * zero_c_ + c * zero_s_, c * zero_c_ - s * zero_s_));
  }
  nodes_.resize(grid_.size());
  for (std::size_t i = 0; i + 1 < grid_.size(); ++i) {
    Node& node = nodes_[i];
    Node& next = nodes_[i + 1];
    node.h = grid_[i];
    next.h = grid_[i + 1];
    const double step = next.h - node.h;
    const AirSample air = medium.at(0.5 * (node.h + next.h));
    for (std::size_t j = 0; j < terms; ++j) {
      const auto r = glider.rates(air, headings[j].s, headings[j].c, glider.level());
      const double time = 1.0 / (r.V * r.sin_gamma);
      const double air_path = r.cos_gamma / r.sin_gamma;
      for (std::size_t k = 0; k < terms; ++k) {
        // Five headings evenly round the circle determine five coefficients.
        const double share = (k == 0 ? 1.0 : 2.0) / static_cast<double>(terms) * headings[j].basis[k];
        node.air.slope[k] += share * air_path;
        node.time.slope[k] += share * time;
        node.east.slope[k] += share * time * air.wind_east;
        node.north.slope[k] += share * time * air.wind_north;
      }
    }
    for (const auto sum : {&Node::air, &Node::east, &Node::north, &Node::time}) {
      for (std::size_t k = 0; k < terms; ++k) { (next.*sum).at[k] = (node.*sum).at[k] + (node.*sum).slope[k] * step; }
    }
  }
}

}  // namespace backfield::flight
