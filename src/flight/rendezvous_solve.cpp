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

/// Where a word ends, from where it should, and how that changes with the three controls.
struct Miss {
  Vector off;           ///< m
  double turned = 0.0;  ///< rad
  Vector off_by[3];     ///< by first, middle, last
  double turned_by[3] = {0.0};
};

/// From the direction wanted to a heading; without the inverse sine where that is about to be 0.
double beyond(const Errand& errand, const Crab& held, Vector heading) {
  const double across = dot(heading, right_of(errand.along));
  const double along = dot(heading, errand.along);
  const double s = across * held.cosine - along * held.sine;
  const double c = along * held.cosine + across * held.sine;
  if (c <= 0.0 || std::abs(s) > 0.02) return std::atan2(s, c);
  const double s2 = s * s;
  return s * (1.0 + s2 * (1.0 / 6.0 + s2 * (3.0 / 40.0)));
}

std::optional<Miss> miss(const Craft& craft, const Drift& drift, const Errand& errand, const Controls& c) {
  const bool straight = has_straight(c.word);
  const int first = first_sense(c.word);
  const int last = last_sense(c.word);
  const Gait& middle = straight ? craft.straight : craft.first;
  const double R1 = first * craft.first.radius;
  const double R3 = last * craft.last.radius;

  // The way through the air; right_of() of a heading points at the centre of a turn.
  const double x = errand.heading + first * c.first;
  const Vector u1 = ahead(x);
  double end = x;
  Vector u2 = u1;
  Vector air = (right_of(errand.begin) - right_of(u1)) * R1;
  Vector by_x;  // what moves when everything after the first turn is turned, seen from its own end
  if (straight) {
    air = air + u1 * (middle.speed * c.middle);
    by_x = u1 * R1 + right_of(u1) * (middle.speed * c.middle) - u1 * R3;
  } else {
    end = x - first * c.middle;
    u2 = ahead(end);
    air = air - (right_of(u1) - right_of(u2)) * R1;
    by_x = u1 * (2.0 * R1) - u2 * (R1 + R3);
  }
  end += last * c.last;
  const Vector u3 = ahead(end);
  air = air + (right_of(u2) - right_of(u3)) * R3;
  const Vector by_end = u3 * R3;

  // Carried by the wind.
  const Durations t = durations(craft, c);
  const double k1 = craft.first.sink;
  const double k2 = middle.sink;
  const double k3 = craft.last.sink;
  const double h1 = errand.height - k1 * t.first;
  const double h2 = h1 - k2 * t.middle;
  const double h3 = h2 - k3 * t.last;
  const Drift::At below = drift.at(h3);
  Vector carried;
  Vector by_t1 = below.wind;
  Vector by_t2 = below.wind;
  if (drift.uniform()) {
    carried = below.wind * t.sum();
  } else {
    const Drift::At b = drift.at(h1);
    const Drift::At d = drift.at(h2);
    carried = (errand.air.sum - b.sum) * craft.first.per_sink + (b.sum - d.sum) * middle.per_sink +
              (d.sum - below.sum) * craft.last.per_sink;
    // A piece that lasts longer lowers all that follow.
    by_t2 = d.wind - (d.wind - below.wind) * (k2 * craft.last.per_sink);
    by_t1 = b.wind - (b.wind - d.wind) * (k1 * middle.per_sink) - (d.wind - below.wind) * (k1 * craft.last.per_sink);
  }

  Miss m;
  m.off = air + carried - errand.goal;
  Crab held;
  if (errand.track) {
    const auto crabbed = crab(errand, craft.straight.speed, below);
    if (!crabbed) return std::nullopt;
    held = *crabbed;
  }
  m.turned = beyond(errand, held, u3);
  const double crab_slope = held.slope;

  const double s1 = craft.first.s_rad;
  const double s3 = craft.last.s_rad;
  m.off_by[0] = (by_x + by_end) * first + by_t1 * s1;
  m.turned_by[0] = first + crab_slope * k1 * s1;
  if (straight) {
    m.off_by[1] = u1 * middle.speed + by_t2;
    m.turned_by[1] = crab_slope * k2;
  } else {
    m.off_by[1] = (u2 * (R1 + R3) - by_end) * first + by_t2 * s1;
    m.turned_by[1] = -first + crab_slope * k1 * s1;
  }
  m.off_by[2] = by_end * last + below.wind * s3;
  m.turned_by[2] = last + crab_slope * k3 * s3;
  return m;
}

Vector mean_wind(const Craft& craft, const Drift& drift, const Errand& errand, const Controls& c) {
  if (drift.uniform()) return errand.air.wind;
  const Gait& middle = has_straight(c.word) ? craft.straight : craft.first;
  const Durations t = durations(craft, c);
  const Drift::At b = drift.at(errand.height - craft.first.sink * t.first);
  const Drift::At d = drift.at(b.height - middle.sink * t.middle);
  const Drift::At below = drift.at(d.height - craft.last.sink * t.last);
  const Vector carried = (errand.air.sum - b.sum) * craft.first.per_sink + (b.sum - d.sum) * middle.per_sink +
                         (d.sum - below.sum) * craft.last.per_sink;
  return carried * (1.0 / std::max(1e-9, t.sum()));
}

}  // namespace

std::optional<Crab> crab(const Errand& errand, double airspeed, const Drift::At& air) {
  const Vector right = right_of(errand.along);
  const double sine = -dot(air.wind, right) / airspeed;
  if (!(std::abs(sine) < 1.0)) return std::nullopt;
  const double cosine = std::sqrt(1.0 - sine * sine);
  if (airspeed * cosine + dot(air.wind, errand.along) <= 0.0) return std::nullopt;
  return Crab{sine, cosine, -dot(air.slope, right) / (airspeed * cosine)};
}

std::optional<Solution> solve(const Craft& craft, const Drift& drift, const Errand& errand, const Controls& start,
                              double limit) {
  Controls c = start;
  const bool straight = has_straight(c.word);
  const bool limited = limit < std::numeric_limits<double>::infinity();
  const int most_steps = limited ? kMostStepsBelow : kMostSteps;
  for (int i = 0;; ++i) {
    const auto m = miss(craft, drift, errand, c);
    if (!m) return std::nullopt;
    const bool near = norm(m->off) < kNear_m && std::abs(m->turned) < kNear_rad;
    // The last turn by the direction at the end, then two equations for the other two.
    const double per = 1.0 / m->turned_by[2];
    const Vector off = m->off - m->off_by[2] * (m->turned * per);
    const Vector a = m->off_by[0] - m->off_by[2] * (m->turned_by[0] * per);
    const Vector b = m->off_by[1] - m->off_by[2] * (m->turned_by[1] * per);
    const double det = cross(a, b);
    double first = 0.0;
    double middle = 0.0;
    double last = 0.0;
    if (std::abs(det) > 1e-14 * (norm(a) * norm(b))) {
      first = -cross(off, b) / det;
      middle = -cross(a, off) / det;
      last = -(m->turned + m->turned_by[0] * first + m->turned_by[1] * middle) * per;
    } else if (!near) {
      return std::nullopt;
    }
    if (near && std::abs(first) + std::abs(last) + (straight ? 0.0 : std::abs(middle)) > 1e-3) {
      first = middle = last = 0.0;  // two roots about to meet: near in place, with no step to trust
    }
    double most = std::max({1.0, std::abs(first) / kLongestTurn_rad, std::abs(last) / (2.0 * kLongestTurn_rad)});
    if (!straight) most = std::max(most, std::abs(middle) / kLongestTurn_rad);
    c.first += first / most;
    c.middle += middle / most;
    c.last += last / most;
    if (near) break;
    if (i == most_steps) return std::nullopt;
    // What the second order, unseen by this step, may still move; twice that is allowed for.
    if (limited && most == 1.0 && det != 0.0) {
      const double V = craft.straight.speed;
      const double step = std::abs(first) + std::abs(last) + (straight ? 0.0 : std::abs(middle));
      const double bend = 4.0 * craft.first.radius + craft.last.radius + (straight ? V * std::abs(c.middle) : 0.0);
      const double err = step * (0.5 * bend * step + (straight ? V * std::abs(middle) : 0.0));
      const double turns = 2.0 * err * norm(b) / std::abs(det);
      const double other = 2.0 * err * norm(a) / std::abs(det);
      const double ends = turns + (straight ? 0.0 : other);
      const Controls more{c.word, turns, other, ends};
      if (cost(craft, c) - cost(craft, more) > limit) return std::nullopt;
      if (c.first + turns < -kNothing || c.middle + other < -kNothing || c.last + ends < -kNothing) return std::nullopt;
    }
  }
  const auto within = [](double& value, double longest) {
    if (value < -kNothing || value > longest - kNothing) return false;
    value = std::max(value, 0.0);
    return true;
  };
  if (within(c.first, kFullTurn) && within(c.last, kFullTurn) && within(c.middle, straight ? 1e9 : kFullTurn)) {
    return Solution{c, mean_wind(craft, drift, errand, c)};
  }
  return std::nullopt;
}

}  // namespace backfield::flight
