// Wind components, limits, choice of runway and the wind triangle against published worked examples.
//
// Tolerance: half of the last printed digit unless said otherwise. Sources:
//   [PHAK]  FAA-H-8083-25B, Pilot's Handbook of Aeronautical Knowledge, ch. 11, Sample Problem 10 and Fig. 11-31
//   [FAA]   FAA private pilot knowledge-test bank, items on Figure 36 (crosswind component)
//   [ECQB]  EASA question bank: operational procedures; performance; general navigation (atplquestions.com)
//   [DR]    US leaflet on dead reckoning, Second World War, Smithsonian transcription NASM.XXXX.0136, p. 7,
//           Examples 15 and 16

#include "backfield/earth/wind.hpp"

#include <catch2/catch.hpp>

#include <vector>

namespace {

using namespace backfield;
using namespace backfield::earth;

WindVector wind(double from_deg, double kt) { return wind_from(true_degrees(from_deg), knots(kt)); }

struct Knots {
  double headwind, crosswind;
};

Knots on(double track_deg, WindVector w) {
  const WindComponents c = components(w, true_degrees(track_deg));
  return {in_knots(c.headwind), std::abs(in_knots(c.from_right))};
}

TEST_CASE("Headwind and crosswind components match the published charts", "[earth][reference]") {
  struct Row {
    double runway_deg, from_deg, kt, headwind, crosswind, headwind_tolerance;
  };
  // clang-format off
  const Row row = GENERATE(
      Row{170, 140, 25, 22, 13, 0.5},       // [PHAK]; 12.5 exactly, on the edge of rounding
      Row{180, 220, 30, 23, 19, 0.5},       // [FAA]
      Row{ 60,  40, 20, 19,  7, 0.5},       // [ECQB]
      Row{ 80,  40, 20, 15, 13, 0.5},       // [ECQB]
      Row{ 90,  40, 20, 13, 15, 0.5},       // [ECQB]
      Row{120,  40, 20,  4, 20, 1.0});      // [ECQB]; prints 4 where 3.47 is exact
  // clang-format on
  CAPTURE(row.runway_deg, row.from_deg);
  const Knots c = on(row.runway_deg, wind(row.from_deg, row.kt));
  CHECK(c.headwind == Approx(row.headwind).margin(row.headwind_tolerance));
  CHECK(c.crosswind == Approx(row.crosswind).margin(0.5 + 1e-9));
}

TEST_CASE("The components of those examples are exact and not read off a chart", "[earth][reference]") {
  // 25 cos 30, 25 sin 30, 20 cos 80, 20 sin 80: any table of trigonometric functions.
  CHECK(on(170, wind(140, 25)).headwind == Approx(21.6506).margin(5e-5));
  CHECK(on(170, wind(140, 25)).crosswind == Approx(12.5).margin(5e-5));
  CHECK(on(120, wind(40, 20)).headwind == Approx(3.4730).margin(5e-5));
  CHECK(on(120, wind(40, 20)).crosswind == Approx(19.6962).margin(5e-5));
}

TEST_CASE("The side a crosswind comes from is told apart", "[earth][reference]") {
  CHECK(in_knots(components(wind(140, 25), true_degrees(170)).from_right) == Approx(-12.5));
  CHECK(in_knots(components(wind(220, 30), true_degrees(180)).from_right) > 0.0);
}

TEST_CASE("A crosswind limit of 17 kt allows 20.75 kt of wind at 55 degrees", "[earth][reference]") {
  CHECK(on(0, wind(55, 20.75)).crosswind == Approx(17.0).margin(0.005));  // [ECQB] performance
}

TEST_CASE("At 60 degrees a headwind of 10 needs 20 kt and a crosswind of 35 is reached at 40 kt",
          "[earth][reference]") {
  CHECK(on(0, wind(60, 20)).headwind == Approx(10.0).margin(0.05));  // [ECQB] general navigation
  const double kt_at_limit = 35.0 / on(0, wind(60, 1)).crosswind;
  CHECK(kt_at_limit == Approx(40.0).margin(0.5));  // as printed
  CHECK(kt_at_limit == Approx(40.4).margin(0.05));
}

TEST_CASE("With 180 at 20 and a limit of 13 kt only runway 14 of 10, 14 and 24 remains", "[earth][reference]") {
  // [FAA]. 12.86 kt: passes by 0.14 kt, and fails in a program that rounds before it compares.
  std::vector<int> allowed;
  for (const int runway : {10, 14, 24}) {
    if (on(runway * 10.0, wind(180, 20)).crosswind < 13.0) allowed.push_back(runway);
  }
  CHECK(allowed == std::vector<int>{14});
  CHECK(on(140, wind(180, 20)).crosswind == Approx(12.86).margin(0.005));
  CHECK(on(100, wind(180, 20)).crosswind == Approx(19.70).margin(0.005));
  CHECK(on(240, wind(180, 20)).crosswind == Approx(17.32).margin(0.005));
}

TEST_CASE("With 040 at 20 runway 06 has the most headwind and the least crosswind of 06, 08, 09 and 12",
          "[earth][reference]") {
  const Knots best = on(60, wind(40, 20));  // [ECQB]
  for (const int other : {8, 9, 12}) {
    CHECK(on(other * 10.0, wind(40, 20)).headwind < best.headwind);
    CHECK(on(other * 10.0, wind(40, 20)).crosswind > best.crosswind);
  }
}

TEST_CASE("Holding a course of 090 at 120 kt in 045 at 40 takes 14 degrees left and leaves 88 kt",
          "[earth][reference]") {
  // Worked apart from this program from sin(crab) = 40 sin 45 / 120.
  const WindTriangle t = hold_track(true_degrees(90), {knots(120)}, wind(45, 40));
  CHECK(in_degrees(t.crab) == Approx(-13.633).margin(5e-4));
  CHECK(t.heading.deg() == Approx(76.367).margin(5e-4));
  CHECK(in_knots(t.ground_speed) == Approx(88.335).margin(5e-4));
}

TEST_CASE("Heading 104 at 165 mph makes good 094 at 146 mph in a wind from 154 at 33", "[earth][reference]") {
  // [DR] Example 16, the inverse problem: it prints 154 degrees and 34 mph; 154.07 and 33.06 are exact. The tool
  // answers the forward problem, so the printed wind is put in and the printed heading and ground speed must come out.
  const WindTriangle exact =
      hold_track(true_degrees(94), {miles_per_hour(165)}, wind_from(true_degrees(154.07), miles_per_hour(33.06)));
  CHECK(exact.heading.deg() == Approx(104.0).margin(0.01));
  CHECK(exact.ground_speed / miles_per_hour(1) == Approx(146.0).margin(0.01));
  const WindTriangle printed =
      hold_track(true_degrees(94), {miles_per_hour(165)}, wind_from(true_degrees(154), miles_per_hour(34)));
  CHECK(printed.heading.deg() == Approx(104.0).margin(1.0));
  CHECK(printed.ground_speed / miles_per_hour(1) == Approx(146.0).margin(1.0));
}

TEST_CASE("A correction of 8 degrees for a wind from the right turns 236 into 244", "[earth][reference]") {
  // [DR] Example 15. A wind square to the heading's correction of 8 degrees: V sin 8 straight from the right.
  const double kt = 120.0 * std::sin(degrees(8).si());
  const WindTriangle t = hold_track(true_degrees(236), {knots(120)}, wind(236 + 90, kt));
  CHECK(in_degrees(t.crab) == Approx(8.0));
  CHECK(t.heading.deg() == Approx(244.0));
}

}  // namespace
