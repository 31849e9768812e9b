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

/// One question, or several side by side.
template <class T>
struct Asked {
  T height{}, heading{};
  VectorOf<T> begin, goal, along;
  Truth<T> track{};
  VectorOf<T> sum;  ///< of the wind where it begins
};
template <class T>
struct Turning {
  T first_sense{}, last_sense{};
  T first{}, middle{}, last{};
};
template <class T>
struct Air {
  VectorOf<T> wind, slope, sum;
};
BACKFIELD_INLINED Air<double> air_at(const Drift& drift, double height) {
  const Drift::At at = drift.at(height);
  return {at.wind, at.slope, at.sum};
}
BACKFIELD_INLINED Air<Lanes> air_at(const Drift& drift, const Lanes& height) {
  const Drift::LanesAt at = drift.at(height);
  return {at.wind, at.slope, at.sum};
}

/// Heading less track where a track is held, as sine and cosine, and its change with height; whether it can be held,
/// with headway.
template <class T>
struct Crab {
  T sine{}, cosine{}, slope{};
  Truth<T> held{};
};
template <class T>
BACKFIELD_INLINED Crab<T> crab(const VectorOf<T>& along, double airspeed, const Air<T>& air) {
  const VectorOf<T> right = right_of(along);
  Crab<T> crab;
  crab.sine = -dot(air.wind, right) / airspeed;
  crab.cosine = root(1.0 - crab.sine * crab.sine);
  crab.slope = -dot(air.slope, right) / (airspeed * crab.cosine);
  crab.held = both(magnitude(crab.sine) < 1.0, airspeed * crab.cosine + dot(air.wind, along) > 0.0);
  return crab;
}

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
BACKFIELD_INLINED Miss<T> miss(const Craft& craft, const Drift& drift, const Asked<T>& asked, const Turning<T>& c,
                               bool straight) {
  const T first = c.first_sense;
  const T last = c.last_sense;
  const Gait& middle = straight ? craft.straight : craft.first;
  const T R1 = first * craft.first.radius;
  const T R3 = last * craft.last.radius;

  // The way through the air; right_of() of a heading points at the centre of a turn.
  const T x = asked.heading + first * c.first;
  const VectorOf<T> u1 = ahead(x);
  T end = x;
  VectorOf<T> u2 = u1;
  VectorOf<T> air = (right_of(asked.begin) - right_of(u1)) * R1;
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
  const T h1 = asked.height - k1 * t1;
  const T h2 = h1 - k2 * t2;
  const Air<T> below = air_at(drift, h2 - k3 * t3);
  VectorOf<T> carried;
  VectorOf<T> by_t1 = below.wind;
  VectorOf<T> by_t2 = below.wind;
  if (drift.uniform()) {
    carried = below.wind * (t1 + t2 + t3);
  } else {
    const Air<T> b = air_at(drift, h1);
    const Air<T> d = air_at(drift, h2);
    carried = (asked.sum - b.sum) * craft.first.per_sink + (b.sum - d.sum) * middle.per_sink +
              (d.sum - below.sum) * craft.last.per_sink;
    // A piece that lasts longer lowers all that follow.
    by_t2 = d.wind - (d.wind - below.wind) * (k2 * craft.last.per_sink);
    by_t1 = b.wind - (b.wind - d.wind) * (k1 * middle.per_sink) - (d.wind - below.wind) * (k1 * craft.last.per_sink);
  }

  Miss<T> m;
  m.off = air + carried - asked.goal;
  Crab<T> held = crab(asked.along, craft.straight.speed, below);
  m.held = either(held.held, no(asked.track));
  const T none = T{} * 0.0;
  held.sine = choose(asked.track, held.sine, none);
  held.cosine = choose(asked.track, held.cosine, none + 1.0);
  const T crab_slope = choose(asked.track, held.slope, none);
  m.turned = beyond(asked.along, held, u3);

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
BACKFIELD_INLINED VectorOf<T> mean_wind(const Craft& craft, const Drift& drift, const Asked<T>& asked,
                                        const Turning<T>& c, bool straight) {
  if (drift.uniform()) return air_at(drift, asked.height).wind;
  const Gait& middle = straight ? craft.straight : craft.first;
  const T t1 = c.first * craft.first.s_rad;
  const T t2 = straight ? c.middle : c.middle * craft.first.s_rad;
  const T t3 = c.last * craft.last.s_rad;
  const T h1 = asked.height - craft.first.sink * t1;
  const T h2 = h1 - middle.sink * t2;
  const Air<T> b = air_at(drift, h1);
  const Air<T> d = air_at(drift, h2);
  const Air<T> below = air_at(drift, h2 - craft.last.sink * t3);
  const VectorOf<T> carried = (asked.sum - b.sum) * craft.first.per_sink + (b.sum - d.sum) * middle.per_sink +
                              (d.sum - below.sum) * craft.last.per_sink;
  return carried * (1.0 / most(t1 + t2 + t3, T{} + 1e-9));
}
/// Is it one of the word?
bool is_root(const Controls& c) {
  const double longest = has_straight(c.word) ? 1e9 : kFullTurn;
  return c.first >= -kNothing && c.first <= kFullTurn - kNothing && c.last >= -kNothing &&
         c.last <= kFullTurn - kNothing && c.middle >= -kNothing && c.middle <= longest - kNothing;
}

}  // namespace

std::optional<double> crab_sine(const Errand& errand, double airspeed, const Drift::At& air) {
  const Crab<double> c = crab(errand.along, airspeed, Air<double>{air.wind, air.slope, air.sum});
  return c.held ? std::optional(c.sine) : std::nullopt;
}

std::optional<Solution> solve(const Craft& craft, const Drift& drift, const Errand& errand, const Controls& start,
                              double limit) {
  Controls c = start;
  const bool straight = has_straight(c.word);
  const bool limited = limit < std::numeric_limits<double>::infinity();
  const int most_steps = limited ? kMostStepsBelow : kMostSteps;
  const Asked<double> asked{errand.height, errand.heading, errand.begin,  errand.goal,
                            errand.along,  errand.track,   errand.air.sum};
  const double first_sense = flight::first_sense(c.word);
  const double last_sense = flight::last_sense(c.word);
  for (int i = 0;; ++i) {
    const auto m = miss<double>(craft, drift, asked, {first_sense, last_sense, c.first, c.middle, c.last}, straight);
    const Step<double> s = step(m, straight);
    if (!m.held || (!s.regular && !s.near)) return std::nullopt;
    c.first += s.first / s.most;
    c.middle += s.middle / s.most;
    c.last += s.last / s.most;
    if (s.near) break;
    if (i == most_steps) return std::nullopt;
    // What the second order, unseen by this step, may still move; twice that is allowed for.
    if (limited && s.most == 1.0 && s.det != 0.0) {
      const double V = craft.straight.speed;
      const double size = std::abs(s.first) + std::abs(s.last) + (straight ? 0.0 : std::abs(s.middle));
      const double bend = 4.0 * craft.first.radius + craft.last.radius + (straight ? V * std::abs(c.middle) : 0.0);
      const double err = size * (0.5 * bend * size + (straight ? V * std::abs(s.middle) : 0.0));
      const double turns = 2.0 * err * norm(s.b) / std::abs(s.det);
      const double other = 2.0 * err * norm(s.a) / std::abs(s.det);
      const double ends = turns + (straight ? 0.0 : other);
      const Controls more{c.word, turns, other, ends};
      if (cost(craft, c) - cost(craft, more) > limit) return std::nullopt;
      if (c.first + turns < -kNothing || c.middle + other < -kNothing || c.last + ends < -kNothing) return std::nullopt;
    }
  }
  if (!is_root(c)) return std::nullopt;
  const auto clean = without_less_than_none<double>({first_sense, last_sense, c.first, c.middle, c.last});
  return Solution{{c.word, clean.first, clean.middle, clean.last}, mean_wind(craft, drift, asked, clean, straight)};
}

BACKFIELD_FOR_EACH_PROCESSOR
std::array<std::optional<Solution>, kLanes> solve_side_by_side(const Craft& craft, const Drift& drift,
                                                               const ErrandGroup& errands,
                                                               const std::array<Controls, kLanes>& starts) {
  const Lanes tracks = gather(errands, [](const Errand& e) { return e.track ? 1.0 : 0.0; });
  const Asked<Lanes> asked{gather(errands, [](const Errand& e) { return e.height; }),
                           gather(errands, [](const Errand& e) { return e.heading; }),
                           gather(errands, [](const Errand& e) { return e.begin; }),
                           gather(errands, [](const Errand& e) { return e.goal; }),
                           gather(errands, [](const Errand& e) { return e.along; }),
                           tracks != 0.0,
                           gather(errands, [](const Errand& e) { return e.air.sum; })};
  Turning<Lanes> c{gather(starts, [](const Controls& s) { return 1.0 * first_sense(s.word); }),
                   gather(starts, [](const Controls& s) { return 1.0 * last_sense(s.word); }),
                   gather(starts, [](const Controls& s) { return s.first; }),
                   gather(starts, [](const Controls& s) { return s.middle; }),
                   gather(starts, [](const Controls& s) { return s.last; })};
  LaneBits going = ~LaneBits{};
  LaneBits found{};
  for (int i = 0; i <= kMostSteps && any(going); ++i) {
    const Miss<Lanes> m = miss<Lanes>(craft, drift, asked, c, true);
    const Step<Lanes> s = step(m, true);
    going &= m.held & (s.regular | s.near);
    c.first = choose(going, c.first + s.first / s.most, c.first);
    c.middle = choose(going, c.middle + s.middle / s.most, c.middle);
    c.last = choose(going, c.last + s.last / s.most, c.last);
    found |= going & s.near;
    going &= ~s.near;
  }
  const Turning<Lanes> clean = without_less_than_none(c);
  const LaneVector wind = mean_wind(craft, drift, asked, clean, true);
  std::array<std::optional<Solution>, kLanes> solutions;
  for (std::size_t i = 0; i < kLanes; ++i) {
    const Word word = starts[i].word;
    if (found[i] == 0 || !is_root({word, c.first[i], c.middle[i], c.last[i]})) continue;
    solutions[i] = Solution{{word, clean.first[i], clean.middle[i], clean.last[i]}, {wind.e[i], wind.n[i]}};
  }
  return solutions;
}

}  // namespace backfield::flight
