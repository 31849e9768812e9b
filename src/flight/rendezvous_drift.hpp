#pragma once
// The wind of a rendezvous, and its integral over height.

#include "backfield/earth/wind.hpp"
#include "rendezvous_lanes.hpp"

#include <array>
#include <cstdint>
#include <limits>
#include <vector>

namespace backfield::flight {

template <class T>
struct Air {
  VectorOf<T> wind, slope;  ///< m/s; per metre of height
  VectorOf<T> sum;          ///< of the wind over height, from the lowest level (m2/s)
};

/// Linear between the profile's levels, constant beyond; the integral is exact. For one height or for several.
class Drift {
 public:
  explicit Drift(const earth::WindProfile& wind) {
    // Below the lowest level, then from each up to the next, the last without end.
    for (const auto& level : wind.data()) {
      const double h = level.height.above_datum.si();
      const earth::WindVector w = wind.at(level.height);
      Part here{h, {w.towards_east.si(), w.towards_north.si()}, {}, {}};
      if (parts_.empty()) {
        parts_.push_back(here);
      } else if (parts_.size() > 1) {
        Part& below = parts_.back();
        const double step = h - below.h;
        below.slope = (here.wind - below.wind) * (1.0 / step);
        here.sum = below.sum + (below.wind + here.wind) * (0.5 * step);
      }
      parts_.push_back(here);
    }
    const double extent = parts_.back().h - parts_.front().h;
    parts_.push_back({std::numeric_limits<double>::infinity(), {}, {}, {}});
    last_bin_ = std::floor(extent * (1.0 / kBin));
    std::uint32_t part = 0;
    for (double bin = 0.0; bin <= last_bin_; bin += 1.0) {
      // One below what holds the bin's lower end, for rounding.
      while (parts_[part + 2].h < parts_.front().h + kBin * bin) ++part;
      first_in_bin_.push_back(part);
    }
  }

  BACKFIELD_INLINED Air<double> at(double h) const {
    const Part& a = part(h);
    const double d = h - a.h;
    const Vector w = a.wind + a.slope * d;
    return {w, a.slope, a.sum + (a.wind + w) * (0.5 * d)};
  }
  BACKFIELD_INLINED Air<Lanes> at(const Lanes& h) const {
    const std::array parts{&part(h[0]), &part(h[1]), &part(h[2]), &part(h[3])};
    const LaneVector wind = gather(parts, [](const Part* a) { return a->wind; });
    const LaneVector slope = gather(parts, [](const Part* a) { return a->slope; });
    const Lanes d = h - gather(parts, [](const Part* a) { return a->h; });
    const LaneVector w = wind + slope * d;
    return {w, slope, gather(parts, [](const Part* a) { return a->sum; }) + (wind + w) * (0.5 * d)};
  }
  /// From a height to so much below.
  template <class T>
  BACKFIELD_INLINED VectorOf<T> mean(const T& height, const Air<T>& upper, const T& below) const {
    const VectorOf<T> mean = (upper.sum - at(height - below).sum) * (1.0 / below);
    const Truth<T> none = magnitude(below) < 1e-6;
    return {choose(none, upper.wind.e, mean.e), choose(none, upper.wind.n, mean.n)};
  }
  [[nodiscard]] bool uniform() const { return parts_.size() == 3; }

 private:
  struct alignas(64) Part {
    double h = 0.0;
    Vector wind, slope, sum;  ///< at `h`
  };
  static constexpr double kBin = 4.0;
  BACKFIELD_INLINED const Part& part(double h) const {
    const double bin = least(most((h - parts_.front().h) * (1.0 / kBin), 0.0), last_bin_);
    const Part* part = &parts_[first_in_bin_[static_cast<std::size_t>(static_cast<std::int64_t>(bin))]];
    // Mostly none or one step: the first is taken without a branch, which nobody could predict.
    part += static_cast<int>(h >= part[1].h);
    while (h >= part[1].h) ++part;
    return *part;
  }
  std::vector<Part> parts_;
  std::vector<std::uint32_t> first_in_bin_;
  double last_bin_ = 0.0;
};

}  // namespace backfield::flight
