// Ways over areas to be avoided and past obstacles: what is called clear is sampled densely, by other means than the
// program's.

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

template <class F>
double least_every_metre(const std::vector<flight::WayPoint>& way, const F& value) {
  double least = 1e9;
  for (std::size_t i = 1; i < way.size(); ++i) {
    const double length = std::hypot(way[i].east_m - way[i - 1].east_m, way[i].north_m - way[i - 1].north_m);
    const int parts = std::max(1, static_cast<int>(std::ceil(length)));
    for (int k = 0; k <= parts; ++k) {
      const double share = static_cast<double>(k) / parts;
      least = std::min(least, value(way[i - 1].east_m + share * (way[i].east_m - way[i - 1].east_m),
                                    way[i - 1].north_m + share * (way[i].north_m - way[i - 1].north_m),
                                    way[i - 1].height_m + share * (way[i].height_m - way[i - 1].height_m)));
    }
  }
  return least;
}

/// The least of what the head of clearance.hpp defines.
double sampled(const earth::AvoidArea& area, const flight::ClearanceRule& rule,
               const std::vector<flight::WayPoint>& way) {
  return least_every_metre(way, [&](double e, double n, double h) {
    const double beside = test::distance_to(area.ring, e, n) - rule.beside_areas.si();
    const double over = rule.over_areas ? h - area.elevation.above_sea_level.si() - rule.over_areas->si() : -1e9;
    return std::max(beside, over);
  });
}

/// Near some point of a way, from far below it to far above.
earth::Obstacle random_obstacle(Dice& dice, const std::vector<flight::WayPoint>& way) {
  const auto& p = way[static_cast<std::size_t>(dice.between(0, static_cast<double>(way.size()) - 0.01))];
  return {"obstacle",
          {metres(p.east_m + dice.between(-300, 300)), metres(p.north_m + dice.between(-300, 300))},
          {metres(std::max(2.0, p.height_m + dice.between(-150, 150)))},
          metres(dice.between(0, 1) < 0.5 ? 0.0 : dice.between(1, 120))};
}

/// The same of an obstacle.
double sampled(const earth::Obstacle& obstacle, const flight::ClearanceRule& rule,
               const std::vector<flight::WayPoint>& way) {
  return least_every_metre(way, [&](double e, double n, double h) {
    const double off = std::hypot(e - obstacle.position.east.si(), n - obstacle.position.north.si());
    return std::max(off - obstacle.half_width.si() - rule.beside_obstacles.si(),
                    h - obstacle.top.above_sea_level.si() - rule.over_obstacles.si());
  });
}

TEST_CASE("Of 2,000 random ways none is called clear of an obstacle that sampling denies", "[flight][law]") {
  Dice dice;
  int clear = 0;
  int near = 0;
  for (int i = 0; i < 2000; ++i) {
    CAPTURE(i);
    earth::Ground ground;
    const auto way = random_way(dice);
    ground.obstacles.push_back(random_obstacle(dice, way));
    flight::ClearanceRule rule;
    rule.over_obstacles = metres(dice.between(0, 60));
    rule.beside_obstacles = metres(dice.between(0, 200));
    const flight::Hazards hazards(ground, rule, {});
    const flight::Clearance found = hazards.along(way);
    const double truth = sampled(ground.obstacles[0], rule, way);
    if (truth < 20.0) ++near;
    if (found.clear()) {
      ++clear;
      CHECK(truth >= 0.0);
      // Equal where it is of interest: never more than the truth, less by 2 m or 2 ft kept, 0.3 m and 2 % of itself.
      if (truth < 90.0) CHECK(found.margin.si() == Approx(truth).margin(2.0 + 0.6 + 0.02 * truth));
    } else {
      CHECK(truth < 3.5);
    }
  }
  CHECK(clear > 300);
  CHECK(near > 300);
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
