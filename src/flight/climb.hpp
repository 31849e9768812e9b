#pragma once
// Along one family of paths to where it is best, by either tier.

#include "peaks.hpp"
#include "question.hpp"
#include "src/base/golden_section.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {

inline constexpr double kNudge = 0.01;  ///< steps along a family
inline constexpr double kMostHeight_m = 1e9;
inline constexpr double kInches_m = 1.0;  ///< of height: within them the neighbours of the best are flown, too

struct Climb {
  const Question& question;

  /// Golden section between a peak's neighbours, in the tables. Given up where
  /// `hopeless(best so far, share of what a first look may be off by)`.
  template <class Value, class Hopeless>
  [[nodiscard]] Connection in_tables(const Peak& peak, Value value, Hopeless hopeless) const {
    constexpr int kLooks = 20;  // to a ten-thousandth of the interval
    return between_neighbours(
        peak, value, kLooks, [&](double x) { return question.read(peak.at, x); }, hopeless);
  }

  /// The best of flown paths near one read from tables; `like` itself where none is better.
  template <class Value>
  [[nodiscard]] Connection by_inches(const Connection& like, Value value) const {
    constexpr double kSteps = 0.05;  // along the family
    constexpr int kLooks = 8;
    const Connection flown = question.fly(like, like.value());
    Peak peak{flown, 0.0, 0.0};
    if (!flown.on_axis || flown.side() != like.side()) {
      peak.at = like;
      peak.at.on_axis = false;
    }
    peak.from = beside(like.parameter, like.value(), -kSteps);
    peak.to = beside(like.parameter, like.value(), kSteps);
    return between_neighbours(
        peak, value, kLooks, [&](double x) { return question.fly(peak.at, x); }, [](double, double) { return false; });
  }

  /// Flies along the family of `from` until `excess`, metres along the runway, is nothing or hardly less: by its slope
  /// in the tables. `seen` gets each path. None is flown where by the tables there is less height over the need, by
  /// more than `doubt`.
  template <class Excess, class Seen>
  void to_just_below(const Connection& from, Excess excess, Seen seen, double doubt = kMostHeight_m) const {
    constexpr int kLooks = 4;
    constexpr double kCorner_m = 0.02;
    double step = beside(from.parameter, from.value(), kNudge) - from.value();
    const Connection here = question.read(from, from.value());
    Connection there = question.read(from, from.value() + step);
    if (!there.on_axis && exists(from.parameter, from.value() - step)) {
      step = -step;
      there = question.read(from, from.value() + step);
    }
    const double slope = (excess(there) - excess(here)) / step;
    if (!here.on_axis || !there.on_axis || slope == 0.0) return;
    const double change = (there.over - here.over) / step * (-excess(from) / slope);
    if (change < -doubt) return;
    Connection on = from;
    for (int i = 0; i < kLooks && (excess(on) > 0.0 || excess(on) < -kCorner_m); ++i) {
      const double value = on.value() - (excess(on) + 0.5 * kCorner_m) / slope;
      if (!exists(on.parameter, value)) return;
      on = question.fly(on, value);
      if (!on.on_axis || on.side() != from.side()) return;
      seen(on);
    }
  }

 private:
  template <class Value, class At, class Hopeless>
  [[nodiscard]] Connection between_neighbours(const Peak& peak, Value value, int looks, At path_at,
                                              Hopeless hopeless) const {
    const Connection& like = peak.at;
    double a = std::max(0.0, peak.from);
    double b = peak.to;
    if (like.parameter == Parameter::heading) {
      b = std::min(b, 2.0 * kPi);
      const double change = question.fan.banked_from(like.first_sense);
      if (question.fan.banked(like.first_sense, like.first)) {
        a = std::max(a, change);
      } else {
        b = std::min(b, change - kJustBelow);
      }
    }
    Connection best = like;
    const auto at = [&](double x) {
      Connection c = path_at(x);
      if (c.side() != like.side()) c.on_axis = false;
      if (value(c) > value(best)) best = c;
      return value(c);
    };
    golden_section(a, b, like.value(), at, [&](int i, double) {
      return i >= looks || (i == 5 && hopeless(value(best), 0.3)) || (i == 9 && hopeless(value(best), 0.05));
    });
    return best;
  }
};

}  // namespace backfield::flight
