#include "tests/tools/random_scene.hpp"

#include <algorithm>
#include <iterator>

namespace backfield::test {
namespace {

/// What sets one class of aircraft apart in a scene; invented round figures.
struct ClassRanges {
  aircraft::AircraftClass kind;
  Interval<double> best_glide_kt, glide_ratio, roll_rate_deg, alignment_ft, runway_m;
};

using Kind = aircraft::AircraftClass;
constexpr ClassRanges kLight = {
    Kind::single_piston_fixed_gear, {54.4, 108.8}, {7, 14}, {12, 40}, {80, 300}, {600, 3000}};
constexpr ClassRanges kClasses[] = {
    {Kind::single_piston_fixed_gear, {55, 85}, {7, 12}, {15, 40}, {100, 100}, {600, 3000}},
    {Kind::single_piston_retractable, {70, 115}, {8, 14}, {15, 40}, {150, 150}, {600, 3000}},
    {Kind::light_twin, {85, 125}, {8, 14}, {14, 35}, {200, 200}, {800, 3000}},
    {Kind::single_turboprop, {85, 130}, {11, 17}, {14, 35}, {200, 200}, {800, 3000}},
    {Kind::twin_turboprop, {100, 150}, {10, 16}, {12, 30}, {200, 200}, {1000, 3500}},
    {Kind::light_jet, {110, 180}, {11, 18}, {12, 30}, {300, 300}, {1500, 4000}},
};

constexpr double kFast_kt = 110.0;  // best glide speed above which scenes grow

}  // namespace

RandomScene SceneMaker::scene() {
  RandomScene s;
  const ClassRanges& c =
      fleet_ == Fleet::light
          ? kLight
          : kClasses[std::uniform_int_distribution<std::size_t>(0, std::size(kClasses) - 1)(random_)];
  s.aeroplane = trainer(feet_per_minute(between(300, 1400)), metres(250), metres(440));
  s.aeroplane.kind = c.kind;
  aircraft::Speeds& v = s.aeroplane.speeds;
  const double faster = between(c.best_glide_kt) / in_knots(v.best_glide.value);
  for (Cas* cas : {&v.v_r, &v.v_x, &v.v_y, &v.best_glide, &v.stall_clean, &v.stall_landing, &v.v_ref, &v.touchdown}) {
    cas->value = cas->value * faster;
  }
  s.spread = std::max(1.0, in_knots(v.best_glide.value) / kFast_kt);
  s.aeroplane.polar.glide_ratio = between(c.glide_ratio);
  s.aeroplane.polar.glide_ratio_landing_flap = 0.65 * s.aeroplane.polar.glide_ratio;
  s.aeroplane.polar.glide_ratio_slip = 0.5 * s.aeroplane.polar.glide_ratio;
  s.aeroplane.limits.slip_allowed = true;
  s.aeroplane.roll_rate_per_second = degrees(between(c.roll_rate_deg));
  s.performance = std::make_unique<aircraft::Performance>(s.aeroplane, kilograms(between(850, 1100)));
  s.model = chance(0.25) ? plain_model() : full_model();
  s.technique = s.model.roll == flight::RollRule::allowance ? plain_technique() : full_technique();
  s.technique.reaction = seconds(between(2, 6));
  s.technique.glide_factor = between(0.85, 1.0);
  if (s.technique.line_up_bank) s.technique.line_up_bank = degrees(between(20, 45));
  s.bank = degrees(between(20, 50));
  s.gust_spread = chance(0.3) ? knots(between(0, 12)) : Speed{};
  s.datum = {feet(between(0, 6000))};
  const earth::Air air(hectopascals(between(985, 1035)), s.datum, celsius(between(-20, 40)), s.model.density);
  const earth::WindVector w = earth::wind_from(earth::true_degrees(between(0, 360)), knots(between(0, 40)));
  const auto law = earth::PowerLaw{between(0.05, 0.15)};
  const double kind = between(0, 1);
  earth::WindProfile profile = earth::WindProfile::uniform(w);
  if (kind > 0.3) profile = earth::WindProfile::power_law(w, law);
  if (kind > 0.8) {
    const auto aloft = [&](double ft) {
      return earth::WindProfile::Level{
          {feet(ft)},
          earth::wind_from(earth::TrueDirection(w.from().angle() + degrees(between(-40, 40))),
                           w.speed() * between(0.8, 1.5))};
    };
    profile = earth::WindProfile::joined(w, law, {aloft(1500), aloft(3500)});
  }
  s.environment = std::make_unique<earth::Environment>(earth::Environment{air, profile});

  const earth::RunwayEnd end = runway(between(0, 360), metres(between(c.runway_m)), s.datum);
  // Float and roll grow as the speed, not its square: fast aircraft brake harder.
  const double stop = between(200, 550) * s.spread;
  s.goal = {end.threshold(),
            end.track,
            {s.datum.above_sea_level + feet(between(-150, 150))},
            {metres(0), metres(std::max(30.0, end.pavement.si() - stop))},
            feet(between(c.alignment_ft))};
  return s;
}

void SceneMaker::give_feathering(RandomScene& s) {
  aircraft::Feathering feathering;
  feathering.glide_ratio_unfeathered = s.aeroplane.polar.glide_ratio * between(0.5, 0.95);
  feathering.best_glide_unfeathered = {s.aeroplane.speeds.best_glide.value * between(0.9, 1.0)};
  feathering.time = seconds(between(0, 15));
  s.aeroplane.feathering = feathering;
}

void SceneMaker::give_power(RandomScene& s) {
  // Rates from the sea level standard value to nothing at a ceiling; invented.
  const double at_sea_level = between(1.5, 12.0);
  const double ceiling_m = between(4000, 12000);
  aircraft::Grid grid{.mass_kg = {},
                      .pressure_altitude_m = {-1000.0, 0.0, 1000.0, 2500.0, 9000.0},
                      .temperature_k = {200.0, 340.0},
                      .values_si = {},
                      .clamp_mass_low = false,
                      .clamp_altitude_low = false,
                      .clamp_temperature_low = false};
  for (const double mass_kg : {500.0, 3000.0}) {
    grid.mass_kg.push_back(mass_kg);
    for (const double altitude_m : grid.pressure_altitude_m) {
      const double rate = at_sea_level * (1.0 - altitude_m / ceiling_m);
      grid.values_si.insert(grid.values_si.end(), {rate, rate});
    }
  }
  s.aeroplane.climb_rate_v_y = aircraft::Figure(std::move(grid), {"invented", {}, {}, false});
  s.power = aircraft::PowerCondition{aircraft::PowerLeft::fraction, between(0.05, 1.0), between(0.7, 1.0)};
  if (chance(0.5)) s.least_speed = Cas{s.performance->best_glide().value * between(0.95, 1.2)};
  s.goal.aim.high = metres(90'000);
}

void SceneMaker::give_shear(RandomScene& s, Speed most) {
  constexpr int kLevels = 20;
  const earth::WindProfile& plain = s.environment->wind;
  const double lowest_ft = between(100, 400);
  const double step_ft = between(60, 200);
  std::vector<earth::WindProfile::Level> levels;
  earth::WindVector wind = plain.at({feet(lowest_ft)});
  for (int i = 0; i < kLevels; ++i) {
    levels.push_back({{feet(lowest_ft + step_ft * i)}, wind});
    const auto change =
        earth::wind_from(earth::true_degrees(between(0, 360)), most * (between(0, 1) * step_ft / 100.0));
    const earth::WindVector next{wind.towards_east + change.towards_east, wind.towards_north + change.towards_north};
    if (next.speed() < knots(60)) wind = next;
  }
  const auto law = earth::PowerLaw{between(0.05, 0.15)};
  const earth::WindProfile sheared = earth::WindProfile::joined(plain.surface(), law, levels);
  s.environment = std::make_unique<earth::Environment>(earth::Environment{s.environment->air, sheared});
  s.reflight_step_s = 0.0125;  // by 0.1 s it is itself a metre off where the shear jumps
}

flight::AirState SceneMaker::failure(const RandomScene& s) {
  flight::AirState f;
  const double track = s.goal.track.angle().si();
  if (chance(0.7)) {
    // Out along the reciprocal, as after a departure.
    const double along = -between(-1500, 4500) * s.spread;
    const double aside = between(-60, 60);
    f.east_m = s.goal.threshold.east.si() + along * std::sin(track) + aside * std::cos(track);
    f.north_m = s.goal.threshold.north.si() + along * std::cos(track) - aside * std::sin(track);
    f.heading_rad = track + kPi + between(-0.2, 0.2);
  } else {
    f.east_m = between(-4000, 4000) * s.spread;
    f.north_m = between(-4000, 4000) * s.spread;
    f.heading_rad = between(0, 2.0 * kPi);
  }
  const double q = 1.0 / std::sqrt(s.environment->air.sigma(s.datum));
  f.tas_mps = s.performance->v_y().value.si() * q;
  f.gamma_rad = -std::asin(between(0.02, 0.15));
  f.bank_rad = chance(0.15) ? between(-0.4, 0.4) : 0.0;
  return f;
}

}  // namespace backfield::test
