#include "climb_on.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr double kSecond = 1.0;
constexpr double kNoClimb_mps = 0.05;  // 10 ft/min: below it there is no height to wait for

struct Climbing {
  double V, sin_gamma, cos_gamma;  ///< descending +
};

/// Without the floor of a descent that may be throttled: here all the power left is used.
Climbing rates(const Glider& glider, const AirSample& air, const Point& p, double lost_mps) {
  const Trim& level = glider.level();
  const double V = level.cas * air.tas_per_cas;
  const Trim net{level.cas, level.parasite - glider.thrust(air, V) + lost_mps / V, level.induced};
  double along = air.wind_east_slope * p.s + air.wind_north_slope * p.c;
  // What a headwind gives a climb that grows with height is not counted; what a tailwind takes is.
  if (net.parasite + net.induced < 0.0) along = std::max(0.0, along);
  const auto d = equations::steady_descent(V, net, level.cas * air.tas_per_cas_slope, along, AngleRule::exact);
  return {V, d.sin_gamma, d.cos_gamma};
}

}  // namespace

std::vector<AirState> climb_on(const AirState& failure, const StraightOn& asked, const EntryStyle& style,
                               const Glider& glider) {
  std::vector<AirState> states{failure};
  Point p = make_point({.e = failure.east_m, .n = failure.north_m, .h = failure.height_m}, failure.heading_rad);
  const double cas = glider.level_cas();
  if (style.rule == EntryRule::flown) {
    std::vector<Point> track;
    const Reacted r = react(failure, style.reaction_s, style.stall_cas, {&glider, nullptr, 0.0}, &track);
    double next = kSecond;
    for (const Point& q : track) {
      if (q.t < next - 1e-9 || q.t > r.time - 1e-9) continue;
      next += kSecond;
      AirState s = failure;
      s.time_s = failure.time_s + q.t;
      s.east_m = q.e;
      s.north_m = q.n;
      s.height_m = q.h;
      s.heading_rad = q.psi;
      s.tas_mps = failure.tas_mps + (r.V - failure.tas_mps) * (r.time > 0.0 ? q.t / r.time : 1.0);
      states.push_back(s);
    }
    p = make_point({.t = r.time, .e = r.e, .n = r.n, .h = r.h}, r.psi);
    const double V = cas * glider.medium().at(p.h).tas_per_cas;
    p.h += (r.V * r.V - V * V) / (2.0 * kStandardGravity);
  }
  const double begun = p.t;
  for (;;) {
    const double lost = p.t - begun < asked.lost_for.si() ? asked.lost.si() : 0.0;
    const Climbing here = rates(glider, glider.medium().at(p.h), p, lost);
    AirState s;
    s.time_s = failure.time_s + p.t;
    s.east_m = p.e;
    s.north_m = p.n;
    s.height_m = p.h;
    s.heading_rad = p.psi;
    s.tas_mps = here.V;
    s.gamma_rad = std::asin(here.sin_gamma);
    if (p.t > 0.0) states.push_back(s);
    const bool may_climb_later = lost > 0.0;
    if (p.h >= asked.up_to.si() || p.t - begun >= asked.longest.si()) return states;
    if (-here.V * here.sin_gamma < kNoClimb_mps && !may_climb_later) return states;
    // The middle of the second stands for all of it: a climb changes by a few thousandths in that time.
    const double climbed = -here.V * here.sin_gamma * kSecond;
    const AirSample air = glider.medium().over(p.h + climbed, climbed);
    const Climbing middle = rates(glider, air, p, lost);
    const double level = middle.V * middle.cos_gamma;
    p.e += (level * p.s + air.wind_east) * kSecond;
    p.n += (level * p.c + air.wind_north) * kSecond;
    p.h -= middle.V * middle.sin_gamma * kSecond;
    p.t += kSecond;
  }
}

}  // namespace backfield::flight
