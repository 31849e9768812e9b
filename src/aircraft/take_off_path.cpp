#include "backfield/aircraft/take_off_path.hpp"

#include "backfield/aircraft/power.hpp"
#include "backfield/base/contract.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::aircraft {
namespace {

constexpr double kFiftyFeet_m = feet(50).si();
constexpr double kTimeStep_s = 0.05;
constexpr int kSpeedSteps = 64;
constexpr int kKnotEvery = 8;  // speed steps
constexpr double kLongest_s = 600.0;

/// Builds one path, segment by segment. SI throughout; speeds are true airspeeds unless they are a Cas.
class PathMaker {
 public:
  PathMaker(const Performance& performance, const TakeOffPathDay& day, const TakeOffPathRule& rule)
      : performance_(performance), day_(day), rule_(rule), file_(*performance.aircraft().one_engine_out) {
    path_.acceleration_height = file_.acceleration_height.value_or(rule.acceleration_height);
    path_.final_speed_stated = performance.final_speed().has_value();
    path_.final_speed = performance.final_speed().value_or(
        Cas{std::max(performance.best_glide().value, performance.one_engine_out_climb_speed().value)});
    path_.final_rate_stated = file_.final_rate.stated();
  }

  EstimatedGo estimate_go() {
    roll_on_all_engines();
    EstimatedGo go;
    if (!roll_with_one_out() || !climb_to_the_screen()) {
      go.why_not = path_.why_not;
      go.climbs = climbs_;
      return go;
    }
    go.distance = metres(screen_distance_);
    const double after = std::max(0.0, clean_s_ - screen_s_);
    go.lost =
        file_.lost_gear_down * seconds(after) +
        file_.lost_unfeathered * seconds(std::min(after, std::max(0.0, failed_s_ + file_.clean_up.si() - screen_s_)));
    return go;
  }

  TakeOffPath make() {
    roll_on_all_engines();
    if (day_.accelerate_go) {
      if (!reach_by_the_file()) return path_;
    } else if (!roll_with_one_out() || !climb_to_the_screen()) {
      return path_;
    }
    if (second_segment() && accelerate()) final_segment();
    return path_;
  }

 private:
  [[nodiscard]] static double tas(Cas cas, const Conditions& air) { return earth::to_tas(cas, air.sigma).value.si(); }
  [[nodiscard]] double over_ground(double speed) const { return std::max(1.0, speed - day_.headwind.si()); }
  [[nodiscard]] PowerCondition one_out() const { return {PowerLeft::one_engine_out, 0.0, day_.climb_factor}; }

  bool fail(std::string why) {
    if (path_.why_not.empty()) path_.why_not = std::move(why);
    return false;
  }

  /// Rate of climb with one engine out, clean; NaN where the table ends, which is then the reason.
  double excess(double speed, const Conditions& air) {
    const auto rate =
        excess_power(performance_, air, one_out(), earth::to_cas(Tas{metres_per_second(speed)}, air.sigma), {});
    if (!rate.usable()) {
      fail("rate of climb with one engine out: " + rate.axis + ", " + rate.end);
      return std::nan("");
    }
    return rate.value.si();
  }

  /// Once something is estimated, everything after it is.
  void mark(TakeOffMark what, Cas speed, double height, double net, bool estimated) {
    if (what > TakeOffMark::v_1) estimated = estimated_ = estimated_ || estimated;
    path_.points.push_back({what, speed, metres(height), metres(net), metres(distance_), seconds(time_), estimated});
  }
  void both_at(double height, double speed) {
    path_.gross.knots.push_back({metres(distance_), metres(height), metres_per_second(speed)});
    path_.net.knots.push_back(path_.gross.knots.back());
    gross_ = net_ = height;
  }

  /// Where an engine fails: v_1, or rotation where the file has none.
  [[nodiscard]] Cas fails_at() const { return performance_.v_1().value_or(performance_.v_r()); }

  // The acceleration of the roll is the same all along, so that the roll of the day comes out at v_r.
  void roll_on_all_engines() {
    const double v_r = over_ground(tas(performance_.v_r(), day_.ground));
    const double v_1 = over_ground(tas(fails_at(), day_.ground));
    acceleration_ = v_r * v_r / (2.0 * day_.all_engines.roll.si());
    distance_ = v_1 * v_1 / (2.0 * acceleration_);
    time_ = v_1 / acceleration_;
    failed_s_ = time_;
    mark(TakeOffMark::v_1, fails_at(), 0.0, 0.0, true);
  }

  bool reach_by_the_file() {
    const Cas v_2 = performance_.one_engine_out_climb_speed();
    const double to_go = std::max(0.0, day_.accelerate_go->si() - distance_);
    const double mean = over_ground(0.5 * (tas(fails_at(), day_.ground) + tas(v_2, day_.ground)));
    distance_ += to_go;
    time_ += to_go / mean;
    both_at(kFiftyFeet_m, tas(v_2, day_.ground));
    mark(TakeOffMark::screen, v_2, kFiftyFeet_m, kFiftyFeet_m, false);
    return clean_up_after_the_file(clean_up_left(performance_, day_, *day_.accelerate_go).si());
  }

  /// What gear and propeller cost until they are cleaned up, where the file's distance is shorter than that takes.
  bool clean_up_after_the_file(double left_s) {
    if (left_s <= 0.0) return true;
    const Cas v_2 = performance_.one_engine_out_climb_speed();
    const double v = tas(v_2, day_.ground);
    const double clean = excess(v, day_.ground);
    if (std::isnan(clean)) return false;
    const double rate = clean - file_.lost_gear_down.si() - file_.lost_unfeathered.si();
    const double net_rate = rate - day_.net_decrement * v;
    gross_ += rate * left_s;
    net_ += net_rate * left_s;
    if (gross_ <= 0.0) {
      path_.gross = path_.net = {};
      return fail("it comes down again before gear and propeller are cleaned up");
    }
    distance_ += over_ground(v) * left_s;
    time_ += left_s;
    add_knots(distance_, v);
    mark(TakeOffMark::clean, v_2, gross_, net_, true);
    return true;
  }

  /// What the propeller costs before it is feathered.
  [[nodiscard]] double propeller_mps() const {
    return time_ - failed_s_ < file_.clean_up.si() ? file_.lost_unfeathered.si() : 0.0;
  }

  bool roll_with_one_out() {
    const PowerCondition all_engines{PowerLeft::all, 0.0, 1.0};
    const auto all = thrust_left(performance_, day_.ground, all_engines);
    const auto left = thrust_left(performance_, day_.ground, one_out());
    if (!all.usable()) return fail("rate of climb: " + all.axis + ", " + all.end);
    if (!left.usable()) return fail("rate of climb with one engine out: " + left.axis + ", " + left.end);
    const double v_r = tas(performance_.v_r(), day_.ground);
    const double v_2 = tas(performance_.one_engine_out_climb_speed(), day_.ground);
    for (double v = tas(fails_at(), day_.ground); v < v_r;) {
      // The share of the thrust that is lost is known better than the thrust: the roll of the file says what all of it
      // gives over drag, and drag is no more than that of flight.
      const double share = std::max(0.0, 1.0 - left.value.at(v) / all.value.at(v));
      const double drag =
          all.value.at(v) - excess_power(performance_, day_.ground, all_engines,
                                         earth::to_cas(Tas{metres_per_second(v)}, day_.ground.sigma), {})
                                    .value.si() /
                                v;
      const double lost = share * (acceleration_ / kStandardGravity + std::max(0.0, drag)) + propeller_mps() / v_2;
      const double a = acceleration_ - kStandardGravity * lost;
      if (a <= 0.0 || time_ > kLongest_s) return fail("with one engine out v_r is not reached on the ground");
      const double step = std::min(kTimeStep_s, (v_r - v) / a);
      distance_ += over_ground(v + 0.5 * a * step) * step;
      time_ += step;
      v += a * step;
      if (step < kTimeStep_s) break;
    }
    mark(TakeOffMark::v_r, performance_.v_r(), 0.0, 0.0, true);
    distance_ += over_ground(v_r) * rule_.rotation.si();
    time_ += rule_.rotation.si();
    mark(TakeOffMark::lift_off, performance_.v_r(), 0.0, 0.0, true);
    path_begins_ = distance_;
    return true;
  }

  /// Speed and height grow together, so that v_2 is there at the screen; then on at v_2 until gear and propeller are.
  bool climb_to_the_screen() {
    const Cas v_2 = performance_.one_engine_out_climb_speed();
    const double target = tas(v_2, day_.ground);
    const double screen = rule_.screen.si();
    const double gear_up = time_ + file_.clean_up.si();
    double v = tas(performance_.v_r(), day_.ground);
    const double speed_energy = std::max(0.0, target * target - v * v) / (2.0 * kStandardGravity);
    const double share = screen / (screen + speed_energy);
    double height = 0.0;
    bool at_screen = false;
    both_at(0.0, v);
    while (!at_screen || time_ < gear_up || propeller_mps() > 0.0) {
      const double rate =
          excess(v, day_.ground) - propeller_mps() - (time_ < gear_up ? file_.lost_gear_down.si() : 0.0);
      if (!(rate > 0.0)) {
        path_.gross = path_.net = {};
        climbs_ = false;
        return fail("no climb with one engine out until gear and propeller are cleaned up");
      }
      const double up = at_screen ? rate : share * rate;
      const double forward = at_screen ? 0.0 : (1.0 - share) * rate * kStandardGravity / v;
      const double step = at_screen ? kTimeStep_s : std::min(kTimeStep_s, (screen - height) / up);
      height += up * step;
      v = std::min(std::max(target, v), v + forward * step);
      distance_ += over_ground(v) * step;
      time_ += step;
      if (time_ > kLongest_s) {
        path_.gross = path_.net = {};
        return fail("the screen is not reached in time");
      }
      if (!at_screen && height >= screen - 1e-9) {
        at_screen = true;
        screen_distance_ = distance_;
        screen_s_ = time_;
        both_at(screen, v);
        mark(TakeOffMark::screen, v_2, screen, screen, true);
      }
    }
    clean_s_ = gear_up;
    if (distance_ <= screen_distance_) return true;
    gross_ = height;
    net_ = height - day_.net_decrement * (distance_ - screen_distance_) * still_air_share(target);
    add_knots(distance_, target);
    mark(TakeOffMark::clean, v_2, gross_, net_, true);
    return true;
  }

  /// Distance through the air for each unit over the ground.
  [[nodiscard]] double still_air_share(double speed) const { return speed / over_ground(speed); }

  void add_knots(double net_distance, double speed) {
    path_.gross.knots.push_back({metres(distance_), metres(gross_), metres_per_second(speed)});
    path_.net.knots.push_back({metres(net_distance), metres(net_), metres_per_second(speed)});
  }

  bool second_segment() {
    const Cas v_2 = performance_.one_engine_out_climb_speed();
    const double v = tas(v_2, day_.accelerating);
    const double rate = excess(v, day_.accelerating);
    if (std::isnan(rate)) return false;
    const double net_rate = rate - day_.net_decrement * v;
    path_.second = SegmentGradient{rate / v, net_rate / v};
    const double ground = over_ground(v);
    const double height = path_.acceleration_height.si();
    if (rate <= 0.0) {
      path_.gross.beyond = rate / ground;
      path_.net.beyond = net_rate / ground;
      return fail("no climb at v_2 with one engine out");
    }
    const double t = std::max(0.0, height - gross_) / rate;
    distance_ += ground * t;
    time_ += t;
    gross_ = std::max(height, gross_);
    net_ += net_rate * t;
    if (t > 0.0) add_knots(distance_, v);
    // Nothing is claimed of what comes after, unless it sinks.
    path_.net.beyond = std::min(0.0, net_rate / ground);
    mark(TakeOffMark::level_off, v_2, gross_, net_, false);
    return true;
  }

  /// Level, from v_2 to the final speed; the net path with less acceleration, at its own height.
  bool accelerate() {
    const double from = tas(performance_.one_engine_out_climb_speed(), day_.accelerating);
    const double to = tas(path_.final_speed, day_.accelerating);
    net_distance_ = distance_;
    const double dv = (to - from) / kSpeedSteps;
    std::vector<HeightProfile::Knot> on_the_net_path;
    for (int i = 0; dv > 0.0 && i < kSpeedSteps; ++i) {
      const double v = from + (i + 0.5) * dv;
      const double forward = excess(v, day_.accelerating) / v;  // over gravity
      if (!(forward > 0.0)) return fail("no level acceleration to the final speed with one engine out");
      const double t = dv / (kStandardGravity * forward);
      distance_ += over_ground(v) * t;
      time_ += t;
      if (forward <= day_.net_decrement) {
        if (path_.why_not.empty()) fail("the net path does not accelerate level to the final speed");
        continue;
      }
      net_distance_ += over_ground(v) * dv / (kStandardGravity * (forward - day_.net_decrement));
      if (i % kKnotEvery != kKnotEvery - 1 || i + 1 == kSpeedSteps) continue;
      const Speed now = metres_per_second(v + 0.5 * dv);
      path_.gross.knots.push_back({metres(distance_), metres(gross_), now});
      on_the_net_path.push_back({metres(net_distance_), metres(net_), now});
    }
    const bool net_too = path_.why_not.empty();
    if (net_too) path_.net.knots.insert(path_.net.knots.end(), on_the_net_path.begin(), on_the_net_path.end());
    add_knots(net_too ? net_distance_ : distance_, std::max(from, to));
    mark(TakeOffMark::final_speed, path_.final_speed, gross_, net_, !path_.final_speed_stated);
    return path_.why_not.empty();
  }

  /// In the air of the end of the path; NaN where a table ends.
  double final_rate() {
    if (path_.final_rate_stated) {
      const auto rate = file_.final_rate.at(day_.ends);
      if (!rate.usable()) {
        fail("rate of climb of the final segment: " + rate.axis + ", " + rate.end);
        return std::nan("");
      }
      return rate.value > 0.0 ? rate.value * day_.climb_factor : rate.value;
    }
    const double v = tas(path_.final_speed, day_.ends);
    const double rate = excess(v, day_.ends);
    if (std::isnan(rate)) return rate;
    const double thrust = thrust_left(performance_, day_.ends, one_out()).value.at(v);
    return rate - (1.0 - rule_.continuous_thrust) * std::max(0.0, thrust) * v;
  }

  void final_segment() {
    const double v = tas(path_.final_speed, day_.ends);
    const double rate = final_rate();
    if (std::isnan(rate)) return;
    const double net_rate = rate - day_.net_decrement * v;
    path_.last = SegmentGradient{rate / v, net_rate / v};
    const double ground = over_ground(v);
    path_.net.beyond = std::min(0.0, net_rate / ground);
    if (rate <= 0.0) {
      path_.gross.beyond = rate / ground;
      fail("no climb in the final segment with one engine out");
      return;
    }
    const double t = std::max(0.0, rule_.ends_at.si() - gross_) / rate;
    distance_ += ground * t;
    time_ += t;
    gross_ = std::max(gross_, rule_.ends_at.si());
    const double net_climb = std::max(0.0, distance_ - net_distance_);
    net_ += net_climb * net_rate / ground;
    if (t > 0.0) add_knots(net_distance_ + net_climb, v);
    mark(TakeOffMark::end, path_.final_speed, gross_, net_, !path_.final_rate_stated);
  }

  const Performance& performance_;
  const TakeOffPathDay& day_;
  const TakeOffPathRule& rule_;
  const OneEngineOut& file_;
  bool climbs_ = true;  // until gear and propeller are clean
  TakeOffPath path_;
  bool estimated_ = false;
  double acceleration_ = 0.0;  ///< on all engines
  double failed_s_ = 0.0, screen_s_ = 0.0, clean_s_ = 0.0, path_begins_ = 0.0, screen_distance_ = 0.0,
         net_distance_ = 0.0;
  double time_ = 0.0, distance_ = 0.0, gross_ = 0.0, net_ = 0.0;
};

}  // namespace

Duration clean_up_left(const Performance& performance, const TakeOffPathDay& day, Length accelerate_go) {
  const auto over_ground = [&](Cas cas) {
    return std::max(1.0, earth::to_tas(cas, day.ground.sigma).value.si() - day.headwind.si());
  };
  const double share = over_ground(performance.v_1().value_or(performance.v_r())) / over_ground(performance.v_r());
  const double way = std::max(0.0, accelerate_go.si() - day.all_engines.roll.si() * share * share);
  const double there = way / over_ground(performance.one_engine_out_climb_speed());
  return seconds(std::max(0.0, performance.aircraft().one_engine_out->clean_up.si() - there));
}

EstimatedGo estimated_accelerate_go(const Performance& performance, const TakeOffPathDay& day, TakeOffPathRule rule) {
  require(performance.aircraft().one_engine_out.has_value(), "an aircraft with more than one engine");
  require(day.all_engines.roll.si() > 0.0, "a roll that is not nothing");
  rule.screen = feet(50);
  return PathMaker(performance, day, rule).estimate_go();
}

TakeOffPath take_off_path(const Performance& performance, const TakeOffPathDay& day, const TakeOffPathRule& rule) {
  require(performance.aircraft().one_engine_out && performance.v_1(), "an aircraft with v_1 and v_2");
  require(rule.screen.si() > 0.0, "a screen above the ground");
  require(rule.ends_at >= rule.acceleration_height, "a path that ends no lower than it accelerates");
  require(day.all_engines.roll.si() > 0.0, "a roll that is not nothing");
  return PathMaker(performance, day, rule).make();
}

}  // namespace backfield::aircraft
