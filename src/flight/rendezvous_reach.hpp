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

/// Distances and headings of what lies within `stray` of the straight from `a` to `b`.
struct Reach {
  double nearest = 0.0, farthest = 0.0;
  Range heading;
};
inline Reach reach(Vector a, Vector b, double stray) {
  const Vector along = b - a;
  const double along2 = dot(along, along);
  const double share = along2 > 0.0 ? std::clamp(-dot(a, along) / along2, 0.0, 1.0) : 0.0;
  const double nearest = norm(a + along * share);
  Reach r;
  r.nearest = std::max(0.0, nearest - stray);
  r.farthest = std::sqrt(std::max(dot(a, a), dot(b, b))) + stray;
  if (r.nearest <= 0.0) return r;
  const double begin = rough_heading(a);
  double turned = along2 > 0.0 ? rough_heading(b) - begin : 0.0;
  if (turned > kPi) turned -= kFullTurn;
  if (turned < -kPi) turned += kFullTurn;
  const double more = most_asin(stray / nearest) + 3.0 * kRoughHeading_rad;
  r.heading = {begin + std::min(0.0, turned) - more, begin + std::max(0.0, turned) + more};
  return r;
}

}  // namespace backfield::flight
