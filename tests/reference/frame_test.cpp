// The local frame against geodesics on WGS 84.
//
// Sources:
//   [GL]    GeographicLib 2.1.2, class Geodesic (C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87, 43-55, 2013;
//           accurate to 15 nm), called here directly
//   [ODE]   the differential equations of a geodesic on an ellipsoid of revolution (Bessel 1825; any textbook of
//           geometric geodesy), integrated here by the classical Runge-Kutta method: shares no code with GeographicLib
//   WGS 84  NIMA TR8350.2, 3rd ed.: a = 6,378,137 m, 1/f = 298.257223563

#include "backfield/earth/position.hpp"

#include <GeographicLib/Geodesic.hpp>
#include <array>
#include <catch2/catch.hpp>
#include <random>

namespace {

using namespace backfield;
using namespace backfield::earth;

constexpr double kReach_m = 60000.0;  // within which the frame states its accuracy

const GeographicLib::Geodesic& wgs84() { return GeographicLib::Geodesic::WGS84(); }

Geodetic at(double lat_deg, double lon_deg) { return {degrees(lat_deg), degrees(lon_deg)}; }

/// Smallest difference of two angles in degrees, unsigned.
double apart_deg(double a, double b) { return std::abs(std::remainder(a - b, 360.0)); }

/// [GL] from an origin, clear of anything in backfield.
Geodetic gl_destination(Geodetic from, double azimuth_deg, double length_m) {
  double lat_deg, lon_deg;
  wgs84().Direct(in_degrees(from.latitude), in_degrees(from.longitude), azimuth_deg, length_m, lat_deg, lon_deg);
  return at(lat_deg, lon_deg);
}

struct GlRay {
  double length_m, azimuth1_deg, azimuth2_deg;
};

GlRay gl_ray(Geodetic from, Geodetic to) {
  GlRay ray;
  wgs84().Inverse(in_degrees(from.latitude), in_degrees(from.longitude), in_degrees(to.latitude),
                  in_degrees(to.longitude), ray.length_m, ray.azimuth1_deg, ray.azimuth2_deg);
  return ray;
}

/// Origins where a frame could go wrong: the equator, mid and high latitudes, both sides of the antimeridian, and so
/// near the poles that 60 km reach across them.
const std::array<Geodetic, 9> kOrigins = {at(0, 0),         at(45, 10),       at(60, 25),
                                          at(-33.9, 151.2), at(-16.7, 179.9), at(51.9, -179.98),
                                          at(89.8, 100),    at(-89.75, -45),  at(78.2, 15.5)};

/// A place up to 60 km away, with the polar coordinates it was made from.
struct Place {
  double azimuth_deg, length_m;
  Geodetic geodetic;
};

class Places {
 public:
  explicit Places(Geodetic origin) : origin_(origin) {}
  Place next() {
    const double azimuth_deg = std::uniform_real_distribution<double>(-180, 180)(random_);
    // Square root: even over the disc, so that most places are far out, where the frame is worst.
    const double length_m = kReach_m * std::sqrt(std::uniform_real_distribution<double>(0, 1)(random_));
    return {azimuth_deg, length_m, gl_destination(origin_, azimuth_deg, length_m)};
  }

 private:
  Geodetic origin_;
  std::mt19937 random_{20240229};
};

TEST_CASE("Distance and bearing from the origin are those of the geodesic", "[earth][reference]") {
  for (const Geodetic& origin : kOrigins) {
    const LocalFrame frame(origin);
    Places places(origin);
    for (int i = 0; i < 300; ++i) {
      const Place place = places.next();
      const Position p = frame.to_local(place.geodetic);
      const double azimuth = degrees(place.azimuth_deg).si();
      CAPTURE(in_degrees(origin.latitude), in_degrees(origin.longitude), place.azimuth_deg, place.length_m);
      // 1 um: rounding of a longitude of 180 degrees (3e-14 degrees, 3 nm) and of the way there and back.
      REQUIRE(p.east.si() == Approx(place.length_m * std::sin(azimuth)).margin(1e-6));
      REQUIRE(p.north.si() == Approx(place.length_m * std::cos(azimuth)).margin(1e-6));
    }
  }
}

TEST_CASE("A place in the frame goes back to where the geodesic ends", "[earth][reference]") {
  for (const Geodetic& origin : kOrigins) {
    const LocalFrame frame(origin);
    Places places(origin);
    for (int i = 0; i < 300; ++i) {
      const Place place = places.next();
      const double azimuth = degrees(place.azimuth_deg).si();
      const Geodetic back =
          frame.to_geodetic({metres(place.length_m * std::sin(azimuth)), metres(place.length_m * std::cos(azimuth))});
      CAPTURE(in_degrees(origin.latitude), in_degrees(origin.longitude), place.azimuth_deg, place.length_m);
      REQUIRE(gl_ray(back, place.geodetic).length_m < 1e-6);
      REQUIRE(std::abs(in_degrees(back.longitude)) <= 180.0);
    }
  }
}

TEST_CASE("The distance between two places within 60 km is true to its stated accuracy", "[earth][reference]") {
  double worst = 0.0;
  for (const Geodetic& origin : kOrigins) {
    const LocalFrame frame(origin);
    Places places(origin);
    for (int i = 0; i < 500; ++i) {
      const Geodetic a = places.next().geodetic;
      const Geodetic b = places.next().geodetic;
      const double true_m = gl_ray(a, b).length_m;
      const double error = std::abs(in_metres(distance(frame.to_local(a), frame.to_local(b))) / true_m - 1.0);
      CAPTURE(in_degrees(origin.latitude), in_degrees(origin.longitude), true_m);
      REQUIRE(error <= kFrameDistanceError);
      worst = std::max(worst, error);
    }
  }
  // The bound is not generous: d^2/6R^2 at 60 km is 1.48e-5.
  CHECK(worst > 0.5e-5);
}

TEST_CASE("The worst place for a distance is at 60 km and square to the ray", "[earth][reference]") {
  // Short distances there, where the scale is the whole error.
  double worst = 0.0;
  for (const Geodetic& origin : kOrigins) {
    const LocalFrame frame(origin);
    for (double azimuth_deg = 0; azimuth_deg < 360; azimuth_deg += 15) {
      const Geodetic a = gl_destination(origin, azimuth_deg, kReach_m);
      const Geodetic b = gl_destination(a, gl_ray(origin, a).azimuth2_deg + 90, 2000);
      const double error = std::abs(in_metres(distance(frame.to_local(a), frame.to_local(b))) / 2000.0 - 1.0);
      CAPTURE(in_degrees(origin.latitude), azimuth_deg);
      REQUIRE(error <= kFrameDistanceError);
      worst = std::max(worst, error);
    }
  }
  CHECK(worst == Approx(1.48e-5).margin(0.02e-5));  // d^2/6R^2, R^2 = 6,335 km x 6,378 km on the equator
}

TEST_CASE("A bearing turned into the frame points along the frame's own straight line", "[earth][reference]") {
  // The runway case: a bearing taken at one threshold towards the other, 500 m to 4 km on.
  double worst_deg = 0.0;
  for (const Geodetic& origin : kOrigins) {
    const LocalFrame frame(origin);
    Places places(origin);
    for (int i = 0; i < 300; ++i) {
      const Place start = places.next();
      const double bearing_deg = 7.0 + 1.17 * i;
      const double length_m = 500.0 + 3500.0 * i / 300.0;
      const Geodetic end = gl_destination(start.geodetic, bearing_deg, length_m);
      const Position a = frame.to_local(start.geodetic);
      const Position b = frame.to_local(end);
      const double chord_deg = in_degrees(radians(std::atan2((b.east - a.east).si(), (b.north - a.north).si())));
      const double turned_deg = frame.to_local(start.geodetic, true_degrees(bearing_deg)).deg();
      CAPTURE(in_degrees(origin.latitude), start.azimuth_deg, start.length_m, bearing_deg, length_m);
      // Half the curvature of a geodesic in the frame, (4 km x 60 km)/(3 R^2) rad = 0.0002 degrees at most, doubled.
      REQUIRE(apart_deg(chord_deg, turned_deg) < 0.0004);
      worst_deg = std::max(worst_deg, apart_deg(chord_deg, turned_deg));
    }
  }
  CHECK(worst_deg > 0.0);
}

TEST_CASE("A bearing is turned together with the stretch of the frame across its rays", "[earth][reference]") {
  // Over 50 m a geodesic's curvature in the frame is (50 m x 60 km)/(3 R^2) rad, 1.4e-6 degrees; left out, the stretch
  // of d^2/6R^2 would turn an oblique bearing by up to 4e-4 degrees.
  for (const Geodetic& origin : kOrigins) {
    const LocalFrame frame(origin);
    for (double azimuth_deg = 1; azimuth_deg < 360; azimuth_deg += 40) {
      const Geodetic start = gl_destination(origin, azimuth_deg, kReach_m);
      const double oblique_deg = gl_ray(origin, start).azimuth2_deg + 45;
      const Position a = frame.to_local(start);
      const Position b = frame.to_local(gl_destination(start, oblique_deg, 50));
      const double chord_deg = in_degrees(radians(std::atan2((b.east - a.east).si(), (b.north - a.north).si())));
      CAPTURE(in_degrees(origin.latitude), azimuth_deg);
      REQUIRE(apart_deg(chord_deg, frame.to_local(start, true_degrees(oblique_deg)).deg()) < 5e-6);
      REQUIRE(apart_deg(oblique_deg, frame.to_geodetic(a, true_degrees(chord_deg)).deg()) < 5e-6);
    }
  }
}

TEST_CASE("Far across the frame a geodesic stays within a hundredth of a degree of the straight line",
          "[earth][reference]") {
  for (const Geodetic& origin : kOrigins) {
    const LocalFrame frame(origin);
    Places places(origin);
    for (int i = 0; i < 300; ++i) {
      const Geodetic from = places.next().geodetic;
      const Geodetic to = places.next().geodetic;
      const GlRay ray = gl_ray(from, to);
      const Position a = frame.to_local(from);
      const Position b = frame.to_local(to);
      const double chord_deg = in_degrees(radians(std::atan2((b.east - a.east).si(), (b.north - a.north).si())));
      CAPTURE(in_degrees(origin.latitude), ray.length_m);
      REQUIRE(apart_deg(chord_deg, frame.to_local(from, true_degrees(ray.azimuth1_deg)).deg()) < 0.01);
    }
  }
}

TEST_CASE("Without the convergence of meridians bearings on latitude 60 would be off by most of a degree",
          "[earth][reference]") {
  // sin(60) x difference of longitude: 60 km east on latitude 60 are 1.077 degrees of longitude, 0.93 degrees of turn.
  const LocalFrame frame(at(60, 25));
  const Geodetic east = gl_destination(at(60, 25), 90, 60000);
  const double turned_deg = frame.to_local(east, true_degrees(0)).deg();
  CHECK(apart_deg(turned_deg, 0) == Approx(0.93).margin(0.01));
  CHECK(turned_deg > 180.0);  // true north at the eastern place lies left of the frame's north
}

TEST_CASE("Length, bearing and destination are those of GeographicLib at any distance", "[earth][reference]") {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> latitude(-89, 89), longitude(-180, 180), azimuth(0, 360), length(1, 5e6);
  for (int i = 0; i < 300; ++i) {
    const Geodetic from = at(latitude(random), longitude(random));
    const double azimuth_deg = azimuth(random), length_m = length(random);
    const Geodetic to = destination(from, true_degrees(azimuth_deg), metres(length_m));
    const Geodesic there = geodesic(from, to);
    CAPTURE(in_degrees(from.latitude), in_degrees(from.longitude), azimuth_deg, length_m);
    REQUIRE(gl_ray(to, gl_destination(from, azimuth_deg, length_m)).length_m < 1e-6);
    REQUIRE(there.length.si() == Approx(length_m).margin(1e-6));
    // A micrometre across, seen from where it is.
    REQUIRE(apart_deg(there.initial_bearing.deg(), azimuth_deg) < in_degrees(radians(2e-6 / length_m)) + 1e-9);
  }
}

/// [ODE] d(lat)/ds = cos(a)/M, d(lon)/ds = sin(a)/(N cos lat), da/ds = tan(lat) sin(a)/N.
struct Ode {
  double lat, lon, azimuth;  // rad
};

Ode slope(const Ode& y) {
  constexpr double kA_m = 6378137.0;
  constexpr double kF = 1.0 / 298.257223563;
  constexpr double kE2 = kF * (2.0 - kF);
  const double w2 = 1.0 - kE2 * std::sin(y.lat) * std::sin(y.lat);
  const double n_m = kA_m / std::sqrt(w2);
  const double m_m = n_m * (1.0 - kE2) / w2;
  return {std::cos(y.azimuth) / m_m, std::sin(y.azimuth) / (n_m * std::cos(y.lat)),
          std::tan(y.lat) * std::sin(y.azimuth) / n_m};
}

Ode integrated(Ode y, double length_m) {
  const int steps = 2000;
  const double h = length_m / steps;
  const auto moved = [](const Ode& from, const Ode& k, double by) {
    return Ode{from.lat + by * k.lat, from.lon + by * k.lon, from.azimuth + by * k.azimuth};
  };
  for (int i = 0; i < steps; ++i) {
    const Ode k1 = slope(y), k2 = slope(moved(y, k1, h / 2)), k3 = slope(moved(y, k2, h / 2)),
              k4 = slope(moved(y, k3, h));
    y = moved(moved(moved(moved(y, k1, h / 6), k2, h / 3), k3, h / 3), k4, h / 6);
  }
  return y;
}

TEST_CASE("The frame agrees with geodesics integrated from their differential equations", "[earth][reference]") {
  for (const Geodetic& origin : kOrigins) {
    if (std::abs(in_degrees(origin.latitude)) > 85.0) continue;  // longitude as a coordinate fails at the poles
    const LocalFrame frame(origin);
    for (double azimuth_deg = 3; azimuth_deg < 360; azimuth_deg += 24) {
      const double azimuth = degrees(azimuth_deg).si();
      const Ode end = integrated({origin.latitude.si(), origin.longitude.si(), azimuth}, kReach_m);
      const Geodetic place = {radians(end.lat), radians(end.lon)};
      const Position p = frame.to_local(place);
      CAPTURE(in_degrees(origin.latitude), azimuth_deg);
      REQUIRE(p.east.si() == Approx(kReach_m * std::sin(azimuth)).margin(1e-5));
      REQUIRE(p.north.si() == Approx(kReach_m * std::cos(azimuth)).margin(1e-5));
      // The ray itself is straight in the frame, so its azimuth at the far end turns back into that at the origin.
      REQUIRE(apart_deg(frame.to_local(place, TrueDirection(radians(end.azimuth))).deg(), azimuth_deg) < 1e-8);
    }
  }
}

TEST_CASE("A frame across the antimeridian is as smooth as any", "[earth][reference]") {
  const LocalFrame frame(at(-16.7, 179.9));
  const Position west = frame.to_local(at(-16.7, 179.999999));
  const Position east = frame.to_local(at(-16.7, -179.999999));
  CHECK(in_metres(distance(west, east)) ==
        Approx(gl_ray(at(-16.7, 179.999999), at(-16.7, -179.999999)).length_m).epsilon(kFrameDistanceError));
  CHECK(in_metres(distance(frame.to_local(at(-16.7, 180)), frame.to_local(at(-16.7, -180)))) < 1e-6);
  CHECK(in_degrees(frame.to_geodetic({metres(30000), metres(0)}).longitude) < -179.0);
}

TEST_CASE("A frame on the pole itself takes its north from the longitude it was given", "[earth][reference]") {
  for (const double lon_deg : {0.0, 20.0, -150.0}) {
    const LocalFrame frame(at(90, lon_deg));
    // Ahead of someone who arrived northbound along lon_deg lies the opposite meridian.
    const Position ahead = frame.to_local(at(89.9, lon_deg + 180));
    CHECK(ahead.east.si() == Approx(0.0).margin(1e-6));
    CHECK(ahead.north.si() == Approx(gl_ray(at(90, lon_deg), at(89.9, lon_deg + 180)).length_m).margin(1e-6));
    const Position right = frame.to_local(at(89.9, lon_deg + 90));
    CHECK(right.north.si() == Approx(0.0).margin(1e-6));
    CHECK(right.east.si() > 11000.0);
  }
}

}  // namespace
