#include "backfield/base/contract.hpp"
#include "backfield/flight/equations.hpp"
#include "backfield/flight/timeline.hpp"
#include "medium.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace backfield::flight {
namespace {

constexpr double kStep_s = 0.5;  // climb gradients change by 1e-4 in that time
constexpr double kFiftyFeet_m = 50.0 * kMetresPerFoot;
constexpr double kMostHelp = 0.5;
constexpr double kNoClimb_mps = 0.05;  // 10 ft/min: below it the departure is at its ceiling

/// Signed angle from a to b, [-pi, pi).
double signed_turn(double from, double to) { return earth::wrap_signed(radians(to - from)).si(); }

/// Heading that holds `track` at an airspeed in a wind; the wind is weaker than the airspeed.
double heading_on(double track, double V, const AirSample& air) {
  const double across = air.wind_east * std::cos(track) - air.wind_north * std::sin(track);
  return track - std::asin(std::clamp(across / V, -1.0, 1.0));
}

/// Rate of climb by the table, asked at every height or once at the aerodrome.
class ClimbTable {
 public:
  ClimbTable(const aircraft::Performance& performance, const DepartureRequest& request, const earth::Air& air,
             const Model& model)
      : performance_(performance), request_(request), air_(air), model_(model) {}

  [[nodiscard]] Lookup<double> at(double height_m) const {
    const bool local = model_.density == earth::DensityRule::local;
    const earth::Altitude altitude{request_.elevation.above_sea_level + metres(local ? height_m : 0.0)};
    const aircraft::Aircraft& a = performance_.aircraft();
    const aircraft::Figure& figure = request_.climb == ClimbSpeed::v_y ? a.climb_rate_v_y : a.climb_rate_v_x;
    Lookup<double> rate = figure.at(performance_.conditions(air_, altitude));
    rate.value *= request_.climb_factor;
    return rate;
  }

 private:
  const aircraft::Performance& performance_;
  const DepartureRequest& request_;
  const earth::Air& air_;
  const Model& model_;
};

struct ClimbRates {
  double V, sin_gamma, cos_gamma, east, north, turn;  // sin_gamma up; turn in rad/s
};

class Climb {
 public:
  Climb(const aircraft::Performance& performance, const DepartureRequest& request, const Medium& medium,
        const ClimbTable& table)
      : medium_(medium), table_(table) {
    cas_ = (request.climb == ClimbSpeed::v_y ? performance.v_y() : performance.v_x()).value.si();
    v_ = cas_ / performance.best_glide().value.si();
    E_ = performance.aircraft().polar.glide_ratio;
  }

  [[nodiscard]] double cas() const { return cas_; }

  /// Rates at a height, on a track (bank 0) or in a turn at `heading`. nullopt where the table ends.
  [[nodiscard]] std::optional<ClimbRates> rates(double height_m, double track_or_heading, double bank) {
    const Lookup<double> roc = table_.at(height_m);
    if (!roc.usable()) {
      why_ = roc.axis + " " + roc.end;
      return std::nullopt;
    }
    const AirSample air = medium_.at(height_m);
    const double V = cas_ * air.tas_per_cas;
    const double heading = bank == 0.0 ? heading_on(track_or_heading, V, air) : track_or_heading;
    const double n = 1.0 / std::cos(bank);
    double excess = roc.value / V - (n * n - 1.0) / (2.0 * E_ * v_ * v_);
    const double along = air.wind_east_slope * std::sin(heading) + air.wind_north_slope * std::cos(heading);
    // Near the ground a strong headwind grows faster than the aeroplane could follow in a steady climb: what it gives
    // is counted up to a doubling of the climb, no more.
    excess /= std::max(kMostHelp, 1.0 + V / kStandardGravity * along);
    if (V * excess < kNoClimb_mps) {
      why_ = bank == 0.0 ? "the aeroplane no longer climbs" : "the aeroplane does not climb in the departure turn";
      return std::nullopt;
    }
    const double sin_gamma = std::min(excess, 0.9);
    const double cos_gamma = std::sqrt(1.0 - sin_gamma * sin_gamma);
    return ClimbRates{V,
                      sin_gamma,
                      cos_gamma,
                      V * cos_gamma * std::sin(heading) + air.wind_east,
                      V * cos_gamma * std::cos(heading) + air.wind_north,
                      kStandardGravity * std::tan(bank) / V};
  }
  [[nodiscard]] double heading(double height_m, double track) const {
    const AirSample air = medium_.at(height_m);
    return heading_on(track, cas_ * air.tas_per_cas, air);
  }
  [[nodiscard]] const std::string& why() const { return why_; }

 private:
  const Medium& medium_;
  const ClimbTable& table_;
  double cas_ = 0.0;
  double v_ = 1.0;
  double E_ = 1.0;
  std::string why_;
};

}  // namespace

Departed fly_departure(const aircraft::Performance& performance, const DepartureRequest& request,
                       const earth::Environment& environment, const Model& model) {
  require(request.distances.to_50ft > request.distances.roll, "the distance to 50 ft exceeds the roll");
  const earth::Air air = environment.air.with(model.density);
  const Medium medium(environment, request.elevation, model, request.up_to.si() + 3000.0);
  const ClimbTable table(performance, request, environment.air, model);
  Climb climb(performance, request, medium, table);

  double track = request.runway.track.angle().si();
  const auto first = climb.rates(kFiftyFeet_m, track, 0.0);
  if (!first) return {std::nullopt, "rate of climb: " + climb.why()};

  // Roll: constant acceleration. Then a straight line over the ground to 50 ft.
  const double headwind = earth::components(environment.wind.surface(), request.runway.track).headwind.si();
  const double lift_off_tas = earth::to_tas(performance.v_r(), air.sigma(request.elevation)).value.si();
  const double lift_off_gs = lift_off_tas - headwind;
  const double climb_gs = first->east * std::sin(track) + first->north * std::cos(track);
  if (lift_off_gs <= 0.0 || climb_gs <= 0.0) return {std::nullopt, "the wind is as strong as the lift-off speed"};
  const double roll_m = request.distances.roll.si();
  const double to_50ft_m = request.distances.to_50ft.si();
  TakeOff take_off{request.start_from_pavement, request.distances.roll, request.distances.to_50ft,
                   seconds(2.0 * roll_m / lift_off_gs), metres_per_second(lift_off_gs)};

  const earth::Position origin =
      earth::offset(request.runway.pavement_start, request.runway.track, request.start_from_pavement);
  const auto place = [&](AirState& s, double distance_m) {
    const earth::Position p = earth::offset(origin, request.runway.track, metres(distance_m));
    s.east_m = p.east.si();
    s.north_m = p.north.si();
    s.ground_distance_m = distance_m;
  };
  std::vector<AirState> nodes;
  const double low_time = (to_50ft_m - roll_m) / (0.5 * (lift_off_gs + climb_gs));
  const int low_steps = std::max(2, static_cast<int>(std::ceil(low_time / kStep_s)));
  for (int i = 0; i < low_steps; ++i) {
    const double share = static_cast<double>(i) / low_steps;
    AirState s;
    s.time_s = low_time * share;
    s.height_m = kFiftyFeet_m * share;
    s.tas_mps = lift_off_tas + (first->V - lift_off_tas) * share;
    s.gamma_rad = -std::asin(std::min(0.5, kFiftyFeet_m / low_time / s.tas_mps));
    s.heading_rad = heading_on(track, s.tas_mps, medium.at(s.height_m));
    place(s, roll_m + (to_50ft_m - roll_m) * share);
    nodes.push_back(s);
  }

  AirState s;
  s.time_s = low_time;
  s.height_m = kFiftyFeet_m;
  place(s, to_50ft_m);
  std::size_t leg = 0;
  double bank = 0.0;
  double heading = 0.0;  // used in a turn only
  std::string stopped;
  while (true) {
    if (bank == 0.0 && leg < request.track.legs.size() &&
        s.height_m >= request.track.legs[leg].from_height.above_datum.si()) {
      const DepartureLeg& next = request.track.legs[leg];
      heading = climb.heading(s.height_m, track);
      bank = (next.turn_right ? 1.0 : -1.0) * next.bank.si();
      track = next.track.angle().si();
      ++leg;
    }
    if (bank != 0.0) {
      // The turn ends when the heading that holds the new track is reached.
      const double left = signed_turn(heading, climb.heading(s.height_m, track));
      const double ahead = bank > 0.0 ? left : -left;
      const auto r = climb.rates(s.height_m, heading, bank);
      if (r && ahead >= 0.0 && ahead <= std::abs(r->turn) * kStep_s * 1.000001) bank = 0.0;
    }
    const auto here = climb.rates(s.height_m, bank == 0.0 ? track : heading, bank);
    if (!here) {
      stopped = climb.why();
      break;
    }
    s.tas_mps = here->V;
    s.gamma_rad = -std::asin(here->sin_gamma);
    s.bank_rad = bank;
    s.heading_rad = bank == 0.0 ? climb.heading(s.height_m, track) : heading;
    nodes.push_back(s);
    if (s.time_s >= request.never_past.si()) {
      stopped = "the longest time the policy scans is reached";
      break;
    }
    if (s.time_s >= request.at_least.si() && s.height_m >= request.up_to.si()) {
      stopped = "scan complete";
      break;
    }
    const double half = 0.5 * kStep_s;
    const auto mid = climb.rates(s.height_m + here->V * here->sin_gamma * half,
                                 bank == 0.0 ? track : heading + here->turn * half, bank);
    if (!mid) {
      stopped = climb.why();
      break;
    }
    s.time_s += kStep_s;
    s.height_m += mid->V * mid->sin_gamma * kStep_s;
    s.east_m += mid->east * kStep_s;
    s.north_m += mid->north * kStep_s;
    s.ground_distance_m += std::hypot(mid->east, mid->north) * kStep_s;
    heading += mid->turn * kStep_s;
  }
  if (nodes.size() < 4) return {std::nullopt, "rate of climb: " + stopped};
  return {Timeline(take_off, std::move(nodes), stopped), {}};
}

Timeline::Timeline(TakeOff take_off, std::vector<AirState> nodes, std::string stopped_because)
    : take_off_(take_off), nodes_(std::move(nodes)), stopped_because_(std::move(stopped_because)) {
  require(nodes_.size() >= 2, "a timeline has at least two nodes");
}

AirState Timeline::at(Duration time) const {
  const double t = std::clamp(time.si(), nodes_.front().time_s, nodes_.back().time_s);
  const auto after = std::upper_bound(nodes_.begin() + 1, nodes_.end() - 1, t,
                                      [](double value, const AirState& node) { return value < node.time_s; });
  const AirState& a = *(after - 1);
  const AirState& b = *after;
  const double share = (t - a.time_s) / (b.time_s - a.time_s);
  const auto mix = [share](double x, double y) { return x + (y - x) * share; };
  AirState s;
  s.time_s = t;
  s.east_m = mix(a.east_m, b.east_m);
  s.north_m = mix(a.north_m, b.north_m);
  s.height_m = mix(a.height_m, b.height_m);
  s.heading_rad = a.heading_rad + signed_turn(a.heading_rad, b.heading_rad) * share;
  s.tas_mps = mix(a.tas_mps, b.tas_mps);
  s.gamma_rad = mix(a.gamma_rad, b.gamma_rad);
  s.bank_rad = a.bank_rad;
  s.ground_distance_m = mix(a.ground_distance_m, b.ground_distance_m);
  return s;
}

std::optional<Duration> Timeline::when_at_height(Length height) const {
  for (std::size_t i = 1; i < nodes_.size(); ++i) {
    const AirState& a = nodes_[i - 1];
    const AirState& b = nodes_[i];
    if (b.height_m < height.si()) continue;
    const double share = b.height_m == a.height_m ? 1.0 : (height.si() - a.height_m) / (b.height_m - a.height_m);
    return seconds(a.time_s + (b.time_s - a.time_s) * std::clamp(share, 0.0, 1.0));
  }
  return std::nullopt;
}

std::optional<Duration> Timeline::when_at_ground_distance(Length distance) const {
  if (distance.si() < nodes_.front().ground_distance_m) return begin();
  for (std::size_t i = 1; i < nodes_.size(); ++i) {
    const AirState& a = nodes_[i - 1];
    const AirState& b = nodes_[i];
    if (b.ground_distance_m < distance.si()) continue;
    const double share = (distance.si() - a.ground_distance_m) / (b.ground_distance_m - a.ground_distance_m);
    return seconds(a.time_s + (b.time_s - a.time_s) * share);
  }
  return std::nullopt;
}

}  // namespace backfield::flight
