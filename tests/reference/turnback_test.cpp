// The path finder against closed forms of the turnback in still air over an endless runway.
//
// Start over the centreline at a distance d beyond the runway's end, heading away, at turning speed. Turn by pi + theta
// at a held lift coefficient, glide straight, turn back by theta. With R the radius, a the height lost per radian of
// turn and E the glide ratio, the aeroplane is aligned D = 2R/sin(theta) nearer after
//   a (pi + 2 theta) + 2R/E cot(theta)
// of height; least at sin(theta)^2 = R/(aE), if that is over the runway; else theta = asin(2R/d) aligns at its end.
// The figures below were worked from these formulas apart from this program.
//
// The finder keeps 2 ft in hand, which are added here. It holds an airspeed where the formulas hold the lift
// coefficient, so its margin over the stall is taken smaller by the root of cos(gamma). Its turns are never slower than
// best glide speed, so only aeroplanes and margins are asked whose turning speed is above that.
//
// Published:
//   [R]   D. F. Rogers, the possible "impossible" turn, J. Aircraft 1995 (its abstract, as quoted): 45 degrees of
//         bank, a change of heading of 190 to 220 degrees in calm air
//   [AFH] FAA-H-8083-3B, Airplane Flying Handbook (2016), Fig. 17-5; its inputs as in turn_test.cpp

#include "src/flight/approach.hpp"
#include "tests/tools/reference_aircraft.hpp"
#include "tests/tools/scenes.hpp"

#include <catch2/catch.hpp>

#include <array>
#include <cmath>
#include <random>
#include <vector>

namespace {

using namespace backfield;
using namespace backfield::test;
using flight::AngleRule;
using flight::ReachStatus;

constexpr double kMissed_m = 0.2;     // what the finder may lose by its steps in heading
constexpr double kRounding_m = 0.02;  // no answer beats the closed form by more than the figures' rounding

/// A failure at `distance_m` beyond the end of a westerly runway without end, heading east.
struct Turnback {
  aircraft::Aircraft aeroplane;
  flight::Technique technique;
  flight::Model model = plain_model();
  Angle bank = degrees(45);
  Temperature oat = celsius(15);
  double runway_end_m = 0.0;

  Turnback(const ReferenceAircraft& p, double margin, AngleRule angle) {
    aeroplane = trainer(feet_per_minute(700), metres(200), metres(440));
    aeroplane.polar.glide_ratio = p.glide_ratio();
    aeroplane.speeds.best_glide = {metres_per_second(p.best_glide_mps())};
    aeroplane.speeds.stall_clean = {metres_per_second(p.stall_mps())};
    technique.glide_factor = 1.0;
    technique.turn_stall_margin = margin;
    model.angle = angle;
  }

  [[nodiscard]] std::array<flight::PathResult, 2> ask(double distance_m, double height_m) const {
    const aircraft::Performance performance(aeroplane, aeroplane.reference_mass);
    const earth::Altitude datum{metres(0)};
    const earth::Environment environment{{hectopascals(1013.25), datum, oat, model.density},
                                         earth::WindProfile::uniform({})};
    const flight::PathFinder finder({.performance = &performance,
                                     .technique = technique,
                                     .model = model,
                                     .environment = environment,
                                     .datum = datum,
                                     .bank = bank,
                                     .top = metres(2000),
                                     .search_hopeless = true});
    flight::AirState failure;
    failure.east_m = runway_end_m + distance_m;
    failure.height_m = height_m;
    failure.heading_rad = kPi / 2.0;
    failure.tas_mps = earth::to_tas(finder.turn_speed(), environment.air.sigma(datum)).value.si();
    const flight::Goal goal{
        {metres(runway_end_m), metres(0)}, earth::true_degrees(270), datum, {metres(0), metres(30000)}, metres(0)};
    return finder.reach(*finder.fan(failure), *finder.target(goal));
  }
  [[nodiscard]] bool works(double distance_m, double height_m) const {
    const auto sides = ask(distance_m, height_m + flight::kReserve_m);
    return sides[0].status == ReachStatus::reached || sides[1].status == ReachStatus::reached;
  }
  [[nodiscard]] double lowest(double distance_m) const {
    double low = 0.0;
    double high = 800.0;
    while (high - low > 1e-3) {
      const double mid = 0.5 * (low + high);
      (works(distance_m, mid) ? high : low) = mid;
    }
    return high;
  }
};

/// The margin that gives the finder the lift coefficient of `margin` in a turn with the exact glide angle.
double margin_at_lift(const ReferenceAircraft& p, double margin, Angle bank) {
  const double cl = p.cl_max / (margin * margin);
  const double slope = (p.cd0 / cl + p.k * cl) / std::cos(bank.si());
  return margin / std::sqrt(std::sqrt(1.0 + slope * slope));
}

void check_lowest(const Turnback& t, const std::array<double, 4>& expected_m) {
  constexpr std::array<double, 4> kDistances_m{0, 500, 1000, 2000};
  for (std::size_t i = 0; i < expected_m.size(); ++i) {
    const double found = t.lowest(kDistances_m[i]);
    CAPTURE(kDistances_m[i], expected_m[i], found);
    CHECK(found >= expected_m[i] - kRounding_m);
    CHECK(found <= expected_m[i] + kMissed_m);
  }
}

TEST_CASE("The lowest turnback is the closed form's, with the exact glide angle", "[flight][reference]") {
  struct Row {
    ReferenceAircraft plane;
    double margin;
    std::array<double, 4> lowest_m;
  };
  const Row row = GENERATE(Row{kReferenceTrainer, 1.20, {108.569, 115.74, 154.56, 242.70}},
                           Row{kReferenceTrainer, 1.30, {124.207, 128.10, 164.49, 251.57}},
                           Row{kReferenceSailplane, 1.30, {25.501, 30.87, 45.28, 75.74}});
  CAPTURE(row.plane.glide_ratio(), row.margin);
  check_lowest({row.plane, margin_at_lift(row.plane, row.margin, degrees(45)), AngleRule::exact}, row.lowest_m);
}

TEST_CASE("At 30 degrees, where best glide speed is the turning speed, it is too", "[flight][reference]") {
  // v = 1: sin(gamma) = (1 + n^2) / 2E, so R = 220.319 m and a = 23.4720 m
  Turnback t(kReferenceTrainer, 1.20, AngleRule::exact);
  t.bank = degrees(30);
  check_lowest(t, {145.724, 145.967, 177.199, 262.455});
}

TEST_CASE("In thinner air every height and distance of a turnback grows as density falls", "[flight][reference]") {
  Turnback t(kReferenceTrainer, margin_at_lift(kReferenceTrainer, 1.20, degrees(45)), AngleRule::exact);
  t.oat = kelvins(288.15 / 0.9);
  CHECK(t.lowest(0.0) == Approx(108.569 / 0.9).margin(kMissed_m));
  CHECK(t.lowest(1000.0 / 0.9) == Approx(154.56 / 0.9).margin(kMissed_m));
}

TEST_CASE("No path of ours beats the best one of continuously varied bank", "[flight][reference]") {
  // Least height of any control of bank and speed down to 1.30 of the stall, small angles: the integral of
  // sqrt((ds/E)^2 + (Vbg^2/(gE) dpsi)^2), by Pontryagin's principle. Two arcs of 45 degrees need 126.312 m.
  constexpr double kContinuous_m = 122.175;
  Turnback t(kReferenceTrainer, 1.30, AngleRule::small);
  CHECK(t.lowest(0.0) == Approx(126.312).margin(kMissed_m));
  std::mt19937 random(29);
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  for (int i = 0; i < 300; ++i) {
    t.bank = degrees(between(30, 60));
    t.technique.line_up_bank = degrees(between(30, 60));
    t.technique.turn_stall_margin = between(1.30, 1.35);
    const double distance_m = between(-500, 200);
    CAPTURE(i, in_degrees(t.bank), in_degrees(*t.technique.line_up_bank), distance_m);
    CHECK_FALSE(t.works(distance_m, kContinuous_m - 0.05));
    for (const auto& side : t.ask(distance_m, kContinuous_m)) {
      CHECK(side.lower_bound.si() > 0.0);
      CHECK(side.lower_bound.si() < kContinuous_m);
    }
  }
}

TEST_CASE("The lower bound is a third of what is needed at the runway's end, three quarters at 2 km",
          "[flight][reference]") {
  // sqrt((d/E)^2 + (pi Vbg^2/(gE))^2) against the lowest turnback above: a bound that turns on the spot is wide close
  // in.
  struct Row {
    double distance_m, share;
  };
  const Row row = GENERATE(Row{0, 36.7271 / 108.569}, Row{500, 58.6228 / 115.74}, Row{1000, 98.4829 / 154.56},
                           Row{2000, 186.4318 / 242.70}, Row{4000, 367.3967 / 423.87});
  const Turnback t(kReferenceTrainer, margin_at_lift(kReferenceTrainer, 1.20, degrees(45)), AngleRule::exact);
  const double lowest = t.lowest(row.distance_m);
  const double bound = t.ask(row.distance_m, lowest)[0].lower_bound.si();
  CAPTURE(row.distance_m, lowest, bound);
  CHECK(bound / lowest < row.share + 0.0005);
  CHECK(bound / lowest > row.share - 0.03);
}

TEST_CASE("A steeper first turn and a shallower last one come nearer to the continuous optimum",
          "[flight][reference]") {
  // Of 122.175 m, as above: 3.4 per cent more with 45 degrees in both turns.
  constexpr double kContinuous_m = 122.175;
  Turnback t(kReferenceTrainer, 1.30, AngleRule::small);
  double best = 1e9;
  for (double first = 42.0; first <= 54.0; first += 2.0) {
    for (double last = 36.0; last <= 48.0; last += 2.0) {
      t.bank = degrees(first);
      t.technique.line_up_bank = degrees(last);
      best = std::min(best, t.lowest(0.0));
    }
  }
  CAPTURE(best);
  CHECK(best < 126.312 - 0.2);
  CHECK(best > kContinuous_m);
  WARN("two banks: " << best << " m, " << 100.0 * (best / kContinuous_m - 1.0) << " % over the continuous optimum");
}

TEST_CASE("The best single bank is a little over 45 degrees and gains next to nothing", "[flight][reference]") {
  for (const double distance_m : {0.0, 500.0, 1000.0}) {
    double best_deg = 0.0;
    double best_m = 1e9;
    double at_45_m = 0.0;
    for (double deg = 42.0; deg <= 54.0; deg += 1.0) {
      Turnback t(kReferenceTrainer, margin_at_lift(kReferenceTrainer, 1.20, degrees(deg)), AngleRule::exact);
      t.bank = degrees(deg);
      const double here_m = t.lowest(distance_m);
      if (deg == 45.0) at_45_m = here_m;
      if (here_m < best_m) {
        best_m = here_m;
        best_deg = deg;
      }
    }
    CAPTURE(distance_m);
    CHECK(best_deg >= 46.0);
    CHECK(best_deg <= 48.0);
    CHECK(at_45_m / best_m < 1.008);
  }
}

TEST_CASE("A kilometre out the first turn is one of 196 degrees", "[flight][reference]") {
  const Turnback t(kReferenceTrainer, margin_at_lift(kReferenceTrainer, 1.20, degrees(45)), AngleRule::exact);
  const auto sides = t.ask(1000.0, 154.56 + flight::kReserve_m + kMissed_m);
  REQUIRE(sides[0].status == ReachStatus::reached);
  const double turned_deg = -in_degrees(sides[0].first_turn);
  CHECK(turned_deg == Approx(180.0 + 15.59).margin(1.0));  // asin(2R/d)
  CHECK(turned_deg > 190.0);                               // [R]
  CHECK(turned_deg < 220.0);                               // [R]
}

TEST_CASE("A turnback may work between two heights only, and the runway's length moves both", "[flight][reference]") {
  // 50 ft at 450 m, a climb of so much height per distance, 144 m of glide straight on before the turn.
  struct Row {
    double climb, runway_m;
    std::vector<double> edges_m;
  };
  const Row row = GENERATE(Row{0.08, 800, {}}, Row{0.08, 1200, {}}, Row{0.08, 2000, {121.8, 525.0}},
                           Row{0.10, 800, {449.1}}, Row{0.10, 1200, {135.2}}, Row{0.12, 800, {187.4}});
  Turnback t(kReferenceTrainer, margin_at_lift(kReferenceTrainer, 1.20, degrees(45)), AngleRule::exact);
  const double tan_gamma = 1.0 / kReferenceTrainer.glide_ratio();
  constexpr double kTurningSpeed_mps = 36.467;
  t.technique.reaction = seconds(144.0 * std::sqrt(1.0 + tan_gamma * tan_gamma) / kTurningSpeed_mps);
  t.runway_end_m = row.runway_m;
  const auto works = [&](double height_m) {
    return t.works(450.0 + (height_m - feet(50).si()) / row.climb - row.runway_m, height_m);
  };
  std::vector<double> edges;
  for (double h = 20.0; h < 1500.0; h += 5.0) {
    double low = h;
    double high = h + 5.0;
    const bool below = works(low);
    if (below == works(high)) continue;
    while (high - low > 0.01) {
      const double mid = 0.5 * (low + high);
      (works(mid) == below ? low : high) = mid;
    }
    edges.push_back(low);
  }
  CAPTURE(row.climb, row.runway_m, edges);
  REQUIRE(edges.size() == row.edges_m.size());
  // Where climb and glide are nearly parallel a decimetre of need moves an edge by metres, inwards.
  for (std::size_t i = 0; i < edges.size(); ++i) {
    const double inwards = i == 0 ? edges[i] - row.edges_m[i] : row.edges_m[i] - edges[i];
    CHECK(inwards > -0.1);
    CAPTURE(i, inwards);
    CHECK(inwards < 1.0);
  }
}

TEST_CASE("The handbook's turnback at 300 ft is refused, and lacks more than its 1,016 ft", "[flight][reference]") {
  // 65 kt, three degrees a second, 1,000 ft/min in the turn, four seconds of reaction: see turn_test.cpp. The turns
  // back on to the centreline come to more than the 225 degrees of the figure.
  Turnback t(kReferenceTrainer, 1.0, AngleRule::small);
  const double V = knots(65).si();
  t.bank = radians(std::atan(V * degrees(3).si() / kStandardGravity));
  const double sec = 1.0 / std::cos(t.bank.si());
  t.aeroplane.speeds.best_glide = {knots(65)};
  t.aeroplane.speeds.stall_clean = {knots(45)};
  t.aeroplane.polar.glide_ratio = 0.5 * (1.0 + sec * sec) * V / feet_per_minute(1000).si();
  t.technique.reaction = seconds(4);
  for (const auto& side : t.ask(0.0, feet(300).si())) {
    CHECK(side.status == ReachStatus::too_short);
    CHECK(in_feet(side.surplus) < -1016.0);  // [AFH]
  }
}

}  // namespace
