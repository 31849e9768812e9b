#include "entry.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr double kReactionStep = 0.25;  // Runge-Kutta 4; only the speed changes
constexpr double kStep = 0.2;           // Runge-Kutta 4, load factor constant over it: how often the pilot corrects
constexpr int kStridesOverKink = 8;
constexpr double kLongest = 25.0;      // after the reaction; a normal entry takes 4 to 6 s
constexpr double kSpeedTime = 0.3;     // time in which missing speed is to be won back
constexpr double kNoseTime = 0.4;      // time in which the nose follows
constexpr double kSteepest = 0.6;      // sine of the steepest flight-path angle aimed at; unloading seldom gets there
constexpr double kLeastLoad = 0.5;     // unloading a passenger will bear
constexpr double kStallReserve = 1.1;  // never pull beyond the lift that 1.1 stall leaves
constexpr double kSpeedDone = 0.3;     // m/s
constexpr double kAngleDone = 0.01;    // rad

struct State {
  double V, gamma, psi, e, n, h;
};
State operator+(const State& a, const State& b) {
  return {a.V + b.V, a.gamma + b.gamma, a.psi + b.psi, a.e + b.e, a.n + b.n, a.h + b.h};
}
State operator*(const State& a, double k) { return {a.V * k, a.gamma * k, a.psi * k, a.e * k, a.n * k, a.h * k}; }

class Dynamics {
 public:
  explicit Dynamics(const Glider& glider) : glider_(glider) {}

  [[nodiscard]] State rates(const State& s, double load, double bank) const {
    const AirSample air = glider_.medium().at(s.h);
    const double sin_psi = std::sin(s.psi);
    const double cos_psi = std::cos(s.psi);
    const double v = s.V / (glider_.best_glide_cas() * air.tas_per_cas);
    const double along = air.wind_east_slope * sin_psi + air.wind_north_slope * cos_psi;
    const double drag = equations::drag_over_weight(v, load, 1.0, glider_.glide_ratio());
    // The series are good to 1e-7 at 0.6 rad, steeper than any entry.
    const double g2 = s.gamma * s.gamma;
    const double sin_gamma = s.gamma * (1.0 - g2 / 6.0 * (1.0 - g2 / 20.0 * (1.0 - g2 / 42.0)));
    const double cos_gamma = 1.0 - g2 / 2.0 * (1.0 - g2 / 12.0 * (1.0 - g2 / 30.0 * (1.0 - g2 / 56.0)));
    const auto r = equations::entry_rates(s.V, equations::Descent{sin_gamma, cos_gamma}, load, bank, drag, along);
    return {r.V,
            r.gamma,
            r.psi,
            s.V * cos_gamma * sin_psi + air.wind_east,
            s.V * cos_gamma * cos_psi + air.wind_north,
            -s.V * sin_gamma};
  }
  /// In one stride, or in several where the wind profile has a kink on the way.
  [[nodiscard]] State step(State s, double load, double bank0, double bank1, double dt) const {
    const double below = s.h - s.V * std::sin(s.gamma) * dt;
    const bool kink = glider_.medium().node_below(std::max(s.h, below)) > std::min(s.h, below);
    const int strides = kink ? kStridesOverKink : 1;
    const double roll = (bank1 - bank0) / strides;
    for (int i = 0; i < strides; ++i) s = stride(s, load, bank0 + roll * i, bank0 + roll * (i + 1), dt / strides);
    return s;
  }
  [[nodiscard]] State stride(const State& s, double load, double bank0, double bank1, double dt) const {
    const double mid = 0.5 * (bank0 + bank1);
    const State k1 = rates(s, load, bank0);
    const State k2 = rates(s + k1 * (0.5 * dt), load, mid);
    const State k3 = rates(s + k2 * (0.5 * dt), load, mid);
    const State k4 = rates(s + k3 * dt, load, bank1);
    return s + (k1 + k2 * 2.0 + k3 * 2.0 + k4) * (dt / 6.0);
  }
  [[nodiscard]] double over_stall(const State& s, double load, double stall_cas) const {
    return s.V / (stall_cas * glider_.medium().at(s.h).tas_per_cas * std::sqrt(std::max(load, 1e-6)));
  }

 private:
  const Glider& glider_;
};

}  // namespace

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): seconds and m/s, named in the header
Reacted react(const AirState& start, double reaction_s, double stall_cas, const Glider& glider) {
  const Dynamics dynamics(glider);
  State s{start.tas_mps, start.gamma_rad, start.heading_rad, start.east_m, start.north_m, start.height_m};
  const double load = std::cos(s.gamma) / std::cos(start.bank_rad);
  double lowest = 1e9;
  const int steps = static_cast<int>(std::ceil(reaction_s / kReactionStep));
  for (int i = 0; i < steps; ++i) {
    s = dynamics.step(s, load, start.bank_rad, start.bank_rad, reaction_s / steps);
    lowest = std::min(lowest, dynamics.over_stall(s, load, stall_cas));
  }
  return {s.V, s.gamma, s.psi, s.e, s.n, s.h, start.bank_rad, load, reaction_s, lowest};
}

EntryEnd fly_entry(const Reacted& start, const EntryRequest& request, const Glider& glider,
                   std::vector<EntrySample>* samples) {
  const Dynamics dynamics(glider);
  State s{start.V, start.gamma, start.psi, start.e, start.n, start.h};
  double bank = start.bank;
  double time = start.time;
  double lowest = start.lowest_speed_over_stall;
  if (samples != nullptr && start.time > 0.0) samples->push_back({0.0, start.load, start.bank});
  const auto note = [&](double load) {
    if (samples != nullptr) samples->push_back({time, load, bank});
  };

  const double sec = 1.0 / std::cos(request.bank_target);
  const Trim target = glider.trim(request.cas_target, sec * sec);
  for (double spent = 0.0; spent < kLongest; spent += kStep) {
    const AirSample air = glider.medium().at(s.h);
    const double target_V = request.cas_target * air.tas_per_cas;
    const auto steady = glider.rates(air, std::sin(s.psi), std::cos(s.psi), target);
    const bool banked = std::abs(bank - request.bank_target) < 1e-9;
    if (banked && s.V > target_V - kSpeedDone && s.gamma < std::asin(steady.sin_gamma) + kAngleDone) { break; }
    const double wanted =
        std::asin(std::clamp(steady.sin_gamma + (target_V - s.V) / (kStandardGravity * kSpeedTime), -0.1, kSteepest));
    const double stall = kStallReserve * request.stall_cas * air.tas_per_cas;
    const double most_load = std::max(kLeastLoad, (s.V / stall) * (s.V / stall));
    const double pull = std::cos(s.gamma) + s.V / kStandardGravity * (s.gamma - wanted) / kNoseTime;
    const double load = std::clamp(pull / std::cos(bank), kLeastLoad, most_load);
    const double roll = std::clamp(request.bank_target - bank, -request.roll_rate * kStep, request.roll_rate * kStep);
    note(load);
    s = dynamics.step(s, load, bank, bank + roll, kStep);
    bank += roll;
    time += kStep;
    lowest = std::min(lowest, dynamics.over_stall(s, load, request.stall_cas));
  }
  note(1.0);

  const double target_V = request.cas_target * glider.medium().at(s.h).tas_per_cas;
  EntryEnd end;
  end.duration = time;
  end.cas_flown = s.V / glider.medium().at(s.h).tas_per_cas;
  end.lowest_speed_over_stall = lowest;
  end.point = make_point(
      {.t = time, .e = s.e, .n = s.n, .h = s.h + (s.V * s.V - target_V * target_V) / (2.0 * kStandardGravity)}, s.psi);
  return end;
}

}  // namespace backfield::flight
