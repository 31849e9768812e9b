#include "glider.hpp"

#include <algorithm>

namespace backfield::flight {
namespace {

/// Mean of a function over [a, b] by Gauss's two points: exact to third order.
template <class F>
double mean(F f, double a, double b) {
  const double m = 0.5 * (a + b);
  const double d = 0.5 * (b - a) / std::sqrt(3.0);
  return 0.5 * (f(m - d) + f(m + d));
}

/// Sine of the glide angle in still air, small angles.
double about(const Trim& trim) { return trim.parasite + trim.induced; }

/// Sine and cosine of a heading turned by a small angle (up to 0.4 rad, to 1e-7), and the chord of an arc that turns by
/// twice the angle, as a share of the arc.
struct Turned {
  Turned(const Point& p, double a) {
    const double a2 = a * a;
    const double sa = a * (1.0 - a2 / 6.0 * (1.0 - a2 / 20.0 * (1.0 - a2 / 42.0)));
    const double ca = 1.0 - a2 / 2.0 * (1.0 - a2 / 12.0 * (1.0 - a2 / 30.0));
    s = p.s * ca + p.c * sa;
    c = p.c * ca - p.s * sa;
    chord = 1.0 - a2 / 6.0 * (1.0 - a2 / 20.0);
  }
  double s, c, chord;
};

}  // namespace

void Glider::turn(Point& p, const HeldBank& bank, double angle) const {
  if (angle == 0.0) return;
  const int steps = medium_->flat() ? 1 : std::max(1, static_cast<int>(std::ceil(std::abs(angle) / steps_.arc)));
  const double part = angle / steps;
  const double radius_per_V2 = angle > 0.0 ? bank.radius_per_V2 : -bank.radius_per_V2;
  double s0 = p.s;
  double c0 = p.c;
  double lost = 0.0;
  const bool averaged = steps_.averaged_arcs && !medium_->flat();
  const double half_s = std::sin(0.5 * part);
  const double half_c = std::cos(0.5 * part);
  // Height lost in a step, roughly: it only says where the middle of the first one is.
  if (!medium_->flat()) lost = bank.cas * bank.cas * bank.radius_per_V2 * about(bank.trim) * std::abs(part);
  for (int i = 0; i < steps; ++i) {
    const double sm = s0 * half_c + c0 * half_s;
    const double cm = c0 * half_c - s0 * half_s;
    const double s1 = sm * half_c + cm * half_s;
    const double c1 = cm * half_c - sm * half_s;
    const AirSample air = averaged ? medium_->over(p.h, lost) : medium_->at(p.h - 0.5 * lost);
    const Rates r = rates(air, sm, cm, bank.trim);
    const double per_radian = radius_per_V2 * r.V;  // seconds
    const double dt = part * per_radian;
    const double radius = r.V * r.cos_gamma * per_radian;
    p.e += radius * (c0 - c1) + r.air.wind_east * dt;
    p.n += radius * (s1 - s0) + r.air.wind_north * dt;
    lost = r.V * r.sin_gamma * dt;
    p.h -= lost;
    p.t += dt;
    s0 = s1;
    c0 = c1;
  }
  p.psi += angle;
  p.s = s0;
  p.c = c0;
}

void Glider::straight(Point& p, const Trim& trim, double time) const {
  if (time <= 0.0) return;
  const double s = p.s;
  const double c = p.c;
  const auto move = [&](const Rates& r, double dt) {
    p.e += (r.V * r.cos_gamma * s + r.air.wind_east) * dt;
    p.n += (r.V * r.cos_gamma * c + r.air.wind_north) * dt;
    p.h -= r.V * r.sin_gamma * dt;
    return r.V * r.sin_gamma;
  };
  p.t += time;
  if (medium_->flat()) {
    move(rates(p.h, s, c, trim), time);
    return;
  }
  double sink = trim.cas * about(trim);
  for (double left = time; left > 0.0;) {
    const double step = std::clamp(steps_.share * p.h, steps_.least, steps_.most);
    double dt = left;
    if (sink * left > step) dt = sink * left < 1.5 * step ? 0.5 * left : step / sink;
    sink = move(rates(medium_->over(p.h, sink * dt), s, c, trim), dt);
    left -= dt;
  }
}

void Glider::roll(Point& p, const Ramp& ramp, int sense) const {
  const double dt = ramp.duration / Ramp::kParts;
  if (dt <= 0.0) return;
  const double cas_rate = (ramp.cas_to - ramp.cas_from) / ramp.duration;
  double lost = ramp.trim[0].cas * about(ramp.trim[0]) * dt;
  for (int i = 0; i < Ramp::kParts; ++i) {
    // The turn rate at the start's density, good enough to find the heading in the middle.
    const Turned guess(p, 0.5 * sense * kStandardGravity * ramp.tan[i] / ramp.trim[i].cas * dt);
    const AirSample air = steps_.averaged_arcs ? medium_->over(p.h, lost) : medium_->at(p.h - 0.5 * lost);
    const Rates r = rates(air, guess.s, guess.c, ramp.trim[i]);
    const double per_tan = sense * kStandardGravity * dt / r.V;
    const double half = 0.5 * per_tan * ramp.tan[i];
    // The turn quickens or slackens over the part: its mean heading is not the middle one by a twelfth of that change.
    const Turned middle(p, half - per_tan * ramp.tan_rise[i] * (1.0 / 12.0));
    const double air_path = r.V * r.cos_gamma * middle.chord * dt;
    p.e += air_path * middle.s + r.air.wind_east * dt;
    p.n += air_path * middle.c + r.air.wind_north * dt;
    lost = (r.V * r.sin_gamma + r.V / kStandardGravity * r.air.tas_per_cas * cas_rate) * dt;
    p.h -= lost;
    const Turned end(p, 2.0 * half);
    p.psi += 2.0 * half;
    p.s = end.s;
    p.c = end.c;
    p.t += dt;
  }
}

Ramp Glider::make_ramp(const Attitude& from, const Attitude& to, double roll_rate) const {
  Ramp r;
  r.bank_from = from.bank;
  r.bank_to = to.bank;
  r.cas_from = from.cas;
  r.cas_to = to.cas;
  r.duration = std::abs(to.bank - from.bank) / roll_rate;
  if (r.duration <= 0.0) return r;
  const double part = (to.bank - from.bank) / Ramp::kParts;
  const double cas_per_bank = (to.cas - from.cas) / (to.bank - from.bank);
  for (int i = 0; i < Ramp::kParts; ++i) {
    const double a = from.bank + part * i;
    const double cas = from.cas + cas_per_bank * (a + 0.5 * part - from.bank);
    // The turn rate goes with tan(bank) / airspeed, and both change: their mean is taken together.
    const auto quickness = [&](double bank) {
      return std::tan(bank) * cas / (from.cas + cas_per_bank * (bank - from.bank));
    };
    r.tan[i] = mean(quickness, a, a + part);
    r.tan_rise[i] = quickness(a + part) - quickness(a);
    r.trim[i] = trim(cas, mean([](double bank) { return 1.0 / (std::cos(bank) * std::cos(bank)); }, a, a + part));
    r.gain += kStandardGravity * r.tan[i] / cas * r.duration / Ramp::kParts;
  }
  return r;
}

}  // namespace backfield::flight
