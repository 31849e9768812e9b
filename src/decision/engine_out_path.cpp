#include "engine_out_path.hpp"

#include "counted_wind.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace backfield::decision {
namespace {

constexpr Length kFiftyFeet = feet(50);
constexpr Length kEndless = metres(std::numeric_limits<double>::infinity());
constexpr double kTurnStep_s = 0.5;
constexpr double kAsGoodAsTurned = 1e-9;  // radians
constexpr double kLeastGroundSpeed_mps = 1.0;

/// The wind of the height that rates are judged in, in which turns drift.
earth::WindVector wind_aloft(const Case& c, const FlownWorld& w) {
  return w.world.environment.wind.at(earth::Height{c.policy.power_left.evaluated_at});
}

/// Crab is not counted.
double ground_speed(const Case& c, const EngineOutClimb& climb, earth::TrueDirection track) {
  return std::max(kLeastGroundSpeed_mps, (climb.airspeed - counted_headwind_aloft(c, *climb.world, track)).si());
}

/// The first distance at which a profile is so high; none: it never is.
std::optional<Length> where(const aircraft::HeightProfile& profile, Length height) {
  for (std::size_t i = 0; i < profile.knots.size(); ++i) {
    const aircraft::HeightProfile::Knot& b = profile.knots[i];
    if (b.height < height) continue;
    if (i == 0) return b.distance;
    const aircraft::HeightProfile::Knot& a = profile.knots[i - 1];
    const double share = a.height < b.height ? (height - a.height) / (b.height - a.height) : 1.0;
    return a.distance + (b.distance - a.distance) * std::clamp(share, 0.0, 1.0);
  }
  if (profile.knots.empty() || profile.beyond <= 0.0) return std::nullopt;
  return profile.knots.back().distance + (height - profile.knots.back().height) / profile.beyond;
}

}  // namespace

Angle bank_on_one_engine(const Case& c, const flight::DepartureLeg& leg) {
  return std::min(leg.bank, c.policy.power_left.one_engine_bank);
}

EngineOutPath::Heights EngineOutPath::at(const Stretch& stretch, Length flown) const {
  const bool first = &stretch == &stretches_.front();
  if (first && flown < begins_) return {};
  if (first && gross_) return {gross_->at(flown), net_->at(flown)};
  const Length on = flown - (first ? begins_ : stretch.flown);
  Heights heights{stretch.gross + on * stretch.gross_slope, stretch.net + on * stretch.net_slope};
  if (gross_) {
    const Length along = followed(stretch, flown);
    heights.gross = std::min(heights.gross, gross_->at(along) - stretch.turned_away);
    heights.net = std::min(heights.net, net_->at(along) - stretch.turned_away);
  }
  return heights;
}

EngineOutPath::EngineOutPath(const Case& c, const EngineOutClimb& climb, bool by_net)
    : gross_(climb.gross), net_(climb.net), begins_(climb.begins) {
  const earth::RunwayEnd& end = c.departure.end;
  const double V = climb.airspeed.si();
  const double decrement = climb.net_decrement * V;  // of the rate, m/s
  Length turned_away{};
  Length along{};  // the profile, where the next stretch begins
  const auto follows = [&](double tas, double speed) {
    return std::min(1.0, std::max(kLeastGroundSpeed_mps, tas - climb.headwind.si()) / speed);
  };
  const std::optional<aircraft::HeightProfile>& flown_by = by_net ? net_ : gross_;
  const auto tas_at = [&](Length place) { return std::max(V, flown_by ? flown_by->tas_at(place).si() : 0.0); };
  const auto straight = [&](earth::Position from, earth::TrueDirection track, Length flown, Length gross, Length net) {
    const double speed = ground_speed(c, climb, track);
    stretches_.push_back({from, track, flown, kEndless, gross, net, climb.level.si() / speed,
                          (climb.level.si() - decrement) / speed, 0.0, turned_away, along,
                          stretches_.empty() ? 1.0 : follows(V, speed)});
  };
  const Length low = kFiftyFeet - climb.lost;
  straight(earth::offset(end.pavement_start, end.track, c.departure.start), end.track, Length{}, low, low);
  const earth::WindVector wind = wind_aloft(c, *climb.world);
  for (std::size_t i = 0; i < c.departure.track.legs.size(); ++i) {
    const flight::DepartureLeg& leg = c.departure.track.legs[i];
    Stretch& before = stretches_.back();
    const Length high = std::max(leg.from_height.above_datum, c.policy.power_left.straight_until);
    const Length begun = by_net ? before.net : before.gross;
    const double slope = by_net ? before.net_slope : before.gross_slope;
    Length on{};
    if (begun < high) {
      if (slope <= 0.0) {
        flies_all_turns_ = false;
        return;
      }
      on = (high - begun) / slope;
    }
    if (gross_) {
      const auto there = where(by_net ? *net_ : *gross_, high + before.turned_away);
      if (!there) {
        flies_all_turns_ = false;
        return;
      }
      const bool first = stretches_.size() == 1;
      const Length by_profile = (*there - before.followed) / before.follows - (first ? begins_ : Length{});
      on = first ? std::max(Length{}, by_profile) : std::max(on, by_profile);
    }
    before.length = (stretches_.size() == 1 ? begins_ : Length{}) + on;
    Length flown = before.flown + before.length;
    const Heights heights = at(before, flown);
    along = followed(before, flown);
    earth::Position place = earth::offset(before.from, before.track, before.length);
    Length gross = heights.gross;
    Length net = heights.net;
    // The turn, in the moving air, until the heading that holds the new track is reached.
    const double sense = leg.turn_right ? 1.0 : -1.0;
    double tas = tas_at(along);
    double heading = earth::hold_track(before.track, Tas{metres_per_second(tas)}, wind).heading.angle().si();
    const double target = earth::hold_track(leg.track, Tas{metres_per_second(tas)}, wind).heading.angle().si();
    double left = sense * std::remainder(target - heading, 2.0 * kPi);
    if (left < -1e-6) left += 2.0 * kPi;
    while (left > kAsGoodAsTurned) {
      // At the speed of the profile where it is then. What the turn costs in height is the same at any speed: the
      // faster it is flown the longer it takes, and the less its lift costs a second.
      tas = tas_at(along);
      const double rate = kStandardGravity * std::tan(bank_on_one_engine(c, leg).si()) / tas;
      const double dt = left / rate / std::max(1.0, std::ceil(left / rate / kTurnStep_s - kAsGoodAsTurned));
      const double middle = heading + sense * rate * 0.5 * dt;
      const double east = tas * std::sin(middle) + wind.towards_east.si();
      const double north = tas * std::cos(middle) + wind.towards_north.si();
      const double speed = std::max(kLeastGroundSpeed_mps, std::hypot(east, north));
      const Length length = metres(speed * dt);
      const double climbing = dt * V / tas;  // so long the same turn takes at the speed of steady rates
      const double steady = climb.turning[i].si();
      const double up = steady > 0.0 ? steady * climbing / dt : steady;
      turned_away = turned_away + metres(std::max(0.0, climb.level.si() - steady) * climbing);
      stretches_.push_back({place, earth::TrueDirection(radians(std::atan2(east, north))), flown, length, gross, net,
                            up / speed, (up - decrement) / speed, rate / speed, turned_away, along,
                            follows(tas, speed)});
      along = along + length * stretches_.back().follows;
      place = {place.east + metres(east * dt), place.north + metres(north * dt)};
      flown = flown + length;
      gross = gross + metres(up * dt);
      net = net + metres((up - decrement) * dt);
      heading += sense * rate * dt;
      left -= rate * dt;
    }
    straight(place, leg.track, flown, gross, net);
  }
}

}  // namespace backfield::decision
