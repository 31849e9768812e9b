#pragma once
// What is asked, of one question or of several side by side, and the same as posed in a uniform wind.

#include "rendezvous_drift.hpp"
#include "rendezvous_lanes.hpp"
#include "rendezvous_uniform.hpp"

namespace backfield::flight {

/// From the origin.
template <class T>
struct ErrandOf {
  T height{}, heading{};
  VectorOf<T> begin;  ///< ahead(heading)
  VectorOf<T> goal;
  T direction{};
  VectorOf<T> along;  ///< ahead(direction)
  Truth<T> track{};   ///< `direction` is a track over the ground, else the heading of the air path
  Air<T> air;         ///< where it begins
};
using Errand = ErrandOf<double>;
using ErrandGroup = ErrandOf<Lanes>;

/// The same before anything is computed.
template <class T>
struct AskedOf {
  T height{}, heading{};
  VectorOf<T> goal;
  T direction{};
  Truth<T> track{};
};
template <class T>
BACKFIELD_INLINED ErrandOf<T> make_errand(const Drift& drift, const AskedOf<T>& a) {
  return {a.height, a.heading, ahead(a.heading), a.goal, a.direction, ahead(a.direction), a.track, drift.at(a.height)};
}

/// A word's senses, +1 right, and controls.
template <class T>
struct Turning {
  T first_sense{}, last_sense{};
  T first{}, middle{}, last{};
};

template <class T>
BACKFIELD_INLINED T cost(const Craft& craft, const Turning<T>& c, bool straight) {
  const Gait& middle = straight ? craft.straight : craft.first;
  const T middle_lasts = straight ? c.middle : c.middle * craft.first.s_rad;
  return c.first * craft.first.s_rad * craft.first.cost + middle_lasts * middle.cost +
         c.last * craft.last.s_rad * craft.last.cost;
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

/// The heading at the end, and whether the track can be held there.
template <class T>
struct Ending {
  T heading{};
  Truth<T> held{};
};
template <class T>
BACKFIELD_INLINED Ending<T> ending(const Craft& craft, const ErrandOf<T>& errand, const VectorOf<T>& wind) {
  const Crab<T> c = crab(errand.along, craft.straight.speed, Air<T>{wind, {}, {}});
  return {choose(errand.track, errand.direction + inverse_sine(c.sine), errand.direction),
          either(c.held, no(errand.track))};
}

/// What an end at about this height is below the start.
template <class T>
BACKFIELD_INLINED T span(const Craft& craft, const ErrandOf<T>& errand) {
  const double turns = 4.0 * craft.first.radius;
  return craft.straight.sink / craft.straight.speed * (most(norm(errand.goal), T{} + turns) + turns);
}
template <class T>
BACKFIELD_INLINED VectorOf<T> wind_over(const Drift& drift, const ErrandOf<T>& errand, const T& below) {
  return drift.uniform() ? errand.air.wind : drift.mean(errand.height, errand.air, below);
}

/// Straight to the goal with the wind, stray and all: |goal - wind T| = V T. 0 when never.
template <class T>
BACKFIELD_INLINED T soonest(const Craft& craft, const UniformErrandOf<T>& u) {
  const T none{};
  const T V = std::max({craft.first.speed, craft.straight.speed, craft.last.speed}) + u.stray;
  const T along = dot(u.goal, u.wind);
  const T distance2 = dot(u.goal, u.goal);
  const T root2 = along * along + (V * V - dot(u.wind, u.wind)) * distance2;
  const T per = along + root(most(none, root2));
  return choose(both(root2 >= 0.0, per > 0.0), distance2 / per, none);
}

/// Does the likely word turn right, first and last: towards the goal, and from there to the end's heading.
template <class T>
struct Senses {
  Truth<T> first_right{}, last_right{};
};
template <class T>
BACKFIELD_INLINED Senses<T> likely_senses(const ErrandOf<T>& errand, const T& end) {
  const T bearing = rough_heading(errand.goal);
  return {wrap(bearing - errand.heading) < kPi, wrap(end - bearing) < kPi};
}
inline constexpr double kTied = 1e-4;  ///< share of the cost by which guesses, which are rough, must differ

// In a profile: see UniformErrandOf. With 0, 0.05, 0.1 and 0.2 of the spread of the winds 20, 9, 3 and none of 12,000
// words flown were not found again.
inline constexpr double kSlack_rad = 0.25;

template <class T>
BACKFIELD_INLINED UniformErrandOf<T> in_uniform(const Craft& craft, const Drift& drift, const ErrandOf<T>& errand,
                                                const VectorOf<T>& wind, const T& end) {
  UniformErrandOf<T> u;
  u.begin = errand.heading;
  u.end = end;
  u.begin_ahead = errand.begin;
  u.end_ahead = ahead(end);
  u.goal = errand.goal;
  u.wind = wind;
  if (!drift.uniform()) u.slack = T{} + kSlack_rad;
  u.soonest = soonest(craft, u);
  return u;
}

/// What is to be bettered: in the uniform wind that would drift a path as far, with room for what another wind may do.
template <class T>
struct Posed {
  UniformErrandOf<T> errand;
  T least{};  ///< what the path costs
  T share{};  ///< of that what a root in the uniform wind may cost
  BACKFIELD_INLINED T limit() const { return least * share; }
};
/// Of a path with a straight.
template <class T>
BACKFIELD_INLINED Posed<T> posed_beside(const Craft& craft, const Drift& drift, bool quickest,
                                        const ErrandOf<T>& errand, const Turning<T>& path, const VectorOf<T>& wind) {
  // In a profile, on bounds that take the wind as blowing evenly over the heights.
  constexpr double kStrayFactor = 1.5;
  constexpr double kSlackLeast_rad = 0.05;
  constexpr double kMostSlack_rad = 0.4;
  constexpr double kNearMiss_rad = 0.3;
  const T first_lasts = path.first * craft.first.s_rad;
  const T last_lasts = path.last * craft.last.s_rad;
  Posed<T> p;
  p.least = cost(craft, path, true);
  p.share = T{} + (1.0 - 1e-9);
  const T end = errand.heading + path.first_sense * path.first + path.last_sense * path.last;
  p.errand = in_uniform(craft, drift, errand, wind, end);
  if (drift.uniform()) return p;
  // What is better lasts no longer, or loses no more, so the mean wind over its heights is between these two.
  const double most_sink = std::max({craft.first.sink, craft.straight.sink, craft.last.sink});
  const T farthest = quickest ? p.least * most_sink : p.least;
  const T nearest = p.errand.soonest * std::min({craft.first.sink, craft.straight.sink, craft.last.sink});
  p.errand.stray = kStrayFactor * most(norm(drift.mean(errand.height, errand.air, farthest) - wind),
                                       norm(drift.mean(errand.height, errand.air, nearest) - wind));
  p.errand.soonest = soonest(craft, p.errand);
  p.errand.slack =
      least(T{} + kMostSlack_rad,
            kSlackLeast_rad + 2.0 * p.errand.stray * (first_lasts + path.middle + last_lasts) / craft.first.radius);
  // A wind that strays by so much makes a path that much longer or shorter, about; twice that is allowed for, and near
  // misses are no nearer than a piece of a turn.
  const double V = craft.straight.speed;
  p.share = p.share + (2.0 * p.errand.stray / most(T{} + 0.2 * V, V - norm(wind)) +
                       kNearMiss_rad * craft.first.s_rad * craft.first.cost / most(T{} + 1e-9, p.least));
  return p;
}

}  // namespace backfield::flight
