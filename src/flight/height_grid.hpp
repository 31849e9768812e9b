#pragma once
// Rising heights with gaps of any size, and a quick way from a height to the cell that holds it.

#include <algorithm>
#include <cstdint>
#include <vector>

namespace backfield::flight {

class HeightGrid {
 public:
  HeightGrid() = default;
  /// From `bottom` to `top` with no gap over `most`, and every one of `kinks` that lies between on a node.
  /// kinks       rising
  HeightGrid(double bottom, double top, double most, const std::vector<double>& kinks);

  [[nodiscard]] std::size_t size() const { return heights_.size(); }
  [[nodiscard]] double operator[](std::size_t i) const { return heights_[i]; }
  [[nodiscard]] double bottom() const { return heights_.front(); }
  [[nodiscard]] double top() const { return heights_.back(); }
  /// Cell i reaches from node i to node i + 1; heights beyond the grid belong to its first and last cell.
  [[nodiscard]] std::size_t cell(double height) const {
    const double bin = std::clamp((height - bottom()) * (1.0 / kBin), 0.0, last_bin_);
    std::size_t i = first_in_bin_[static_cast<std::size_t>(bin)];
    // Mostly none or one step: the first is taken without a branch, which nobody could predict.
    const std::size_t last = heights_.size() - 2;
    i += static_cast<std::size_t>(static_cast<int>(i < last) & static_cast<int>(height >= heights_[i + 1]));
    while (i < last && height >= heights_[i + 1]) ++i;
    return i;
  }

 private:
  static constexpr double kBin = 4.0;
  std::vector<double> heights_;
  std::vector<std::uint16_t> first_in_bin_;  ///< cell at the lower end of each bin
  double last_bin_ = 0.0;
};

}  // namespace backfield::flight
