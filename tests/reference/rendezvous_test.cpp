// Words of Dubins between two fixed poses, in calm air and in a uniform wind, against published lengths.
//
// One airspeed, one radius; sinking hardly counts.
//
// Sources:
//   [O]   DubinsStateSpace::distance of the Open Motion Planning Library 1.5.2, 500 poses: tests/data/README.md
//   [D1]  test of the library Dubins.jl (github.com/kaarthiksundar/Dubins.jl)
//   [D2]  tests of the library Dubins-Curves (github.com/AndrewWalker/Dubins-Curves), which have two decimals
//   [T]   tests of the code of B. Moon, S. Sachdev, J. Yuan, S. Scherer, IEEE RA-L 2023, arXiv 2306.11845
//         (github.com/castacks/trochoids): lengths over the ground, each to 11 m
// Where a figure has more digits than its source prints, or none beside it, it was worked apart from this program by
// solving for the time T at which the word to the pose, moved upwind by T, is as long as V T.

#include "backfield/flight/rendezvous.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace {

using namespace backfield;
using flight::RendezvousResult;
using flight::Word;

Approx near(double value, double within) { return Approx(value).epsilon(0).margin(within); }

struct Pose {
  double x, y, heading;  ///< as the sources have it: metres; from the x axis, left positive
};
earth::TrueDirection clockwise_from_north(double heading) { return earth::TrueDirection(radians(kPi / 2.0 - heading)); }

/// One airspeed, one radius, one wind.
class Plane {
 public:
  Plane(double V, double radius, double wind_x, double wind_y)
      : V_(V), radius_(radius), wind_x_(wind_x), wind_y_(wind_y), solver_(setup(V, radius, wind_x, wind_y)) {}

  [[nodiscard]] std::vector<RendezvousResult> all(const Pose& from, const Pose& to) const {
    return solver_.all(start(from), {{metres(to.x), metres(to.y)}, clockwise_from_north(to.heading), Along::heading});
  }
  /// Durations of a word's paths, shortest first.
  [[nodiscard]] std::vector<double> times(Word word, const Pose& from, const Pose& to) const {
    std::vector<double> t;
    for (const RendezvousResult& r : all(from, to)) {
      if (r.word == word) t.push_back(r.time.si());
    }
    std::sort(t.begin(), t.end());
    return t;
  }
  [[nodiscard]] RendezvousResult quickest(const Pose& from, const Pose& to) const {
    const auto results = all(from, to);
    REQUIRE_FALSE(results.empty());
    return *std::min_element(results.begin(), results.end(),
                             [](const auto& a, const auto& b) { return a.time < b.time; });
  }
  /// Length in the air, in radii.
  [[nodiscard]] double radii(Word word, const Pose& from, const Pose& to) const {
    const auto t = times(word, from, to);
    return t.empty() ? -1.0 : t.front() * V_ / radius_;
  }
  /// Length over the ground, in steps of a hundredth of a degree or a thousandth of the straight; the trochoid's speed
  /// is |V u + w|, whatever flew it.
  [[nodiscard]] double ground_length(const Pose& from, const RendezvousResult& r) const {
    double heading = from.heading;
    double sum = 0.0;
    const auto fly = [&](double left, double time) {
      constexpr int kParts = 36'000;
      for (int i = 0; i < kParts; ++i) {
        const double h = heading + left * (i + 0.5) / kParts;
        sum += std::hypot(V_ * std::cos(h) + wind_x_, V_ * std::sin(h) + wind_y_) * time / kParts;
      }
      heading += left;
    };
    const auto arc = [&](Angle right) { fly(-right.si(), std::abs(right.si()) * radius_ / V_); };
    arc(r.first_turn);
    fly(0.0, r.straight.si());
    arc(r.middle_turn);
    arc(r.last_turn);
    return sum;
  }
  [[nodiscard]] const flight::Rendezvous& solver() const { return solver_; }
  [[nodiscard]] static flight::AirPose start(const Pose& from) {
    return {{metres(from.x), metres(from.y)}, clockwise_from_north(from.heading), metres(500)};
  }

 private:
  using Along = flight::RendezvousGoal::Along;
  static flight::RendezvousSetup setup(double V, double radius, double wind_x, double wind_y) {
    const flight::Descending descent{metres_per_second(V), metres_per_second(2)};
    const flight::Circling turn{descent, metres(radius)};
    return {.first = turn,
            .straight = descent,
            .last = turn,
            .wind = earth::WindProfile::uniform({metres_per_second(wind_x), metres_per_second(wind_y)})};
  }
  double V_, radius_, wind_x_, wind_y_;
  flight::Rendezvous solver_;
};

constexpr double kV = 35.0;
const double kR = kV * kV / kStandardGravity;  // 45 degrees of bank
constexpr Pose kBehind{0, 0, kPi};

}  // namespace

TEST_CASE("The quickest of six words in calm air is as long as published, to 1e-9", "[flight][reference]") {
  // [O]
  const Plane plane(kV, 300.0, 0, 0);
  std::ifstream file(BACKFIELD_SOURCE_DIR "/tests/data/dubins_reference.csv");
  std::string line;
  REQUIRE(std::getline(file, line));
  REQUIRE(line == "x,y,theta,length_r300");
  int rows = 0;
  double worst = 0.0;
  for (char comma = 0; std::getline(file, line); ++rows) {
    std::istringstream row(line);
    Pose to{};
    double length = 0.0;
    REQUIRE(row >> to.x >> comma >> to.y >> comma >> to.heading >> comma >> length);
    const double ours = plane.quickest({0, 0, 0}, to).time.si() * kV;
    worst = std::max(worst, std::abs(ours / length - 1.0));
    CAPTURE(rows, line, ours);
    CHECK(ours == Approx(length).epsilon(1e-9));
  }
  CHECK(rows == 500);
  WARN("worst relative difference " << worst);
}

TEST_CASE("Six words in calm air have the published lengths", "[flight][reference]") {
  const Plane plane(kV, kR, 0, 0);
  SECTION("T01 of Dubins.jl") {
    const auto r = plane.quickest({0, 0, 0}, {5 * kR, 0, 3});
    CHECK(r.word == Word::rsl);
    CHECK(r.time.si() * kV / kR == near(8.2725, 1e-4));  // [D1]
    CHECK(r.time.si() * kV / kR == near(8.272519, 1e-6));
  }
  SECTION("straight ahead") {
    const auto r = plane.quickest({0, 0, 0}, {4 * kR, 0, 0});
    CHECK(r.time.si() * kV / kR == near(4.0, 1e-12));  // [D2]
    CHECK(r.first_turn.si() == near(0, 1e-9));
    CHECK(r.last_turn.si() == near(0, 1e-9));
    const auto lsl = plane.times(Word::lsl, {0, 0, 0}, {4 * kR, 0, 0});
    REQUIRE_FALSE(lsl.empty());
    CHECK(lsl.front() * kV / kR == near(4.0, 1e-12));  // [D2]
  }
  SECTION("too far for three turns") {
    CHECK(plane.times(Word::lrl, {0, 0, 0}, {10 * kR, 0, 0}).empty());  // [D2]
    CHECK(plane.times(Word::rlr, {0, 0, 0}, {10 * kR, 0, 0}).empty());
  }
  SECTION("all six") {
    const Pose from{0, 0, -2.356194490192345};
    const Pose to{2 * kR, 0, -kPi};
    const auto best = plane.quickest(from, to);
    CHECK(best.word == Word::lsl);
    CHECK(plane.radii(Word::lsl, from, to) == near(6.82, 0.005));  // [D2], and the other five
    CHECK(plane.radii(Word::rsr, from, to) == near(9.79, 0.005));
    CHECK(plane.radii(Word::lsr, from, to) == near(10.52, 0.005));
    CHECK(plane.radii(Word::rsl, from, to) == near(12.04, 0.005));
    // The library gives the words of three turns with a middle turn of more than half a circle.
    const auto lrl = plane.times(Word::lrl, from, to);
    const auto rlr = plane.times(Word::rlr, from, to);
    REQUIRE_FALSE(lrl.empty());
    REQUIRE_FALSE(rlr.empty());
    CHECK(lrl.back() * kV / kR == near(16.71, 0.005));
    CHECK(rlr.back() * kV / kR == near(16.64, 0.005));
    CHECK(best.first_turn.si() == near(-2.133413, 1e-6));
    CHECK(best.straight.si() * kV / kR == near(1.325654, 1e-6));
    CHECK(best.last_turn.si() == near(-3.364373, 1e-6));
  }
  SECTION("three turns on the spot") {
    const auto r = plane.quickest({0, 0, -2.748893571891069}, {0, 0, -kPi});
    CHECK(r.word == Word::rlr);
    CHECK(r.time.si() * kV / kR == near(6.29, 0.005));  // [D2]
    CHECK(r.first_turn.si() == near(0.098649, 1e-6));
    CHECK(r.middle_turn.si() == near(-6.087784, 1e-6));
    CHECK(r.last_turn.si() == near(0.098649, 1e-6));
  }
  SECTION("already there") {
    CHECK(plane.quickest({0, 0, -kPi}, {0, 0, -kPi}).time.si() == near(0, 1e-9));  // [D2]
  }
}

TEST_CASE("Paths of the quickest word in a uniform wind have the published length", "[flight][reference]") {
  // [T]
  struct Row {
    double V, radius, wind_x, wind_y;
    Word word;
    double time, within, ground, published;
  };
  const Row row = GENERATE(Row{50, 1000, 10, 20, Word::rsl, 169.473954, 1e-4, 7394.96, 7394},
                           Row{100, 1 / 0.07, 10, 20, Word::lsr, 0.963765, 1e-5, 116.79, 116},
                           Row{1, 1000, 0.5, 0.75, Word::rsl, 31156.1402, 1e-3, 8478.9, 8473},
                           Row{50, 1000, 0, 0, Word::rsr, 6359.266 / 50, 1e-4, 6359.266, 6353});
  const Plane plane(row.V, row.radius, row.wind_x, row.wind_y);
  const Pose from{0, 0, 0};
  const auto r = plane.quickest(from, {50, 100, 0.2});
  CAPTURE(row.V, row.wind_x);
  CHECK(r.word == row.word);
  CHECK(r.time.si() == near(row.time, row.within));
  const double ground = plane.ground_length(from, r);
  CHECK(ground == near(row.ground, 0.06));
  CHECK(ground == near(row.published, 11.0));  // [T]
}

TEST_CASE("A return to a point takes 35.2 s in calm air and less into the wind", "[flight][reference]") {
  struct Row {
    double wind, time, air;
  };
  const Row row = GENERATE(Row{0, 35.193402, 1231.7691}, Row{-5, 31.036628, 1086.2820}, Row{-10, 27.855879, 974.9558});
  const Plane plane(kV, kR, row.wind, 0);
  const auto r = plane.quickest({800, 0, 0}, kBehind);
  CHECK(r.time.si() == near(row.time, 1e-5));
  CHECK(r.time.si() * kV == near(row.air, 1e-4));
  for (const Word word : {Word::lsr, Word::rsl}) {
    const auto t = plane.times(word, {800, 0, 0}, kBehind);
    REQUIRE_FALSE(t.empty());
    CHECK(t.front() == near(row.time, 1e-5));
  }
  if (row.wind == 0) {
    CHECK(std::abs(r.first_turn.si()) == near(3.459193, 1e-6));
    CHECK(std::abs(r.last_turn.si()) == near(0.317601, 1e-6));
  }
}

TEST_CASE("In a crosswind the return into the wind is the shorter one, and every root is found",
          "[flight][reference]") {
  // The wind blows to the left of the departure; the goal's heading holds the track with asin(w/V) of crab.
  const Plane light(kV, kR, 0, 5);
  const Pose over_light{0, 0, 3.284940};
  CHECK(light.times(Word::rsl, {800, 0, 0}, over_light).front() == near(34.189622, 2e-5));
  CHECK(light.times(Word::lsr, {800, 0, 0}, over_light).front() == near(37.361896, 2e-5));
  const Plane strong(kV, kR, 0, 10);
  const Pose over_strong{0, 0, kPi + std::asin(10 / kV)};
  const auto rsl = strong.times(Word::rsl, {800, 0, 0}, over_strong);
  REQUIRE(rsl.size() == 2);
  CHECK(rsl[0] == near(34.223889, 1e-5));
  CHECK(rsl[1] == near(58.37, 0.005));
  CHECK(strong.times(Word::lsr, {800, 0, 0}, over_strong).front() == near(41.114460, 1e-5));
  // The same by the track.
  const auto by_track =
      strong.solver().all(Plane::start({800, 0, 0}),
                          {{metres(0), metres(0)}, earth::true_degrees(270), flight::RendezvousGoal::Along::track});
  const auto found = std::count_if(by_track.begin(), by_track.end(), [](const RendezvousResult& r) {
    return r.word == Word::rsl && std::abs(r.time.si() - 34.223889) < 1e-5;
  });
  CHECK(found == 1);
}

TEST_CASE("Closer than two radii three turns lead back to the same point", "[flight][reference]") {
  const Plane plane(kV, kR, 0, 0);
  const Pose from{150, 0, 0};
  CHECK(plane.times(Word::lsr, from, kBehind).empty());
  CHECK(plane.times(Word::rsl, from, kBehind).empty());
  for (const Word word : {Word::lrl, Word::rlr}) {
    const auto t = plane.times(word, from, kBehind);
    REQUIRE_FALSE(t.empty());
    CHECK(t.front() == near(24.747951, 1e-5));
    CHECK(t.front() * kV == near(866.1783, 2e-4));
  }
  CHECK(plane.times(Word::lsl, from, kBehind).front() == near(41.962874, 1e-5));
}
