// Laws of the base and earth layers, attacked with pseudo-random values from fixed seeds.

#include "backfield/base/interval.hpp"
#include "backfield/earth/atmosphere.hpp"
#include "backfield/earth/position.hpp"
#include "backfield/earth/wind.hpp"

#include <catch2/catch.hpp>

#include <random>

namespace {

using namespace backfield;
using namespace backfield::earth;

constexpr int kTrials = 2000;
constexpr double kRounding = 1e-12;  // relative, a few operations

class Dice {
 public:
  explicit Dice(unsigned seed) : random_(seed) {}
  double even(double low, double high) { return std::uniform_real_distribution<double>(low, high)(random_); }
  /// As many values between 0.01 and 0.1 as between 10 and 100.
  double log_even(double low, double high) { return std::exp(even(std::log(low), std::log(high))); }
  WindVector wind() { return wind_from(true_degrees(even(0, 360)), knots(log_even(0.01, 100))); }

 private:
  std::mt19937 random_;
};

double apart(TrueDirection a, TrueDirection b) { return std::abs(turn_between(a, b).si()); }

TEST_CASE("Factories and accessors of every unit invert each other", "[base][law]") {
  Dice dice(1);
  for (int i = 0; i < kTrials; ++i) {
    const double x = (dice.even(0, 1) < 0.5 ? -1.0 : 1.0) * dice.log_even(1e-6, 1e6);
    CAPTURE(x);
    const Approx same = Approx(x).epsilon(kRounding);
    REQUIRE(in_metres(metres(x)) == same);
    REQUIRE(in_feet(feet(x)) == same);
    REQUIRE(in_nautical_miles(nautical_miles(x)) == same);
    REQUIRE(in_metres_per_second(metres_per_second(x)) == same);
    REQUIRE(in_knots(knots(x)) == same);
    REQUIRE(in_feet_per_minute(feet_per_minute(x)) == same);
    REQUIRE(in_seconds(seconds(x)) == same);
    REQUIRE(in_kilograms(kilograms(x)) == same);
    REQUIRE(in_pounds(pounds(x)) == same);
    REQUIRE(in_pascals(pascals(x)) == same);
    REQUIRE(in_hectopascals(hectopascals(x)) == same);
    REQUIRE(in_inches_of_mercury(inches_of_mercury(x)) == same);
    REQUIRE(in_radians(radians(x)) == same);
    REQUIRE(in_degrees(degrees(x)) == same);
    REQUIRE(in_kelvins(kelvins(x)) == same);
    REQUIRE(in_celsius(celsius(x)) == Approx(x).epsilon(kRounding).margin(1e-12 * 300));
    REQUIRE(in_fahrenheit(fahrenheit(x)) == Approx(x).epsilon(kRounding).margin(1e-12 * 600));
  }
}

TEST_CASE("Two ranges have in common what both contain", "[base][law]") {
  Dice dice(2);
  for (int i = 0; i < kTrials; ++i) {
    const auto range = [&dice] {
      const double low = dice.even(-10, 10);
      return Interval<double>{low, low + dice.even(0, 8)};
    };
    const Interval<double> a = range(), b = range();
    const auto both = intersect(a, b);
    const double x = dice.even(-12, 20);
    CAPTURE(a.low, a.high, b.low, b.high, x);
    REQUIRE((both && both->contains(x)) == (a.contains(x) && b.contains(x)));
  }
}

TEST_CASE("Turning there and back leaves a direction as it was", "[earth][law]") {
  Dice dice(3);
  for (int i = 0; i < kTrials; ++i) {
    const TrueDirection a = true_degrees(dice.even(-720, 720)), b = true_degrees(dice.even(-720, 720));
    const Angle turn = turn_between(a, b);
    REQUIRE(turn.si() >= -kPi);
    REQUIRE(turn.si() < kPi);
    REQUIRE(apart(a.turned(turn), b) < kRounding * 10);
    REQUIRE(apart(a.reciprocal().reciprocal(), a) < kRounding * 10);
    const Angle variation = degrees(dice.even(-30, 30));
    REQUIRE(apart(MagneticDirection::from_true(a, variation).to_true(variation), a) < kRounding * 10);
  }
}

TEST_CASE("A wind comes from where it was said to come from, as strong as it was said to be", "[earth][law]") {
  Dice dice(4);
  for (int i = 0; i < kTrials; ++i) {
    const TrueDirection from = true_degrees(dice.even(0, 360));
    const double kt = dice.log_even(1e-3, 150);
    const WindVector w = wind_from(from, knots(kt));
    CAPTURE(from.deg(), kt);
    REQUIRE(apart(w.from(), from) < kRounding * 10);
    REQUIRE(in_knots(w.speed()) == Approx(kt).epsilon(kRounding));
  }
}

TEST_CASE("Turning runway and wind together changes no component", "[earth][law]") {
  Dice dice(5);
  for (int i = 0; i < kTrials; ++i) {
    const TrueDirection track = true_degrees(dice.even(0, 360)), from = true_degrees(dice.even(0, 360));
    const Speed speed = knots(dice.log_even(0.1, 100));
    const Angle by = degrees(dice.even(-360, 360));
    const WindComponents before = components(wind_from(from, speed), track);
    const WindComponents after = components(wind_from(from.turned(by), speed), track.turned(by));
    CAPTURE(track.deg(), from.deg(), in_knots(speed), in_degrees(by));
    REQUIRE(after.headwind.si() == Approx(before.headwind.si()).margin(1e-11));
    REQUIRE(after.from_right.si() == Approx(before.from_right.si()).margin(1e-11));
  }
}

TEST_CASE("On the reciprocal a headwind is a tailwind and right is left", "[earth][law]") {
  Dice dice(6);
  for (int i = 0; i < kTrials; ++i) {
    const TrueDirection track = true_degrees(dice.even(0, 360));
    const WindVector w = dice.wind();
    const WindComponents there = components(w, track), back = components(w, track.reciprocal());
    REQUIRE(back.headwind.si() == Approx(-there.headwind.si()).margin(1e-11));
    REQUIRE(back.from_right.si() == Approx(-there.from_right.si()).margin(1e-11));
    REQUIRE(std::hypot(there.headwind.si(), there.from_right.si()) == Approx(w.speed().si()).epsilon(kRounding));
  }
}

TEST_CASE("Airspeed on the heading plus wind is ground speed on the track", "[earth][law]") {
  Dice dice(7);
  int held = 0;
  for (int i = 0; i < kTrials; ++i) {
    const TrueDirection track = true_degrees(dice.even(0, 360));
    const double v_mps = knots(dice.even(30, 150)).si();
    // Half of the trials sit where the crosswind is just about all the airspeed can take.
    const WindVector w = i % 2 == 0 ? dice.wind()
                                    : wind_from(track.turned(degrees(90)), metres_per_second(v_mps)) *
                                          (1.0 - (dice.even(0, 1) < 0.5 ? -1.0 : 1.0) * dice.log_even(1e-9, 1e-1));
    const WindTriangle t = hold_track(track, {metres_per_second(v_mps)}, w);
    const bool possible = std::abs(components(w, track).from_right.si()) <= v_mps;
    CAPTURE(track.deg(), v_mps, w.speed().si(), w.from().deg());
    REQUIRE(std::isnan(t.crab.si()) == !possible);
    if (!possible) {
      REQUIRE(t.ground_speed.si() == 0.0);
      continue;
    }
    ++held;
    const double psi = t.heading.angle().si(), chi = track.angle().si(), ground_mps = t.ground_speed.si();
    // 1e-7: next to a crab of 90 degrees rounding of the sine becomes its square root in the angle.
    REQUIRE(v_mps * std::sin(psi) + w.towards_east.si() == Approx(ground_mps * std::sin(chi)).margin(1e-7));
    REQUIRE(v_mps * std::cos(psi) + w.towards_north.si() == Approx(ground_mps * std::cos(chi)).margin(1e-7));
  }
  CHECK(held > kTrials / 2);
  CHECK(held < kTrials);
}

TEST_CASE("A profile turned or scaled is the turned or scaled wind at every height", "[earth][law]") {
  Dice dice(8);
  for (int i = 0; i < 200; ++i) {
    std::vector<WindProfile::Level> levels;
    double m = dice.even(0, 50);
    for (int k = 0; k < 4; ++k) levels.push_back({{metres(m += dice.log_even(1, 1000))}, dice.wind()});
    const WindProfile profile = WindProfile::levels(levels);
    const Angle by = degrees(dice.even(-180, 180));
    const double factor = dice.even(0, 2);
    const Height h = {metres(dice.even(-10, 2500))};
    const WindVector w = profile.at(h), turned = profile.turned(by).at(h), scaled = profile.scaled(factor).at(h);
    REQUIRE(apart(turned.from(), w.from().turned(by)) < 1e-9);
    REQUIRE(turned.speed().si() == Approx(w.speed().si()).epsilon(1e-10));
    REQUIRE(scaled.towards_east.si() == Approx(factor * w.towards_east.si()).margin(1e-10));
    REQUIRE(scaled.towards_north.si() == Approx(factor * w.towards_north.si()).margin(1e-10));
    for (const WindProfile::Level& level : levels) {
      REQUIRE(profile.at(level.height).towards_east == level.wind.towards_east);
      REQUIRE(profile.at(level.height).towards_north == level.wind.towards_north);
    }
  }
}

TEST_CASE("A law gives the same profile whatever the direction and in proportion to the speed", "[earth][law]") {
  Dice dice(9);
  for (int i = 0; i < 200; ++i) {
    const PowerLaw law = {dice.even(0.01, 0.6)};
    const double kt = dice.log_even(1, 60), m = dice.log_even(1, 1000);
    const WindProfile one = WindProfile::power_law(wind_from(true_degrees(360), knots(1)), law);
    const WindProfile other = WindProfile::power_law(wind_from(true_degrees(dice.even(0, 360)), knots(kt)), law);
    REQUIRE(other.at({metres(m)}).speed().si() == Approx(kt * one.at({metres(m)}).speed().si()).epsilon(1e-10));
  }
}

TEST_CASE("Pressure altitude and standard pressure invert each other", "[earth][law]") {
  Dice dice(10);
  for (int i = 0; i < kTrials; ++i) {
    const double m = i % 4 == 0 ? 11000.0 + dice.even(-1, 1) * dice.log_even(1e-6, 100) : dice.even(-5000, 20000);
    CAPTURE(m);
    REQUIRE(pressure_altitude(standard_pressure({metres(m)})).in_standard_atmosphere.si() == Approx(m).margin(1e-6));
  }
}

TEST_CASE("Density altitude and standard density invert each other", "[earth][law]") {
  Dice dice(11);
  for (int i = 0; i < kTrials; ++i) {
    const double m = i % 4 == 0 ? 11000.0 + dice.even(-1, 1) * dice.log_even(1e-6, 100) : dice.even(-5000, 20000);
    CAPTURE(m);
    REQUIRE(density_altitude(standard_density_ratio({metres(m)})).si() == Approx(m).margin(1e-6));
  }
}

TEST_CASE("Standard density is that of its own pressure and temperature", "[earth][law]") {
  Dice dice(12);
  for (int i = 0; i < kTrials; ++i) {
    const PressureAltitude h = {metres(dice.even(-5000, 20000))};
    REQUIRE(density_ratio(standard_pressure(h), standard_temperature(h)) ==
            Approx(standard_density_ratio(h)).epsilon(kRounding));
  }
}

TEST_CASE("The air of any day has the density of its own pressure and temperature", "[earth][law]") {
  Dice dice(13);
  for (int i = 0; i < kTrials; ++i) {
    const Altitude field = {feet(dice.even(-1000, 9000))};
    const Air air(hectopascals(dice.even(950, 1050)), field, celsius(dice.even(-40, 50)), DensityRule::local);
    const Altitude a = {feet(dice.even(-1000, 14000))};
    const Pressure p = standard_pressure(air.pressure_altitude_at(a));
    REQUIRE(air.sigma(a) == Approx(density_ratio(p, air.temperature_at(a))).epsilon(kRounding));
  }
}

TEST_CASE("An aerodrome's air does not depend on which of two points in one column reports it", "[earth][law]") {
  // The column seen from 2,000 ft higher, with the temperature and QNH it has there, is the same column.
  Dice dice(14);
  for (int i = 0; i < kTrials; ++i) {
    const Altitude low = {feet(dice.even(0, 5000))}, high = {low.above_sea_level + feet(2000)};
    const Air below(hectopascals(dice.even(970, 1040)), low, celsius(dice.even(-20, 40)), DensityRule::local);
    const Length correction = below.pressure_altitude_at(high).in_standard_atmosphere - high.above_sea_level;
    const Air above(standard_pressure({correction}), high, below.temperature_at(high), DensityRule::local);
    const Altitude a = {feet(dice.even(0, 15000))};
    REQUIRE(above.pressure_altitude_at(a).in_standard_atmosphere.si() ==
            Approx(below.pressure_altitude_at(a).in_standard_atmosphere.si()).margin(1e-6));
    REQUIRE(above.sigma(a) == Approx(below.sigma(a)).epsilon(1e-9));
  }
}

TEST_CASE("Calibrated and true airspeed invert each other", "[earth][law]") {
  Dice dice(15);
  for (int i = 0; i < kTrials; ++i) {
    const double kt = dice.even(30, 250), sigma = dice.even(0.3, 1.2);
    REQUIRE(in_knots(to_cas(to_tas({knots(kt)}, sigma), sigma).value) == Approx(kt).epsilon(kRounding));
  }
}

TEST_CASE("Places and bearings go into the frame and come back", "[earth][law]") {
  Dice dice(16);
  for (int i = 0; i < kTrials; ++i) {
    const double lat =
        i % 4 == 0 ? (dice.even(0, 1) < 0.5 ? -1.0 : 1.0) * (90.0 - dice.log_even(1e-7, 1)) : dice.even(-89, 89);
    const double lon = i % 3 == 0 ? 180.0 + dice.even(-0.1, 0.1) : dice.even(-180, 180);
    const LocalFrame frame({degrees(lat), degrees(lon)});
    const double reach_m = dice.log_even(0.01, 60000), towards = dice.even(0, 2 * kPi);
    const Position p = {metres(reach_m * std::sin(towards)), metres(reach_m * std::cos(towards))};
    const TrueDirection bearing = true_degrees(dice.even(0, 360));
    CAPTURE(lat, lon, reach_m, towards, bearing.deg());
    const Geodetic place = frame.to_geodetic(p);
    REQUIRE(in_metres(distance(frame.to_local(place), p)) < 1e-6);
    // Next to a pole a bearing is measured from a meridian, and rounding of the place turns that by 1e-8 m over the
    // distance from the pole.
    const double from_pole_m = (kPi / 2 - std::abs(place.latitude.si())) * 6.36e6;
    const double from_origin_pole_m = (90.0 - std::abs(lat)) * 1.11e5;
    const double slack = 1e-9 + 1e-7 / std::max(1e-3, std::min(from_pole_m, from_origin_pole_m)) + 1e-8 / reach_m;
    REQUIRE(apart(frame.to_local(place, frame.to_geodetic(p, bearing)), bearing) < slack);
  }
}

TEST_CASE("A runway's points laid off along its track lie at those distances", "[earth][law]") {
  Dice dice(17);
  for (int i = 0; i < kTrials; ++i) {
    const Position start = {metres(dice.even(-6e4, 6e4)), metres(dice.even(-6e4, 6e4))};
    const TrueDirection track = true_degrees(dice.even(0, 360));
    const double along = dice.even(-3000, 3000), right = dice.even(-3000, 3000);
    const Position p = offset(start, track, metres(along), metres(right));
    REQUIRE(in_metres(distance(start, p)) == Approx(std::hypot(along, right)).margin(1e-9));
    REQUIRE(in_metres(distance(offset(p, track.reciprocal(), metres(along), metres(right)), start)) < 1e-9);
  }
}

}  // namespace
