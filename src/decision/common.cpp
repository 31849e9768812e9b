#include "common.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace backfield::decision {
namespace {

const Length kForever = metres(1e9);

std::string name_of_world(const Scans& scans, std::size_t world, std::size_t bank) {
  return scans.worlds[world].world.name + ", " + std::to_string(std::lround(in_degrees(scans.banks[bank]))) + " deg";
}

/// Surplus at a height, between the sampled ones; nullopt beyond them.
std::optional<double> surplus_at(const ScanResult& scan, const SideTrace& side, double height_m) {
  const auto after = std::lower_bound(scan.heights.begin(), scan.heights.end(), metres(height_m));
  if (after == scan.heights.end() || side.surplus.empty()) return std::nullopt;
  const auto i = static_cast<std::size_t>(after - scan.heights.begin());
  if (i == 0) return side.surplus[0].si();
  const double h0 = scan.heights[i - 1].si();
  const double h1 = scan.heights[i].si();
  const double share = h1 > h0 ? (height_m - h0) / (h1 - h0) : 0.0;
  return side.surplus[i - 1].si() + (side.surplus[i].si() - side.surplus[i - 1].si()) * share;
}

/// Keeps of `pieces` what `windows` of one world and bank cover too.
std::vector<CommonWindow> keep(const std::vector<CommonWindow>& pieces, const std::vector<Window>& windows,
                               const std::string& world) {
  std::vector<CommonWindow> kept;
  for (const CommonWindow& piece : pieces) {
    for (const Window& w : windows) {
      const Interval<Length> mine{w.heights.low, w.open_above() ? kForever : w.heights.high};
      const auto both = intersect(piece.heights, mine);
      if (!both) continue;
      CommonWindow next = piece;
      next.heights = *both;
      next.height_loss = either(piece.height_loss, w.height_loss);
      if (mine.low > piece.heights.low || piece.lower_world.empty()) {
        next.lower = w.lower;
        next.lower_world = world;
      }
      if (mine.high < piece.heights.high || piece.upper_world.empty()) {
        next.upper = w.upper;
        next.upper_world = world;
      }
      kept.push_back(next);
    }
  }
  return kept;
}

}  // namespace

Length best_surplus(const Scans& scans, std::size_t option, std::size_t side, const Interval<Length>& heights) {
  double best = -std::numeric_limits<double>::infinity();
  for (const Length h : scans.at(0, 0).heights) {
    if (!heights.contains(h)) continue;
    double worst = std::numeric_limits<double>::infinity();
    for (std::size_t w = 0; w < scans.worlds.size(); ++w) {
      for (std::size_t b = 0; b < scans.banks.size(); ++b) {
        const ScanResult& scan = scans.at(w, b);
        if (const auto here = surplus_at(scan, scan.options[option].sides[side], h.si())) {
          worst = std::min(worst, *here);
        }
      }
    }
    best = std::max(best, worst);
  }
  return metres(std::isfinite(best) ? std::max(0.0, best) : 0.0);
}

SideAnswer combine_side(const Scans& scans, std::size_t option, flight::Side side) {
  const std::size_t s = side == flight::Side::left ? 0 : 1;
  SideAnswer answer;
  answer.side = side;
  CommonWindow everything;
  everything.heights = {metres(0), kForever};
  std::vector<CommonWindow> pieces{everything};
  Length scanned = kForever;
  std::string missing;    // worlds and banks without any window
  std::string too_short;  // worlds in which a landing does not stop on the runway
  for (std::size_t w = 0; w < scans.worlds.size(); ++w) {
    scanned = std::min(scanned, metres(scans.worlds[w].timeline.nodes().back().height_m));
    for (std::size_t b = 0; b < scans.banks.size(); ++b) {
      const auto& windows = scans.at(w, b).options[option].sides[s].windows;
      answer.windows.insert(answer.windows.end(), windows.begin(), windows.end());
      if (!scans.at(w, b).options[option].stop_fits) {
        if (b == 0) too_short += (too_short.empty() ? "" : ", ") + scans.worlds[w].world.name;
      } else if (windows.empty()) {
        missing += (missing.empty() ? "" : "; ") + name_of_world(scans, w, b);
      }
      pieces = keep(pieces, windows, name_of_world(scans, w, b));
    }
  }

  const flight::Timeline& plan = scans.worlds.front().timeline;
  for (CommonWindow& piece : pieces) {
    if (piece.heights.high == kForever || piece.heights.high > scanned) {
      piece.heights.high = scanned;
      piece.upper = Limit::scan_end;
    }
    if (piece.heights.high < piece.heights.low) continue;
    piece.height_loss = clipped(piece.height_loss, piece.heights);
    piece.times = {plan.when_at_height(piece.heights.low).value_or(plan.begin()),
                   plan.when_at_height(piece.heights.high).value_or(plan.end())};
    const ScanResult& plan_scan = scans.at(0, 0);
    piece.best_surplus = best_surplus(scans, option, s, piece.heights);
    const auto& turns = plan_scan.options[option].sides[s].larger_turn;
    const auto first = std::lower_bound(plan_scan.heights.begin(), plan_scan.heights.end(), piece.heights.low);
    const auto i = std::min(static_cast<std::size_t>(first - plan_scan.heights.begin()), turns.size() - 1);
    piece.larger_turn = turns[i];
    answer.common.push_back(piece);
  }
  if (!too_short.empty()) answer.why_not_briefed.push_back("too short to stop in: " + too_short);
  if (answer.common.empty() && !answer.windows.empty()) {
    answer.why_not_briefed.push_back(missing.empty() ? "the windows of the worlds have no height in common"
                                                     : "no window in: " + missing);
  }
  answer.standing = !answer.common.empty()    ? Standing::computed_only
                    : !answer.windows.empty() ? Standing::some_worlds_only
                                              : Standing::none;
  return answer;
}

}  // namespace backfield::decision
