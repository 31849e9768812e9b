#include "later_turn.hpp"

#include "settle.hpp"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace backfield::flight {
namespace {

constexpr int kDelays = 20;     // by kDelayStep_s, for the turns that others suggest ...
constexpr int kAnyDelays = 16;  // ... and for any turn
constexpr double kAnyDelayStep_s = 5.0;
constexpr double kSameTurn = 0.02;  // radians: what is so near needs no delays of its own

/// One turn, begun later and later.
/// at          the path with a delay of so many steps
template <class At>
void delay_turn(Found& found, Best& side, int steps, At at) {
  found.begin_family();
  double before = kNoSurplus;
  for (int i = 0; i <= steps && !side.lands; ++i) {
    const Connection c = at(i);
    if (!c.on_axis || &found.side_of(c) != &side) continue;
    found.take(c);
    if (c.over < kReserve_m && c.over < before) break;
    before = c.over;
  }
  found.confirm(side);
}

/// Turns by every kHeadingStep.
/// own         the sense of the side
void delay_any_turn(const Question& q, Found& found, Best& side, int own) {
  for (const int first : {own, -own}) {
    std::vector<std::vector<Leaf>> after;
    for (int i = 0; i <= kAnyDelays; ++i) after.push_back(q.fan.leaves_after(kAnyDelayStep_s * i, first));
    for (std::size_t k = 1; k < after.front().size(); ++k) {
      for (const int last : {own, -own}) {
        delay_turn(found, side, kAnyDelays, [&](int i) {
          const Leaf& leaf = after[static_cast<std::size_t>(i)][k];
          if (q.bound.at(leaf.p).spare() < kReserve_m) return Connection{};
          return delayed(q.screen.by_heading(leaf, first, last, q.target), kAnyDelayStep_s * i);
        });
        if (side.lands) return;
      }
    }
  }
}

}  // namespace

void turn_later(const Question& q, Found& found, Best& side, const Connection& at_first) {
  // First the best path's turn; a finer look at how much there is to spare must not take away what lands with the turn
  // of the path it began with. Then, word by word, what crosses the axis most squarely, what nearly lands at once, and
  // what has most height to spare.
  std::vector<Connection> turns{side.best, at_first};
  const auto add = [&](const Connection& c) {
    if (c.on_axis && &found.side_of(c) == &side && c.over >= kReserve_m) turns.push_back(c);
  };
  for (const Connection& crossing : found.crossings(side)) add(crossing);
  for (const Peak& peak : found.landing_peaks()) add(peak.at);
  for (const Peak& peak : found.best_peaks()) add(peak.at);
  // In the order of the side, so that a mirror image is searched like what it mirrors.
  const int own = found.index(side) == 0 ? -1 : 1;
  const auto in_order = [own](const Connection& a, const Connection& b) {
    return std::pair(a.first_sense != own, a.last_sense != own) < std::pair(b.first_sense != own, b.last_sense != own);
  };
  std::stable_sort(turns.begin() + 2, turns.end(), in_order);
  for (std::size_t i = 0; i < turns.size() && !side.lands; ++i) {
    const Connection& c = turns[i];
    const auto same_turn = [&](const Connection& other) {
      return c.first_sense == other.first_sense && c.last_sense == other.last_sense &&
             std::abs(c.first - other.first) < kSameTurn;
    };
    if (std::none_of(turns.begin(), turns.begin() + static_cast<std::ptrdiff_t>(i), same_turn)) {
      delay_turn(found, side, kDelays, [&](int step) { return q.read(delayed(c, 0.0), kDelayStep_s * step); });
    }
  }
  if (!side.lands) delay_any_turn(q, found, side, own);
}

}  // namespace backfield::flight
