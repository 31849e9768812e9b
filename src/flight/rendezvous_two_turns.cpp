// A turn, a straight, a turn, in a uniform wind.
//
// Given the heading of the straight, both turns are known, and how long they last. What is left to the goal must lie
// along the straight's way over the ground: f = left over x ground velocity = 0. While no turn passes 0 or a full
// circle f is smooth, and |f''| has a bound M. An interval of half width r around m
//
//   holds no root      if |f(m)| > |f'(m)| r + M r^2 / 2                        (Taylor)
//   holds at most one  if |f'(m)| > 2.5 M r; Newton's method from m finds it     (Kantorovich: M |f| / f'^2 < 1/2)
//
// and is halved if neither.

#include "rendezvous_straight_equation.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr double kSmallest = 1e-8;  // rad; half an interval that is not halved any more
constexpr double kWidest = StraightEquation<double>::kWidest;
constexpr double kPolished = StraightEquation<double>::kPolished;
constexpr double kNearMiss = 0.02;

class TwoTurns {
 public:
  TwoTurns(const Craft& craft, const UniformErrand& errand, Word word, const Bounds& bounds, double limit)
      : craft_(craft),
        errand_(errand),
        word_(word),
        bounds_(bounds),
        limit_(limit),
        equation_(craft, errand, first_sense(word), last_sense(word)),
        first_(first_sense(word)),
        last_(last_sense(word)) {}

  void find(std::vector<Controls>& roots) {
    known_ = roots.size();
    if (equation_.bend <= equation_.least_bend()) {
      add({errand_.begin, errand_.begin_ahead}, {0.0, bounds_.at_none, errand_.begin}, roots);
      return;
    }
    if (bounds_.strips == 1) {
      range(bounds_.only.firsts.low, bounds_.only.firsts.high, {0.0, bounds_.only.last, errand_.begin}, roots);
      return;
    }
    const double low = -errand_.slack;
    const double high = kFullTurn + errand_.slack;
    if (bounds_.firsts.any()) {
      strip(low, high, roots);
      return;
    }
    for (int k = -1; k <= 1; ++k) {
      const double from = std::max(low, bounds_.firsts.low + k * kFullTurn);
      const double to = std::min(high, bounds_.firsts.high + k * kFullTurn);
      if (from <= to) strip(from, to, roots);
    }
  }

 private:
  /// First turns from one angle to another. The last turn's angle is a line over the first's; every line that crosses
  /// the square of what they may be, as far as the turns leave time for the straight.
  void strip(double low, double high, std::vector<Controls>& roots) {
    const double rise = -first_ * last_;
    const double first_costs = craft_.first.s_rad * craft_.first.cost;
    const double last_costs = craft_.last.s_rad * craft_.last.cost;
    const double costs = first_costs + rise * last_costs;
    const double most_last = kFullTurn + errand_.slack;
    const double at_low = bounds_.at_none + rise * low;
    const double at_high = bounds_.at_none + rise * high;
    const auto fewest = static_cast<int>(std::ceil((-errand_.slack - std::max(at_low, at_high)) / kFullTurn));
    const auto most = static_cast<int>(std::floor((most_last - std::min(at_low, at_high)) / kFullTurn));
    for (int circles = fewest; circles <= most; ++circles) {
      const double last = bounds_.at_none + circles * kFullTurn;
      double from = std::max(low, rise > 0.0 ? -errand_.slack - last : last - most_last);
      double to = std::min(high, rise > 0.0 ? most_last - last : last + errand_.slack);
      const double left = bounds_.room - last * last_costs;
      if (costs > 0.0) {
        to = std::min(to, left / costs);
      } else if (costs < 0.0) {
        from = std::max(from, left / costs);
      } else if (left < 0.0) {
        continue;
      }
      if (from <= to) range(from, to, {0.0, last, errand_.begin}, roots);
    }
  }
  struct Heading {
    double psi;
    Vector ahead;
  };
  /// Linear in the straight's heading: what they are `at` one.
  struct Turns {
    double first, last, at;
  };
  using Value = StraightEquation<double>::Value;
  [[nodiscard]] Value value(const Heading& heading, const Turns& turns) const {
    const double d = heading.psi - turns.at;
    return equation_.value(heading.ahead, turns.first + first_ * d, turns.last - last_ * d);
  }

  /// First turns from one angle to another.
  void range(double from, double to, const Turns& turns, std::vector<Controls>& roots) {
    const int parts = std::max(1, static_cast<int>(std::ceil((to - from) / kWidest)));
    const double half = 0.5 * (to - from) / parts;
    const double begin = errand_.begin + first_ * (from + half);
    const double step = first_ * 2.0 * half;
    Heading middle{begin, ahead(begin)};
    interval(middle, half, turns, roots);
    if (parts == 1) return;
    const Vector by = ahead(step);
    for (int i = 1; i < parts; ++i) {
      middle = {middle.psi + step, turned(middle.ahead, by)};
      interval(middle, half, turns, roots);
    }
  }

  void interval(const Heading& m, double r, const Turns& turns, std::vector<Controls>& roots) {
    const Value x = value(m, turns);
    const auto [none, one_at_most] = equation_.judge(x, r, limit_);
    if (none) return;
    if (one_at_most && is_known(x, r)) return;
    if (one_at_most || r < kSmallest) {
      newton(m, x, r, turns, roots);
      return;
    }
    const double half = 0.5 * r;
    const Vector by = ahead(half);
    const Heading left{m.psi - half, turned(m.ahead, {-by.e, by.n})};
    const Heading right{m.psi + half, turned(m.ahead, by)};
    if (errand_.stray > 0.0 && half < kNearMiss) {
      add(left, turns, roots);
      add(right, turns, roots);
      return;
    }
    interval(left, half, turns, roots);
    interval(right, half, turns, roots);
  }
  [[nodiscard]] bool is_known(const Value& x, double r) const {
    const Controls* known = errand_.known;
    return known && known->word == word_ && std::abs(known->first - x.first) <= r &&
           std::abs(known->last - x.last) <= r;
  }
  void newton(const Heading& m, Value x, double r, const Turns& turns, std::vector<Controls>& roots) {
    Heading h = m;
    for (int i = 0; i < 20; ++i) {
      const double step = x.slope == 0.0 ? 0.0 : -x.f / x.slope;
      h.psi += r < kSmallest ? std::clamp(step, -r, r) : step;
      if (std::abs(h.psi - m.psi) > 3.0 * r + kPolished) return;
      if (std::abs(step) < 0.01 * kPolished || i > 8) break;
      h.ahead = ahead(h.psi);
      x = value(h, turns);
      if (std::abs(step) * std::abs(step) < kPolished) {
        // Quadratic convergence: one more is enough.
        h.psi -= x.slope == 0.0 ? 0.0 : x.f / x.slope;
        break;
      }
    }
    if (std::abs(h.psi - m.psi) > r + kPolished) return;
    h.ahead = ahead(h.psi);
    add(h, turns, roots);
  }

  void add(const Heading& h, const Turns& turns, std::vector<Controls>& roots) const {
    const Value x = value(h, turns);
    const double t = x.along / std::max(1e-12, x.ground2);
    // What is a little outside the word here may be inside when solved to the end; that decides.
    if (t < equation_.shortest - kPolished * craft_.first.s_rad) return;
    const Controls c{word_, x.first, t, x.last};
    for (std::size_t i = known_; i < roots.size(); ++i) {
      if (std::abs(roots[i].first - c.first) < 3e-9 && std::abs(roots[i].last - c.last) < 3e-9) return;
    }
    if (cost(craft_, c) <= limit_) roots.push_back(c);
  }

  const Craft& craft_;
  const UniformErrand& errand_;
  Word word_;
  const Bounds& bounds_;
  double limit_;
  StraightEquation<double> equation_;
  int first_, last_;
  std::size_t known_ = 0;
};

}  // namespace

void find_two_turns(const Craft& craft, const UniformErrand& errand, Word word, const Bounds& bounds, double limit,
                    std::vector<Controls>& roots) {
  TwoTurns(craft, errand, word, bounds, limit).find(roots);
}

}  // namespace backfield::flight
