#include "tests/tools/dense_flight.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::test {
namespace {

constexpr double kBottom_m = -250.0;

// The pilot after the failure, as src/flight/entry.hpp describes him: he corrects every 0.2 s, aims at the flight-path
// angle that wins the missing speed back in 0.3 s, and rotates towards it in 0.4 s.
constexpr double kCorrection_s = 0.2;
constexpr double kSpeedTime_s = 0.3;
constexpr double kNoseTime_s = 0.4;
constexpr double kSteepestAim = 0.6;
constexpr double kLeastLoad = 0.5;
constexpr double kStallReserve = 1.1;

namespace eq = flight::equations;

}  // namespace

DenseFlight::DenseFlight(const flight::PathFinderSetup& s, Fineness fineness)
    : density_(s.environment.air.with(s.model.density)),
      wind_(s.model.wind == flight::WindRule::uniform ? earth::WindProfile::uniform(s.environment.wind.surface())
                                                      : s.environment.wind),
      datum_m_(s.datum.above_sea_level.si()),
      shear_(s.model.shear == flight::ShearRule::on ? 1.0 : 0.0),
      fine_(fineness),
      vbg_(s.performance->best_glide().value.si()),
      stall_(s.performance->stall_clean().value.si()),
      E_(s.performance->aircraft().polar.glide_ratio * s.technique.glide_factor),
      reaction_(s.technique.reaction.si()),
      roll_rate_(s.performance->aircraft().roll_rate_per_second.si()),
      given_(s.model.roll == flight::RollRule::allowance ? s.technique.roll_allowance.si() : 0.0),
      angle_(s.model.angle),
      rolls_(s.model.roll == flight::RollRule::rate),
      flown_(s.model.entry == flight::EntryRule::flown),
      uniform_(s.model.density == earth::DensityRule::aerodrome && wind_.is_uniform()) {
  for (double h = kBottom_m; h < s.top.si() + 100.0; h += fine_.table_m) {
    table_.push_back(air_over(h, fine_.table_m));
  }
  const auto turn = [&](Angle bank) {
    const double stall = s.technique.turn_stall_margin * stall_ / std::sqrt(std::cos(bank.si()));
    const double gust = s.technique.half_gust_on_speed ? 0.5 * s.gust_spread.si() : 0.0;
    return Turn{bank.si(), std::max(vbg_, stall) + gust};
  };
  first_ = turn(s.bank);
  line_up_ = turn(s.technique.line_up_bank.value_or(s.bank));
}

DenseFlight::Air DenseFlight::air_over(double h, double span) const {
  const auto q = [&](double at) { return 1.0 / std::sqrt(density_.sigma({metres(datum_m_ + at)})); };
  const double up = h + 0.5 * span;
  const double down = h - 0.5 * span;
  const auto here = wind_.at({metres(h)});
  const auto above = wind_.at({metres(up)});
  const auto below = wind_.at({metres(down)});
  return {q(h),
          (q(up) - q(down)) / span,
          here.towards_east.si(),
          here.towards_north.si(),
          shear_ * (above.towards_east - below.towards_east).si() / span,
          shear_ * (above.towards_north - below.towards_north).si() / span};
}

DenseFlight::Air DenseFlight::air(double h) const {
  const double x = std::clamp((h - kBottom_m) / fine_.table_m, 0.0, static_cast<double>(table_.size()) - 1.000001);
  const auto i = static_cast<std::size_t>(x);
  const double r = x - static_cast<double>(i);
  const Air& a = table_[i];
  const Air& b = table_[i + 1];
  const auto mix = [r](double low, double high) { return low + (high - low) * r; };
  return {mix(a.q, b.q),         mix(a.q_slope, b.q_slope),       mix(a.east, b.east),
          mix(a.north, b.north), mix(a.east_slope, b.east_slope), mix(a.north_slope, b.north_slope)};
}

DenseFlight::Controls DenseFlight::controls(double bank, double cas, double cas_rate) const {
  const double t = std::tan(bank);
  return {t, cas, cas_rate, eq::trim(cas, vbg_, 1.0 + t * t, 1.0, E_)};
}

DenseFlight::Motion DenseFlight::motion(double h, double psi, const Controls& k) const {
  const Air a = air(h);
  const double s = std::sin(psi);
  const double c = std::cos(psi);
  const double V = k.cas * a.q;
  const auto d = eq::steady_descent(V, k.trim, k.cas * a.q_slope, a.east_slope * s + a.north_slope * c, angle_);
  // Speed gained is paid for with height.
  return {V * d.cos_gamma * s + a.east, V * d.cos_gamma * c + a.north,
          V * d.sin_gamma + V / kStandardGravity * a.q * k.cas_rate, kStandardGravity * k.tan_bank / V};
}

DenseFlight::Glide DenseFlight::glide(const Air& a, double psi) const {
  const double V = vbg_ * a.q;
  const auto d = eq::steady_descent(V, eq::trim(vbg_, vbg_, 1.0, 1.0, E_), vbg_ * a.q_slope,
                                    a.east_slope * std::sin(psi) + a.north_slope * std::cos(psi), angle_);
  return {V * d.cos_gamma, V * d.sin_gamma};
}

/// One step by the midpoint rule; the controls are those in its middle.
void DenseFlight::step(Spot& p, const Controls& k, double dt) const {
  const Motion begin = motion(p.h, p.psi, k);
  const Motion mid = motion(p.h - 0.5 * dt * begin.sink, p.psi + 0.5 * dt * begin.turn, k);
  p.e += mid.east * dt;
  p.n += mid.north * dt;
  p.h -= mid.sink * dt;
  p.psi += mid.turn * dt;
}

void DenseFlight::before_turning(Spot& p, double seconds) const { ahead(p, seconds, rolls_ ? vbg_ : first_.cas); }

void DenseFlight::straight(Spot& p, double seconds) const { ahead(p, seconds, vbg_); }

void DenseFlight::ahead(Spot& p, double seconds, double cas) const {
  const Controls level = controls(0.0, cas, 0.0);
  for (double left = seconds; left > 1e-9; left -= fine_.step_s) step(p, level, std::min(fine_.step_s, left));
}

void DenseFlight::hold(Spot& p, const Turn& turn, int sense, double change) const {
  const Controls held = controls(sense * turn.bank, turn.cas, 0.0);
  const double end = p.psi + sense * change;
  while (sense * (end - p.psi) > 1e-9) {
    const double rate = kStandardGravity * std::abs(held.tan_bank) / (turn.cas * air(p.h).q);
    step(p, held, std::min(fine_.step_s, sense * (end - p.psi) / rate));
  }
}

void DenseFlight::roll(Spot& p, const Turn& from, const Turn& to, int sense) const {
  const double duration = std::abs(to.bank - from.bank) / roll_rate_;
  const int steps = std::max(4, static_cast<int>(std::ceil(duration / fine_.step_s)));
  const double cas_rate = duration > 0.0 ? (to.cas - from.cas) / duration : 0.0;
  for (int i = 0; i < steps; ++i) {
    const double share = (i + 0.5) / steps;
    const double bank = from.bank + (to.bank - from.bank) * share;
    step(p, controls(sense * bank, from.cas + (to.cas - from.cas) * share, cas_rate), duration / steps);
  }
}

void DenseFlight::roll_out(Spot& p, const Turn& turn, int sense) const {
  if (rolls_) roll(p, turn, {0.0, vbg_}, sense);
}

/// A turn that is rolled out of before its full bank is reached.
Turn DenseFlight::part_of(const Turn& turn, double share) const {
  return {turn.bank * share, vbg_ + (turn.cas - vbg_) * share};
}

double DenseFlight::roll_gain(const Turn& turn, double h) const {
  if (!rolls_) return 0.0;
  constexpr int kParts = 16;
  double sum = 0.0;
  for (int i = 0; i < kParts; ++i) {
    const Turn here = part_of(turn, (i + 0.5) / kParts);
    sum += std::tan(here.bank) / here.cas;
  }
  return kStandardGravity * sum / kParts * turn.bank / roll_rate_ / air(h).q;
}

void DenseFlight::turn(Spot& p, const Turn& full, int sense, double change) const {
  if (!rolls_) {
    hold(p, full, sense, change);
    return;
  }
  Turn turn = full;
  if (change < 2.0 * roll_gain(full, p.h)) {
    double low = 0.0;
    double high = 1.0;
    for (int i = 0; i < 30; ++i) {
      const double mid = 0.5 * (low + high);
      (2.0 * roll_gain(part_of(full, mid), p.h) < change ? low : high) = mid;
    }
    turn = part_of(full, low);
  }
  const double end = p.psi + sense * change;
  roll(p, {0.0, vbg_}, turn, sense);
  hold(p, turn, sense, std::max(0.0, sense * (end - p.psi) - roll_gain(turn, p.h)));
  roll_out(p, turn, sense);
}

Spot DenseFlight::enter(const flight::AirState& f, int sense) const {
  const double cas = sense == 0 && rolls_ ? vbg_ : first_.cas;
  Spot p = flown_ ? fly_entry(f, sense * first_.bank, cas) : keep_speed(f, cas);
  p.h -= given_;
  return p;
}

Spot DenseFlight::keep_speed(const flight::AirState& f, double cas_target) const {
  Spot p{f.east_m, f.north_m, f.height_m, f.heading_rad};
  const double cas = f.tas_mps / air(p.h).q;
  const Controls held = controls(f.bank_rad, cas, 0.0);
  for (double left = reaction_; left > 1e-9; left -= fine_.step_s) step(p, held, std::min(fine_.step_s, left));
  const double q = air(p.h).q;
  p.h += (cas * cas - cas_target * cas_target) * q * q / (2.0 * kStandardGravity);
  return p;
}

Spot DenseFlight::fly_entry(const flight::AirState& f, double bank_target, double cas_target) const {
  struct State {
    double V, gamma;
    Spot p;
  } s{f.tas_mps, f.gamma_rad, {f.east_m, f.north_m, f.height_m, f.heading_rad}};
  const auto moved = [&](const State& from, const State& rates_at, double load, double bank, double dt) {
    const Air a = air(rates_at.p.h);
    const double sp = std::sin(rates_at.p.psi);
    const double cp = std::cos(rates_at.p.psi);
    const double drag = eq::drag_over_weight(rates_at.V / (vbg_ * a.q), load, 1.0, E_);
    const auto r =
        eq::entry_rates(rates_at.V, rates_at.gamma, load, bank, drag, a.east_slope * sp + a.north_slope * cp);
    const double level = rates_at.V * std::cos(rates_at.gamma);
    State to = from;
    to.V += r.V * dt;
    to.gamma += r.gamma * dt;
    to.p.psi += r.psi * dt;
    to.p.e += (level * sp + a.east) * dt;
    to.p.n += (level * cp + a.north) * dt;
    to.p.h -= rates_at.V * std::sin(rates_at.gamma) * dt;
    return to;
  };
  const auto fly = [&](double load, double bank_from, double bank_to, double time) {
    constexpr int kParts = 4;
    const double dt = time / kParts;
    for (int i = 0; i < kParts; ++i) {
      const auto bank = [&](double part) { return bank_from + (bank_to - bank_from) * part / kParts; };
      s = moved(s, moved(s, s, load, bank(i), 0.5 * dt), load, bank(i + 0.5), dt);
    }
  };

  double bank = f.bank_rad;
  for (double left = reaction_; left > 1e-9; left -= kCorrection_s) {
    fly(std::cos(s.gamma) / std::cos(bank), bank, bank, std::min(kCorrection_s, left));
  }
  const double sec2 = 1.0 / (std::cos(bank_target) * std::cos(bank_target));
  const eq::Trim wanted = eq::trim(cas_target, vbg_, sec2, 1.0, E_);
  for (int i = 0; i < 125; ++i) {
    const Air a = air(s.p.h);
    const double V = cas_target * a.q;
    const double along = a.east_slope * std::sin(s.p.psi) + a.north_slope * std::cos(s.p.psi);
    const double steady = eq::steady_descent(V, wanted, cas_target * a.q_slope, along, angle_).sin_gamma;
    if (std::abs(bank - bank_target) < 1e-9 && s.V > V - 0.3 && s.gamma < std::asin(steady) + 0.01) break;
    const double aim =
        std::asin(std::clamp(steady + (V - s.V) / (kStandardGravity * kSpeedTime_s), -0.1, kSteepestAim));
    const double lift = s.V / (kStallReserve * stall_ * a.q);
    const double pull = std::cos(s.gamma) + s.V / kStandardGravity * (s.gamma - aim) / kNoseTime_s;
    const double load = std::clamp(pull / std::cos(bank), kLeastLoad, std::max(kLeastLoad, lift * lift));
    const double roll = std::clamp(bank_target - bank, -roll_rate_ * kCorrection_s, roll_rate_ * kCorrection_s);
    fly(load, bank, bank + roll, kCorrection_s);
    bank += roll;
  }
  const double V = cas_target * air(s.p.h).q;
  s.p.h += (s.V * s.V - V * V) / (2.0 * kStandardGravity);
  return s.p;
}

}  // namespace backfield::test
