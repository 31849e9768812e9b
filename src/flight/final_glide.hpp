#pragma once
// The last, wings-level glide along the runway's track, as a table: ground covered and time taken from a height.

#include "backfield/flight/path.hpp"
#include "glider.hpp"

#include <vector>

namespace backfield::flight {

/// Heading is held such that the ground track is the runway's (crab); it changes with the wind on the way down.
/// Heights are above the runway.
class FinalGlide {
 public:
  /// elevation   of the runway above the departure elevation (m)
  // NOLINTNEXTLINE(bugprone-easily-swappable-parameters): radians, metres, metres; two callers, both name them
  FinalGlide(const Glider& glider, double track, double elevation, double top);

  [[nodiscard]] double distance(double height) const { return read(distance_, height); }
  [[nodiscard]] double time(double height) const { return read(time_, height); }
  /// The height from which the glide covers `distance`.
  [[nodiscard]] double height_for(double distance) const { return height_where(distance_, distance); }
  /// The height left of `height` after gliding for `duration`, >= 0; none when the ground comes first.
  [[nodiscard]] double height_left(double height, double duration) const;
  /// Height above the runway up to which the final can be flown: the wind lets the aeroplane hold the track with
  /// headway, and the glide is no steeper than 17 degrees.
  [[nodiscard]] double flyable_up_to() const { return flyable_up_to_; }

 private:
  [[nodiscard]] double read(const std::vector<double>& table, double height) const {
    const std::size_t i = grid_.cell(height);
    return table[i] + (table[i + 1] - table[i]) * ((height - grid_[i]) / (grid_[i + 1] - grid_[i]));
  }
  [[nodiscard]] double height_where(const std::vector<double>& table, double value) const;
  // The kinks of the wind profile are nodes: the glide's angle does not follow the wind linearly.
  HeightGrid grid_;
  std::vector<double> distance_, time_;  ///< one entry a node, rising
  double flyable_up_to_ = 1e9;
};

/// Crab (heading minus track) at a height above the departure elevation, straight glide on a track given by its sine
/// and cosine.
double crab_on(const Glider& glider, double s, double c, double height);

}  // namespace backfield::flight
