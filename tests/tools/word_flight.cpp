#include "tests/tools/word_flight.hpp"

#include "backfield/flight/equations.hpp"

#include <cmath>

namespace backfield::test {

flight::Model rendezvous_model() {
  flight::Model model = plain_model();
  model.wind = flight::WindRule::profile;
  return model;
}

WordPilot word_pilot(const RandomScene& scene, Angle last_bank) {
  const double tas_per_cas = 1.0 / std::sqrt(scene.environment->air.sigma(scene.datum));
  const double best_glide = scene.performance->best_glide().value.si();
  const double ratio = scene.performance->aircraft().polar.glide_ratio * scene.technique.glide_factor;
  const auto descent = [&](Cas speed, Angle bank) {
    const double sec = 1.0 / std::cos(bank.si());
    const auto trim = flight::equations::trim(speed.value.si(), best_glide, sec * sec, 1.0, ratio);
    const double V = speed.value.si() * tas_per_cas;
    return flight::Descending{metres_per_second(V), metres_per_second(V * (trim.parasite + trim.induced))};
  };
  const auto turn_speed = [&](Angle bank) {
    return flight::power_off_turn_speed(*scene.performance, scene.technique, bank, scene.gust_spread);
  };
  WordPilot p;
  p.straight_speed = {metres_per_second(best_glide)};
  p.first_bank = scene.bank;
  p.first_speed = turn_speed(p.first_bank);
  p.last_bank = last_bank;
  p.last_speed = turn_speed(p.last_bank);
  p.setup = {.first = flight::circling(descent(p.first_speed, p.first_bank), p.first_bank),
             .straight = descent(p.straight_speed, {}),
             .last = flight::circling(descent(p.last_speed, p.last_bank), p.last_bank),
             .wind = scene.environment->wind};
  return p;
}

flight::Path schedule(const WordPilot& pilot, const flight::AirPose& from, const flight::RendezvousResult& path,
                      double on_s) {
  flight::Path flown;
  flown.start.east_m = from.position.east.si();
  flown.start.north_m = from.position.north.si();
  flown.start.height_m = from.height.si();
  flown.start.heading_rad = from.heading.angle().si();
  flown.start.tas_mps = pilot.setup.straight.airspeed.si();
  const auto turn = [&](Angle right, Angle bank, Cas speed, const flight::Circling& how) {
    flight::Segment s;
    s.hold = flight::Hold::bank;
    s.duration_s = std::abs(right.si()) * how.radius.si() / how.descent.airspeed.si();
    s.bank_from_rad = s.bank_to_rad = std::copysign(bank.si(), right.si());
    s.cas_from_mps = s.cas_to_mps = speed.value.si();
    if (s.duration_s > 0.0) flown.segments.push_back(s);
  };
  const auto straight = [&](double time) {
    flight::Segment s;
    s.duration_s = time;
    s.cas_from_mps = s.cas_to_mps = pilot.straight_speed.value.si();
    if (s.duration_s > 0.0) flown.segments.push_back(s);
  };
  turn(path.first_turn, pilot.first_bank, pilot.first_speed, pilot.setup.first);
  straight(path.straight.si());
  turn(path.middle_turn, pilot.first_bank, pilot.first_speed, pilot.setup.first);
  turn(path.last_turn, pilot.last_bank, pilot.last_speed, pilot.setup.last);
  straight(on_s);
  return flown;
}

flight::AirPose fly_word(const flight::RendezvousSetup& setup, const flight::AirPose& from,
                         const flight::RendezvousResult& path) {
  double east = from.position.east.si();
  double north = from.position.north.si();
  double height = from.height.si();
  double heading = from.heading.angle().si();
  const auto fly = [&](const flight::Descending& how, double time, double right) {
    constexpr double kStep_s = 0.05;
    const int parts = static_cast<int>(std::ceil(time / kStep_s));
    const double V = how.airspeed.si();
    const double dt = parts > 0 ? time / parts : 0.0;
    const double turn = parts > 0 ? right / parts : 0.0;
    for (int i = 0; i < parts; ++i) {
      constexpr double kWeights[] = {1.0 / 6.0, 4.0 / 6.0, 1.0 / 6.0};
      for (int k = 0; k < 3; ++k) {
        const double at = height - 0.5 * k * dt * how.sink.si();
        const auto wind = setup.wind.at({metres(at)});
        const double psi = heading + 0.5 * k * turn;
        east += kWeights[k] * dt * (V * std::sin(psi) + wind.towards_east.si());
        north += kWeights[k] * dt * (V * std::cos(psi) + wind.towards_north.si());
      }
      height -= dt * how.sink.si();
      heading += turn;
    }
  };
  const auto turn = [&](const flight::Circling& how, Angle right) {
    fly(how.descent, std::abs(right.si()) * how.radius.si() / how.descent.airspeed.si(), right.si());
  };
  turn(setup.first, path.first_turn);
  fly(setup.straight, path.straight.si(), 0.0);
  turn(setup.first, path.middle_turn);
  turn(setup.last, path.last_turn);
  return {{metres(east), metres(north)}, earth::TrueDirection(radians(heading)), metres(height)};
}

}  // namespace backfield::test
