#pragma once
// Density and wind against height, laid out for the inner loops.

#include "backfield/earth/environment.hpp"
#include "backfield/flight/technique.hpp"
#include "height_grid.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <vector>

namespace backfield::flight {

/// What the air is at one height. Speeds in m/s, slopes per metre of height.
struct AirSample {
  double tas_per_cas = 1.0;  ///< 1 / sqrt(sigma)
  double tas_per_cas_slope = 0.0;
  double wind_east = 0.0, wind_north = 0.0;  ///< motion of the air
  double wind_east_slope = 0.0, wind_north_slope = 0.0;
  double push = 0.0;  ///< of the engines left over weight: a propeller's power (m/s), a jet's thrust
};

/// What the engines left push with over weight at a height above the datum (m); none: power off.
using Push = std::function<double(double height_m)>;

/// Linear between nodes, from 300 m below the departure elevation to `top`; constant beyond. Every level of the wind
/// profile is a node, so the wind is the profile itself; density is linear over at most 60 m, which is exact to 1e-5.
class Medium {
 public:
  Medium(const earth::Environment& environment, earth::Altitude datum, const Model& model, double top_m,
         const Push& push = {});

  [[nodiscard]] AirSample at(double height_m) const { return at(height_m, cell(height_m)); }
  /// The layer between two nodes that a height lies in.
  [[nodiscard]] std::size_t cell(double height_m) const { return flat_ ? 0 : grid_.cell(height_m); }
  /// The layer a height lies in; on a node the one below it or the one above.
  struct Layer {
    std::size_t cell;
    double bottom, top;
  };
  [[nodiscard]] Layer layer(double height_m, bool below) const {
    if (flat_) return {0, -1e9, 1e9};
    std::size_t i = grid_.cell(height_m);
    if (below && i > 0 && height_m <= grid_[i]) --i;
    return {i, i == 0 ? -1e9 : grid_[i], i + 2 == grid_.size() ? 1e9 : grid_[i + 1]};
  }
  /// As it would be if the layer given reached to that height: at a node, what is just above or just below it.
  [[nodiscard]] AirSample at(double height_m, std::size_t cell) const {
    if (flat_) return flat_sample_;
    const Node& a = nodes_[cell];
    const double d = std::clamp(height_m, grid_.bottom(), grid_.top()) - a.h;
    AirSample s;
    s.tas_per_cas = a.q + a.q_slope * d;
    s.tas_per_cas_slope = a.q_slope;
    s.wind_east = a.we + a.we_slope * d;
    s.wind_north = a.wn + a.wn_slope * d;
    s.push = a.push + a.push_slope * d;
    if (shear_) {
      s.wind_east_slope = a.we_slope;
      s.wind_north_slope = a.wn_slope;
    }
    return s;
  }
  /// Over `span_m` of height below `top_m`: density in the middle, the mean of the wind, and the slopes that lead from
  /// one end to the other. A profile of many levels has many kinks; what a step of any length feels of them is this.
  [[nodiscard]] AirSample over(double top_m, double span_m) const {
    AirSample s = at(top_m - 0.5 * span_m);
    if (flat_ || std::abs(span_m) < 1e-3 || grid_.cell(top_m) == grid_.cell(top_m - span_m)) return s;
    const Sum upper = sum(top_m);
    const Sum lower = sum(top_m - span_m);
    const double per_metre = 1.0 / span_m;
    s.wind_east = (upper.east - lower.east) * per_metre;
    s.wind_north = (upper.north - lower.north) * per_metre;
    if (shear_) {
      s.wind_east_slope = (upper.we - lower.we) * per_metre;
      s.wind_north_slope = (upper.wn - lower.wn) * per_metre;
    }
    return s;
  }
  /// Is there a node between two heights?
  [[nodiscard]] bool kinked(double low_m, double high_m) const {
    return !flat_ && grid_.cell(low_m) != grid_.cell(high_m);
  }
  /// The most by which the wind's change with height (1/s) jumps at a node between two heights; none: there is no node.
  [[nodiscard]] std::optional<double> jump(double low_m, double high_m) const {
    if (!kinked(low_m, high_m)) return std::nullopt;
    double most = 0.0;
    const std::size_t top = grid_.cell(high_m);
    for (std::size_t node = grid_.cell(low_m) + 1; node <= top; ++node) most = std::max(most, nodes_[node].jump);
    return most;
  }
  /// The next node below a height; one that is nearer than a hand's breadth counts as reached.
  [[nodiscard]] double node_below(double height_m) const {
    const double h = height_m - kReached_m;
    return h > grid_.bottom() ? grid_[grid_.cell(h)] : -1e9;
  }
  /// The same above it.
  [[nodiscard]] double node_above(double height_m) const {
    const double h = height_m + kReached_m;
    return h < grid_.top() ? std::max(grid_.bottom(), grid_[grid_.cell(h) + 1]) : 1e9;
  }
  /// True when neither density nor wind changes with height: one step is then exact for any length.
  [[nodiscard]] bool flat() const { return flat_; }
  [[nodiscard]] const HeightGrid& grid() const { return grid_; }
  /// Heights at which the wind's change with height changes, rising.
  [[nodiscard]] const std::vector<double>& kinks() const { return kinks_; }
  [[nodiscard]] double strongest_wind() const { return strongest_wind_; }
  [[nodiscard]] double strongest_shear() const { return strongest_shear_; }  ///< 1/s, 0 with ShearRule::off
  [[nodiscard]] double strongest_push() const { return strongest_push_; }
  [[nodiscard]] double steepest_tas_slope() const { return steepest_tas_slope_; }  ///< of tas_per_cas, 1/m

 private:
  static constexpr double kReached_m = 0.1;
  struct Node {
    double h, q, we, wn, push;
    double q_slope, we_slope, wn_slope, push_slope;  ///< to the next node
    double east_sum, north_sum;                      ///< of the wind over height, from the bottom (m2/s)
    double jump = 0.0;                               ///< of the shear from the layer below to this one, 1/s
  };
  struct Sum {
    double we, wn, east, north;
  };
  [[nodiscard]] Sum sum(double height_m) const {
    const double h = std::clamp(height_m, grid_.bottom(), grid_.top());
    const Node& a = nodes_[grid_.cell(h)];
    const double d = h - a.h;
    const double beyond = height_m - h;
    const double we = a.we + a.we_slope * d;
    const double wn = a.wn + a.wn_slope * d;
    return {we, wn, a.east_sum + 0.5 * (a.we + we) * d + we * beyond,
            a.north_sum + 0.5 * (a.wn + wn) * d + wn * beyond};
  }
  HeightGrid grid_;
  std::vector<Node> nodes_;
  std::vector<double> kinks_;
  double strongest_wind_ = 0.0;
  double strongest_shear_ = 0.0;
  double steepest_tas_slope_ = 0.0;
  double strongest_push_ = 0.0;
  bool shear_ = false;
  bool flat_ = false;
  AirSample flat_sample_;
};

}  // namespace backfield::flight
