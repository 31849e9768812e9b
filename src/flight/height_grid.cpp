#include "height_grid.hpp"

#include "backfield/base/contract.hpp"

#include <cmath>

namespace backfield::flight {

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): named in the header, two callers
HeightGrid::HeightGrid(double bottom, double top, double most, const std::vector<double>& kinks) {
  require(bottom < top && most > 0.0, "a grid of heights has an extent");
  constexpr double kNearest = 0.01;
  std::vector<double> ends;
  for (const double kink : kinks) {
    if (kink > bottom + kNearest && kink < top - kNearest) ends.push_back(kink);
  }
  ends.push_back(top);
  heights_.push_back(bottom);
  for (const double end : ends) {
    const double begin = heights_.back();
    const int parts = std::max(1, static_cast<int>(std::ceil((end - begin) / most)));
    for (int i = 1; i < parts; ++i) heights_.push_back(begin + (end - begin) * i / parts);
    heights_.push_back(end);
  }
  require(heights_.size() < 60'000, "a grid of heights has a sensible number of nodes");
  const auto bins = static_cast<std::size_t>((top - bottom) / kBin) + 1;
  std::size_t cell = 0;
  for (std::size_t b = 0; b < bins; ++b) {
    while (cell + 2 < heights_.size() && heights_[cell + 1] <= bottom + kBin * static_cast<double>(b)) ++cell;
    first_in_bin_.push_back(static_cast<std::uint16_t>(cell));
  }
  last_bin_ = static_cast<double>(bins - 1);
}

}  // namespace backfield::flight
