// The ground that a glide reaches ahead, against closed forms, and a wind that shifts it.

#include "backfield/flight/glide_reach.hpp"
#include "backfield/base/polygon.hpp"

#include "tests/tools/scenes.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace backfield;
using namespace backfield::test;
using flight::GlideReach;

namespace {

constexpr double kStep_deg = 0.5;

/// A trainer that flies along the given track at best glide speed when the power goes.
struct Scene {
  aircraft::Aircraft aeroplane = trainer(feet_per_minute(700), metres(300), metres(500));
  aircraft::Performance performance{aeroplane, kilograms(1100)};
  flight::Model model = plain_model();
  flight::Technique technique = plain_technique();
  earth::Air air{hectopascals(1013.25), earth::Altitude{}, celsius(15), earth::DensityRule::aerodrome};
  earth::WindProfile wind = earth::WindProfile::uniform({});
  double track_deg = 30.0;
  double height_m = 250.0;

  Scene() { technique.roll_allowance = {}; }
  [[nodiscard]] double speed() const { return performance.best_glide().value.si() / std::sqrt(air.sigma({})); }
  [[nodiscard]] double glide_ratio() const { return aeroplane.polar.glide_ratio * technique.glide_factor; }
  [[nodiscard]] flight::AirState state() const {
    flight::AirState s;
    s.east_m = 300.0;
    s.north_m = -200.0;
    s.height_m = height_m;
    s.heading_rad = degrees(track_deg).si();
    s.tas_mps = speed();
    return s;
  }
  [[nodiscard]] GlideReach reach(const std::vector<earth::TrueDirection>& tracks) const {
    return GlideReach({.performance = &performance,
                       .technique = technique,
                       .model = model,
                       .environment = {air, wind, {}},
                       .datum = {},
                       .bank = degrees(30),
                       .gust_spread = {},
                       .top = feet(3000),
                       .lowest = {},
                       .tracks = tracks});
  }
};

std::vector<earth::TrueDirection> sector(double middle_deg, double half_width_deg) {
  std::vector<earth::TrueDirection> tracks;
  const int steps = static_cast<int>(std::lround(half_width_deg / kStep_deg));
  for (int i = -steps; i <= steps; ++i) tracks.push_back(earth::true_degrees(middle_deg + kStep_deg * i));
  return tracks;
}

struct Footprint {
  std::vector<PlanePoint> from, to;
  std::vector<double> time_s, length_m;
};
Footprint footprint(const Scene& scene, const std::vector<earth::TrueDirection>& tracks) {
  const GlideReach reach = scene.reach(tracks);
  const auto failure = reach.failure(scene.state());
  Footprint f;
  for (std::size_t i = 0; i < tracks.size(); ++i) {
    const auto ray = reach.ray(*failure, i);
    REQUIRE(ray);
    const auto d = reach.distances(*ray, Length{});
    REQUIRE(d);
    const earth::Position end = earth::offset(ray->from, ray->track, d->longest);
    f.from.push_back({ray->from.east.si(), ray->from.north.si()});
    f.to.push_back({end.east.si(), end.north.si()});
    f.time_s.push_back((ray->since_failure + d->time).si());
    f.length_m.push_back(d->longest.si());
  }
  return f;
}

/// Between where the straights begin and where they end.
double area_of(const Footprint& f) {
  std::vector<PlanePoint> ring = f.to;
  ring.insert(ring.end(), f.from.rbegin(), f.from.rend());
  double twice = 0.0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const PlanePoint& a = ring[i];
    const PlanePoint& b = ring[(i + 1) % ring.size()];
    twice += (a.x - ring[0].x) * (b.y - ring[0].y) - (b.x - ring[0].x) * (a.y - ring[0].y);
  }
  return std::abs(0.5 * twice);
}

}  // namespace

TEST_CASE("In still air the footprint straight ahead ends at height times glide ratio", "[flight][law]") {
  Scene scene;
  scene.technique.reaction = {};
  for (const double height : {60.0, 250.0, 800.0}) {
    scene.height_m = height;
    const Footprint f = footprint(scene, {earth::true_degrees(scene.track_deg)});
    CHECK(f.length_m[0] == Approx(height * scene.glide_ratio()).epsilon(1e-6));
  }
}

// Straights that leave an arc along its tangents sweep as much as if they all left one point (Mamikon's theorem;
// T. M. Apostol and M. A. Mnatsakanian, Subtangents - an elegant calculus of tangents, Amer. Math. Monthly 109, 2002):
// half the integral of their squared length over the angle. A level turn of radius r sinks r tan(gamma) a radian, so
// lengths fall in proportion to the angle, and the integral is elementary. With r -> 0 it is the sector of a circle.
TEST_CASE("In still air the area of the footprint is the closed form", "[flight][law]") {
  Scene scene;
  scene.technique.reaction = {};
  const double E = scene.glide_ratio();
  // Best glide is the faster of the two speeds of the turn for this aeroplane at 30 degrees: v = 1, n = 1 / cos(30).
  const double n2 = 4.0 / 3.0;
  const double radius = scene.speed() * scene.speed() / (kStandardGravity * std::tan(degrees(30).si()));
  const double lost_per_rad = radius * (1.0 + n2) / (2.0 * E);
  for (const double half_width_deg : {30.0, 60.0}) {
    const double half = degrees(half_width_deg).si();
    const double ahead = scene.height_m * E;
    const double at_edge = ahead - lost_per_rad * E * half;
    const double closed = (std::pow(ahead, 3) - std::pow(at_edge, 3)) / (3.0 * lost_per_rad * E);
    const Footprint f = footprint(scene, sector(scene.track_deg, half_width_deg));
    CHECK(f.length_m.front() == Approx(at_edge).epsilon(1e-6));
    CHECK(f.length_m.back() == Approx(at_edge).epsilon(1e-6));
    CHECK(area_of(f) == Approx(closed).epsilon(1e-4));
    // And less than the sector of the circle, which costs no turn.
    CHECK(area_of(f) < ahead * ahead * half);
    CHECK(area_of(f) > 0.8 * ahead * ahead * half);
  }
}

TEST_CASE("A constant wind shifts every point of the footprint by the time of its glide", "[flight][law]") {
  for (const double from_deg : {30.0, 120.0, 200.0, 330.0}) {
    Scene still;
    Scene windy;
    const double w = knots(14).si();
    const earth::WindVector wind = earth::wind_from(earth::true_degrees(from_deg), knots(14));
    windy.wind = earth::WindProfile::uniform(wind);
    const double we = -w * std::sin(degrees(from_deg).si());
    const double wn = -w * std::cos(degrees(from_deg).si());
    const std::vector<earth::TrueDirection> tracks = sector(windy.track_deg, 60);
    const Footprint shifted = footprint(windy, tracks);
    // The heading that holds each track, by the triangle of velocities.
    std::vector<earth::TrueDirection> headings;
    for (const earth::TrueDirection& track : tracks) {
      const double s = std::sin(track.angle().si());
      const double c = std::cos(track.angle().si());
      headings.emplace_back(track.angle() - radians(std::asin((we * c - wn * s) / still.speed())));
    }
    const Footprint here = footprint(still, headings);
    for (std::size_t i = 0; i < tracks.size(); ++i) {
      CAPTURE(from_deg, tracks[i].deg());
      CHECK(shifted.time_s[i] == Approx(here.time_s[i]).margin(1e-3));
      CHECK(shifted.to[i].x == Approx(here.to[i].x + we * here.time_s[i]).margin(0.1));
      CHECK(shifted.to[i].y == Approx(here.to[i].y + wn * here.time_s[i]).margin(0.1));
    }
  }
}

TEST_CASE("Flap shortens a glide, high ground does too, and height lengthens both", "[flight][law]") {
  Scene scene;
  scene.model = full_model();
  scene.technique = full_technique();
  scene.air = earth::Air(hectopascals(1013.25), earth::Altitude{}, celsius(15), earth::DensityRule::local);
  scene.wind = earth::WindProfile::power_law(earth::wind_from(earth::true_degrees(350), knots(12)), {0.143});
  const auto tracks = sector(scene.track_deg, 60);
  const GlideReach reach = scene.reach(tracks);
  std::vector<double> before(tracks.size(), 0.0);
  for (double height = 120; height < 700; height += 40) {
    scene.height_m = height;
    const auto failure = reach.failure(scene.state());
    for (std::size_t i = 0; i < tracks.size(); i += 10) {
      const auto ray = reach.ray(*failure, i);
      if (!ray) continue;
      const auto level = reach.distances(*ray, Length{});
      REQUIRE(level);
      CHECK(level->shortest <= level->longest);
      CHECK(level->longest.si() > before[i]);
      before[i] = level->longest.si();
      if (const auto higher = reach.distances(*ray, metres(20))) {
        CHECK(higher->longest < level->longest);
        CHECK(higher->shortest < level->shortest);
      } else {
        CHECK(ray->height <= metres(20));
      }
      const auto way = reach.way(*failure, *ray, level->longest, Length{});
      const earth::Position end = earth::offset(ray->from, ray->track, level->longest);
      CHECK(way.back().east_m == Approx(end.east.si()).margin(1e-6));
      CHECK(way.back().north_m == Approx(end.north.si()).margin(1e-6));
      CHECK(way.back().height_m == Approx(0.0).margin(1e-6));
      for (std::size_t k = 3; k < way.size(); ++k) CHECK(way[k].height_m < way[k - 1].height_m);
    }
  }
}
