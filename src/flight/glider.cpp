#include "glider.hpp"

#include <algorithm>
#include <iterator>
#include <utility>

namespace backfield::flight {
namespace {

constexpr double kArc = 5.0 * kPi / 180.0;  // longest step of a turn
constexpr double kJump_m = 0.1;       // of height: by so much a step over a node may turn out to lose more or less
constexpr int kStepsAtKink = 4;       // of a part of a roll that may cross a node ...
constexpr int kStepsAtJump = 20;      // ... at which the shear jumps, by so much that sink changes by ...
constexpr double kHardJump = 0.3;     // ... this share of it: a roll-out that holds its height may stay there
constexpr double kSoftJump = 0.1;     // by less of it, inches of height stay inches
constexpr int kTurnStepsAtKink = 12;  // ... and of a step of a turn, where that is longer
constexpr int kMostCrossed = 4;       // levels in one of those steps
constexpr double kReach = 1.5;        // of the height it seems to lose
constexpr double kLeast_m = 0.1;      // of height, for a step that ends on a node

/// Mean of a function over [a, b] by Gauss's two points: exact to third order.
template <class F>
double mean(F f, double a, double b) {
  const double m = 0.5 * (a + b);
  const double d = 0.5 * (b - a) / std::sqrt(3.0);
  return 0.5 * (f(m - d) + f(m + d));
}

/// Sine of the glide angle in still air, small angles.
double about(const Trim& trim) { return trim.parasite + trim.induced; }

/// Sine and cosine of a heading turned by an angle, and the chord of an arc that turns by twice the angle, as a share
/// of the arc. Small angles (up to 0.4 rad) by their series, to 1e-7.
struct Turned {
  template <class Heading>
  Turned(const Heading& p, double a) {
    const double a2 = a * a;
    double sa = a * (1.0 - a2 / 6.0 * (1.0 - a2 / 20.0 * (1.0 - a2 / 42.0)));
    double ca = 1.0 - a2 / 2.0 * (1.0 - a2 / 12.0 * (1.0 - a2 / 30.0));
    if (a2 > 0.16) {
      sa = std::sin(a);
      ca = std::cos(a);
    }
    s = p.s * ca + p.c * sa;
    c = p.c * ca - p.s * sa;
    chord = 1.0 - a2 / 6.0 * (1.0 - a2 / 20.0);
  }
  double s, c, chord;
};

/// Held at a level from above and below. No wind's change with height really jumps: somewhere between that above and
/// that below it is such that the height stays. Everything as for through_layers.
template <class Fly>
void stay_at_level(const Medium& medium, Point& p, double& rate, double done, double amount, double unit, Fly fly) {
  constexpr int kHalvings = 10;
  const Point begin = p;
  const double rate_before = rate;
  const AirSample above = medium.at(begin.h, medium.layer(begin.h, false).cell);
  const AirSample below = medium.at(begin.h, medium.layer(begin.h, true).cell);
  const auto lost_in = [&](const AirSample& air) {
    p = begin;
    rate = rate_before;
    fly(done, amount, air);
    return begin.h - p.h;
  };
  if (lost_in(above) <= 0.0 || lost_in(below) >= 0.0) {
    lost_in(medium.over(begin.h, rate_before * amount * unit));  // it goes on as it came
    return;
  }
  double low = 0.0;  // shares of the air below
  double high = 1.0;
  for (int i = 0; i < kHalvings; ++i) {
    const double share = 0.5 * (low + high);
    AirSample air = above;
    air.wind_east_slope += share * (below.wind_east_slope - above.wind_east_slope);
    air.wind_north_slope += share * (below.wind_north_slope - above.wind_north_slope);
    air.tas_per_cas_slope += share * (below.tas_per_cas_slope - above.tas_per_cas_slope);
    (lost_in(air) > 0.0 ? low : high) = share;
  }
  p.h = begin.h;
}

/// Part of a turn or roll from layer to layer. Where the shear jumps it may sink into a level and be lifted out of it
/// again, and what a step over it loses on the mean is not what it loses.
/// amount      of the part, in any unit of which `unit` is worth
/// rate        height lost, about; times `unit` for each of the amount. Brought up to date
/// fly(done, some, air)   flies some of the amount after what is done
template <class Fly>
void through_layers(const Medium& medium, Point& p, double& rate, double amount, double unit, Fly fly) {
  double done = 0.0;
  bool down = rate * amount * unit > 0.0;
  for (int crossed = 0; crossed < kMostCrossed; ++crossed) {
    const Medium::Layer layer = medium.layer(p.h, down);
    const auto fly_in_layer = [&](double some) {
      fly(done, some, medium.at(p.h - 0.5 * rate * some * unit, layer.cell));
    };
    const Point begin = p;
    const double rate_before = rate;
    fly_in_layer(amount);
    if (layer.bottom <= p.h && p.h <= layer.top) return;
    down = p.h < layer.bottom;
    const double level = down ? layer.bottom : layer.top;
    const double before = amount * std::clamp((begin.h - level) / (begin.h - p.h), 0.0, 1.0);
    p = begin;
    rate = rate_before;
    if (before != 0.0) fly_in_layer(before);
    p.h = level;
    done += before;
    amount -= before;
  }
  stay_at_level(medium, p, rate, done, amount, unit, fly);
}

}  // namespace

double Glider::arc(Point& p, const HeldBank& bank, int sense, double angle, const AirSample& air) const {
  const Turned middle(p, 0.5 * angle);
  const Turned end(middle, 0.5 * angle);
  const Rates r = rates(air, middle.s, middle.c, bank.trim);
  const double per_radian = sense * bank.radius_per_V2 * r.V;  // seconds
  const double dt = angle * per_radian;
  const double radius = r.V * r.cos_gamma * per_radian;
  const double lost_per_radian = r.V * r.sin_gamma * per_radian;
  p.e += radius * (p.c - end.c) + r.air.wind_east * dt;
  p.n += radius * (end.s - p.s) + r.air.wind_north * dt;
  p.h -= lost_per_radian * angle;
  p.t += dt;
  p.psi += angle;
  p.s = end.s;
  p.c = end.c;
  return lost_per_radian;
}

void Glider::turn(Point& p, const HeldBank& bank, double angle) const {
  if (angle == 0.0) return;
  const int sense = angle > 0.0 ? 1 : -1;
  if (medium_->flat()) {
    arc(p, bank, sense, angle, medium_->at(p.h));
    return;
  }
  // Height lost in a radian, roughly at first: it only says where the middle of a step is.
  const AirSample here = medium_->at(p.h);
  double sink =
      sense * bank.cas * bank.cas * bank.radius_per_V2 * about(net(bank.trim, here, bank.cas * here.tas_per_cas));
  for (double left = angle; left != 0.0;) {
    const double most = std::min(kArc, std::max(kLeast_m, p.h - medium_->node_below(p.h)) / std::abs(sink));
    const double part = left / std::max(1.0, std::ceil(std::abs(left) / most));
    // Over as much height as the step before says; if a node is among it, once more from layer to layer.
    const Point begin = p;
    const double expected = sink;
    sink = arc(p, bank, sense, part, medium_->over(begin.h, expected * part));
    if (medium_->kinked(std::min(begin.h, p.h), std::max(begin.h, p.h))) {
      const int steps = std::abs((sink - expected) * part) > kJump_m ? kTurnStepsAtKink : 1;
      p = begin;
      sink = expected;
      const auto fly = [&](double, double some, const AirSample& air) { sink = arc(p, bank, sense, some, air); };
      for (int k = 0; k < steps; ++k) through_layers(*medium_, p, sink, part / steps, 1.0, fly);
    }
    left = part == left ? 0.0 : left - part;
  }
}

void Glider::straight(Point& p, const Trim& trim, double time) const {
  if (time <= 0.0) return;
  const double s = p.s;
  const double c = p.c;
  p.t += time;
  const auto move = [&](const Rates& r, double dt) {
    p.e += (r.V * r.cos_gamma * s + r.air.wind_east) * dt;
    p.n += (r.V * r.cos_gamma * c + r.air.wind_north) * dt;
    p.h -= r.V * r.sin_gamma * dt;
  };
  if (medium_->flat()) {
    move(rates(p.h, s, c, trim), time);
    return;
  }
  // From node to node: between two the wind is linear, so the middle of the stretch stands for all of it.
  for (double left = time; left > 0.0;) {
    const double node = medium_->node_below(p.h);
    const Rates r = rates(0.5 * (p.h + node), s, c, trim);
    const double dt = (p.h - node) / (r.V * r.sin_gamma);
    if (dt > left) {
      move(rates(p.h - 0.5 * r.V * r.sin_gamma * left, s, c, trim), left);
      return;
    }
    move(r, dt);
    p.h = node;
    left -= dt;
  }
}

int Glider::roll_steps(double top, double bottom, double tas) const {
  const auto jump = medium_->jump(bottom, top);
  if (!jump) return 1;
  return tas / kStandardGravity * *jump > kHardJump ? kStepsAtJump : kStepsAtKink;
}

bool Glider::may_hover(double bottom, double top) const {
  const auto jump = medium_->jump(bottom, top);
  return jump && level_.cas * medium_->at(top).tas_per_cas / kStandardGravity * *jump > kSoftJump;
}

void Glider::roll(Point& p, const Ramp& ramp, int sense, Time time) const {
  if (ramp.duration <= 0.0) return;
  const double along_time = time == Time::forwards ? 1.0 : -1.0;
  const double dt = along_time * ramp.duration / Ramp::kParts;
  const double cas_rate = along_time * (ramp.cas_to - ramp.cas_from) / ramp.duration;
  // Height lost in a second, roughly: it says over which heights the wind is averaged. By the trim alone at first, then
  // as in the step before but for the trim.
  const AirSample here = medium_->at(p.h);
  const double tas_per_cas = here.tas_per_cas;
  const auto by_trim = [&](int part) {
    const Trim& trim = ramp.trim[part];
    return trim.cas * tas_per_cas *
           (about(net(trim, here, trim.cas * tas_per_cas)) + tas_per_cas * cas_rate / kStandardGravity);
  };
  double rate = by_trim(0);
  // A share of part i, after `done` of it, through the air given.
  const auto fly_share = [&](int i, double done, double share, const AirSample& air) {
    const double step = share * dt;
    const double V = ramp.trim[i].cas * air.tas_per_cas;
    const double per_tan = sense * kStandardGravity * step / V;
    const double tan = ramp.tan[i] + ramp.tan_rise[i] * (done + 0.5 * share - 0.5);
    const double half = 0.5 * per_tan * tan;
    // The turn quickens or slackens on the way: its mean heading is not the middle one by a twelfth of that change.
    const Turned middle(p, half - per_tan * share * ramp.tan_rise[i] * (1.0 / 12.0));
    const Rates r = rates(air, middle.s, middle.c, ramp.trim[i]);
    const double air_path = V * r.cos_gamma * middle.chord * step;
    p.e += air_path * middle.s + air.wind_east * step;
    p.n += air_path * middle.c + air.wind_north * step;
    rate = V * r.sin_gamma + V / kStandardGravity * air.tas_per_cas * cas_rate;
    p.h -= rate * step;
    const Turned end(p, 2.0 * half);
    p.psi += 2.0 * half;
    p.s = end.s;
    p.c = end.c;
    p.t += step;
  };
  const auto fly_part = [&](int i, int steps) {
    if (steps == 1) {
      fly_share(i, 0.0, 1.0, medium_->over(p.h, rate * dt));
      return;
    }
    const double share = 1.0 / steps;
    for (int k = 0; k < steps; ++k) {
      const auto fly = [&](double done, double some, const AirSample& air) {
        fly_share(i, k * share + done, some, air);
      };
      through_layers(*medium_, p, rate, share, dt, fly);
    }
  };
  for (int i = 0; i < Ramp::kParts; ++i) {
    if (i > 0) rate += by_trim(i) - by_trim(i - 1);
    const Point begin = p;
    const double expected = rate;
    const double tas = ramp.trim[i].cas * tas_per_cas;
    const double reach = kReach * std::abs(rate * dt);
    const int steps = roll_steps(p.h + reach, p.h - reach, tas);
    fly_part(i, steps);
    // It may have lost more height than expected, and met a node.
    const double bottom = std::min(begin.h, p.h);
    const double top = std::max(begin.h, p.h);
    if (bottom >= begin.h - reach && top <= begin.h + reach) continue;
    const int more = roll_steps(top, bottom, tas);
    if (more <= steps) continue;
    p = begin;
    rate = expected;
    fly_part(i, more);
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
  double tan_a = std::tan(from.bank);
  for (int i = 0; i < Ramp::kParts; ++i) {
    const double a = from.bank + part * i;
    const double tan_b = std::tan(a + part);
    const double cas = from.cas + cas_per_bank * (a + 0.5 * part - from.bank);
    // The turn rate goes with tan(bank) / airspeed, and both change: their mean is taken together.
    const auto slower = [&](double bank) { return cas / (from.cas + cas_per_bank * (bank - from.bank)); };
    r.tan[i] = mean([&](double bank) { return std::tan(bank) * slower(bank); }, a, a + part);
    r.tan_rise[i] = tan_b * slower(a + part) - tan_a * slower(a);
    // Of 1/cos^2 the tangent is the integral.
    r.trim[i] = trim(cas, (tan_b - tan_a) / part);
    r.gain += kStandardGravity * r.tan[i] / cas * r.duration / Ramp::kParts;
    tan_a = tan_b;
  }
  return r;
}

Ramp reversed(Ramp r) {
  std::swap(r.bank_from, r.bank_to);
  std::swap(r.cas_from, r.cas_to);
  std::reverse(std::begin(r.tan), std::end(r.tan));
  std::reverse(std::begin(r.tan_rise), std::end(r.tan_rise));
  for (double& rise : r.tan_rise) rise = -rise;
  std::reverse(std::begin(r.trim), std::end(r.trim));
  return r;
}

}  // namespace backfield::flight
