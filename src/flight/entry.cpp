#include "entry.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr double kReactionStep = 0.25;  // s; only the speed changes
constexpr double kStep = 0.2;           // s; load factor constant over it: how often the pilot corrects
constexpr int kMostStrides = 30;        // of one step, each ending where the wind's change with height does ...
constexpr double kLeastStride = 0.02;   // ... and no shorter than this share of what is left
constexpr double kLongest = 25.0;       // after the reaction; a normal entry takes 4 to 6 s
constexpr double kSpeedTime = 0.3;      // time in which missing speed is to be won back
constexpr double kNoseTime = 0.4;       // time in which the nose follows
constexpr double kSteepest = 0.6;       // sine of the steepest flight-path angle aimed at; unloading seldom gets there
constexpr double kLeastLoad = 0.5;      // unloading a passenger will bear
constexpr double kStallReserve = 1.1;   // never pull beyond the lift that 1.1 stall leaves
constexpr double kSpeedDone = 0.3;      // m/s
constexpr double kAngleDone = 0.01;     // rad

struct State {
  double V, gamma, psi, e, n, h;
  double s, c;  ///< sine and cosine of psi, turned along with it
};

/// Sine and cosine by their series: to 1e-7 at 0.6 rad, steeper than any entry.
equations::Descent descent(double gamma) {
  const double g2 = gamma * gamma;
  return {gamma * (1.0 - g2 / 6.0 * (1.0 - g2 / 20.0 * (1.0 - g2 / 42.0))),
          1.0 - g2 / 2.0 * (1.0 - g2 / 12.0 * (1.0 - g2 / 30.0 * (1.0 - g2 / 56.0)))};
}
/// Sine and cosine of an angle that a small angle is added to.
struct SineCosine {
  double s, c;
};
SineCosine turned(SineCosine x, double a) {
  const double a2 = a * a;
  const double sin_a = a * (1.0 - a2 / 6.0 * (1.0 - a2 / 20.0 * (1.0 - a2 / 42.0)));
  const double cos_a = 1.0 - a2 / 2.0 * (1.0 - a2 / 12.0 * (1.0 - a2 / 30.0));
  return {x.s * cos_a + x.c * sin_a, x.c * cos_a - x.s * sin_a};
}

/// A bank angle, right +.
struct Bank {
  explicit Bank(double bank) : phi(bank), of{std::sin(bank), std::cos(bank)} {}
  void roll(double by) {
    if (by == 0.0) return;
    phi += by;
    of = turned(of, by);
  }
  double phi;
  SineCosine of;
};

class Dynamics {
 public:
  /// Air and wind of any glider, drag of the one in use.
  explicit Dynamics(const Glider& glider) : glider_(glider), drag_of_(&glider) {}
  void use(const Glider& glider) { drag_of_ = &glider; }

  struct Rates {
    double V, gamma, psi, e, n, h;
    Rates operator+(const Rates& b) const { return {V + b.V, gamma + b.gamma, psi + b.psi, e + b.e, n + b.n, h + b.h}; }
    Rates operator*(double k) const { return {V * k, gamma * k, psi * k, e * k, n * k, h * k}; }
    Rates operator-(const Rates& b) const { return *this + b * -1.0; }
  };
  /// layer       of the medium
  [[nodiscard]] Rates rates(const State& s, double load, const Bank& bank, std::size_t layer) const {
    const AirSample air = glider_.medium().at(s.h, layer);
    const double v = s.V / (drag_of_->best_glide_cas() * air.tas_per_cas);
    const double along = air.wind_east_slope * s.s + air.wind_north_slope * s.c;
    const double drag = equations::drag_over_weight(v, load, 1.0, drag_of_->glide_ratio()) - drag_of_->thrust(air, s.V);
    const equations::Descent d = descent(s.gamma);
    const auto r = equations::entry_rates(s.V, d, load, {bank.of.s, bank.of.c}, drag, along);
    const double level = s.V * d.cos_gamma;
    return {r.V, r.gamma, r.psi, level * s.s + air.wind_east, level * s.c + air.wind_north, -s.V * d.sin_gamma};
  }
  /// While the bank changes by `roll`: in one stride, or in several that end on nodes of the medium where there are any
  /// on the way.
  [[nodiscard]] State step(State s, double load, Bank& bank, double roll, double dt) const {
    double left = dt;
    for (int i = 1; left > 0.0; ++i) {
      const double sink = s.V * descent(s.gamma).sin_gamma;
      double part = left;
      if (i < kMostStrides && !glider_.medium().flat()) {
        const double node = sink > 0.0 ? glider_.medium().node_below(s.h) : glider_.medium().node_above(s.h);
        const double till = (s.h - node) / sink;
        if (till < 0.98 * left) part = std::max(till, kLeastStride * left);
      }
      s = stride(s, load, bank, roll * part / dt, part, glider_.medium().cell(s.h - 0.5 * sink * part));
      left = part == left ? 0.0 : left - part;
    }
    return s;
  }
  /// Kutta's rule of third order, all in one layer.
  [[nodiscard]] State stride(const State& s, double load, Bank& bank, double roll, double dt, std::size_t layer) const {
    const Rates k1 = rates(s, load, bank, layer);
    bank.roll(0.5 * roll);
    const Rates k2 = rates(moved(s, k1, 0.5 * dt), load, bank, layer);
    bank.roll(0.5 * roll);
    const Rates k3 = rates(moved(s, k2 * 2.0 - k1, dt), load, bank, layer);
    return moved(s, (k1 + k2 * 4.0 + k3) * (1.0 / 6.0), dt);
  }
  [[nodiscard]] static State moved(const State& s, const Rates& r, double dt) {
    const SineCosine psi = turned({s.s, s.c}, r.psi * dt);
    return {s.V + r.V * dt,
            s.gamma + r.gamma * dt,
            s.psi + r.psi * dt,
            s.e + r.e * dt,
            s.n + r.n * dt,
            s.h + r.h * dt,
            psi.s,
            psi.c};
  }
  [[nodiscard]] double over_stall(const State& s, double load, double stall_cas) const {
    return s.V / (stall_cas * glider_.medium().at(s.h).tas_per_cas * std::sqrt(std::max(load, 1e-6)));
  }

 private:
  const Glider& glider_;
  const Glider* drag_of_;
};

void record(std::vector<Point>* track, double time, const State& s) {
  if (track != nullptr) track->push_back({time, s.e, s.n, s.h, s.psi, s.s, s.c});
}

}  // namespace

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): seconds and m/s, named in the header
Reacted react(const AirState& start, double reaction_s, double stall_cas, const EntryGlide& glide,
              std::vector<Point>* track) {
  Dynamics dynamics(*glide.feathered);
  State s{start.tas_mps, start.gamma_rad, start.heading_rad,           start.east_m,
          start.north_m, start.height_m,  std::sin(start.heading_rad), std::cos(start.heading_rad)};
  const double load = std::cos(s.gamma) / std::cos(start.bank_rad);
  Bank bank(start.bank_rad);
  double lowest = 1e9;
  const auto hold = [&](double from, double to) {
    dynamics.use(glide.at(from));
    const int steps = static_cast<int>(std::ceil((to - from) / kReactionStep));
    for (int i = 0; i < steps; ++i) {
      s = dynamics.step(s, load, bank, 0.0, (to - from) / steps);
      record(track, from + (to - from) * (i + 1) / steps, s);
      lowest = std::min(lowest, dynamics.over_stall(s, load, stall_cas));
    }
  };
  const double feathered = glide.until == nullptr ? 0.0 : std::min(reaction_s, glide.feathered_after);
  hold(0.0, feathered);
  hold(feathered, reaction_s);
  return {s.V, s.gamma, s.psi, s.e, s.n, s.h, start.bank_rad, load, reaction_s, lowest};
}

EntryEnd fly_entry(const Reacted& start, const EntryRequest& request, const EntryGlide& glide,
                   std::vector<EntrySample>* samples, std::vector<Point>* track) {
  const Glider& glider = *glide.feathered;
  Dynamics dynamics(glider);
  State s{start.V, start.gamma, start.psi, start.e, start.n, start.h, std::sin(start.psi), std::cos(start.psi)};
  Bank bank(start.bank);
  double time = start.time;
  double lowest = start.lowest_speed_over_stall;
  if (samples != nullptr && start.time > 0.0) {
    samples->push_back({0.0, start.load, start.bank, glide.propeller(0.0)});
    // The propeller is feathered while nothing is done yet.
    if (!glide.is_feathered(0.0) && glide.feathered_after < start.time) {
      samples->push_back({glide.feathered_after, start.load, start.bank, Propeller::at_rest});
    }
  }
  const auto note = [&](double load) {
    if (samples != nullptr) samples->push_back({time, load, bank.phi, glide.propeller(time)});
  };

  const double sec = 1.0 / std::cos(request.bank_target);
  const Trim target = glider.trim(request.cas_target, sec * sec);
  for (double spent = 0.0; spent < kLongest; spent += kStep) {
    const AirSample air = glider.medium().at(s.h);
    const double target_V = request.cas_target * air.tas_per_cas;
    const auto steady = glider.rates(air, s.s, s.c, target);
    const bool banked = std::abs(bank.phi - request.bank_target) < 1e-9;
    if (banked && s.V > target_V - kSpeedDone && s.gamma < std::asin(steady.sin_gamma) + kAngleDone) { break; }
    const double wanted =
        std::asin(std::clamp(steady.sin_gamma + (target_V - s.V) / (kStandardGravity * kSpeedTime), -0.1, kSteepest));
    const double stall = kStallReserve * request.stall_cas * air.tas_per_cas;
    const double most_load = std::max(kLeastLoad, (s.V / stall) * (s.V / stall));
    const double pull = descent(s.gamma).cos_gamma + s.V / kStandardGravity * (s.gamma - wanted) / kNoseTime;
    const double load = std::clamp(pull / bank.of.c, kLeastLoad, most_load);
    const double roll =
        std::clamp(request.bank_target - bank.phi, -request.roll_rate * kStep, request.roll_rate * kStep);
    note(load);
    dynamics.use(glide.at(time));  // one step too late rather than too early
    s = dynamics.step(s, load, bank, roll, kStep);
    time += kStep;
    record(track, time, s);
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
