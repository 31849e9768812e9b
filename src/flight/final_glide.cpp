#include "final_glide.hpp"

#include <algorithm>

namespace backfield::flight {
namespace {

// Sine. In a wind that dies away fast near the ground the glide into it steepens until there is none; nobody plans
// that.
constexpr double kSteepestFinal = 0.3;
constexpr double kMostCrab = 0.9;    // sine: 64 degrees
constexpr double kMostStep_m = 4.0;  // crab and density change slowly

}  // namespace

double crab_on(const Glider& glider, double s, double c, double height) {
  const auto r = glider.rates(height, s, c, glider.level());
  const double across = r.air.wind_east * c - r.air.wind_north * s;  // blowing to the right of the track
  return -std::asin(std::clamp(across / (r.V * r.cos_gamma), -1.0, 1.0));
}

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): see the declaration
FinalGlide::FinalGlide(const Glider& glider, double track, double elevation, double top) {
  std::vector<double> kinks = glider.medium().kinks();
  for (double& kink : kinks) kink -= elevation;
  grid_ = HeightGrid(0.0, std::max(top, kMostStep_m), kMostStep_m, kinks);
  distance_.reserve(grid_.size());
  time_.reserve(grid_.size());
  distance_.push_back(0.0);
  time_.push_back(0.0);
  const double s = std::sin(track);
  const double c = std::cos(track);
  for (std::size_t i = 0; i + 1 < grid_.size(); ++i) {
    const double step = grid_[i + 1] - grid_[i];
    const double h = elevation + grid_[i] + 0.5 * step;
    // The glide's angle depends a little on the heading, by the shear, and so does the heading on it.
    const AirSample air = glider.medium().over(h + 0.5 * step, step);
    double crab = crab_on(glider, s, c, h);
    auto r = glider.rates(air, std::sin(track + crab), std::cos(track + crab), glider.level());
    const double across = r.air.wind_east * c - r.air.wind_north * s;
    for (int pass = 0; pass < 2; ++pass) {
      crab = -std::asin(std::clamp(across / (r.V * r.cos_gamma), -1.0, 1.0));
      r = glider.rates(air, std::sin(track + crab), std::cos(track + crab), glider.level());
    }
    const double along = r.V * r.cos_gamma * std::cos(crab) + r.air.wind_east * s + r.air.wind_north * c;
    const bool flyable =
        along > 0.0 && r.sin_gamma < kSteepestFinal && std::abs(across) < kMostCrab * r.V * r.cos_gamma;
    if (!flyable) flyable_up_to_ = std::min(flyable_up_to_, grid_[i]);
    const double dt = step / (r.V * r.sin_gamma);
    distance_.push_back(distance_.back() + std::max(along, 1e-3) * dt);
    time_.push_back(time_.back() + dt);
  }
}

double FinalGlide::height_where(const std::vector<double>& table, double value) const {
  const auto above = std::upper_bound(table.begin() + 1, table.end() - 1, value);
  const auto i = static_cast<std::size_t>(above - table.begin()) - 1;
  const double share = (value - table[i]) / (table[i + 1] - table[i]);
  return grid_[i] + share * (grid_[i + 1] - grid_[i]);
}

double FinalGlide::height_left(double height, double duration) const {
  const double left = time(height) - duration;
  return left > 0.0 ? height_where(time_, left) : 0.0;
}

}  // namespace backfield::flight
