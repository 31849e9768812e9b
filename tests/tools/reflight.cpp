#include "tests/tools/reflight.hpp"

#include "backfield/flight/equations.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace backfield::test {
namespace {

constexpr double kFine_m = 120.0;  // below it wind profiles change within metres: finer steps

using State = std::array<double, 6>;  // V, gamma, psi, east, north, height

State add(const State& a, const State& b, double k) {
  State r{};
  for (std::size_t i = 0; i < r.size(); ++i) r[i] = a[i] + b[i] * k;
  return r;
}

template <class F>
State runge_kutta(const State& s, double t, double dt, F f) {
  const State k1 = f(t, s);
  const State k2 = f(t + dt / 2, add(s, k1, dt / 2));
  const State k3 = f(t + dt / 2, add(s, k2, dt / 2));
  const State k4 = f(t + dt, add(s, k3, dt));
  State r{};
  for (std::size_t i = 0; i < r.size(); ++i) r[i] = s[i] + dt / 6 * (k1[i] + 2 * k2[i] + 2 * k3[i] + k4[i]);
  return r;
}

constexpr int kStepsAtLevel = 20;

/// The same in one step, or in small ones where the first crosses a level of the wind profile: there its change with
/// height jumps, and one step over the jump is off by a share of it.
template <class F>
State advance(const std::vector<double>& levels_m, const State& s, double t, double dt, F f) {
  const State end = runge_kutta(s, t, dt, f);
  const auto [low, high] = std::minmax(s[5], end[5]);
  const auto level = std::lower_bound(levels_m.begin(), levels_m.end(), low);
  if (level == levels_m.end() || *level > high) return end;
  State small = s;
  for (int i = 0; i < kStepsAtLevel; ++i) {
    small = runge_kutta(small, t + dt * i / kStepsAtLevel, dt / kStepsAtLevel, f);
  }
  return small;
}

class World {
 public:
  explicit World(const Flyer& f)
      : air_(f.environment.air.with(f.model.density)),
        wind_(f.model.wind == flight::WindRule::uniform ? earth::WindProfile::uniform(f.environment.wind.surface())
                                                        : f.environment.wind),
        shear_(f.model.shear == flight::ShearRule::on),
        datum_(f.datum) {
    for (const auto& level : wind_.data()) levels_m_.push_back(level.height.above_datum.si());
  }
  [[nodiscard]] const std::vector<double>& levels_m() const { return levels_m_; }
  [[nodiscard]] double q(double h) const { return 1.0 / std::sqrt(air_.sigma(datum_ + earth::Height{metres(h)})); }
  [[nodiscard]] double q_slope(double h) const { return (q(h + 1.0) - q(h - 1.0)) / 2.0; }
  [[nodiscard]] earth::WindVector wind(double h) const { return wind_.at({metres(h)}); }
  /// Change with height of the wind along a heading. Over a hand's breadth: where the profile has a kink, a metre would
  /// blur it, and a roll-out that hovers there ends half a metre off.
  [[nodiscard]] double along_slope(double h, double psi) const {
    if (!shear_) return 0.0;
    constexpr double kSpan_m = 0.02;
    const auto up = wind(h + 0.5 * kSpan_m);
    const auto down = wind(h - 0.5 * kSpan_m);
    const double east = (up.towards_east - down.towards_east).si() / kSpan_m;
    const double north = (up.towards_north - down.towards_north).si() / kSpan_m;
    return east * std::sin(psi) + north * std::cos(psi);
  }

 private:
  earth::Air air_;
  earth::WindProfile wind_;
  bool shear_;
  earth::Altitude datum_;
  std::vector<double> levels_m_;
};

}  // namespace

Flown fly_again(const flight::Path& path, const Flyer& f, std::vector<Flown>* at_boundaries,
                std::vector<Flown>* at_steps) {
  const World world(f);
  const double vbg = f.performance->best_glide().value.si();
  const double stall = f.performance->stall_clean().value.si();
  const double E = f.performance->aircraft().polar.glide_ratio * f.glide_factor;
  struct Polar {
    double vbg, E;
  };
  const Polar feathered{vbg, E};
  Polar unfeathered{};
  double feathered_after = 0.0;
  if (const auto& feathering = f.performance->aircraft().feathering) {
    unfeathered = {f.performance->best_glide_unfeathered().value.si(),
                   feathering->glide_ratio_unfeathered * f.glide_factor};
    feathered_after = feathering->time.si();
  }
  // Over weight: from the aircraft's file at this very height.
  const auto thrust = [&](double V, double h) {
    if (!path.power_until_final) return 0.0;
    const bool local = f.model.density == earth::DensityRule::local;
    const auto conditions = f.performance->conditions(f.environment.air.with(f.model.density),
                                                      f.datum + earth::Height{metres(local ? h : 0.0)});
    return aircraft::thrust_left(*f.performance, conditions, f.power.value()).value.at(V);
  };
  const double E_with_power = f.performance->aircraft().polar.glide_ratio;
  State s{path.start.tas_mps, path.start.gamma_rad, path.start.heading_rad,
          path.start.east_m,  path.start.north_m,   path.start.height_m};
  Flown out;
  double time = 0.0;
  const auto put = [&](double t, std::vector<Flown>* into) {
    out.time_s = t;
    out.heading_rad = s[2];
    out.east_m = s[3];
    out.north_m = s[4];
    out.height_m = s[5];
    if (into != nullptr) into->push_back(out);
  };
  const auto note = [&] { put(time, at_boundaries); };
  put(0.0, at_steps);

  for (std::size_t i = 0; i + 1 < path.entry.size(); ++i) {
    const auto& a = path.entry[i];
    const auto& b = path.entry[i + 1];
    const double span = b.time_s - a.time_s;
    const int steps = std::max(1, static_cast<int>(std::ceil(span / f.step_s)));
    const auto rates = [&](double t, const State& x) {
      const double bank = a.bank_rad + (b.bank_rad - a.bank_rad) * t / span;
      const Polar& polar = a.propeller == flight::Propeller::at_rest ? feathered : unfeathered;
      const double ratio = path.power_until_final ? E_with_power : polar.E;
      const double drag =
          flight::equations::drag_over_weight(x[0] / (polar.vbg * world.q(x[5])), a.load_factor, 1.0, ratio) -
          thrust(x[0], x[5]);
      const auto r =
          flight::equations::entry_rates(x[0], x[1], a.load_factor, bank, drag, world.along_slope(x[5], x[2]));
      const auto w = world.wind(x[5]);
      const double level = x[0] * std::cos(x[1]);
      return State{r.V,
                   r.gamma,
                   r.psi,
                   level * std::sin(x[2]) + w.towards_east.si(),
                   level * std::cos(x[2]) + w.towards_north.si(),
                   -x[0] * std::sin(x[1])};
    };
    for (int k = 0; k < steps; ++k) {
      s = advance(world.levels_m(), s, span * k / steps, span / steps, rates);
      put(time + span * (k + 1) / steps, at_steps);
      out.lowest_speed_over_stall =
          std::min(out.lowest_speed_over_stall, s[0] / (stall * world.q(s[5]) * std::sqrt(a.load_factor)));
    }
    time += span;
  }
  note();

  // Landing flap and slip are counted as the aircraft's file has them; the glide factor is on the clean glide alone.
  struct Drag {
    double parasite, E;
  };
  const auto drag_in = [&](flight::Configuration configuration) -> Drag {
    const double book = f.performance->aircraft().polar.glide_ratio;
    const auto factor = [&](double ratio) { return 2.0 * book / ratio - 1.0; };
    switch (configuration) {
      case flight::Configuration::clean:
        return {1.0, E};
      case flight::Configuration::landing_flap:
        return {factor(f.performance->aircraft().polar.glide_ratio_landing_flap), book};
      case flight::Configuration::slip:
        return {factor(f.performance->aircraft().polar.glide_ratio_slip.value()), book};
    }
    return {};
  };
  double cas = s[0] / world.q(s[5]);
  for (const flight::Segment& g : path.segments) {
    const Drag drag = drag_in(g.configuration);
    if (g.trade_speed) {
      const double q = world.q(s[5]);
      s[5] += (cas * cas - g.cas_from_mps * g.cas_from_mps) * q * q / (2.0 * kStandardGravity);
    }
    if (!f.fly_late_feathering) s[5] -= g.height_given_m;
    const double cas_rate = g.duration_s > 0.0 ? (g.cas_to_mps - g.cas_from_mps) / g.duration_s : 0.0;
    const auto heading_for_track = [&](double V_level, double h) {
      const auto w = world.wind(h);
      const double across = w.towards_east.si() * std::cos(g.track_rad) - w.towards_north.si() * std::sin(g.track_rad);
      return g.track_rad - std::asin(across / V_level);
    };
    const auto rates = [&](double t, const State& x) {
      const double share = g.duration_s > 0.0 ? t / g.duration_s : 0.0;
      const double bank = g.bank_from_rad + (g.bank_to_rad - g.bank_from_rad) * share;
      const double c = g.cas_from_mps + cas_rate * t;
      const double q = world.q(x[5]);
      const double q_slope = world.q_slope(x[5]);
      const double V = c * q;
      const double sec = 1.0 / std::cos(bank);
      double psi = x[2];
      const bool late =
          g.propeller == flight::Propeller::unfeathered || (f.fly_late_feathering && time + t < feathered_after);
      const bool powered = path.power_until_final && g.hold != flight::Hold::track;
      const Polar polar = late ? unfeathered : Polar{vbg, powered ? E_with_power : drag.E};
      const auto trim_at = [&](double sec2) {
        const auto trim = flight::equations::trim(c, polar.vbg, sec2, drag.parasite, polar.E);
        return powered ? flight::equations::with_thrust(trim, thrust(V, x[5])) : trim;
      };
      flight::equations::Descent d{};
      if (g.hold == flight::Hold::track) {
        psi = heading_for_track(V, x[5]);
        for (int i = 0; i < 3; ++i) {
          d = flight::equations::steady_descent(V, trim_at(1.0), c * q_slope, world.along_slope(x[5], psi),
                                                f.model.angle);
          psi = heading_for_track(V * d.cos_gamma, x[5]);
        }
      }
      d = flight::equations::steady_descent(V, trim_at(sec * sec), c * q_slope, world.along_slope(x[5], psi),
                                            f.model.angle);
      const auto w = world.wind(x[5]);
      return State{0.0,
                   0.0,
                   g.hold == flight::Hold::bank ? kStandardGravity * std::tan(bank) / V : 0.0,
                   V * d.cos_gamma * std::sin(psi) + w.towards_east.si(),
                   V * d.cos_gamma * std::cos(psi) + w.towards_north.si(),
                   -V * d.sin_gamma - V / kStandardGravity * q * cas_rate};
    };
    for (double t = 0.0; t < g.duration_s;) {
      const double dt = std::min(g.duration_s - t, s[5] < kFine_m ? 0.2 * f.step_s : f.step_s);
      s = advance(world.levels_m(), s, t, dt, rates);
      t += dt;
      put(time + t, at_steps);
      if (g.duration_s - t < 1e-9) break;
    }
    if (g.hold == flight::Hold::track) s[2] = heading_for_track(g.cas_to_mps * world.q(s[5]), s[5]);
    cas = g.cas_to_mps;
    time += g.duration_s;
    note();
  }
  return out;
}

const Flown& at_alignment(const flight::Path& path, const std::vector<Flown>& at_boundaries) {
  const auto final = std::find_if(path.segments.begin(), path.segments.end(),
                                  [](const flight::Segment& s) { return s.hold == flight::Hold::track; });
  return at_boundaries.at(static_cast<std::size_t>(final - path.segments.begin()));
}

}  // namespace backfield::test
