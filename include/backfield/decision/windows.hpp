#pragma once
// From verdicts at sampled moments to intervals with refined edges.

#include "backfield/decision/answer.hpp"
#include "backfield/flight/timeline.hpp"

#include <functional>
#include <vector>

namespace backfield::decision {

/// One option at one moment.
struct Verdict {
  bool works = false;
  double margin = 0.0;         ///< > 0 works, < 0 does not; its unit is the judge's own. NaN when unknown
  Limit limit = Limit::reach;  ///< what forbids it, when it does not work
};
using Judge = std::function<Verdict(Duration)>;

/// An interval of time in which an option works.
struct Span {
  Interval<Duration> times;
  Limit lower = Limit::lift_off, upper = Limit::scan_end;
};

/// Moments at which a departure is asked: no more than 4 s and 48 ft apart, so that an interval of 50 ft or more always
/// holds one.
std::vector<Duration> moments(const flight::Timeline& timeline);

/// Intervals in which the judge says yes. Edges are found to 0.02 s and 0.2 ft and lie on the working side, up to 0.02
/// s inside. Where margins between samples that all work come near zero (`near`), what lies between is searched for a
/// hole. A window that may lie whole between two moments (less than 4 s and 48 ft) is never listed, whether a moment
/// falls into it or not; no policy briefs one.
///
/// times       rising, at least two; `at` holds the verdicts there
std::vector<Span> windows(const flight::Timeline& timeline, const std::vector<Duration>& times,
                          const std::vector<Verdict>& at, const Judge& judge, double near);

}  // namespace backfield::decision
