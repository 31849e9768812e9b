#include "backfield/decision/windows.hpp"

#include "backfield/base/contract.hpp"
#include "src/base/golden_section.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::decision {
namespace {

constexpr double kMostTime_s = 4.0;
constexpr double kMostHeight_m = 48.0 * kMetresPerFoot;  // a window of 50 ft always holds a moment
constexpr double kTelling_m = 1e6;                       // margins below its negative only say no
constexpr double kEdgeTime_s = 0.02;
constexpr double kEdgeHeight_m = 0.2 * kMetresPerFoot;

struct Sample {
  Duration time;
  Verdict verdict;
};

double height_at(const flight::Timeline& timeline, Duration t) { return timeline.at(t).height_m; }

struct Edge {
  Duration time;
  Limit limit;
};

/// Narrows the change between two moments; returns the last one on the working side and why the other fails.
///
/// Margins run nearly straight through zero, so the edge is looked for where they say it is, just this side of it and
/// then just that side; where that does not halve the interval (a jump, or no margin known) it is bisected.
Edge refine(const flight::Timeline& timeline, Sample works, Sample fails, const Judge& judge) {
  const Sample begin = works;
  double before_last = 1e300;
  while (true) {
    const double width = (fails.time - works.time).si();  // signed
    const double rise = height_at(timeline, fails.time) - height_at(timeline, works.time);
    double share = 0.5;
    const double good = works.verdict.margin;
    const double bad = fails.verdict.margin;
    const bool telling = good > 0.0 && bad < 0.0 && bad > -kTelling_m;
    if (std::abs(width) <= kEdgeTime_s && std::abs(rise) <= kEdgeHeight_m) {
      // Where the margins say it is, and from there a little inside, past what worked: who asks there again finds
      // height to spare, however he comes to it.
      const double edge = telling ? width * good / (good - bad) : 0.0;
      const double room = (begin.time - works.time).si();  // signed
      const double inside = std::copysign(kEdgeTime_s, -width) + edge;
      return {works.time + seconds(std::abs(inside) < std::abs(room) ? inside : room), fails.verdict.limit};
    }
    if (telling && std::abs(width) < 0.6 * before_last) {
      const double tolerance = std::min(kEdgeTime_s / std::abs(width), kEdgeHeight_m / std::max(std::abs(rise), 1e-9));
      const double at = good / (good - bad);
      share = std::clamp(at + (at > 0.5 ? -0.45 : 0.45) * tolerance, 0.45 * tolerance, 1.0 - 0.45 * tolerance);
    }
    before_last = share == 0.5 ? 1e300 : std::abs(width);
    const Duration t = works.time + seconds(width * share);
    const Verdict v = judge(t);
    (v.works ? works : fails) = {t, v};
  }
}

/// Looks between two samples for the lowest margin; stops as soon as it finds a moment that does not work.
std::vector<Sample> probe(Duration low, Duration high, const Judge& judge) {
  std::vector<Sample> found;
  const auto ask = [&](double t) {
    const Sample s{seconds(t), judge(seconds(t))};
    if (!s.verdict.works) found.push_back(s);
    return -s.verdict.margin;
  };
  golden_section(low.si(), high.si(), high.si(), ask,
                 [&](int, double left) { return !found.empty() || left <= kEdgeTime_s; });
  return found;
}

/// Adds the short holes that hide between samples in a margin that nearly leaves zero. Short windows are not looked for
/// in the same way: no policy briefs one that is narrower than the distance of two moments.
std::vector<Sample> with_holes(std::vector<Sample> samples, const Judge& judge, double near) {
  std::vector<Sample> holes;
  for (std::size_t i = 1; i + 1 < samples.size(); ++i) {
    const Verdict& before = samples[i - 1].verdict;
    const Verdict& here = samples[i].verdict;
    const Verdict& after = samples[i + 1].verdict;
    if (!before.works || !here.works || !after.works) continue;
    if (!(here.margin < near) || here.margin > before.margin || here.margin > after.margin) continue;
    for (const Sample& s : probe(samples[i - 1].time, samples[i + 1].time, judge)) holes.push_back(s);
  }
  samples.insert(samples.end(), holes.begin(), holes.end());
  std::stable_sort(samples.begin(), samples.end(), [](const Sample& a, const Sample& b) { return a.time < b.time; });
  return samples;
}

/// A window so narrow may lie whole between two moments. It is not listed where one happens to fall into it, either:
/// whether it is seen must not depend on where the moments lie.
bool may_be_missed(const flight::Timeline& timeline, const Interval<Duration>& times) {
  const double rise = height_at(timeline, times.high) - height_at(timeline, times.low);
  const double found = (times.high - times.low).si();
  // Each edge is found to kEdgeTime_s and then lies as much inside.
  const double whole = found + 4.0 * kEdgeTime_s;
  return whole < kMostTime_s && std::abs(rise) * whole < kMostHeight_m * found;
}

}  // namespace

std::vector<Duration> moments(const flight::Timeline& timeline) {
  std::vector<Duration> times{timeline.begin()};
  const flight::AirState first = timeline.at(timeline.begin());
  double last_time = first.time_s;
  double last_height = first.height_m;
  const auto& nodes = timeline.nodes();
  for (std::size_t i = 1; i < nodes.size(); ++i) {
    const bool last = i + 1 == nodes.size();
    const bool far = !last && (nodes[i + 1].time_s - last_time > kMostTime_s ||
                               std::abs(nodes[i + 1].height_m - last_height) > kMostHeight_m);
    if (!far && !last) continue;
    times.push_back(seconds(nodes[i].time_s));
    last_time = nodes[i].time_s;
    last_height = nodes[i].height_m;
  }
  return times;
}

std::vector<Span> windows(const flight::Timeline& timeline, const std::vector<Duration>& times,
                          const std::vector<Verdict>& at, const Judge& judge, double near) {
  require(times.size() == at.size() && times.size() >= 2, "one verdict a moment, at least two");
  std::vector<Sample> samples;
  samples.reserve(times.size());
  for (std::size_t i = 0; i < times.size(); ++i) samples.push_back({times[i], at[i]});
  samples = with_holes(std::move(samples), judge, near);

  std::vector<Span> spans;
  for (std::size_t i = 0; i < samples.size();) {
    if (!samples[i].verdict.works) {
      ++i;
      continue;
    }
    std::size_t end = i;
    while (end + 1 < samples.size() && samples[end + 1].verdict.works) ++end;
    Span span;
    span.times = {samples[i].time, samples[end].time};
    if (i > 0) {
      const Edge edge = refine(timeline, samples[i], samples[i - 1], judge);
      span.times.low = edge.time;
      span.lower = edge.limit;
    }
    if (end + 1 < samples.size()) {
      const Edge edge = refine(timeline, samples[end], samples[end + 1], judge);
      span.times.high = edge.time;
      span.upper = edge.limit;
    }
    const bool ends = i > 0 && end + 1 < samples.size();
    if (!ends || !may_be_missed(timeline, span.times)) spans.push_back(span);
    i = end + 1;
  }
  return spans;
}

}  // namespace backfield::decision
