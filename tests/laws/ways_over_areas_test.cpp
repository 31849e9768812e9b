// Ways over areas to be avoided: what is called clear is sampled densely, by other means than the program's.

#include "backfield/flight/clearance.hpp"

#include "tests/tools/distance_to_ring.hpp"

#include <catch2/catch.hpp>

#include <random>

using namespace backfield;

namespace {

class Dice {
 public:
  double between(double low, double high) { return std::uniform_real_distribution<double>(low, high)(random_); }

 private:
  std::mt19937 random_{20260101};
};

/// Corners around a middle in rising direction: never crosses itself.
earth::AvoidArea random_area(Dice& dice) {
  earth::AvoidArea area;
  area.name = "area";
  area.elevation = {metres(dice.between(0, 60))};
  const double e = dice.between(-900, 900);
  const double n = dice.between(-900, 900);
  const int corners = 3 + static_cast<int>(dice.between(0, 6));
  for (int i = 0; i < corners; ++i) {
    const double a = 2.0 * kPi * (i + dice.between(0.1, 0.9)) / corners;
    const double r = dice.between(150, 700);
    area.ring.push_back({metres(e + r * std::sin(a)), metres(n + r * std::cos(a))});
  }
  return area;
}

/// A straight, a turn and a straight, descending, as turnbacks are; in chords of five degrees.
std::vector<flight::WayPoint> random_way(Dice& dice) {
  std::vector<flight::WayPoint> way;
  double e = dice.between(-1000, 1000);
  double n = dice.between(-1000, 1000);
  double h = dice.between(60, 500);
  double psi = dice.between(0, 2.0 * kPi);
  const double radius = dice.between(150, 400);
  const double slope = dice.between(0.08, 0.18);
  const auto on = [&](double length, double off) {
    e += length * std::sin(psi);
    n += length * std::cos(psi);
    h -= length * slope;
    way.push_back({e, n, h, off});
  };
  way.push_back({e, n, h});
  on(dice.between(50, 400), 0.0);
  const double step = degrees(5).si() * (dice.between(0, 1) < 0.5 ? -1.0 : 1.0);
  const int steps = static_cast<int>(dice.between(10, 50));
  for (int i = 0; i < steps && h > 0.0; ++i) {
    psi += step;
    on(radius * std::abs(step), 0.0);
  }
  on(dice.between(50, 800), 0.0);
  return way;
}

/// The least of what the head of clearance.hpp defines, every metre.
double sampled(const earth::AvoidArea& area, const flight::ClearanceRule& rule,
               const std::vector<flight::WayPoint>& way) {
  double least = 1e9;
  for (std::size_t i = 1; i < way.size(); ++i) {
    const double length = std::hypot(way[i].east_m - way[i - 1].east_m, way[i].north_m - way[i - 1].north_m);
    const int parts = std::max(1, static_cast<int>(std::ceil(length)));
    for (int k = 0; k <= parts; ++k) {
      const double share = static_cast<double>(k) / parts;
      const double e = way[i - 1].east_m + share * (way[i].east_m - way[i - 1].east_m);
      const double n = way[i - 1].north_m + share * (way[i].north_m - way[i - 1].north_m);
      const double h = way[i - 1].height_m + share * (way[i].height_m - way[i - 1].height_m);
      const double beside = test::distance_to(area.ring, e, n) - rule.beside_areas.si();
      const double over = rule.over_areas ? h - area.elevation.above_sea_level.si() - rule.over_areas->si() : -1e9;
      least = std::min(least, std::max(beside, over));
    }
  }
  return least;
}

TEST_CASE("Of 2,000 random ways none is called clear of an area that sampling denies", "[flight][law]") {
  Dice dice;
  int clear = 0;
  int crossing = 0;
  for (int i = 0; i < 2000; ++i) {
    CAPTURE(i);
    earth::Ground ground;
    ground.areas.push_back(random_area(dice));
    flight::ClearanceRule rule;
    if (dice.between(0, 1) < 0.7) rule.over_areas = metres(dice.between(50, 305));
    rule.beside_areas = metres(dice.between(0, 1) < 0.5 ? 0.0 : dice.between(0, 150));
    const flight::Hazards hazards(ground, rule, {});
    const auto way = random_way(dice);
    const flight::Clearance found = hazards.along(way);
    const double truth = sampled(ground.areas[0], rule, way);
    if (found.clear()) {
      ++clear;
      CHECK(truth >= 0.0);
    } else if (truth < 0.0) {
      ++crossing;
    } else {
      // Held back by no more than what is kept in hand: 2 m and 2 ft, and what the head says.
      CHECK(truth < 3.5);
    }
  }
  CHECK(clear > 300);
  CHECK(crossing > 300);
}

}  // namespace
