#include "tests/tools/dense_search.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace backfield::test {
namespace {

constexpr double kDelay_s = 4.0;
constexpr int kDelays = 20;
constexpr double kJump = 1.0;  // radians: where a line-up turn jumps from nothing to a full circle
constexpr DenseFlight::Fineness kFinely{.table_m = 0.1, .step_s = 0.02};
constexpr Length kEvery = feet(25);
constexpr Length kEdge = feet(1);

Arrival between(const Arrival& a, const Arrival& b, double t) {
  const auto mix = [t](double x, double y) { return x + (y - x) * t; };
  return {mix(a.along, b.along), mix(a.height, b.height), mix(a.first, b.first), mix(a.last, b.last)};
}

}  // namespace

/// Start of a straight.
struct DenseSearch::Leaf {
  Spot p;
  double change = 0.0;  ///< of heading since the failure
  std::size_t row = 0;  ///< of its heading
};

/// Where a straight may end.
struct DenseSearch::Node {
  double off = 0.0;  ///< across the axis at the end of the line-up turn, right +
  Arrival arrival;
};

/// Takes what is found to its side.
struct DenseSearch::Found {
  const DenseTables& goal;
  int first_sense;
  std::size_t last_side;
  std::array<DenseSide, 2>& best;

  [[nodiscard]] DenseSide& side(const Arrival& a) const {
    const bool right = a.first >= a.last ? first_sense > 0 : last_side == 1;
    return best[right ? 1 : 0];
  }
  void path(const Arrival& a) const {
    const auto spare = goal.spare(a);
    if (!spare) return;
    DenseSide& mine = side(a);
    if (*spare > mine.surplus_m) {
      mine.surplus_m = *spare;
      mine.surplus_first = first_sense * a.first;
      mine.surplus_last = last_side == 1 ? a.last : -a.last;
    }
    if (goal.overshoots(a) || *spare <= mine.landing_m) return;
    mine.landing_m = *spare;
    mine.first = first_sense * a.first;
    mine.last = last_side == 1 ? a.last : -a.last;
  }
  /// Between a path that overshoots and one that does not, one that just does not.
  void paths_between(Arrival a, Arrival b) const {
    if (&side(a) != &side(b) || goal.overshoots(a) == goal.overshoots(b)) return;
    if (goal.overshoots(b)) std::swap(a, b);
    double near = 0.0;
    double far = 1.0;
    for (int i = 0; i < 12; ++i) {
      const double mid = 0.5 * (near + far);
      (goal.overshoots(between(b, a, mid)) ? near : far) = mid;
    }
    path(between(b, a, far));
  }
};

DenseSearch::DenseSearch(const flight::PathFinderSetup& setup)
    : flight_(setup),
      finely_(setup, kFinely),
      datum_m_(setup.datum.above_sea_level.si()),
      top_m_(setup.top.si() + 60.0) {}

DenseTables DenseSearch::prepare(const flight::Goal& goal) const {
  return {flight_, goal, goal.elevation.above_sea_level.si() - datum_m_, top_m_};
}

/// Straights at every heading of the grid whose change lies in [from, to), in the order they are turned to. held: the
/// bank is on already at the start; otherwise each turn begins wings level.
DenseSearch::Family DenseSearch::family(const Spot& start, double start_heading, int sense, double from, double to,
                                        bool held) const {
  Family leaves;
  for (std::size_t row = 0; row < DenseTables::kRows; ++row) {
    const double change = change_between(start_heading, DenseTables::heading_of(row), sense);
    if (change >= from && change < to) leaves.push_back({start, change, row});
  }
  std::sort(leaves.begin(), leaves.end(), [](const Leaf& a, const Leaf& b) { return a.change < b.change; });
  Spot turning = start;
  for (Leaf& leaf : leaves) {
    const double end = start_heading + sense * leaf.change;
    if (held) {
      flight_.hold(turning, flight_.first(), sense,
                   sense * (end - turning.psi) - flight_.roll_gain(flight_.first(), turning.h));
      leaf.p = turning;
      flight_.roll_out(leaf.p, flight_.first(), sense);
    } else {
      flight_.turn(leaf.p, flight_.first(), sense, sense * (end - start.psi));
    }
    leaf.p.psi = end;
  }
  return leaves;
}

/// A turn is begun at once, in the entry, if it is large enough for that; a smaller one from a wings-level entry.
std::vector<DenseSearch::Family> DenseSearch::families(const flight::AirState& failure, int sense) const {
  const Spot level = flight_.enter(failure, 0);
  if (!flight_.entry_is_flown()) return {family(level, level.psi, sense, 0.0, 2.0 * kPi, !flight_.rolls())};
  const Spot banked = flight_.enter(failure, sense);
  const double gained = sense * (banked.psi - failure.heading_rad) + flight_.roll_gain(flight_.first(), banked.h);
  return {family(level, level.psi, sense, 0.0, gained, false),
          family(banked, failure.heading_rad, sense, gained, 2.0 * kPi, true)};
}

/// From the leaf downwards: where its straight may end, and where the line-up turn from there ends.
std::vector<DenseSearch::Node> DenseSearch::trace(const Leaf& leaf, std::size_t last, const DenseTables& goal) const {
  std::vector<Node> nodes;
  const Spot start = goal.from_threshold(leaf.p);
  const double x = (start.h - goal.height_of(0)) / DenseTables::kStep_m;
  if (x < 0.0 || x >= static_cast<double>(goal.levels() - 1)) return nodes;
  const auto below = static_cast<std::size_t>(x);
  const double t = x - static_cast<double>(below);
  const DenseTables::Level& low = goal.at(leaf.row, below);
  const DenseTables::Level& high = goal.at(leaf.row, below + 1);
  const double across = goal.across(start) - (low.across + (high.across - low.across) * t);
  const double along = goal.along(start) - (low.along + (high.along - low.along) * t);
  const auto add = [&](const DenseTables::Level::Turned& end) {
    nodes.push_back({across + end.across, {along + end.along, end.height, leaf.change, end.change}});
  };
  nodes.reserve(below + 2);
  const auto& a = low.turned[last];
  const auto& b = high.turned[last];
  if (std::abs(a.change - b.change) < kJump) {
    const auto mix = [t](double lower, double upper) { return lower + (upper - lower) * t; };
    add({mix(a.across, b.across), mix(a.along, b.along), mix(a.height, b.height), mix(a.change, b.change)});
  }
  for (std::size_t j = below + 1; j-- > 0;) add(goal.at(leaf.row, j).turned[last]);
  return nodes;
}

void DenseSearch::scan(const Family& family, int sense, const DenseTables& goal, std::array<DenseSide, 2>& best) const {
  const auto cross = [](const Node& a, const Node& b) -> std::optional<Arrival> {
    // Where the line-up turn jumps from nothing to a full circle there is nothing in between.
    if ((a.off < 0.0) == (b.off < 0.0) || std::abs(a.arrival.last - b.arrival.last) > kJump) return std::nullopt;
    return between(a.arrival, b.arrival, a.off / (a.off - b.off));
  };
  for (std::size_t last = 0; last < 2; ++last) {
    const Found found{goal, sense, last, best};
    std::vector<Node> before;
    for (const Leaf& leaf : family) {
      std::vector<Node> here = trace(leaf, last, goal);
      const std::size_t common = std::min(before.size(), here.size());
      for (std::size_t k = 0; k + 1 < here.size(); ++k) {
        if (const auto a = cross(here[k], here[k + 1])) found.path(*a);
      }
      for (std::size_t k = 0; k + 1 < common; ++k) {
        const std::array<const Node*, 4> corner{&before[k], &before[k + 1], &here[k + 1], &here[k]};
        const auto signs = std::count_if(corner.begin(), corner.end(), [](const Node* n) { return n->off < 0.0; });
        if (signs == 0 || signs == 4) continue;
        std::vector<Arrival> on_edges;
        for (std::size_t i = 0; i < 4; ++i) {
          if (const auto a = cross(*corner[i], *corner[(i + 1) % 4])) on_edges.push_back(*a);
        }
        for (const Arrival& a : on_edges) found.path(a);
        if (on_edges.size() == 2) found.paths_between(on_edges[0], on_edges[1]);
      }
      before = std::move(here);
    }
  }
}

std::array<DenseSide, 2> DenseSearch::search(const flight::AirState& failure, const DenseTables& goal) const {
  std::array<DenseSide, 2> best;
  for (int sense : {-1, 1}) {
    for (const Family& f : families(failure, sense)) scan(f, sense, goal, best);
  }
  return best;
}

/// Where the straight begins after a first turn by `change`.
Spot DenseSearch::begin_straight(const DenseFlight& flight, const flight::AirState& failure, int sense,
                                 double change) const {
  const double end = failure.heading_rad + sense * change;
  Spot p = flight.enter(failure, 0);
  const bool rolls_from_level = flight.entry_is_flown() || flight.rolls();
  double gained = flight.entry_is_flown() ? 0.0 : flight.rolls() ? 2.0 * kPi : 0.0;
  if (flight.entry_is_flown()) {
    const Spot banked = flight.enter(failure, sense);
    gained = sense * (banked.psi - failure.heading_rad) + flight.roll_gain(flight.first(), banked.h);
    if (change >= gained) p = banked;
  }
  if (rolls_from_level && change < gained) {
    flight.turn(p, flight.first(), sense, sense * (end - p.psi));
  } else {
    flight.hold(p, flight.first(), sense, sense * (end - p.psi) - flight.roll_gain(flight.first(), p.h));
    flight.roll_out(p, flight.first(), sense);
  }
  p.psi = end;
  return p;
}

double DenseSearch::surplus_flown(const flight::AirState& failure, const DenseTables& goal, const DenseSide& best,
                                  const InHand& in_hand) const {
  constexpr int kHeadings = 20;  // to either side
  constexpr double kHeading = 0.1 * kPi / 180.0;
  constexpr double kEvery_s = 2.0;
  constexpr int kHalvings = 24;
  const int sense = best.surplus_first < 0.0 ? -1 : 1;
  const std::size_t side = best.surplus_last < 0.0 ? 0 : 1;
  double surplus = DenseSide::kNone;
  for (int k = -kHeadings; k <= kHeadings; ++k) {
    const double change = std::abs(best.surplus_first) + k * kHeading;
    if (change < 0.0 || change >= 2.0 * kPi) continue;
    Spot p = begin_straight(finely_, failure, sense, change);
    const auto end_of = [&](const Spot& straight) {
      return goal.line_up(finely_, goal.from_threshold(straight), change, side);
    };
    DenseTables::LinedUp before = end_of(p);
    while (p.h > goal.height_of(0)) {
      Spot next = p;
      finely_.straight(next, kEvery_s);
      const DenseTables::LinedUp after = end_of(next);
      if ((before.across < 0.0) != (after.across < 0.0) && std::abs(before.arrival.last - after.arrival.last) < kJump) {
        double near = 0.0;
        double far = kEvery_s;
        DenseTables::LinedUp root = before;
        for (int i = 0; i < kHalvings; ++i) {
          const double mid = 0.5 * (near + far);
          Spot there = p;
          finely_.straight(there, mid);
          root = end_of(there);
          ((root.across < 0.0) == (before.across < 0.0) ? near : far) = mid;
        }
        if (const auto spare = goal.spare(root.arrival, in_hand)) surplus = std::max(surplus, *spare);
      }
      p = next;
      before = after;
    }
  }
  return surplus;
}

std::array<DenseSide, 2> DenseSearch::search_with_delays(const flight::AirState& failure,
                                                         const DenseTables& goal) const {
  std::array<DenseSide, 2> best = search(failure, goal);
  Spot p = flight_.enter(failure, 0);
  for (int i = 0; i <= kDelays; ++i) {
    for (int sense : {-1, 1}) scan(family(p, p.psi, sense, 0.0, 2.0 * kPi, false), sense, goal, best);
    flight_.before_turning(p, kDelay_s);
  }
  return best;
}

std::vector<Interval<Length>> dense_windows(const flight::Timeline& timeline, const DenseSearch& dense,
                                            const DenseTables& goal, flight::Side side, Interval<Length> heights) {
  const std::size_t mine = side == flight::Side::left ? 0 : 1;
  const auto lands = [&](Length height) {
    const auto when = timeline.when_at_height(height);
    if (!when) return false;
    const flight::AirState failure = timeline.at(*when);
    const DenseSide found = dense.search(failure, goal)[mine];
    const bool too_high = found.landing_m < 0.0 && found.surplus_m >= 0.0;
    return (too_high ? dense.search_with_delays(failure, goal)[mine] : found).landing_m >= 0.0;
  };
  const auto edge = [&](Length yes, Length no) {
    while (std::abs((yes - no).si()) > kEdge.si()) {
      const Length mid = 0.5 * (yes + no);
      (lands(mid) ? yes : no) = mid;
    }
    return yes;
  };
  std::vector<Interval<Length>> windows;
  bool before = false;
  for (Length h = heights.low; h <= heights.high; h += kEvery) {
    const bool here = lands(h);
    if (here && !before) windows.push_back({h == heights.low ? h : edge(h, h - kEvery), h});
    if (here) windows.back().high = h;
    if (!here && before) windows.back().high = edge(h - kEvery, h);
    before = here;
  }
  return windows;
}

}  // namespace backfield::test
