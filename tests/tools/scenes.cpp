#include "tests/tools/scenes.hpp"

namespace backfield::test {

aircraft::Figure figure(double si, aircraft::Scaled::Law law) {
  aircraft::Scaled scaled;
  scaled.value_si = si;
  scaled.law = law;
  return {scaled, {}, {"invented for tests", "", "", true}};
}

aircraft::Aircraft trainer(Speed climb_rate, Length roll, Length to_50ft) {
  aircraft::Aircraft a;
  a.name = "Test trainer (invented)";
  a.invented = true;
  a.kind = aircraft::AircraftClass::single_piston_fixed_gear;
  a.reference_mass = kilograms(1100);
  a.empty_mass = kilograms(700);
  a.max_take_off_mass = kilograms(1100);
  a.max_landing_mass = kilograms(1100);
  const auto kt = [](double v) { return Cas{knots(v)}; };
  a.speeds = {kt(54), kt(62), kt(74), kt(68), kt(50), kt(44), kt(60), kt(52)};
  const aircraft::Source invented{"invented for tests", "", "", true};
  a.polar = {9.0, 6.0, invented, 4.5, invented};
  a.climb_rate_v_y = figure(climb_rate.si());
  a.distances.take_off_roll = figure(roll.si());
  a.distances.take_off_to_50ft = figure(to_50ft.si());
  a.distances.take_off_wind = aircraft::BookWind::as_stated_for_the_case;
  a.distances.landing_float = figure(120.0);
  a.distances.landing_roll = figure(210.0, aircraft::Scaled::Law::inverse_sigma);
  a.distances.take_off_surface_factor.of = {{earth::Surface::paved, 1.0}};
  a.distances.landing_surface_factor.of = {{earth::Surface::paved, 1.0}};
  a.roll_rate_per_second = degrees(20);
  a.flap_time = seconds(3);
  return a;
}

flight::Model plain_model() {
  return {earth::DensityRule::aerodrome, flight::AngleRule::small,    flight::ShearRule::off,
          flight::WindRule::uniform,     flight::RollRule::allowance, flight::EntryRule::speed_kept};
}

flight::Technique plain_technique() {
  flight::Technique t;
  t.reaction = seconds(4);
  t.glide_factor = 0.9;
  t.banks = {degrees(30), degrees(45)};
  t.turn_stall_margin = 1.2;
  t.roll_allowance = feet(20);
  t.briefed_reversals = 1;
  return t;
}

flight::Model full_model() { return {}; }

flight::Technique full_technique() {
  flight::Technique t = plain_technique();
  t.line_up_bank = degrees(30);
  t.half_gust_on_speed = true;
  t.roll_allowance = {};
  return t;
}

earth::RunwayEnd runway(double track_deg, Length length, earth::Altitude elevation) {
  earth::RunwayEnd e;
  e.aerodrome = "ZZTT";
  e.track = earth::true_degrees(track_deg);
  const int tens = static_cast<int>(std::lround(track_deg / 10.0)) % 36;
  e.designator = std::to_string(tens == 0 ? 36 : tens);
  if (e.designator.size() == 1) e.designator.insert(0, "0");
  e.elevation = elevation;
  e.pavement = length;
  e.tora = e.toda = e.asda = e.lda = length;
  e.surface = earth::Surface::paved;
  return e;
}

earth::RunwayEnd opposite(const earth::RunwayEnd& end) {
  earth::RunwayEnd other = runway(end.track.reciprocal().deg(), end.pavement, end.elevation);
  other.pavement_start = earth::offset(end.pavement_start, end.track, end.pavement);
  other.slope = -end.slope;
  return other;
}

}  // namespace backfield::test
