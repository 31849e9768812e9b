// Terrain against surfaces whose heights are known, and its places against geodesics on WGS 84.
//
// Sources:
//   [GL]   GeographicLib, class Geodesic (C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87, 43-55, 2013),
//   called
//          directly by tests/tools/terrain_maker.hpp
//   [PL]   bilinear interpolation gives every surface a + b x + c y + d x y back exactly: any textbook

#include "backfield/earth/terrain.hpp"
#include "tests/tools/terrain_maker.hpp"

#include <catch2/catch.hpp>
#include <random>
#include <stdexcept>

using namespace backfield;
using namespace backfield::test;

namespace {

constexpr double kThreeSeconds = 1.0 / 1200.0;

earth::Geodetic at(double lat, double lon) { return {degrees(lat), degrees(lon)}; }
earth::Position local(double east, double north) { return {metres(east), metres(north)}; }

double elevation_m(const earth::Terrain& t, double east, double north) {
  const auto e = t.elevation(local(east, north));
  REQUIRE(e.has_value());
  return e->above_sea_level.si();
}

/// Posts to 60 km and a little more about an origin.
template <class F>
earth::Terrain all_about(earth::Geodetic origin, double step, const F& height_m) {
  const double lat = in_degrees(origin.latitude), lon = in_degrees(origin.longitude);
  const double north = 0.6, east = 0.6 / std::cos(degrees(std::abs(lat) + 0.6).si());
  const auto rows = static_cast<std::size_t>(2.0 * north / step) + 1;
  const auto columns = static_cast<std::size_t>(2.0 * east / step) + 1;
  return {origin, {posts_of(lat - north, lon - east, step, rows, columns, height_m)}};
}

}  // namespace

TEST_CASE("A place is looked up within half a metre of where the geodesic ends, to 60 km, on all latitudes read",
          "[earth][terrain][reference]") {
  // One surface rises by 1 m with each metre of latitude, one with each of longitude: the height read is the place.
  std::mt19937 random(11);
  double worst = 0.0;
  for (const double lat : {0.0, 46.0, -46.0, 60.0, 79.9, -79.9}) {
    for (const double lon : {7.0, 179.9, -179.95}) {
      const auto origin = at(lat, lon);
      const double per_north = 111'132.0;
      const double per_east = 111'320.0 * std::cos(degrees(lat).si());
      const auto northward = all_about(origin, 0.05, [&](double y, double) { return (y - lat) * per_north; });
      const auto eastward = all_about(origin, 0.05, [&](double, double x) { return (x - lon) * per_east; });
      for (int i = 0; i < 300; ++i) {
        const double r = 59'900.0 * std::sqrt(std::uniform_real_distribution<double>(0, 1)(random));
        const double a = std::uniform_real_distribution<double>(0, 2.0 * kPi)(random);
        const double e = r * std::sin(a), n = r * std::cos(a);
        const earth::Geodetic place = place_of(origin, e, n);
        const double y = (in_degrees(place.latitude) - lat) * per_north;
        const double x = std::remainder(in_degrees(place.longitude) - lon, 360.0) * per_east;
        worst = std::max(worst, std::hypot(elevation_m(northward, e, n) - y, elevation_m(eastward, e, n) - x));
      }
    }
  }
  WARN("worst place " << worst << " m off");
  CHECK(worst < earth::kTerrainPlaceError.si());
}

TEST_CASE("Sea level is sea level at 60 km: heights need no curvature drop", "[earth][terrain][reference]") {
  const auto origin = at(46, 7);
  const auto level = all_about(origin, 0.01, [](double, double) { return 400.0; });
  for (const double r : {0.0, 10'000.0, 30'000.0, 59'000.0}) {
    // A tangent plane would be r^2 / 2R above it: 8, 71, 273 m.
    CHECK(elevation_m(level, r, 0) == Approx(400.0).margin(0.001));
    CHECK(elevation_m(level, 0, -r) == Approx(400.0).margin(0.001));
  }
}

TEST_CASE("Planes, ridges, cones and one high post have the heights of their formulas", "[earth][terrain][reference]") {
  const auto origin = at(46.02, 7.03);
  const double n = 110'574.0, e = 111'320.0;  // any scale will do: the formulas are in degrees
  const double step = kThreeSeconds;
  const auto plane = [&](double lat, double lon) { return 500.0 + 0.02 * n * (lat - 46.0) - 0.01 * e * (lon - 7.0); };
  const auto ridge = [&](double lat, double) { return 900.0 - 20'000.0 * std::abs(lat - 46.05); };
  const auto cone = [&](double lat, double lon) { return 1500.0 - 30'000.0 * std::hypot(lat - 46.05, lon - 7.05); };
  std::mt19937 random(12);
  const auto compare = [&](const auto& height, const char* what, double bound) {
    const earth::Terrain terrain(origin, {posts_of(45.9, 6.9, step, 300, 300, height)});
    double worst = 0.0;
    for (int i = 0; i < 2000; ++i) {
      const double east = std::uniform_real_distribution<double>(-6000, 6000)(random);
      const double north = std::uniform_real_distribution<double>(-6000, 6000)(random);
      const earth::Geodetic p = place_of(origin, east, north);
      worst = std::max(
          worst, std::abs(elevation_m(terrain, east, north) - height(in_degrees(p.latitude), in_degrees(p.longitude))));
    }
    CAPTURE(what, worst);
    CHECK(worst < bound);
  };
  compare(plane, "plane", 0.02);
  compare(ridge, "ridge along a row of posts", 0.1);
  compare(cone, "cone", 30'000.0 * step);  // its tip lies between posts; else it is flatter than this
  const auto origin_post = at(46.0, 7.0);
  const earth::Terrain needle(origin_post, {posts_of(45.95, 6.95, step, 121, 121, [&](double lat, double lon) {
                                return std::abs(lat - 46.0) < 0.1 * step && std::abs(lon - 7.0) < 0.1 * step ? 700.0
                                                                                                             : 100.0;
                              })});
  CHECK(elevation_m(needle, 0, 0) == Approx(700.0).margin(0.01));
  const double spacing = 111'145.0 * step;  // a degree of latitude at 46 N is 111,145 m
  CHECK(elevation_m(needle, 0, spacing / 2) == Approx(400.0).margin(1.0));
  CHECK(elevation_m(needle, 0, spacing * 1.01) == Approx(100.0).margin(0.01));
}

TEST_CASE("Over the edge of two tiles the ground goes on, and over the antimeridian", "[earth][terrain]") {
  const auto wavy = [](double lat, double lon) { return 800.0 + 300.0 * std::sin(90.0 * lat) * std::cos(70.0 * lon); };
  for (const double edge : {8.0, 180.0}) {
    const auto origin = at(46.0, edge - 0.01);
    const earth::ElevationPosts west = posts_of(45.5, edge - 1.0, kThreeSeconds, 1201, 1201, wavy);
    earth::ElevationPosts east = posts_of(45.5, edge, kThreeSeconds, 1201, 1201, wavy);
    if (edge == 180.0) east.south_west.longitude = degrees(-180.0);
    const earth::ElevationPosts both = posts_of(45.5, edge - 1.0, kThreeSeconds, 1201, 2401, wavy);
    for (const auto& order : {std::vector{west, east}, std::vector{east, west}}) {
      const earth::Terrain terrain(origin, order);
      for (double e = -3000.0; e < 4000.0; e += 7.3) {
        const double truth = sampled_m(both, place_of(origin, e, 0.7 * e));
        CAPTURE(edge, e);
        CHECK(elevation_m(terrain, e, 0.7 * e) == Approx(truth).margin(0.05));
      }
    }
  }
}

TEST_CASE("Where two files have a post the higher counts, and a number beats a void", "[earth][terrain]") {
  const auto origin = at(46.0, 8.0);
  const auto low = posts_of(45.9, 7.9, 0.01, 21, 11, [](double, double) { return 100.0; });
  auto high = posts_of(45.9, 8.0, 0.01, 21, 11, [](double, double) { return 300.0; });
  CHECK(elevation_m({origin, {low, high}}, 0, 0) == Approx(300.0));
  CHECK(elevation_m({origin, {high, low}}, 0, 0) == Approx(300.0));
  high.heights_m = {high.heights_m.size(), std::numeric_limits<float>::quiet_NaN()};
  CHECK(elevation_m({origin, {low, high}}, -1.0, 0) == Approx(100.0));
  CHECK_FALSE(earth::Terrain(origin, {low, high}).elevation(local(300, 0)));
}

TEST_CASE("What is void or outside is not known, and never flat", "[earth][terrain]") {
  const auto origin = at(46.0, 7.0);
  auto posts = posts_of(45.9, 6.9, kThreeSeconds, 241, 241, [](double, double) { return 250.0; });
  posts.heights_m.set(120 * 241 + 130, std::numeric_limits<float>::quiet_NaN());  // ten posts east of the origin
  const earth::Terrain terrain(origin, {posts});
  const double spacing = 111'320.0 * kThreeSeconds * std::cos(degrees(46).si());
  CHECK(terrain.elevation(local(0, 0)));
  CHECK_FALSE(terrain.elevation(local(spacing * 10, 10)));
  CHECK_FALSE(terrain.elevation(local(spacing * 9.5, -40)));
  CHECK(terrain.elevation(local(spacing * 12, 0)));
  CHECK_FALSE(terrain.elevation(local(20'000, 0)));
  CHECK_FALSE(terrain.elevation(local(0, -20'000)));
  CHECK_FALSE(terrain.elevation(local(70'000, 0)));
  std::vector<earth::Terrain::Piece> pieces;
  terrain.along(local(0, 0), local(spacing * 20, 0), 2.0, pieces);
  double highest = 0.0;
  bool unknown = false;
  for (const auto& p : pieces) {
    highest = std::max({highest, p.at(p.from), p.at(p.to)});
    unknown = unknown || !p.known;
  }
  CHECK(unknown);
  CHECK(highest > 9000.0);
}

TEST_CASE("The raised surface is never lower than the true one anywhere aside, and never jumps", "[earth][terrain]") {
  const auto origin = at(47.0, -3.0);
  std::mt19937 random(5);
  std::uniform_real_distribution<double> any(0.0, 1.0);
  const auto posts =
      posts_of(46.95, -3.07, kThreeSeconds, 121, 169, [&](double, double) { return 100.0 + 120.0 * any(random); });
  const earth::Terrain terrain(origin, {posts});
  std::vector<earth::Terrain::Piece> pieces;
  int near = 0;
  for (int i = 0; i < 2000; ++i) {
    const double e = 4000.0 * any(random) - 2000.0, n = 4000.0 * any(random) - 2000.0;
    const double angle = 2.0 * kPi * any(random), length = 400.0 * any(random), aside = 1.0 + 4.0 * any(random);
    const earth::Position a = local(e, n), b = local(e + length * std::sin(angle), n + length * std::cos(angle));
    pieces.clear();
    terrain.along(a, b, aside, pieces);
    REQUIRE(pieces.front().from == 0.0);
    REQUIRE(pieces.back().to == 1.0);
    const double bound = terrain.highest_m(a, b, aside);
    for (std::size_t k = 0; k < pieces.size(); ++k) {
      const auto& p = pieces[k];
      if (k > 0) {
        REQUIRE(p.from == pieces[k - 1].to);
        CHECK(p.at(p.from) == Approx(pieces[k - 1].at(p.from)).margin(1e-6));
      }
      for (int s = 0; s < 4; ++s) {
        const double t = p.from + (p.to - p.from) * any(random), off = 2.0 * kPi * any(random);
        const double x = e + (b.east.si() - e) * t, y = n + (b.north.si() - n) * t;
        const double truth = sampled_m(posts, place_of(origin, x + aside * std::sin(off), y + aside * std::cos(off)));
        REQUIRE(p.at(t) >= truth);
        REQUIRE(p.at(t) <= bound);
        near += p.at(t) - sampled_m(posts, place_of(origin, x, y)) < 25.0 ? 1 : 0;
      }
    }
  }
  CHECK(near > 1000);  // it is not simply high: 5 m aside on slopes of up to 2
}

TEST_CASE("Poles, other grids and nothing at all are refused", "[earth][terrain]") {
  const auto flat = [](double, double) { return 0.0; };
  const auto posts = posts_of(45.9, 6.9, 0.01, 21, 21, flat);
  CHECK_THROWS_AS(earth::Terrain(at(80.1, 7), {posts}), std::logic_error);
  CHECK_THROWS_AS(earth::Terrain(at(46, 7), {}), std::logic_error);
  CHECK_THROWS_AS(earth::Terrain(at(46, 7), {posts, posts_of(45.905, 6.9, 0.01, 21, 21, flat)}), std::logic_error);
  CHECK_THROWS_AS(earth::Terrain(at(46, 7), {posts, posts_of(45.9, 6.9, 0.02, 21, 21, flat)}), std::logic_error);
  CHECK(earth::within_reach(at(46, 9), posts).rows == 0);
  CHECK(earth::within_reach(at(46, 7.7), posts).columns < 21);
}
