#pragma once
// The line-up turn to one runway, tabled: where it has to begin to end on the axis.
//
// Seen from its end a line-up turn knows nothing of the path before it: it depends on the height at which it ends (on
// the heading that holds the runway's track there) and on how far it turns. It is flown backwards from there.

#include "turns.hpp"

#include <vector>

namespace backfield::flight {

class LineUpTable {
 public:
  /// elevation   of the runway; heights are all above the departure elevation, like this one (m)
  /// top         highest end of a turn (m)
  // NOLINTNEXTLINE(bugprone-easily-swappable-parameters): radians, metres, metres; one caller names them
  LineUpTable(const Glider& glider, const TurnStyle& style, double track, double elevation, double top);

  /// Begin of the turn seen from its end.
  struct Begin {
    double across, along;  ///< in the runway's frame, m
    double rise;           ///< how much higher it begins, m
  };
  /// height      of its end
  /// change      of heading, 0..2 pi
  /// sense       +1 right
  [[nodiscard]] Begin begin(double height, double change, int sense) const;
  /// Crab (heading minus track) on the axis at a height.
  [[nodiscard]] double crab(double height) const;
  /// Height lost per radian, about.
  [[nodiscard]] double loss_per_radian() const { return loss_per_radian_; }

 private:
  void fly_small(const Glider& glider, const TurnStyle& style, const Point& end, int sense, std::vector<Begin>& row);
  void fly_large(const Glider& glider, const TurnStyle& style, const Point& end, int sense, std::vector<Begin>& row);
  [[nodiscard]] Begin seen(const Point& begin, const Point& end) const;
  [[nodiscard]] Begin in_row(const Begin* row, double change) const;
  [[nodiscard]] const Begin* row(std::size_t node, int sense) const {
    return &begins_[(2 * node + (sense > 0 ? 1 : 0)) * (small_ + large_)];
  }

  double s_, c_;               ///< of the track
  HeightGrid grid_;            ///< of the end
  std::vector<double> crab_;   ///< a node
  std::vector<Begin> begins_;  ///< a node, a sense, a change
  std::size_t small_ = 0;      ///< changes up to gain_, quadratically spaced: the bank peaks below the full one ...
  std::size_t large_ = 0;      ///< ... and evenly spaced ones from gain_ to 2 pi
  double gain_ = 0.0;          ///< change by rolling in and out alone
  double per_large_ = 0.0;     ///< cells per radian
  double loss_per_radian_ = 0.0;
};

}  // namespace backfield::flight
