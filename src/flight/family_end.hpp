#pragma once
// Where a family of paths ends between two looks.

#include "found.hpp"

namespace backfield::flight {

inline constexpr int kEndLooks = 10;  ///< for the end of a family

/// On the axis, but too far down the runway for any height to be spared.
inline bool too_far(const Connection& c) { return c.on_axis && c.surplus == kNoSurplus; }

/// By halves from a path to where its family ends, before a value of its parameter that has none; what is met is noted.
/// enough      told of two neighbours, the later one second; ends it
template <class Enough>
Connection halve_to_end(const Question& q, Found& found, Connection on, double no_path, int looks, Enough enough) {
  for (int i = 0; i < looks; ++i) {
    const double mid = 0.5 * (on.value() + no_path);
    const Connection c = q.read(on, mid);
    if (!q.same_family(on, c)) {
      no_path = mid;
      continue;
    }
    Best& side = found.side_of(c);
    found.note(side, c);
    found.between(side, on, c);
    if (enough(on, c) || side.lands) return c;
    on = c;
  }
  return on;
}

}  // namespace backfield::flight
