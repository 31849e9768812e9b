#include "ground_ahead.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::decision {
namespace {

using Heights = std::vector<Interval<Length>>;

Heights intersect_all(const Heights& a, const Heights& b) {
  Heights result;
  for (const Interval<Length>& x : a) {
    for (const Interval<Length>& y : b) {
      const auto both = intersect(x, y);
      if (both && both->width().si() > 0.0) result.push_back(*both);
    }
  }
  return result;
}

/// Overlapping ones become one.
Heights merged(Heights all) {
  std::sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.low < b.low; });
  Heights result;
  for (const Interval<Length>& next : all) {
    if (!result.empty() && next.low <= result.back().high) {
      result.back().high = std::max(result.back().high, next.high);
    } else {
      result.push_back(next);
    }
  }
  return result;
}

/// In one world, for a failure at a height; <= 0 where one of the moments about it does not reach the area.
double margin_at(const GroundTrace& trace, std::size_t area, Length height) {
  const auto above = std::upper_bound(trace.heights.begin(), trace.heights.end(), height);
  if (above == trace.heights.begin() || above == trace.heights.end()) return 0.0;
  const auto i = static_cast<std::size_t>(above - trace.heights.begin());
  const double a = trace.areas[area].at[i - 1].margin_m;
  const double b = trace.areas[area].at[i].margin_m;
  if (a <= 0.0 || b <= 0.0) return 0.0;
  const double share = (height - trace.heights[i - 1]) / (trace.heights[i] - trace.heights[i - 1]);
  return a + share * (b - a);
}

/// The failure in the gap from which the worst world has most to spare.
GapGround::Choice best_in(const std::vector<GroundTrace>& traces, std::size_t area, const Interval<Length>& heights) {
  const GroundTrace& plan = traces.front();
  GapGround::Choice choice{area, Length{}, heights.low, Angle{}};
  double nearest = 1e9;
  for (std::size_t i = 0; i < plan.heights.size(); ++i) {
    const Length h = plan.heights[i];
    // A window between two moments has no margin of its own: it is told with the glide of the moment next to it.
    const double off = std::max({0.0, (heights.low - h).si(), (h - heights.high).si()});
    if (choice.margin.si() == 0.0 && plan.areas[area].at[i].margin_m > 0.0 && off < nearest) {
      nearest = off;
      choice.bearing = plan.areas[area].at[i].bearing;
    }
    if (!heights.contains(h)) continue;
    double least = plan.areas[area].at[i].margin_m;
    for (std::size_t w = 1; w < traces.size(); ++w) least = std::min(least, margin_at(traces[w], area, h));
    if (least <= choice.margin.si()) continue;
    choice.margin = metres(least);
    choice.at_height = h;
    choice.bearing = plan.areas[area].at[i].bearing;
  }
  return choice;
}

std::optional<GroundShares> mean_under(const GroundTrace& plan, const Gap& gap) {
  GroundShares sum;
  int count = 0;
  for (std::size_t i = 0; i < plan.times.size(); ++i) {
    if (plan.times[i] < gap.from || plan.times[i] > gap.to || !plan.under[i]) continue;
    sum.landable += plan.under[i]->landable;
    sum.avoid += plan.under[i]->avoid;
    sum.unknown += plan.under[i]->unknown;
    ++count;
  }
  if (count == 0) return std::nullopt;
  return GroundShares{sum.landable / count, sum.avoid / count, sum.unknown / count};
}

}  // namespace

std::optional<GroundAheadAnswer> combine(const Case& c, const std::vector<UsableArea>& areas,
                                         const std::vector<GroundTrace>& traces) {
  if (c.ground_ahead.file.empty()) return std::nullopt;
  GroundAheadAnswer answer;
  answer.file = c.ground_ahead.file;
  for (std::size_t i = 0; i < areas.size(); ++i) {
    ReachedArea& area = answer.areas.emplace_back();
    area.name = areas[i].stated->name;
    area.not_counted = areas[i].not_counted;
    area.heights = traces.front().areas[i].heights;
    for (std::size_t w = 1; w < traces.size(); ++w) {
      area.heights = intersect_all(area.heights, traces[w].areas[i].heights);
    }
  }
  return answer;
}

std::vector<Interval<Length>> reached_heights(const GroundAheadAnswer& ground) {
  Heights all;
  for (const ReachedArea& area : ground.areas) all.insert(all.end(), area.heights.begin(), area.heights.end());
  return merged(std::move(all));
}

void add_to_gaps(const Case& c, const flight::Timeline& plan, const std::vector<GroundTrace>& traces, Answer& answer) {
  if (!answer.ground_ahead || c.ground_ahead.file.empty()) return;
  GroundAheadAnswer& ground = *answer.ground_ahead;
  const Length top = metres(plan.nodes().back().height_m);
  for (const Gap& gap : answer.gaps) {
    GapGround& beside = ground.gaps.emplace_back();
    const Heights here{{gap.from_height, gap.to_height.value_or(top)}};
    for (std::size_t i = 0; i < ground.areas.size(); ++i) {
      std::optional<GapGround::Choice> best;
      for (const Interval<Length>& heights : intersect_all(here, ground.areas[i].heights)) {
        const GapGround::Choice choice = best_in(traces, i, heights);
        if (!best || choice.margin > best->margin) best = choice;
      }
      if (best) beside.choices.push_back(*best);
    }
    std::stable_sort(beside.choices.begin(), beside.choices.end(),
                     [](const auto& a, const auto& b) { return a.margin > b.margin; });
    for (const Interval<Length>& heights : intersect_all(here, reached_heights(ground))) {
      const auto from = plan.when_at_height(heights.low);
      const auto to = plan.when_at_height(heights.high);
      if (from && to) beside.reached = beside.reached + (std::min(*to, gap.to) - std::max(*from, gap.from));
    }
    if (!traces.empty()) beside.under = mean_under(traces.front(), gap);
  }
}

}  // namespace backfield::decision
