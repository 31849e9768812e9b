#include "rendezvous_solve.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace backfield::flight {
namespace {

constexpr int kMostSteps = 30;
// With a limit, where a better path than a known one is looked for from many starts. With 10, 14, 20 and 30 the same of
// 46,500 questions were answered alike.
constexpr int kMostStepsBelow = 12;
constexpr double kNear_m = 1e-3;
constexpr double kNear_rad = 1e-6;
constexpr double kLongestTurn_rad = 0.5;  // of one step
constexpr double kNothing = 1e-9;         // rad, or s

BACKFIELD_INLINED double far_beyond(bool near, double small, double s, double c) {
  return near ? small : std::atan2(s, c);
}
BACKFIELD_INLINED Lanes far_beyond(const LaneBits& near, const Lanes& small, const Lanes& s, const Lanes& c) {
  if (!any(no(near))) return small;
  Lanes angle = small;
  for (std::size_t i = 0; i < kLanes; ++i) angle[i] = far_beyond(near[i] != 0, small[i], s[i], c[i]);
  return angle;
}
/// From the direction wanted to a heading; by the series of the inverse sine where it is small.
template <class T>
BACKFIELD_INLINED T beyond(const VectorOf<T>& direction, const Crab<T>& held, const VectorOf<T>& heading) {
  const T across = dot(heading, right_of(direction));
  const T along = dot(heading, direction);
  const T s = across * held.cosine - along * held.sine;
  const T c = along * held.cosine + across * held.sine;
  const T s2 = s * s;
  const T small = s * (1.0 + s2 * (1.0 / 6.0 + s2 * (3.0 / 40.0 + s2 * (5.0 / 112.0 + s2 * (35.0 / 1152.0)))));
  return far_beyond(both(c > 0.0, s2 < 0.0625), small, s, c);
}

/// Where a word ends, from where it should, and how that changes with the three controls.
template <class T>
struct Miss {
  VectorOf<T> off;        ///< m
  T turned{};             ///< rad
  VectorOf<T> off_by[3];  ///< by first, middle, last
  T turned_by[3] = {};
  Truth<T> held{};  ///< can the track be held there
};

template <class T>
BACKFIELD_INLINED Miss<T> miss(const Craft& craft, const Drift& drift, const ErrandOf<T>& errand, const Turning<T>& c,
                               bool straight) {
  const T first = c.first_sense;
  const T last = c.last_sense;
  const Gait& middle = straight ? craft.straight : craft.first;
  const T R1 = first * craft.first.radius;
  const T R3 = last * craft.last.radius;

  // The way through the air; right_of() of a heading points at the centre of a turn.
  const T x = errand.heading + first * c.first;
  const VectorOf<T> u1 = ahead(x);
  T end = x;
  VectorOf<T> u2 = u1;
  VectorOf<T> air = (right_of(errand.begin) - right_of(u1)) * R1;
  VectorOf<T> by_x;  // what moves when everything after the first turn is turned, seen from its own end
  if (straight) {
    air = air + u1 * (middle.speed * c.middle);
    by_x = u1 * R1 + right_of(u1) * (middle.speed * c.middle) - u1 * R3;
  } else {
    end = x - first * c.middle;
    u2 = ahead(end);
    air = air - (right_of(u1) - right_of(u2)) * R1;
    by_x = u1 * (2.0 * R1) - u2 * (R1 + R3);
  }
  end = end + last * c.last;
  const VectorOf<T> u3 = ahead(end);
  air = air + (right_of(u2) - right_of(u3)) * R3;
  const VectorOf<T> by_end = u3 * R3;

  // Carried by the wind.
  const double s1 = craft.first.s_rad;
  const double s3 = craft.last.s_rad;
  const T t1 = c.first * s1;
  const T t2 = straight ? c.middle : c.middle * s1;
  const T t3 = c.last * s3;
  const double k1 = craft.first.sink;
  const double k2 = middle.sink;
  const double k3 = craft.last.sink;
  const T h1 = errand.height - k1 * t1;
  const T h2 = h1 - k2 * t2;
  const Air<T> below = drift.at(h2 - k3 * t3);
  VectorOf<T> carried;
  VectorOf<T> by_t1 = below.wind;
  VectorOf<T> by_t2 = below.wind;
  if (drift.uniform()) {
    carried = below.wind * (t1 + t2 + t3);
  } else {
    const Air<T> b = drift.at(h1);
    const Air<T> d = drift.at(h2);
    carried = (errand.air.sum - b.sum) * craft.first.per_sink + (b.sum - d.sum) * middle.per_sink +
              (d.sum - below.sum) * craft.last.per_sink;
    // A piece that lasts longer lowers all that follow.
    by_t2 = d.wind - (d.wind - below.wind) * (k2 * craft.last.per_sink);
    by_t1 = b.wind - (b.wind - d.wind) * (k1 * middle.per_sink) - (d.wind - below.wind) * (k1 * craft.last.per_sink);
  }

  Miss<T> m;
  m.off = air + carried - errand.goal;
  Crab<T> held = crab(errand.along, craft.straight.speed, below);
  m.held = either(held.held, no(errand.track));
  const T none = T{} * 0.0;
  held.sine = choose(errand.track, held.sine, none);
  held.cosine = choose(errand.track, held.cosine, none + 1.0);
  const T crab_slope = choose(errand.track, held.slope, none);
  m.turned = beyond(errand.along, held, u3);

  m.off_by[0] = (by_x + by_end) * first + by_t1 * s1;
  m.turned_by[0] = first + crab_slope * (k1 * s1);
  if (straight) {
    m.off_by[1] = u1 * middle.speed + by_t2;
    m.turned_by[1] = crab_slope * k2;
  } else {
    m.off_by[1] = (u2 * (R1 + R3) - by_end) * first + by_t2 * s1;
    m.turned_by[1] = -first + crab_slope * (k1 * s1);
  }
  m.off_by[2] = by_end * last + below.wind * s3;
  m.turned_by[2] = last + crab_slope * (k3 * s3);
  return m;
}

/// One of Newton's, shortened by `most` where a turn would be too long for it.
template <class T>
struct Step {
  T first{}, middle{}, last{}, most{};
  Truth<T> near{};     ///< the last one
  Truth<T> regular{};  ///< the equations have one solution
  T det{};
  VectorOf<T> a, b;  ///< what `det` is of
};
template <class T>
BACKFIELD_INLINED Step<T> step(const Miss<T>& m, bool straight) {
  // The last turn by the direction at the end, then two equations for the other two.
  const T per = 1.0 / m.turned_by[2];
  const VectorOf<T> off = m.off - m.off_by[2] * (m.turned * per);
  Step<T> s;
  s.a = m.off_by[0] - m.off_by[2] * (m.turned_by[0] * per);
  s.b = m.off_by[1] - m.off_by[2] * (m.turned_by[1] * per);
  s.det = cross(s.a, s.b);
  s.near = both(dot(m.off, m.off) < kNear_m * kNear_m, magnitude(m.turned) < kNear_rad);
  s.regular = magnitude(s.det) > 1e-14 * (norm(s.a) * norm(s.b));
  const T first = -cross(off, s.b) / s.det;
  const T middle = -cross(s.a, off) / s.det;
  const T last = -(m.turned + m.turned_by[0] * first + m.turned_by[1] * middle) * per;
  const T none = T{} * 0.0;
  T size = magnitude(first) + magnitude(last);
  if (!straight) size = size + magnitude(middle);
  // Two roots about to meet: near in place, with no step to trust.
  const Truth<T> trusted = both(s.regular, no(both(s.near, size > 1e-3)));
  s.first = choose(trusted, first, none);
  s.middle = choose(trusted, middle, none);
  s.last = choose(trusted, last, none);
  s.most = most(most(none + 1.0, magnitude(s.first) * (1.0 / kLongestTurn_rad)),
                magnitude(s.last) * (0.5 / kLongestTurn_rad));
  if (!straight) s.most = most(s.most, magnitude(s.middle) * (1.0 / kLongestTurn_rad));
  return s;
}

/// A turn or a straight may have become a breath shorter than none.
template <class T>
BACKFIELD_INLINED Turning<T> without_less_than_none(const Turning<T>& c) {
  const T none{};
  return {c.first_sense, c.last_sense, most(c.first, none), most(c.middle, none), most(c.last, none)};
}
/// Blowing all the time it would drift the word as far.
template <class T>
BACKFIELD_INLINED VectorOf<T> mean_wind(const Craft& craft, const Drift& drift, const ErrandOf<T>& errand,
                                        const Turning<T>& c, bool straight) {
  if (drift.uniform()) return drift.at(errand.height).wind;
  const Gait& middle = straight ? craft.straight : craft.first;
  const T t1 = c.first * craft.first.s_rad;
  const T t2 = straight ? c.middle : c.middle * craft.first.s_rad;
  const T t3 = c.last * craft.last.s_rad;
  const T h1 = errand.height - craft.first.sink * t1;
  const T h2 = h1 - middle.sink * t2;
  const Air<T> b = drift.at(h1);
  const Air<T> d = drift.at(h2);
  const Air<T> below = drift.at(h2 - craft.last.sink * t3);
  const VectorOf<T> carried = (errand.air.sum - b.sum) * craft.first.per_sink + (b.sum - d.sum) * middle.per_sink +
                              (d.sum - below.sum) * craft.last.per_sink;
  return carried * (1.0 / most(t1 + t2 + t3, T{} + 1e-9));
}
/// Does what the second order, unseen by a step that led here, may still move leave the root outside the word or above
/// the limit? Twice that is allowed for.
template <class T>
BACKFIELD_INLINED Truth<T> hopeless(const Craft& craft, const Turning<T>& c, const Step<T>& s, bool straight,
                                    double limit) {
  const double V = craft.straight.speed;
  T size = magnitude(s.first) + magnitude(s.last) + (straight ? T{} : magnitude(s.middle));
  const T bend = 4.0 * craft.first.radius + craft.last.radius + (straight ? V * magnitude(c.middle) : T{});
  const T err = size * (0.5 * bend * size + (straight ? V * magnitude(s.middle) : T{}));
  const T turns = 2.0 * err * norm(s.b) / magnitude(s.det);
  const T other = 2.0 * err * norm(s.a) / magnitude(s.det);
  const T ends = turns + (straight ? T{} : other);
  const T costs = cost(craft, c, straight) - cost(craft, Turning<T>{{}, {}, turns, other, ends}, straight);
  const Truth<T> outside =
      either(either(c.first + turns < -kNothing, c.middle + other < -kNothing), c.last + ends < -kNothing);
  return both(both(s.most == 1.0, s.det != 0.0), either(costs > limit, outside));
}

template <class T>
BACKFIELD_INLINED Truth<T> is_turn(const T& x, double full) {
  return both(x >= -kNothing, x <= full - kNothing);
}
/// Is it one of the word?
template <class T>
BACKFIELD_INLINED Truth<T> is_root(const Turning<T>& c, bool straight) {
  return both(both(is_turn(c.first, kFullTurn), is_turn(c.last, kFullTurn)),
              is_turn(c.middle, straight ? 1e9 : kFullTurn));
}

}  // namespace

std::optional<Solution> solve(const Craft& craft, const Drift& drift, const Errand& errand, const Controls& start,
                              double limit) {
  Controls c = start;
  const bool straight = has_straight(c.word);
  const bool limited = limit < std::numeric_limits<double>::infinity();
  const int most_steps = limited ? kMostStepsBelow : kMostSteps;
  const double first_sense = flight::first_sense(c.word);
  const double last_sense = flight::last_sense(c.word);
  for (int i = 0;; ++i) {
    const auto m = miss<double>(craft, drift, errand, {first_sense, last_sense, c.first, c.middle, c.last}, straight);
    const Step<double> s = step(m, straight);
    if (!m.held || (!s.regular && !s.near)) return std::nullopt;
    c.first += s.first / s.most;
    c.middle += s.middle / s.most;
    c.last += s.last / s.most;
    if (s.near) break;
    if (i == most_steps) return std::nullopt;
    if (limited && hopeless<double>(craft, {first_sense, last_sense, c.first, c.middle, c.last}, s, straight, limit)) {
      return std::nullopt;
    }
  }
  const Turning<double> end{first_sense, last_sense, c.first, c.middle, c.last};
  if (!is_root(end, straight)) return std::nullopt;
  const auto clean = without_less_than_none(end);
  return Solution{{c.word, clean.first, clean.middle, clean.last}, mean_wind(craft, drift, errand, clean, straight)};
}

namespace {

BACKFIELD_INLINED SolutionGroup solve_group(const Craft& craft, const Drift& drift, const ErrandGroup& errands,
                                            const Turning<Lanes>& starts, bool straight, bool limited, double limit) {
  Turning<Lanes> c = starts;
  LaneBits going = ~LaneBits{};
  LaneBits found{};
  const int most_steps = limited ? kMostStepsBelow : kMostSteps;
  for (int i = 0; i <= most_steps && any(going); ++i) {
    const Miss<Lanes> m = miss<Lanes>(craft, drift, errands, c, straight);
    const Step<Lanes> s = step(m, straight);
    going &= m.held & (s.regular | s.near);
    c.first = choose(going, c.first + s.first / s.most, c.first);
    c.middle = choose(going, c.middle + s.middle / s.most, c.middle);
    c.last = choose(going, c.last + s.last / s.most, c.last);
    found |= going & s.near;
    going &= ~s.near;
    if (limited) going &= ~hopeless(craft, c, s, straight, limit);
  }
  found &= is_root(c, straight);
  const Turning<Lanes> clean = without_less_than_none(c);
  return {found, clean, mean_wind(craft, drift, errands, clean, straight)};
}

}  // namespace

BACKFIELD_FOR_EACH_PROCESSOR
SolutionGroup solve_side_by_side(const Craft& craft, const Drift& drift, const ErrandGroup& errands,
                                 const Turning<Lanes>& starts) {
  return solve_group(craft, drift, errands, starts, true, false, 0.0);
}

BACKFIELD_FOR_EACH_PROCESSOR
SolutionGroup solve_three_turns_side_by_side(const Craft& craft, const Drift& drift, const Errand& errand,
                                             const std::array<Controls, kLanes>& starts, double limit) {
  const ErrandGroup errands{lanes(errand.height),
                            lanes(errand.heading),
                            lanes(errand.begin),
                            lanes(errand.goal),
                            lanes(errand.direction),
                            lanes(errand.along),
                            lanes(errand.track ? 1.0 : 0.0) != 0.0,
                            {lanes(errand.air.wind), lanes(errand.air.slope), lanes(errand.air.sum)}};
  const Turning<Lanes> c{gather(starts, [](const Controls& s) { return 1.0 * first_sense(s.word); }),
                         gather(starts, [](const Controls& s) { return 1.0 * last_sense(s.word); }),
                         gather(starts, [](const Controls& s) { return s.first; }),
                         gather(starts, [](const Controls& s) { return s.middle; }),
                         gather(starts, [](const Controls& s) { return s.last; })};
  return solve_group(craft, drift, errands, c, false, true, limit);
}

}  // namespace backfield::flight
