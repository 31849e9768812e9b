#pragma once
// The wind of a rendezvous, and its integral over height.

#include "backfield/earth/wind.hpp"
#include "height_grid.hpp"
#include "rendezvous_word.hpp"

#include <vector>

namespace backfield::flight {

/// Linear between the profile's levels, constant beyond; the integral is exact.
class Drift {
 public:
  explicit Drift(const earth::WindProfile& wind) {
    std::vector<double> heights;
    for (const auto& level : wind.data()) heights.push_back(level.height.above_datum.si());
    const auto node = [&](double h) {
      const earth::WindVector w = wind.at({metres(h)});
      return Node{h, {w.towards_east.si(), w.towards_north.si()}, {}, {}};
    };
    nodes_.push_back(node(heights.front()));
    if (heights.size() == 1) return;
    grid_ = HeightGrid(heights.front(), heights.back(), 1e9, heights);
    for (std::size_t i = 1; i < grid_.size(); ++i) {
      Node& below = nodes_.back();
      Node here = node(grid_[i]);
      const double step = here.h - below.h;
      below.slope = (here.wind - below.wind) * (1.0 / step);
      here.sum = below.sum + (below.wind + here.wind) * (0.5 * step);
      nodes_.push_back(here);
    }
  }

  struct At {
    Vector wind, slope;  ///< m/s; per metre of height
    Vector sum;          ///< of the wind over height, from the lowest level (m2/s)
    double height = 0.0;
  };
  [[nodiscard]] At at(double h) const {
    const Node& bottom = nodes_.front();
    if (h <= bottom.h) return {bottom.wind, {}, bottom.wind * (h - bottom.h), h};
    const Node& top = nodes_.back();
    if (h >= top.h) return {top.wind, {}, top.sum + top.wind * (h - top.h), h};
    const Node& a = nodes_[grid_.cell(h)];
    const double d = h - a.h;
    const Vector w = a.wind + a.slope * d;
    return {w, a.slope, a.sum + (a.wind + w) * (0.5 * d), h};
  }
  /// From one height to so much below.
  [[nodiscard]] Vector mean(const At& upper, double below) const {
    if (std::abs(below) < 1e-6) return upper.wind;
    return (upper.sum - at(upper.height - below).sum) * (1.0 / below);
  }
  [[nodiscard]] bool uniform() const { return nodes_.size() == 1; }

 private:
  struct Node {
    double h;
    Vector wind, slope, sum;
  };
  std::vector<Node> nodes_;
  HeightGrid grid_;
};

}  // namespace backfield::flight
