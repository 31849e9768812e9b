#pragma once
// Where the way between two centres of turns may lead, when it is not known how long the wind moves them.

#include "rendezvous_word.hpp"

#include <algorithm>

namespace backfield::flight {

/// A range of angles: from one to another, not wrapped; a full circle or more is any.
struct Range {
  double low = 0.0, high = kFullTurn;
  [[nodiscard]] bool any() const { return high - low >= kFullTurn; }
};
/// asin(s) is no more than this, for s from 0 to 1: all terms of its series are positive, their sum at 1 is pi / 2.
inline double most_asin(double s) { return s + (0.5 * kPi - 1.0) * s * s * s; }

/// What lies within `stray` of the straight from one place to another, seen from the origin.
class Reach {
 public:
  Reach(Vector a, Vector b, double stray) : a_(a), b_(b), stray_(stray) {
    const Vector along = b - a;
    const double along2 = dot(along, along);
    const double share = along2 > 0.0 ? std::clamp(-dot(a, along) / along2, 0.0, 1.0) : 0.0;
    on_line_ = norm(a + along * share);
  }
  [[nodiscard]] double nearest() const { return std::max(0.0, on_line_ - stray_); }
  [[nodiscard]] double farthest() const { return std::sqrt(std::max(dot(a_, a_), dot(b_, b_))) + stray_; }
  /// Headings towards it.
  [[nodiscard]] Range heading() const {
    if (on_line_ <= stray_) return {};
    const double begin = rough_heading(a_);
    double turned = rough_heading(b_) - begin;
    if (turned > kPi) turned -= kFullTurn;
    if (turned < -kPi) turned += kFullTurn;
    const double more = most_asin(stray_ / on_line_) + 3.0 * kRoughHeading_rad;
    return {begin + std::min(0.0, turned) - more, begin + std::max(0.0, turned) + more};
  }

 private:
  Vector a_, b_;
  double stray_, on_line_;
};

}  // namespace backfield::flight
