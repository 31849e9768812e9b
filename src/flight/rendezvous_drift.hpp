#pragma once
// The wind of a rendezvous, and its integral over height.

#include "backfield/earth/wind.hpp"
#include "height_grid.hpp"
#include "rendezvous_lanes.hpp"

#include <array>
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
    ground_ = nodes_.front();
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
    const Node& a = below(h);
    const double d = h - a.h;
    const Vector w = a.wind + a.slope * d;
    return {w, a.slope, a.sum + (a.wind + w) * (0.5 * d), h};
  }
  /// The same for several, of wind, slope and sum.
  struct LanesAt {
    LaneVector wind, slope, sum;
  };
  BACKFIELD_INLINED LanesAt at(const Lanes& h) const {
    const std::array nodes{&below(h[0]), &below(h[1]), &below(h[2]), &below(h[3])};
    const auto wind = gather(nodes, [](const Node* a) { return a->wind; });
    const auto slope = gather(nodes, [](const Node* a) { return a->slope; });
    const Lanes d = h - gather(nodes, [](const Node* a) { return a->h; });
    const LaneVector w = wind + slope * d;
    return {w, slope, gather(nodes, [](const Node* a) { return a->sum; }) + (wind + w) * (0.5 * d)};
  }
  /// From one height to so much below.
  [[nodiscard]] Vector mean(const At& upper, double below) const {
    if (std::abs(below) < 1e-6) return upper.wind;
    return (upper.sum - at(upper.height - below).sum) * (1.0 / below);
  }
  [[nodiscard]] bool uniform() const { return nodes_.size() == 1; }

 private:
  /// From here up.
  struct Node {
    double h = 0.0;
    Vector wind, slope, sum;
  };
  [[nodiscard]] const Node& below(double h) const {
    if (h <= ground_.h) return ground_;
    if (h >= nodes_.back().h) return nodes_.back();
    return nodes_[grid_.cell(h)];
  }
  std::vector<Node> nodes_;
  Node ground_;  // below the lowest level, too, with its wind
  HeightGrid grid_;
};

}  // namespace backfield::flight
