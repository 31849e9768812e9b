// Shortest paths of two arcs and a straight between two poses, in calm air and in a uniform wind, against published
// lengths.
//
// The solver leaves the end of the line-up turn free along the runway's track: given the first turn, a straight and a
// line-up turn follow. So the word to a fixed pose is the first turn for which that end falls on the pose; here it is
// searched for, over the whole circle. Turns and straight have one airspeed here, and sink hardly counts (glide
// ratio 100, small angles). Words of three arcs are not flown by the solver and not asked for.
//
// Sources:
//   [D1]  test of the library Dubins.jl (github.com/kaarthiksundar/Dubins.jl)
//   [D2]  tests of the library Dubins-Curves (github.com/AndrewWalker/Dubins-Curves), which have two decimals
//   [T]   tests of the code of B. Moon, S. Sachdev, J. Yuan, S. Scherer, IEEE RA-L 2023, arXiv 2306.11845
//         (github.com/castacks/trochoids): lengths over the ground, each to 11 m
// Where a figure has more digits than its source prints, or none beside it, it was worked apart from this program by
// solving for the time T at which the word to the pose, moved upwind by T, is as long as V T.
// Arcs in wind: L. Techy and C. A. Woolsey, J. Guidance, Control, and Dynamics 32(6), 2009.

#include "src/flight/approach.hpp"
#include "tests/tools/scenes.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <optional>
#include <string>

namespace {

using namespace backfield;
using flight::Connection;
using flight::Point;

Approx near(double value, double within) { return Approx(value).epsilon(0).margin(within); }

struct Pose {
  double x, y, heading;  ///< as the sources have it: metres; from the x axis, left positive
};
double clockwise_from_north(double heading) { return kPi / 2.0 - heading; }

/// One airspeed, one radius, one wind.
class Plane {
 public:
  Plane(double V, double radius, double wind_x, double wind_y)
      : V_(V),
        radius_(radius),
        wind_x_(wind_x),
        wind_y_(wind_y),
        medium_({{hectopascals(1013.25), kDatum, celsius(15), earth::DensityRule::aerodrome},
                 earth::WindProfile::uniform({metres_per_second(wind_x), metres_per_second(wind_y)})},
                kDatum, test::plain_model(), 1000.0),
        glider_(medium_, V, 100.0, test::plain_model()),
        style_(make_style()),
        straights_(glider_),
        screen_(straights_, V),
        approach_(glider_, style_, screen_) {}

  struct Question {
    flight::PathFinder::Fan fan;
    flight::PathFinder::Target target;
  };
  /// The runway's track is the ground track of the goal's heading.
  [[nodiscard]] Question question(const Pose& from, const Pose& to) const {
    flight::AirState start;
    start.east_m = from.x;
    start.north_m = from.y;
    start.heading_rad = clockwise_from_north(from.heading);
    start.tas_mps = V_;
    const double track = std::atan2(V_ * std::cos(to.heading) + wind_x_, V_ * std::sin(to.heading) + wind_y_);
    const flight::Goal goal{{metres(to.x), metres(to.y)},
                            earth::TrueDirection(radians(track)),
                            kDatum,
                            {metres(0), metres(1e6)},
                            metres(0)};
    return {{glider_, style_, start}, {goal, flight::Gliders{glider_, {}, {}, 0.0, {}}, style_, kDatum, 100.0}};
  }

  struct Answer {
    double time = 0.0, first = 0.0, last = 0.0;
  };
  /// Quickest path of a word such as "RSL", if there is one.
  [[nodiscard]] std::optional<Answer> fly(const std::string& word, const Pose& from, const Pose& to) const {
    const Question q = question(from, to);
    const int first = word[0] == 'R' ? 1 : -1;
    const int last = word[2] == 'R' ? 1 : -1;
    const auto at = [&](double turn) {
      Connection word_only;
      word_only.first_sense = first;
      word_only.last_sense = last;
      return approach_.again(q.fan, q.target, word_only, turn);
    };
    std::optional<Answer> best;
    constexpr int kSteps = 2000;
    double low = 0.0;
    Connection before = at(low);
    for (int i = 1; i <= kSteps; ++i) {
      const double high = (2.0 * kPi - 1e-9) * i / kSteps;
      const Connection after = at(high);
      if (before.on_axis && after.on_axis && (before.aim < 0.0) != (after.aim < 0.0)) {
        const Connection c = between(at, before, low, high);
        // Where the end jumps past the pose there is no path.
        if (std::abs(c.aim) < 1e-6 * radius_ && (!best || time(c) < best->time)) best = {time(c), c.first, c.last};
      }
      low = high;
      before = after;
    }
    return best;
  }

  /// Length over the ground of a path that starts along the x axis, in steps of about a degree.
  [[nodiscard]] double ground_length(const std::string& word, const Answer& a) const {
    constexpr int kParts = 360;
    Point p = flight::make_point({}, kPi / 2.0);
    double sum = 0.0;
    const auto arc = [&](char sense, double change) {
      for (int i = 0; i < kParts; ++i) {
        const Point from = p;
        glider_.turn(p, style_.first.held, (sense == 'R' ? 1 : -1) * change / kParts);
        sum += std::hypot(p.e - from.e, p.n - from.n);
      }
    };
    arc(word[0], a.first);
    const Point from = p;
    glider_.straight(p, glider_.level(), a.time - (a.first + a.last) * radius_ / V_);
    sum += std::hypot(p.e - from.e, p.n - from.n);
    arc(word[2], a.last);
    return sum;
  }

  [[nodiscard]] const flight::Glider& glider() const { return glider_; }
  /// The path with a straight of `time` near the runway's direction.
  [[nodiscard]] Connection by_time(const Question& q, int last_sense, double time) const {
    Connection like;
    like.parameter = flight::Parameter::straight_time;
    like.towards = true;
    like.first_sense = 1;
    like.last_sense = last_sense;
    return approach_.again(q.fan, q.target, like, time);
  }
  [[nodiscard]] const flight::HeldBank& held() const { return style_.first.held; }

 private:
  static constexpr earth::Altitude kDatum{};
  [[nodiscard]] flight::Style make_style() const {
    flight::Style style;
    const double bank = std::atan(V_ * V_ / (kStandardGravity * radius_));
    style.first = style.line_up = flight::make_turn_style(glider_, {bank, V_, 1.0}, flight::RollRule::allowance);
    style.entry.rule = flight::EntryRule::speed_kept;
    style.entry.stall_cas = 0.5 * V_;
    return style;
  }
  template <class F>
  static Connection between(F at, const Connection& before, double low, double high) {
    Connection c = before;
    for (int i = 0; i < 60; ++i) {
      const double mid = 0.5 * (low + high);
      c = at(mid);
      ((c.aim < 0.0) == (before.aim < 0.0) ? low : high) = mid;
    }
    return c;
  }
  [[nodiscard]] double time(const Connection& c) const { return (c.first + c.last) * radius_ / V_ + c.straight_time; }

  double V_, radius_, wind_x_, wind_y_;
  flight::Medium medium_;
  flight::Glider glider_;
  flight::Style style_;
  flight::StraightTable straights_;
  flight::Screen screen_;
  flight::Approach approach_;
};

std::string quickest(const Plane& plane, const Pose& from, const Pose& to) {
  std::string best;
  double least = 1e9;
  for (const char* word : {"LSL", "LSR", "RSL", "RSR"}) {
    const auto a = plane.fly(word, from, to);
    if (!a || a->time >= least) continue;
    least = a->time;
    best = word;
  }
  return best;
}

constexpr double kV = 35.0;
constexpr double kR = kV * kV / kStandardGravity;  // 45 degrees of bank
const Pose kBehind{0, 0, kPi};                     // where the turnbacks below end

TEST_CASE("Lengths of the words in calm air are the published ones", "[flight][reference]") {
  const Plane plane(kV, kR, 0, 0);
  const auto radii = [&](const std::string& word, const Pose& from, const Pose& to) {
    const auto a = plane.fly(word, {from.x * kR, from.y * kR, from.heading}, {to.x * kR, to.y * kR, to.heading});
    return a ? a->time * kV / kR : -1.0;
  };
  CHECK(radii("RSL", {0, 0, 0}, {5, 0, 3}) == near(8.2725, 1e-4));  // [D1]
  CHECK(radii("RSL", {0, 0, 0}, {5, 0, 3}) == near(8.272519, 1e-5));
  CHECK(quickest(plane, {0, 0, 0}, {5 * kR, 0, 3}) == "RSL");  // [D1]
  const Pose from{0, 0, -2.356194};
  const Pose to{2, 0, -3.141593};
  CHECK(radii("LSL", from, to) == near(6.82, 0.005));   // [D2]
  CHECK(radii("RSR", from, to) == near(9.79, 0.005));   // [D2]
  CHECK(radii("LSR", from, to) == near(10.52, 0.005));  // [D2]
  CHECK(radii("RSL", from, to) == near(12.04, 0.005));  // [D2]
  const auto lsl = plane.fly("LSL", from, {to.x * kR, 0, to.heading});
  REQUIRE(lsl);
  CHECK(lsl->first == near(2.133413, 1e-5));
  CHECK(lsl->last == near(3.364373, 1e-5));
}

TEST_CASE("A pose straight ahead is reached straight", "[flight][reference]") {
  // Four radii on: 4.0 exactly, without a turn [D2]. A straight along the track is the business of by_time.
  const Plane plane(kV, kR, 0, 0);
  const auto q = plane.question({0, 0, 0}, {4 * kR, 0, 0});
  for (const int last : {-1, 1}) {
    const Connection c = plane.by_time(q, last, 4.0 * kR / kV);
    REQUIRE(c.on_axis);
    CHECK(c.first == 0.0);
    CHECK(c.last == 0.0);
    CHECK(c.aim == near(0.0, 1e-9));
  }
}

TEST_CASE("Paths in a uniform wind have the published word and length over the ground", "[flight][reference]") {
  // [T]. A scene in which speeds are divided by k takes k times as long; the second and third are flown so, as no
  // aeroplane of ours turns on 14 m at 100 m/s or on 1,000 m at 1 m/s.
  struct Row {
    double V, radius, wind_x, wind_y;
    const char* word;
    double time, ground, published;
  };
  const Row row = GENERATE(Row{50, 1000, 10, 20, "RSL", 169.473954, 7394.96, 7394},
                           Row{20, 1 / 0.07, 2, 4, "LSR", 5 * 0.963765, 116.79, 116},
                           Row{50, 1000, 25, 37.5, "RSL", 31156.1402 / 50, 8478.9, 8473},
                           Row{50, 1000, 0, 0, "RSR", 6359.266 / 50, 6359.266, 6353});
  const Plane plane(row.V, row.radius, row.wind_x, row.wind_y);
  const Pose to{50, 100, 0.2};
  CAPTURE(row.word, row.V, row.wind_x);
  CHECK(quickest(plane, {0, 0, 0}, to) == row.word);
  const auto a = plane.fly(row.word, {0, 0, 0}, to);
  REQUIRE(a);
  CHECK(a->time == Approx(row.time).epsilon(2e-6));
  const double ground = plane.ground_length(row.word, *a);
  CHECK(ground == Approx(row.ground).epsilon(1e-4));
  CHECK(ground == near(row.published, 11.0));  // [T]
}

TEST_CASE("A turnback from 800 m out takes 35.2 s in calm air and less into the wind", "[flight][reference]") {
  const Plane calm(kV, kR, 0, 0);
  for (const char* word : {"LSR", "RSL"}) {
    const auto a = calm.fly(word, {800, 0, 0}, kBehind);
    REQUIRE(a);
    CHECK(a->time == near(35.193402, 1e-5));
    CHECK(a->first == near(3.459193, 1e-5));
    CHECK(a->last == near(0.317601, 1e-5));
    CHECK(Plane(kV, kR, -5, 0).fly(word, {800, 0, 0}, kBehind)->time == near(31.036628, 1e-5));
    CHECK(Plane(kV, kR, -10, 0).fly(word, {800, 0, 0}, kBehind)->time == near(27.855879, 1e-5));
  }
  // The same path from its straight's duration.
  const auto q = calm.question({800, 0, 0}, kBehind);
  const Connection c = calm.by_time(q, -1, 35.193402 - 3.776794 * kR / kV);
  REQUIRE(c.on_axis);
  CHECK(c.first == near(3.459193, 1e-5));
  CHECK(c.aim == near(0.0, 1e-3));
}

TEST_CASE("In a crosswind a turnback into the wind is the shorter one", "[flight][reference]") {
  // The wind blows to the left of the departure; the goal's heading holds the track with asin(w/V) of crab.
  const auto time = [](double wind, const char* word) {
    const auto a = Plane(kV, kR, 0, wind).fly(word, {800, 0, 0}, {0, 0, kPi + std::asin(wind / kV)});
    return a ? a->time : -1.0;
  };
  CHECK(time(5, "RSL") == near(34.189622, 1e-5));
  CHECK(time(5, "LSR") == near(37.361896, 1e-5));
  CHECK(time(10, "RSL") == near(34.223889, 1e-5));
  CHECK(time(10, "LSR") == near(41.114460, 1e-5));
}

TEST_CASE("Closer than two radii no turn and counterturn lead back to the same point", "[flight][reference]") {
  const Plane plane(kV, kR, 0, 0);
  CHECK_FALSE(plane.fly("LSR", {150, 0, 0}, kBehind));
  CHECK_FALSE(plane.fly("RSL", {150, 0, 0}, kBehind));
  CHECK(plane.fly("LSL", {150, 0, 0}, kBehind)->time == near(41.962874, 1e-5));
  CHECK(plane.fly("RSR", {150, 0, 0}, kBehind)->time == near(41.962874, 1e-5));
}

TEST_CASE("An arc in a uniform wind is a trochoid", "[flight][reference]") {
  // x = (V/w) (sin(h + w t) - sin(h)) + wind_x t, y = -(V/w) (cos(h + w t) - cos(h)) + wind_y t, w = V/R, left positive
  const double wind_x = 6.0;
  const double wind_y = -11.0;
  const Plane flat(kV, kR, wind_x, wind_y);
  // Two levels of the same wind: nothing differs, but the turn is flown in steps.
  const earth::WindVector wind{metres_per_second(wind_x), metres_per_second(wind_y)};
  flight::Model model = test::plain_model();
  model.wind = flight::WindRule::profile;
  const flight::Medium stepped({{hectopascals(1013.25), {}, celsius(15), earth::DensityRule::aerodrome},
                                earth::WindProfile::levels({{{metres(10)}, wind}, {{metres(500)}, wind}})},
                               {}, model, 1000.0);
  REQUIRE_FALSE(stepped.flat());
  for (const flight::Glider& glider : {flat.glider(), flight::Glider(stepped, kV, 100.0, model)}) {
    for (const double heading : {0.0, 1.0, 4.0}) {
      for (const double turned : {-5.5, -1.0, 0.3, 3.4}) {
        Point p = flight::make_point({.h = 300.0}, clockwise_from_north(heading));
        glider.turn(p, flat.held(), -turned);
        const double t = std::abs(turned) * kR / kV;
        const double w = (turned > 0.0 ? 1.0 : -1.0) * kV / kR;
        CAPTURE(heading, turned);
        CHECK(p.t == near(t, 1e-9));
        CHECK(p.e == near(kV / w * (std::sin(heading + w * t) - std::sin(heading)) + wind_x * t, 1e-6));
        CHECK(p.n == near(-kV / w * (std::cos(heading + w * t) - std::cos(heading)) + wind_y * t, 1e-6));
      }
    }
  }
}

}  // namespace
