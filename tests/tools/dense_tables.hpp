#pragma once
// Everything about a goal that no failure changes, for the exhaustive search of tests: straights at every heading,
// line-up turns from every height, the final. All of them are the same wherever they begin, so they are flown once.

#include "tests/tools/dense_flight.hpp"

#include <array>
#include <optional>

namespace backfield::test {

/// A path, as far as its goal is concerned.
struct Arrival {
  double along = 0.0, height = 0.0;  ///< at alignment, from the threshold and above the runway
  double first = 0.0, last = 0.0;    ///< turns, >= 0
};

/// What a path keeps.
struct InHand {
  double height = 0.0, along = 0.0;
};

class DenseTables {
 public:
  static constexpr std::size_t kRows = 180;  ///< headings of the straight, every 2 degrees from north
  static constexpr double kStep_m = 8.0;     ///< of height, from level to level

  /// A straight from the table's top down to one level, and the line-up turn from there.
  struct Level {
    double across = 0.0, along = 0.0;  ///< of the straight alone
    struct Turned {
      double across = 0.0, along = 0.0, height = 0.0, change = 0.0;  ///< with the line-up turn; above the runway
    };
    std::array<Turned, 2> turned;  ///< to the left, to the right
  };

  /// elevation, top   above the departure elevation
  DenseTables(const DenseFlight& flight, const flight::Goal& goal, double elevation, double top);

  [[nodiscard]] static double heading_of(std::size_t row) { return 2.0 * kPi / kRows * static_cast<double>(row); }
  [[nodiscard]] double height_of(std::size_t level) const { return bottom_ + kStep_m * static_cast<double>(level); }
  [[nodiscard]] std::size_t levels() const { return levels_; }
  [[nodiscard]] const Level& at(std::size_t row, std::size_t level) const { return table_[row * levels_ + level]; }

  /// In the goal's directions; across is right +.
  [[nodiscard]] double across(const Spot& p) const { return p.e * c_ - p.n * s_; }
  [[nodiscard]] double along(const Spot& p) const { return p.e * s_ + p.n * c_; }
  [[nodiscard]] Spot from_threshold(Spot p) const;

  /// From a straight's end, relative to the threshold, flown instead of looked up: [0] to the left, [1] to the right.
  struct LinedUp {
    double across = 0.0;
    Arrival arrival;
  };
  [[nodiscard]] LinedUp line_up(const DenseFlight& flight, const Spot& from, double first, std::size_t side) const;

  /// Does the glide pass the far end of the aim interval?
  [[nodiscard]] bool overshoots(const Arrival& a) const;
  /// Height over the need; nothing where it is aligned too far down the runway, or too high for a final.
  /// in_hand     of height, and so many metres before its end, with which too the final ends within the interval
  [[nodiscard]] std::optional<double> spare(const Arrival& a, const InHand& in_hand = {}) const;

 private:
  void lay_final(const DenseFlight& flight, double top);
  void lay_row(const DenseFlight& flight, std::size_t row);
  [[nodiscard]] double track() const { return goal_.track.angle().si(); }
  [[nodiscard]] double heading_on_track(const DenseFlight& flight, const DenseFlight::Air& air) const;
  /// Gliding along the runway's track: over the ground and down (m/s), and whether a final may be flown like that.
  struct OnTrack {
    double ahead, sink;
    bool flies;
  };
  [[nodiscard]] OnTrack on_track(const DenseFlight& flight, const DenseFlight::Air& air) const;
  [[nodiscard]] double final_from(double height) const;
  [[nodiscard]] double final_to(double distance) const;

  flight::Goal goal_;
  double elevation_, s_, c_, bottom_;
  std::vector<double> final_;  // ground covered along the track from every metre of height
  double flyable_ = 1e9;       // a final begun higher is not
  std::size_t levels_;
  std::vector<Level> table_;  // [row][level]
};

/// From one heading to another in direction `sense`, [0, 2 pi).
double change_between(double from, double to, int sense);

}  // namespace backfield::test
