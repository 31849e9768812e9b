#include "tests/tools/random_scene.hpp"

#include <algorithm>

namespace backfield::test {

RandomScene SceneMaker::scene() {
  RandomScene s;
  s.aeroplane = trainer(feet_per_minute(between(300, 1400)), metres(250), metres(440));
  const double faster = between(0.8, 1.6);
  aircraft::Speeds& v = s.aeroplane.speeds;
  for (Cas* cas : {&v.v_r, &v.v_x, &v.v_y, &v.best_glide, &v.stall_clean, &v.stall_landing, &v.v_ref, &v.touchdown}) {
    cas->value = cas->value * faster;
  }
  s.aeroplane.polar.glide_ratio = between(7, 14);
  s.aeroplane.roll_rate_per_second = degrees(between(12, 40));
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

  const earth::RunwayEnd end = runway(between(0, 360), metres(between(600, 3000)), s.datum);
  const double stop = between(200, 550);
  s.goal = {end.threshold(),
            end.track,
            {s.datum.above_sea_level + feet(between(-150, 150))},
            {metres(0), metres(std::max(30.0, end.pavement.si() - stop))},
            feet(between(80, 300))};
  return s;
}

flight::AirState SceneMaker::failure(const RandomScene& s) {
  flight::AirState f;
  const double track = s.goal.track.angle().si();
  if (chance(0.7)) {
    // Out along the reciprocal, as after a departure.
    const double along = -between(-1500, 4500);
    const double aside = between(-60, 60);
    f.east_m = s.goal.threshold.east.si() + along * std::sin(track) + aside * std::cos(track);
    f.north_m = s.goal.threshold.north.si() + along * std::cos(track) - aside * std::sin(track);
    f.heading_rad = track + kPi + between(-0.2, 0.2);
  } else {
    f.east_m = between(-4000, 4000);
    f.north_m = between(-4000, 4000);
    f.heading_rad = between(0, 2.0 * kPi);
  }
  const double q = 1.0 / std::sqrt(s.environment->air.sigma(s.datum));
  f.tas_mps = s.performance->v_y().value.si() * q;
  f.gamma_rad = -std::asin(between(0.02, 0.15));
  f.bank_rad = chance(0.15) ? between(-0.4, 0.4) : 0.0;
  return f;
}

}  // namespace backfield::test
