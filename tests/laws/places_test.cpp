// Places in the order of their distance, against sorting by the geodesic of every place.

#include "backfield/earth/places.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <random>
#include <stdexcept>
#include <string>
#include <vector>

using namespace backfield;
using namespace backfield::earth;

namespace {

Geodetic at(double latitude_deg, double longitude_deg) { return {degrees(latitude_deg), degrees(longitude_deg)}; }

struct Found {
  std::size_t index;
  double length_m;
  bool operator==(const Found&) const = default;
};

std::vector<Found> by_brute_force(const std::vector<Geodetic>& places, Geodetic centre, Length radius) {
  std::vector<Found> all;
  for (std::size_t i = 0; i < places.size(); ++i) {
    const Length away = geodesic(centre, places[i]).length;
    if (away <= radius) all.push_back({i, in_metres(away)});
  }
  std::stable_sort(all.begin(), all.end(), [](const Found& a, const Found& b) { return a.length_m < b.length_m; });
  return all;
}

std::vector<Found> outwards(const Places& places, Geodetic centre, Length radius) {
  std::vector<Found> all;
  Places::Outwards near = places.from(centre, radius);
  while (const auto next = near.next()) all.push_back({next->index, in_metres(next->away.length)});
  CHECK_FALSE(near.next());
  return all;
}

/// Half of them anywhere, the others crowded about the places where longitudes are odd or distances nearly equal.
std::vector<Geodetic> scattered(std::mt19937& random, std::size_t count) {
  std::uniform_real_distribution<double> unit(-1.0, 1.0);
  std::vector<Geodetic> places;
  while (places.size() < count) {
    const double small = 0.5 * unit(random);
    switch (places.size() % 8) {
      case 0:
        places.push_back(at(90.0 - std::abs(small), 180.0 * unit(random)));
        break;
      case 1:
        places.push_back(at(-90.0 + std::abs(small), 180.0 * unit(random)));
        break;
      case 2:
        places.push_back(at(60.0 * unit(random), small < 0 ? -180.0 - small : 180.0 - small));
        break;
      case 3:
        places.push_back(places.back());  // the same place twice
        break;
      default:
        places.push_back(at(in_degrees(radians(std::asin(unit(random)))), 180.0 * unit(random)));
    }
  }
  return places;
}

}  // namespace

TEST_CASE("Places come in the order of their geodesics, everywhere and however far", "[earth][places][law]") {
  std::mt19937 random(20260216);
  const std::vector<Geodetic> points = scattered(random, 1000);
  const Places places(points);
  std::vector<Geodetic> centres = scattered(random, 100);
  for (const Geodetic& odd :
       {at(90, 0), at(-90, 0), at(90, 137), at(0, 180), at(0, -180), at(-17, 179.9999), at(0, 0)}) {
    centres.push_back(odd);
  }
  std::size_t found = 0;
  for (const Geodetic& centre : centres) {
    for (const Length radius : {metres(0), nautical_miles(20), nautical_miles(500), metres(20'004'000)}) {
      CAPTURE(in_degrees(centre.latitude), in_degrees(centre.longitude), in_metres(radius));
      const std::vector<Found> expected = by_brute_force(points, centre, radius);
      CHECK(outwards(places, centre, radius) == expected);
      found += expected.size();
      if (radius > metres(20'003'950)) CHECK(expected.size() == points.size());
    }
  }
  CHECK(found > 100'000);
}

TEST_CASE("A place on the rim is within, one a millimetre further is not", "[earth][places][law]") {
  // 0.01 degree of the equator is 1,113.1949 m (WGS 84: a pi / 180 / 100).
  const Places places({at(0, 0.01)});
  const Length away = geodesic(at(0, 0), at(0, 0.01)).length;
  CHECK(std::abs(in_metres(away) - 1113.1949) < 0.0001);
  CHECK(places.from(at(0, 0), away).next());
  CHECK_FALSE(places.from(at(0, 0), away - metres(0.001)).next());
}

TEST_CASE("Neighbours across the antimeridian and the pole are as near as they are", "[earth][places][law]") {
  const Places places({at(-17, -179.99), at(89.99, 90), at(-17, 0)});
  const auto east = places.from(at(-17, 179.99), nautical_miles(5)).next();
  REQUIRE(east);
  CHECK(east->index == 0);
  CHECK(east->away.initial_bearing.deg() == Approx(90).margin(0.01));
  // On the parallel of 17 degrees 0.02 degree of longitude is a cos(17) / sqrt(1 - e2 sin2(17)) 0.02 pi / 180 =
  // 2,129.7166 m; the geodesic is shorter by a few micrometres.
  CHECK(std::abs(in_metres(east->away.length) - 2129.7166) < 0.0002);
  // At the pole the meridian's radius is a / sqrt(1 - e2), so 0.01 degree is 1,116.9398 m, and this twice over the
  // pole.
  const auto over = places.from(at(89.99, -90), nautical_miles(5)).next();
  REQUIRE(over);
  CHECK(over->index == 1);
  CHECK(std::abs(in_metres(over->away.length) - 2 * 1116.9398) < 0.0002);
  CHECK(std::abs(std::remainder(over->away.initial_bearing.deg(), 360.0)) < 1e-6);
}

TEST_CASE("What is no place is refused", "[earth][places][law]") {
  CHECK_THROWS_AS(Places({at(90.1, 0)}), std::logic_error);
  CHECK_THROWS_AS(Places({at(0, std::nan(""))}), std::logic_error);
  CHECK_THROWS_AS(Places({at(0, 0)}).from(at(std::nan(""), 0), metres(1)), std::logic_error);
  CHECK_THROWS_AS(Places({at(0, 0)}).from(at(0, 0), metres(-1)), std::logic_error);
  CHECK_FALSE(Places({}).from(at(0, 0), metres(1)).next());
}
