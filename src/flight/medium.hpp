#pragma once
// Density and wind against height, laid out for the inner loops.

#include "backfield/earth/environment.hpp"
#include "backfield/flight/technique.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace backfield::flight {

/// What the air is at one height. Speeds in m/s, slopes per metre of height.
struct AirSample {
  double tas_per_cas = 1.0;  ///< 1 / sqrt(sigma)
  double tas_per_cas_slope = 0.0;
  double wind_east = 0.0, wind_north = 0.0;  ///< motion of the air
  double wind_east_slope = 0.0, wind_north_slope = 0.0;
};

/// Linear table on a 2 m grid from 300 m below the departure elevation to `top`; constant beyond. The profile's own
/// levels are not on the grid: the wind differs from it by less than 0.1 m/s over less than 2 m of height, which moves
/// a path by centimetres (the re-flight tests, which use the profile itself, hold the sum of all such errors).
class Medium {
 public:
  Medium(const earth::Environment& environment, earth::Altitude datum, const Model& model, double top_m);

  [[nodiscard]] AirSample at(double height_m) const {
    if (flat_) return flat_sample_;
    const double x = std::clamp((height_m - kBottom) * (1.0 / kStep), 0.0, last_);
    const auto i = static_cast<std::size_t>(x);
    const double r = x - static_cast<double>(i);
    const Node& a = nodes_[i];
    const Node& b = nodes_[i + 1];
    AirSample s;
    s.tas_per_cas = a.q + (b.q - a.q) * r;
    s.tas_per_cas_slope = (b.q - a.q) * (1.0 / kStep);
    s.wind_east = a.we + (b.we - a.we) * r;
    s.wind_north = a.wn + (b.wn - a.wn) * r;
    if (shear_) {
      s.wind_east_slope = (b.we - a.we) * (1.0 / kStep);
      s.wind_north_slope = (b.wn - a.wn) * (1.0 / kStep);
    }
    return s;
  }
  /// Over `span_m` of height below `top_m`: density in the middle, the mean of the wind, and the slopes that lead from
  /// one end to the other. A profile of many levels has many kinks; what a step of any length feels of them is this.
  [[nodiscard]] AirSample over(double top_m, double span_m) const {
    AirSample s = at(top_m - 0.5 * span_m);
    if (flat_ || std::abs(span_m) < 1e-3) return s;
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
  /// True when neither density nor wind changes with height: one step is then exact for any length.
  [[nodiscard]] bool flat() const { return flat_; }
  [[nodiscard]] double strongest_wind() const { return strongest_wind_; }
  [[nodiscard]] double strongest_shear() const { return strongest_shear_; }        ///< 1/s, 0 with ShearRule::off
  [[nodiscard]] double steepest_tas_slope() const { return steepest_tas_slope_; }  ///< of tas_per_cas, 1/m

 private:
  static constexpr double kBottom = -300.0;
  static constexpr double kStep = 2.0;
  struct Node {
    double q, we, wn, east_sum, north_sum;
  };
  /// Wind at a height and its integral over height from the bottom of the table (m2/s).
  struct Sum {
    double we, wn, east, north;
  };
  [[nodiscard]] Sum sum(double height_m) const {
    const double x = std::clamp((height_m - kBottom) * (1.0 / kStep), 0.0, last_);
    const auto i = static_cast<std::size_t>(x);
    const double r = x - static_cast<double>(i);
    const Node& a = nodes_[i];
    const Node& b = nodes_[i + 1];
    const double we = a.we + (b.we - a.we) * r;
    const double wn = a.wn + (b.wn - a.wn) * r;
    return {we, wn, a.east_sum + 0.5 * (a.we + we) * r * kStep, a.north_sum + 0.5 * (a.wn + wn) * r * kStep};
  }
  std::vector<Node> nodes_;
  double last_ = 0.0;
  double strongest_wind_ = 0.0;
  double strongest_shear_ = 0.0;
  double steepest_tas_slope_ = 0.0;
  bool shear_ = false;
  bool flat_ = false;
  AirSample flat_sample_;
};

}  // namespace backfield::flight
