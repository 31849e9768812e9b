// The highest ground across a track: against an independent dense sampling of the same posts
// (tests/tools/terrain_maker.hpp), at random places of random ground.

#include "backfield/flight/corridor.hpp"
#include "tests/tools/random_scene.hpp"
#include "tests/tools/terrain_maker.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

using namespace backfield;
using namespace backfield::test;

namespace {

constexpr double kDatum_m = 100.0;

/// Noise on a slope, about a place.
struct Field {
  earth::Geodetic origin;
  earth::ElevationPosts posts;
  double steepest = 0.0;
};

Field any_field(SceneMaker& maker) {
  Field f;
  f.origin = {degrees(maker.between(-75, 75)), degrees(maker.between(-179, 179))};
  const double lat = in_degrees(f.origin.latitude), lon = in_degrees(f.origin.longitude);
  const double east_per_degree = 111'320.0 * std::cos(degrees(lat).si());
  const double step = maker.chance(0.5) ? 1.0 / 1200.0 : 1.0 / 400.0;
  const double half_m = 4000.0, south = lat - half_m / 111'000.0, west = lon - half_m / east_per_degree;
  const double slope = maker.between(0.0, 20'000.0), noise = maker.between(1.0, 40.0);  // m per degree, m
  f.posts = posts_of(south, west, step, static_cast<std::size_t>(2.0 * half_m / 111'000.0 / step) + 2,
                     static_cast<std::size_t>(2.0 * half_m / east_per_degree / step) + 2, [&](double y, double) {
                       return kDatum_m + slope * std::abs(y - lat) + maker.between(-noise, noise);
                     });
  const std::size_t columns = f.posts.columns;
  const auto at = [&](std::size_t k, std::size_t i) { return static_cast<double>(f.posts.heights_m[k * columns + i]); };
  const double narrow = step * 111'319.0 * std::cos(degrees(std::abs(lat) + 0.1).si());
  for (std::size_t k = 0; k + 1 < f.posts.rows; ++k) {
    for (std::size_t i = 0; i + 1 < columns; ++i) {
      const double east = std::max(std::abs(at(k, i + 1) - at(k, i)), std::abs(at(k + 1, i + 1) - at(k + 1, i)));
      const double north = std::max(std::abs(at(k + 1, i) - at(k, i)), std::abs(at(k + 1, i + 1) - at(k, i + 1)));
      f.steepest = std::max(f.steepest, std::hypot(east, north) / narrow);
    }
  }
  return f;
}

/// Far from all of them, so that nothing is left out.
flight::AtRunway nowhere() {
  return {{metres(50'000), metres(50'000)}, earth::TrueDirection(Angle{}), metres(100), Length{}, Length{}};
}

}  // namespace

TEST_CASE("No ground across a track is higher than is said, and what is said is no higher than its slope explains",
          "[flight][law]") {
  SceneMaker maker(20'261'127);
  for (int k = 0; k < 40; ++k) {
    const Field field = any_field(maker);
    const earth::Terrain terrain(field.origin, {field.posts});
    for (int g = 0; g < 5; ++g) {
      flight::Gate gate;
      gate.place = {metres(maker.between(-1500, 1500)), metres(maker.between(-1500, 1500))};
      gate.track = earth::TrueDirection(degrees(maker.between(0, 360)));
      gate.half_width = metres(maker.between(50, 1200));
      gate.along = terrain.spacing() * maker.between(0.0, 0.9);
      const auto rise = highest_across(terrain, gate, {metres(kDatum_m)}, nowhere(), metres(60));
      REQUIRE(rise);
      REQUIRE(rise->known);
      double highest = -std::numeric_limits<double>::infinity();
      for (double across = -1.0; across <= 1.0; across += 0.004) {
        for (double on = -1.0; on <= 1.0; on += 0.25) {
          const earth::Position p = earth::offset(gate.place, gate.track, gate.along * on, gate.half_width * across);
          const double here = sampled_m(field.posts, place_of(field.origin, p.east.si(), p.north.si()));
          REQUIRE_FALSE(std::isnan(here));
          highest = std::max(highest, here - kDatum_m);
        }
      }
      // The slope is rounded up to an eighth; samples are half of 0.4 % of the half width apart.
      const double steepest = field.steepest + 0.13;
      INFO("field " << k << ", gate " << g);
      CHECK(in_metres(rise->height) >= highest - 1e-3);
      CHECK(in_metres(rise->height) <=
            highest + steepest * (in_metres(gate.along) + 1.0 + 0.004 * in_metres(gate.half_width)));
    }
  }
}

TEST_CASE("Ground that is not known is said to be, and the runway's surroundings are not asked", "[flight][law]") {
  SceneMaker maker(7);
  Field field = any_field(maker);
  const auto middle = field.posts.heights_m.size() / 2 + field.posts.columns / 2;
  flight::Gate gate{{}, earth::TrueDirection(degrees(40)), metres(150), metres(5)};
  field.posts.heights_m.set(middle, std::numeric_limits<float>::quiet_NaN());
  const earth::Terrain terrain(field.origin, {field.posts});
  const auto rise = highest_across(terrain, gate, {metres(kDatum_m)}, nowhere(), metres(60));
  REQUIRE(rise);
  CHECK_FALSE(rise->known);
  const flight::AtRunway here{{metres(-500), Length{}}, earth::TrueDirection(degrees(90)), metres(1000), {}, {}};
  CHECK_FALSE(highest_across(terrain, gate, {metres(kDatum_m)}, here, metres(200)));
}

TEST_CASE(
    "Over ground no higher than the runway nothing is asked, over ground that rises by the rule's height all of it",
    "[flight][law]") {
  const Length over = feet(50);
  CHECK(in_feet(flight::least_height_over(feet(-30), over)) == Approx(-30));
  CHECK(in_feet(flight::least_height_over(Length{}, over)) == Approx(0).margin(1e-9));
  CHECK(in_feet(flight::least_height_over(feet(20), over)) == Approx(40));
  CHECK(in_feet(flight::least_height_over(feet(50), over)) == Approx(100));
  CHECK(in_feet(flight::least_height_over(feet(300), over)) == Approx(350));
}
