#pragma once
// Where a family of paths is best: what is climbed on, and the peaks met on the way along it.

#include "settle.hpp"

#include <algorithm>
#include <array>
#include <span>

namespace backfield::flight {

/// A path than which its neighbours in its family are worse, and the parameters of those.
struct Peak {
  Connection at;
  double from = 0.0, to = 0.0;
};

/// What is climbed on in search of the best path: surplus, or how little alignment comes too far for having one.
struct Worth {
  double operator()(const Connection& c) const {
    if (!c.on_axis) return -1e9;
    return c.surplus == kNoSurplus ? -1e6 - c.too_far : c.surplus;
  }
};
/// The same in search of one that lands: room for both too little height and too much. Lands from 0.
struct Room {
  double aim_high;
  double operator()(const Connection& c) const {
    if (!c.on_axis) return -1e9;
    return std::min(c.over - kReserve_m, (aim_high - c.aim) * kHeightPerAim);
  }
};

/// Follows a family from look to look and keeps its peaks.
template <class Value>
class Peaks {
 public:
  explicit Peaks(Value value) : value_(value) {}
  void begin() {
    look({}, false);
    last_ = before_ = {};
    joined_ = false;
  }
  /// joined      of one family with the look before
  void look(const Connection& c, bool joined) {
    const bool above_last = !joined_ || value_(last_) >= value_(before_);
    const bool above_next = !joined || value_(last_) > value_(c);
    if (last_.on_axis && above_last && above_next && count_ < all_.size()) {
      const Parameter parameter = last_.parameter;
      all_[count_++] = {last_, joined_ ? before_.value() : beside(parameter, last_.value(), -1.0),
                        joined ? c.value() : beside(parameter, last_.value(), 1.0)};
    }
    before_ = last_;
    last_ = c;
    joined_ = joined;
  }
  /// A path beside one that is no path, better than its other neighbour: what lies between may be better still.
  void add(const Peak& peak) {
    if (count_ < all_.size()) all_[count_++] = peak;
  }
  [[nodiscard]] std::span<const Peak> all() const { return {all_.data(), count_}; }
  [[nodiscard]] double value(const Connection& c) const { return value_(c); }

 private:
  Value value_;
  Connection before_, last_;
  bool joined_ = false;
  std::array<Peak, 64> all_;
  std::size_t count_ = 0;
};

}  // namespace backfield::flight
