#include "backfield/aircraft/drift_down.hpp"

#include "backfield/base/contract.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace backfield::aircraft {
namespace {

/// One layer, and the rate in it as a line.
struct Line {
  double low, high;    // m
  double rate, slope;  // m/s at low; 1/s
  double tas;          // m/s, of the middle
  [[nodiscard]] double at(double h) const { return rate + slope * (h - low); }
  /// Time to sink from h to `to`, both in the layer; the rate is negative all the way.
  [[nodiscard]] double time(double h, double to) const {
    if (std::abs(slope) * (h - to) < 1e-9 * std::abs(at(h))) return (to - h) / at(h);
    return std::log(at(to) / at(h)) / slope;
  }
  [[nodiscard]] double after(double h, double t) const {
    const double x = slope * t;
    return h + at(h) * t * (std::abs(x) < 1e-9 ? 1.0 : std::expm1(x) / x);
  }
};

Line line(const RateAtHeight& a, const RateAtHeight& b) {
  const double dh = b.height.si() - a.height.si();
  return {a.height.si(), b.height.si(), a.rate.si(), (b.rate.si() - a.rate.si()) / dh, 0.5 * (a.tas.si() + b.tas.si())};
}

}  // namespace

DriftDown::DriftDown(std::vector<RateAtHeight> rates) : rates_(std::move(rates)) {
  require(rates_.size() >= 2, "rates at two heights at least");
  for (std::size_t i = 1; i < rates_.size(); ++i) {
    require(rates_[i].height > rates_[i - 1].height, "heights that rise");
  }
}

std::size_t DriftDown::layer_of(Length height) const {
  require(height >= rates_.front().height && height <= rates_.back().height, "a height within the rates");
  std::size_t i = 0;
  while (i + 2 < rates_.size() && height > rates_[i + 1].height) ++i;
  return i;
}

std::optional<Length> DriftDown::levels_at(Length from) const {
  double h = from.si();
  for (std::size_t i = layer_of(from) + 1; i-- > 0;) {
    const Line l = line(rates_[i], rates_[i + 1]);
    if (l.at(h) >= 0.0) return metres(h);
    if (l.rate >= 0.0) return metres(l.low - l.rate / l.slope);
    h = l.low;
  }
  return std::nullopt;
}

DriftDown::State DriftDown::after(Length from, Duration t) const {
  require(t.si() >= 0.0, "a time that is not negative");
  double h = from.si();
  double left = t.si();
  double distance = 0.0;
  for (std::size_t i = layer_of(from) + 1; i-- > 0;) {
    const Line l = line(rates_[i], rates_[i + 1]);
    const bool level = l.at(h) >= 0.0;
    const bool to_the_next = !level && l.rate < 0.0 && l.time(h, l.low) < left;
    if (!to_the_next) { return {metres(level ? h : l.after(h, left)), metres(distance + l.tas * left), false}; }
    const double spent = l.time(h, l.low);
    left -= spent;
    distance += l.tas * spent;
    h = l.low;
  }
  return {metres(h), metres(distance), true};
}

}  // namespace backfield::aircraft
