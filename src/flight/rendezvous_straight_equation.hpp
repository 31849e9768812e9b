#pragma once
// The equation of a turn, a straight and a turn in a uniform wind, of one word or of several side by side.

#include "rendezvous_lanes.hpp"
#include "rendezvous_uniform.hpp"

namespace backfield::flight {

/// In the heading of the straight; see rendezvous_two_turns.cpp. `S` is a sense, `Q` what one question has: one number,
/// or one for each lane, where lanes are words or questions.
template <class T, class S = T, class Q = double>
struct StraightEquation {
  S across;
  VectorOf<T> fixed;
  S lasts;                  ///< change of the turns' time with the heading, s/rad
  T bend;                   ///< bound of |f''|
  T left_changes;           ///< bound of the change of what is left over with the heading
  Q fastest;                ///< over the ground
  Q ground2_changes;        ///< bound of the change of the square of that with the heading
  Q shortest, along_slack;  ///< time of a straight, and times ground speed squared; a little below 0
  VectorOf<Q> wind;
  Q stray;
  const Craft& craft;

  static constexpr double kWidest = 0.25 * kPi;  ///< of an interval of headings
  static constexpr double kPolished = 1e-5;      ///< to which roots are found, rad

  /// first, last     +1 right
  BACKFIELD_INLINED StraightEquation(const Craft& with, const UniformErrandOf<Q>& errand, const S& first, const S& last)
      : wind(errand.wind), stray(errand.stray), craft(with) {
    const S R1 = first * craft.first.radius;
    const S R3 = last * craft.last.radius;
    const VectorOf<Q> begin = right_of(errand.begin_ahead);
    const VectorOf<Q> end = right_of(errand.end_ahead);
    across = R1 - R3;
    fixed = {errand.goal.e - begin.e * R1 + end.e * R3, errand.goal.n - begin.n * R1 + end.n * R3};
    lasts = first * craft.first.s_rad - last * craft.last.s_rad;
    const double V = craft.straight.speed;
    const Q w = norm(wind);
    const double longest = kFullTurn * (craft.first.s_rad + craft.last.s_rad);
    bend = V * norm(fixed) + magnitude(across) * w + V * w * (longest + 2.0 * magnitude(lasts));
    left_changes = magnitude(across) + magnitude(lasts) * w;
    fastest = V + w;
    ground2_changes = 2.0 * V * w;
    shortest = -errand.slack * craft.first.s_rad;
    along_slack = shortest * fastest * fastest;
  }
  /// Nothing is left over on any heading: the turns are one circle, cut anywhere.
  [[nodiscard]] double least_bend() const {
    return 1e-12 * craft.straight.speed * (craft.first.radius + craft.last.radius);
  }

  struct Value {
    T f, slope;
    T along, along_slope;  ///< time of the straight times ground speed squared; how fast that may change here
    T ground2;             ///< ground speed squared
    T first, last;         ///< the turns
  };
  BACKFIELD_INLINED Value value(const VectorOf<T>& ahead, const T& first_turn, const T& last_turn) const {
    const VectorOf<T> right = right_of(ahead);
    const T s = first_turn * craft.first.s_rad + last_turn * craft.last.s_rad;
    const VectorOf<T> left = fixed + right * across - VectorOf<T>{wind.e * s, wind.n * s};
    const VectorOf<T> left_slope{-(ahead.e * across) - wind.e * lasts, -(ahead.n * across) - wind.n * lasts};
    const double V = craft.straight.speed;
    const VectorOf<T> ground{ahead.e * V + wind.e, ahead.n * V + wind.n};
    return {cross(left, ground),
            cross(left_slope, ground) + V * cross(left, right),
            dot(left, ground),
            left_changes * fastest + V * norm(left),
            dot(ground, ground),
            first_turn,
            last_turn};
  }

  /// Of an interval around that, of half width r.
  struct Judged {
    Truth<T> none;         ///< holds no root below the limit
    Truth<T> one_at_most;  ///< and Newton's method finds it
  };
  BACKFIELD_INLINED Judged judge(const Value& x, const T& r, const Q& limit) const {
    const double V = craft.straight.speed;
    const T zero{};
    const T steep = magnitude(x.slope);
    // By how much the wind that blows may change f.
    const T time = magnitude(x.first) * craft.first.s_rad + magnitude(x.last) * craft.last.s_rad +
                   magnitude(x.along) * (1.0 / (V * V));
    const T near = (steep + 0.5 * bend * r) * r + stray * V * time;
    // No straight goes back in time.
    const T changes = (x.along_slope + V * left_changes * r) * r;
    const T costs = most(zero, x.first - r) * (craft.first.s_rad * craft.first.cost) +
                    most(zero, x.last - r) * (craft.last.s_rad * craft.last.cost) +
                    most(zero, x.along - changes) / (x.ground2 + ground2_changes * r) * craft.straight.cost;
    return {either(magnitude(x.f) > near, either(x.along + changes<along_slack, costs> limit)), steep > 2.5 * bend * r};
  }
};

}  // namespace backfield::flight
