#include "backfield/earth/wind.hpp"

#include "backfield/base/contract.hpp"

#include <algorithm>
#include <limits>

namespace backfield::earth {
namespace {

using Level = WindProfile::Level;

constexpr double kReport_m = kWindReportHeight.si();
constexpr double kLawEndsWhenJoined_m = 100.0;  // where `joined` leaves the law for the levels aloft

void require_vector(WindVector w) {
  require(std::isfinite(w.towards_east.si()) && std::isfinite(w.towards_north.si()), "a wind is finite");
}

void require_rising(const std::vector<Level>& levels) {
  require(!levels.empty(), "a wind profile has at least one level");
  for (std::size_t i = 0; i < levels.size(); ++i) {
    require_vector(levels[i].wind);
    require(std::isfinite(levels[i].height.above_datum.si()), "the height of a wind level is finite");
    require(i == 0 || levels[i - 1].height < levels[i].height, "the heights of wind levels rise strictly");
  }
}

bool is_calm(WindVector w) { return w.towards_east.si() == 0.0 && w.towards_north.si() == 0.0; }

// Both laws are u10 F(z) with F concave. Linear interpolation over a step d misses F by at most d^2 |F''|/8, so steps
// of equal error have d = sqrt(8 e/|F''|), and an integral over 1/d says how many are needed. With |F''| = c z^(q-2)
// such steps are equal steps of z^(q/2), or of ln z when q = 0.
struct Curvature {
  double c;  // (1/m^q)
  double q;
};

std::vector<double> heights_m(Curvature curvature, double top_m) {
  const double half_q = curvature.q / 2.0;
  const auto stretch = [half_q](double z_m) {
    const double x = std::log(z_m / kReport_m);
    return half_q == 0.0 ? x : std::expm1(half_q * x) / half_q;
  };
  const auto shrink = [half_q](double s) {
    return kReport_m * std::exp(half_q == 0.0 ? s : std::log1p(half_q * s) / half_q);
  };
  const double top_s = stretch(top_m);
  const double wanted = std::sqrt(curvature.c * std::pow(kReport_m, curvature.q) / (8.0 * kLawSamplingError)) * top_s;
  // One more than the integral says, because |F''| is taken at the middle of a step and is larger at its lower end.
  const int steps = static_cast<int>(std::ceil(wanted)) + 1;
  std::vector<double> heights;
  heights.reserve(static_cast<std::size_t>(steps) + 1);
  for (int i = 0; i < steps; ++i) heights.push_back(shrink(top_s * i / steps));
  heights.front() = kReport_m;
  heights.push_back(top_m);
  return heights;
}

double power_factor(PowerLaw law, double z_m) { return std::pow(z_m / kReport_m, law.exponent); }

std::vector<Level> power_levels(WindVector at_10m, PowerLaw law, double top_m) {
  require_vector(at_10m);
  require(law.exponent >= 0.0 && law.exponent <= 0.6, "the exponent of the wind power law lies in 0..0.6");
  require(std::isfinite(top_m) && top_m > kReport_m, "a wind law ends above 10 m");
  if (law.exponent == 0.0 || is_calm(at_10m)) return {{{kWindReportHeight}, at_10m}};

  const double p = law.exponent;
  std::vector<Level> levels;
  for (const double z_m : heights_m({p * (1.0 - p) / std::pow(kReport_m, p), p}, top_m)) {
    levels.push_back({{metres(z_m)}, at_10m * power_factor(law, z_m)});
  }
  return levels;
}

}  // namespace

WindTriangle hold_track(TrueDirection track, Tas tas, WindVector wind) {
  const WindComponents c = components(wind, track);
  const double v_mps = tas.value.si();
  const double across_mps = c.from_right.si();
  if (!(v_mps > 0.0 && std::abs(across_mps) <= v_mps)) {
    return {track, radians(std::numeric_limits<double>::quiet_NaN()), metres_per_second(0)};
  }
  const Angle crab = radians(std::asin(across_mps / v_mps));
  const double along_mps = std::sqrt((v_mps - across_mps) * (v_mps + across_mps));
  return {track.turned(crab), crab, metres_per_second(along_mps) - c.headwind};
}

WindProfile WindProfile::uniform(WindVector w) { return levels({{{kWindReportHeight}, w}}); }

WindProfile WindProfile::power_law(WindVector at_10m, PowerLaw law, Height top) {
  return WindProfile(power_levels(at_10m, law, top.above_datum.si()));
}

WindProfile WindProfile::log_law(WindVector at_10m, LogLaw law) {
  require_vector(at_10m);
  const double z0_m = law.roughness.si();
  const double top_m = law.top.si();
  require(z0_m > 0.0 && z0_m <= 5.0, "a roughness length lies above 0 and at most at 5 m");
  require(std::isfinite(top_m) && top_m > kReport_m, "a wind law ends above 10 m");
  if (is_calm(at_10m)) return uniform(at_10m);

  const double at_report = std::log(kReport_m / z0_m);
  std::vector<Level> levels;
  for (const double z_m : heights_m({1.0 / at_report, 0.0}, top_m)) {
    levels.push_back({{metres(z_m)}, at_10m * (std::log(z_m / z0_m) / at_report)});
  }
  return WindProfile(std::move(levels));
}

WindProfile WindProfile::levels(std::vector<Level> levels) {
  require_rising(levels);
  return WindProfile(std::move(levels));
}

WindProfile WindProfile::joined(WindVector at_10m, PowerLaw law, std::vector<Level> aloft) {
  require_rising(aloft);
  const double lowest_aloft_m = aloft.front().height.above_datum.si();
  require(lowest_aloft_m > kReport_m, "levels aloft lie above 10 m");

  std::vector<Level> all = power_levels(at_10m, law, kLawEndsWhenJoined_m);
  if (lowest_aloft_m <= kLawEndsWhenJoined_m) {
    all.resize(1);
  } else if (all.size() == 1) {  // calm or exponent 0: the same wind up to 100 m has to be said
    all.push_back({{metres(kLawEndsWhenJoined_m)}, at_10m});
  }
  all.insert(all.end(), aloft.begin(), aloft.end());
  return WindProfile(std::move(all));
}

WindVector WindProfile::at(Height above_departure_elevation) const {
  const auto above = std::upper_bound(levels_.begin(), levels_.end(), above_departure_elevation,
                                      [](Height h, const Level& level) { return h < level.height; });
  if (above == levels_.begin()) return levels_.front().wind;
  if (above == levels_.end()) return levels_.back().wind;
  const Level& low = *(above - 1);
  const double t = (above_departure_elevation.above_datum - low.height.above_datum) /
                   (above->height.above_datum - low.height.above_datum);
  return {low.wind.towards_east + t * (above->wind.towards_east - low.wind.towards_east),
          low.wind.towards_north + t * (above->wind.towards_north - low.wind.towards_north)};
}

WindProfile WindProfile::scaled(double factor) const {
  require(std::isfinite(factor), "a wind factor is finite");
  std::vector<Level> levels = levels_;
  for (Level& level : levels) level.wind = level.wind * factor;
  return WindProfile(std::move(levels));
}

WindProfile WindProfile::turned(Angle right) const {
  const double s = std::sin(right.si());
  const double c = std::cos(right.si());
  std::vector<Level> levels = levels_;
  for (Level& level : levels) {
    const WindVector w = level.wind;
    level.wind = {w.towards_east * c + w.towards_north * s, w.towards_north * c - w.towards_east * s};
  }
  return WindProfile(std::move(levels));
}

}  // namespace backfield::earth
