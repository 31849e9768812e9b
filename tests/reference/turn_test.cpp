// Level turns against published figures.
//
// Sources:
//   [LF]    load factors by bank, the table of the FAA knowledge tests as reproduced at ja3.jsfiddle.net/parte/4582533.
//           It truncates at 30 and 70 degrees, and its 5.747 at 80 degrees is 0.2 % low.
//   [AFH]   FAA-H-8083-3B, Airplane Flying Handbook (2016), Fig. 17-5: 300 ft, 180 and 225 degrees, 1,016 ft below the
//           runway. Its lateral offset of 4,480 ft belongs to 80 mph and contradicts the example's own 65 kt.
//   [AFH-C] FAA-H-8083-3C, ch. 18, deceleration of a crash; its distances are 1.2 % above v^2/2a
//   [ECQB]  EASA question bank, principles of flight: radius at 120 kt and 60 degrees with g = 10 m/s2
//   [PF]    pilotfriend.com, "Turning": a limit of 3.8 g is reached at 74.7 degrees
// Where a check has no source beside it, the figure was worked apart from this program from g = 9.80665 m/s2.

#include "backfield/flight/turn.hpp"

#include <catch2/catch.hpp>

#include <limits>
#include <stdexcept>

namespace {

using namespace backfield;
using namespace backfield::flight;

constexpr double kStandardRate_degps = 3.0;

double radius_ft(double kt, double bank_deg) { return in_feet(turn_radius({knots(kt)}, degrees(bank_deg))); }
double bank_at_standard_rate_deg(Speed v) { return in_degrees(bank_for_rate({v}, degrees(kStandardRate_degps))); }

TEST_CASE("Load factor and stall speed in a turn match the published table", "[flight][reference]") {
  struct Row {
    double bank_deg, n, stall_factor, published, published_tolerance;
  };
  // clang-format off
  const Row row = GENERATE(
      Row{10,    1.0154, 1.0077,  1.015, 0.0005},    // [LF]
      Row{30,    1.1547, 1.0746,  1.154, 0.001},     // [LF], truncated
      Row{45,    1.4142, 1.1892,  1.414, 0.0005},    // [LF]
      Row{60,    2.0000, 1.4142,  2.000, 0.0005},    // [LF]
      Row{70,    2.9238, 1.7099,  2.923, 0.001},     // [LF], truncated
      Row{74.7,  3.7897, 1.9467,  3.8,   0.05},      // [PF]
      Row{80,    5.7588, 2.3997,  5.747, 0.012},     // [LF], 0.2 % low
      Row{85,   11.4737, 3.3873, 11.473, 0.001});    // [LF], truncated
  // clang-format on
  CAPTURE(row.bank_deg);
  const double n = load_factor(degrees(row.bank_deg));
  CHECK(n == Approx(row.n).margin(5e-5));
  CHECK(n == Approx(row.published).margin(row.published_tolerance));
  CHECK(std::sqrt(n) == Approx(row.stall_factor).margin(5e-5));
}

TEST_CASE("A stall speed of 60 kt becomes 84.85 kt at 60 degrees", "[flight][reference]") {
  CHECK(60.0 * std::sqrt(load_factor(degrees(60))) == Approx(84.85).margin(0.005));
}

TEST_CASE("Radii of turn are exact where printed constants are not", "[flight][reference]") {
  CHECK(radius_ft(100, 45) == Approx(885.4).margin(0.05));
  // A widely copied collection has V^2/(11.23 tan bank): 890.5 ft, 0.58 % too large.
  CHECK(radius_ft(100, 45) == Approx(100.0 * 100.0 / 11.23).epsilon(0.006));
  CHECK(std::abs(radius_ft(100, 45) - 100.0 * 100.0 / 11.23) > 4.0);
  CHECK(radius_ft(240, 30) == Approx(8833.3).margin(0.05));
  CHECK(radius_ft(240, 30) == Approx(4.0 * radius_ft(120, 30)));
}

TEST_CASE("At 120 kt and 60 degrees the radius is 220 m with g of 10 and 224.4 m with the standard one",
          "[flight][reference]") {
  const double radius_m = in_metres(turn_radius({knots(120)}, degrees(60)));
  CHECK(radius_m * kStandardGravity / 10.0 == Approx(220.0).margin(0.5));  // [ECQB]
  CHECK(radius_m == Approx(224.4).margin(0.05));
}

TEST_CASE("At 200 kt and 45 degrees a full circle takes 65.9 s", "[flight][reference]") {
  CHECK(360.0 / in_degrees(turn_rate({knots(200)}, degrees(45))) == Approx(65.9).margin(0.05));
}

TEST_CASE("A standard rate turn at 100 kt takes 15.4 degrees of bank", "[flight][reference]") {
  CHECK(bank_at_standard_rate_deg(knots(100)) == Approx(15.4).margin(0.05));  // general encyclopaedias
  CHECK(bank_at_standard_rate_deg(knots(100)) == Approx(15.36).margin(0.005));
}

TEST_CASE("The handbook's turnback at 300 ft ends 1,016 ft below the runway", "[flight][reference]") {
  // 65 kt, three degrees a second, four seconds of reaction, 1,000 ft/min: these inputs reproduce what [AFH] prints.
  const Tas glide = {knots(65)};
  const Angle bank = bank_for_rate(glide, degrees(kStandardRate_degps));
  CHECK(in_degrees(bank) == Approx(10.12).margin(0.01));
  CHECK(in_feet(turn_radius(glide, bank)) == Approx(2095.3).margin(0.5));

  const Duration time = seconds(4.0 + degrees(225) / turn_rate(glide, bank));
  CHECK(in_seconds(time) == Approx(79.0).margin(0.05));
  const double lost_ft = in_feet(feet_per_minute(1000) * time);
  CHECK(lost_ft == Approx(1316.67).margin(0.01));
  CHECK(300.0 - lost_ft == Approx(-1016.0).margin(1.0));  // [AFH], truncated
}

TEST_CASE("The handbook's figure of 4,480 ft is the diameter at 80 mph and not at 65 kt", "[flight][reference]") {
  const auto diameter_ft = [](Speed v) {
    return 2.0 * in_feet(turn_radius({v}, bank_for_rate({v}, degrees(kStandardRate_degps))));
  };
  CHECK(diameter_ft(knots(65)) == Approx(4190.5).margin(0.5));
  CHECK(std::abs(diameter_ft(knots(65)) - 4480.0) > 280.0);              // [AFH]
  CHECK(diameter_ft(miles_per_hour(80)) == Approx(4480.0).margin(5.0));  // [AFH]
}

TEST_CASE("Our miles and feet and gravity give the handbook's stopping distances at nine g", "[base][reference]") {
  const auto distance_ft = [](double mph) {
    const double v_mps = miles_per_hour(mph).si();
    return in_feet(metres(v_mps * v_mps / (2.0 * 9.0 * kStandardGravity)));
  };
  CHECK(distance_ft(50) == Approx(9.286).margin(0.0005));
  CHECK(distance_ft(50) == Approx(9.4).margin(0.15));   // [AFH-C]
  CHECK(distance_ft(100) == Approx(37.6).margin(0.5));  // [AFH-C]
  CHECK(distance_ft(100) == Approx(4.0 * distance_ft(50)));
}

TEST_CASE("Bank and rate of turn invert each other on either side", "[flight][law]") {
  for (const double kt : {40.0, 75.0, 250.0}) {
    for (const double bank_deg : {-60.0, -15.0, 0.0, 1.0, 30.0, 45.0, 80.0}) {
      CAPTURE(kt, bank_deg);
      const Tas v = {knots(kt)};
      CHECK(in_degrees(bank_for_rate(v, turn_rate(v, degrees(bank_deg)))) == Approx(bank_deg).margin(1e-10));
    }
  }
}

TEST_CASE("Speed is radius times rate of turn", "[flight][law]") {
  for (const double bank_deg : {5.0, 30.0, 45.0, 70.0}) {
    const Tas v = {knots(70)};
    CHECK(turn_radius(v, degrees(bank_deg)).si() * turn_rate(v, degrees(bank_deg)).si() == Approx(v.value.si()));
    CHECK(turn_radius(v, degrees(-bank_deg)) == turn_radius(v, degrees(bank_deg)));
  }
}

TEST_CASE("Wings level there is no turn", "[flight][unit]") {
  CHECK(load_factor(degrees(0)) == 1.0);
  CHECK(turn_rate({knots(70)}, degrees(0)).si() == 0.0);
  CHECK(turn_radius({knots(70)}, degrees(0)).si() == std::numeric_limits<double>::infinity());
  CHECK(turn_radius({knots(0)}, degrees(30)).si() == 0.0);
}

TEST_CASE("A turn that cannot be flown level is refused", "[flight][unit]") {
  CHECK_THROWS_AS(load_factor(degrees(90)), std::logic_error);
  CHECK_THROWS_AS(load_factor(degrees(-90)), std::logic_error);
  CHECK_THROWS_AS(turn_radius({knots(70)}, degrees(120)), std::logic_error);
  CHECK_THROWS_AS(turn_radius({knots(-1)}, degrees(30)), std::logic_error);
  CHECK_THROWS_AS(turn_rate({knots(0)}, degrees(30)), std::logic_error);
  CHECK_THROWS_AS(turn_rate({knots(std::nan(""))}, degrees(30)), std::logic_error);
  CHECK_THROWS_AS(bank_for_rate({knots(70)}, degrees(std::nan(""))), std::logic_error);
}

}  // namespace
