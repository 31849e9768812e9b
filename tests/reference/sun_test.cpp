#include "backfield/earth/sun.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

// References:
//   Ephem     python3-ephem 4.1.4 of Debian, a library of its own kind (VSOP87): elevation of the sun's centre,
//   refraction
//             off, and next settings of the centre at -0:50 and -6 degrees. Places and moments drawn at random; frozen.
//   Meeus     J. Meeus, Astronomical Algorithms, 2nd ed., example 25.a (from memory)
//   Almanac   London, longest day: sunrise 04:43, sunset 21:21 BST, as almanacs print it (from memory)

using namespace backfield;
using namespace backfield::earth;

namespace {

constexpr Duration kDay = minutes(24 * 60);

Instant at(const UtcClock& clock) { return utc(clock).value(); }
Geodetic place(double latitude, double longitude) { return {degrees(latitude), degrees(longitude)}; }

struct Row {
  double latitude, longitude;
  UtcClock when;
  double elevation;
};
// clang-format off
const std::vector<Row> kElevations = {
    {-20.63, -125.69, {1962, 2, 27, 17, 6}, 38.034},
    {-15.58, -159.12, {2079, 4, 2, 2, 27}, 30.223},
    {-9.42, -93.36, {2091, 7, 2, 18, 7}, 57.515},
    {63.50, 47.03, {2099, 1, 19, 18, 25}, -39.196},
    {-64.27, -100.41, {2092, 3, 10, 13, 9}, 5.112},
    {4.67, 25.53, {2093, 11, 6, 3, 37}, -7.163},
    {8.19, -112.37, {1974, 9, 23, 2, 36}, -18.263},
    {-61.74, -105.85, {2086, 7, 25, 10, 29}, -35.612},
    {9.85, -16.85, {2026, 4, 26, 5, 44}, -17.006},
    {34.03, -150.53, {2026, 9, 16, 10, 46}, -51.654},
    {-5.87, 39.23, {1968, 2, 17, 13, 10}, 37.161},
    {30.95, -125.29, {2075, 7, 2, 21, 4}, 78.279},
    {31.95, 26.29, {2030, 6, 23, 11, 38}, 70.209},
    {-0.38, 106.88, {1967, 2, 9, 15, 44}, -64.553},
    {19.17, -158.16, {2029, 11, 19, 21, 52}, 50.623},
    {-6.24, 77.99, {2038, 1, 15, 11, 10}, 27.266},
    {12.82, -2.27, {2005, 5, 5, 23, 15}, -58.122},
    {-11.78, 150.05, {2077, 2, 6, 14, 25}, -62.784},
    {5.67, 138.02, {2060, 9, 9, 22, 26}, 25.576},
    {76.64, 65.78, {2047, 4, 5, 2, 11}, 7.637},
    {-44.22, 57.07, {1953, 8, 27, 18, 11}, -46.791},
    {-28.33, -178.53, {2057, 9, 12, 19, 36}, 21.123},
    {-21.27, -134.82, {2081, 10, 21, 21, 47}, 71.786},
    {-63.13, 143.83, {2093, 7, 13, 12, 25}, -43.434},
    {-52.46, 48.34, {1965, 4, 3, 6, 28}, 24.920},
    {-42.48, -57.58, {1963, 2, 1, 18, 9}, 53.274},
    {4.20, 161.62, {1956, 2, 28, 6, 39}, 11.056},
    {-14.33, 48.39, {2038, 10, 12, 15, 7}, -6.307},
    {-50.29, -4.30, {2069, 8, 16, 9, 5}, 13.140},
    {-45.38, 89.88, {2017, 8, 27, 22, 10}, -26.424},
    {1.87, -106.12, {2085, 6, 5, 22, 34}, 34.873},
    {55.92, 92.93, {2026, 11, 28, 2, 44}, 4.648},
    {43.70, 6.62, {1992, 6, 25, 7, 34}, 36.914},
    {4.77, 0.97, {2007, 10, 26, 6, 51}, 16.165},
    {-31.41, -35.75, {2008, 4, 17, 15, 22}, 45.481},
    {27.52, 176.26, {2021, 8, 9, 6, 44}, 2.181},
};

struct Moment {
  int year, month, day, hour, minute, second;
};
struct Evening {
  double latitude, longitude;
  Moment noon, sunset, dusk;
};
const std::vector<Evening> kEvenings = {
    {51.5, -0.12, {2026, 6, 21, 12, 0, 28}, {2026, 6, 21, 20, 21, 28}, {2026, 6, 21, 21, 9, 13}},
    {51.5, -0.12, {2026, 12, 21, 12, 0, 28}, {2026, 12, 21, 15, 53, 24}, {2026, 12, 21, 16, 33, 43}},
    {0, 0, {2026, 3, 20, 12, 0, 0}, {2026, 3, 20, 18, 10, 41}, {2026, 3, 20, 18, 31, 20}},
    {47.9, 11.6, {2026, 11, 27, 11, 13, 36}, {2026, 11, 27, 15, 25, 24}, {2026, 11, 27, 16, 0, 27}},
    {-33.95, 151.18, {2026, 1, 15, 1, 55, 16}, {2026, 1, 15, 9, 9, 17}, {2026, 1, 15, 9, 37, 36}},
    {64.13, -21.94, {2026, 10, 5, 13, 27, 45}, {2026, 10, 5, 18, 42, 38}, {2026, 10, 5, 19, 30, 5}},
    {-54.8, -68.3, {2030, 8, 9, 16, 33, 12}, {2030, 8, 9, 21, 11, 39}, {2030, 8, 9, 21, 50, 34}},
    {1.35, 103.99, {1999, 5, 1, 5, 4, 2}, {1999, 5, 1, 11, 6, 4}, {1999, 5, 1, 11, 27, 28}},
};
// clang-format on

Instant moment(const Moment& m) { return at({m.year, m.month, m.day, m.hour, m.minute}) + seconds(m.second); }

}  // namespace

TEST_CASE("The sun's elevation agrees with a numerical ephemeris", "[earth][sun][reference]") {
  for (const Row& row : kElevations) {
    const double found = in_degrees(sun_elevation(place(row.latitude, row.longitude), at(row.when)));
    INFO(row.latitude << " " << row.longitude << " " << row.when.year);
    CHECK(std::abs(found - row.elevation) <= in_degrees(kSunElevationError));
  }
}

TEST_CASE("At the pole the sun stands as high as its declination", "[earth][sun][reference]") {
  // Meeus, example 25.a, 13 October 1992, 0 h: declination -7.78507 degrees. That is dynamical time, 59 s ahead:
  // 0.0003.
  CHECK(in_degrees(sun_elevation(place(90, 0), at({1992, 10, 13, 0, 0}))) == Approx(-7.78507).margin(0.001));
  CHECK(in_degrees(sun_elevation(place(-90, 0), at({1992, 10, 13, 0, 0}))) == Approx(7.78507).margin(0.001));
}

TEST_CASE("Sunset and the end of civil twilight agree with a numerical ephemeris", "[earth][sun][reference]") {
  for (const Evening& e : kEvenings) {
    INFO(e.latitude << " " << e.longitude);
    const Geodetic here = place(e.latitude, e.longitude);
    const auto sunset = next_passing(here, moment(e.noon), degrees(-50.0 / 60.0), kDay);
    const auto dusk = next_passing(here, moment(e.noon), degrees(-6), kDay);
    REQUIRE(sunset);
    REQUIRE(dusk);
    // The error of the elevation, where the sun sets most slowly here: 0.1 degrees a minute.
    CHECK(std::abs(in_seconds(*sunset - moment(e.sunset))) <= 15.0);
    CHECK(std::abs(in_seconds(*dusk - moment(e.dusk))) <= 15.0);
  }
}

TEST_CASE("Sunrise and sunset are those of an almanac", "[earth][sun][reference]") {
  const Geodetic london = place(51.5, -0.12);
  const auto clock = [&](const UtcClock& from) {
    const auto when = next_passing(london, at(from), degrees(-50.0 / 60.0), kDay);
    REQUIRE(when);
    const UtcClock k = clock_of(*when);
    return 60 * k.hour + k.minute;
  };
  CHECK(std::abs(clock({2024, 6, 20, 0, 0}) - (3 * 60 + 43)) <= 1);    // Almanac
  CHECK(std::abs(clock({2024, 6, 20, 12, 0}) - (20 * 60 + 21)) <= 1);  // Almanac
}

TEST_CASE("Polar day and polar night have no passing", "[earth][sun]") {
  const Geodetic north = place(80, 20);
  CHECK_FALSE(next_passing(north, at({2026, 6, 21, 0, 0}), degrees(-6), kDay));
  CHECK(sun_elevation(north, at({2026, 6, 21, 0, 0})) > degrees(10));
  CHECK_FALSE(next_passing(north, at({2026, 12, 21, 0, 0}), degrees(-6), kDay));
  CHECK(sun_elevation(north, at({2026, 12, 21, 12, 0})) < degrees(-12));
  // White night: the sun sets, civil twilight does not end.
  const Geodetic light = place(64.13, -21.94);
  CHECK(next_passing(light, at({2026, 6, 21, 12, 0}), degrees(-50.0 / 60.0), kDay));
  CHECK_FALSE(next_passing(light, at({2026, 6, 21, 12, 0}), degrees(-6), kDay));
}

TEST_CASE("Days of the calendar become Julian dates and back", "[earth][sun]") {
  CHECK(at({2000, 1, 1, 12, 0}).julian_date == 2451545.0);   // Meeus, ch. 7, table (from memory)
  CHECK(at({1999, 1, 1, 0, 0}).julian_date == 2451179.5);    // the same
  CHECK(at({1987, 6, 19, 12, 0}).julian_date == 2446966.0);  // the same
  for (int day = 0; day < 54000; day += 61) {
    const Instant t = at({1950, 1, 1, 0, 0}) + kDay * day + minutes(day % 1440);
    const UtcClock k = clock_of(t);
    CHECK(std::abs(in_seconds(at(k) - t)) < 0.1);
  }
  const UtcClock midnight = clock_of(at({2026, 12, 31, 23, 59}) + seconds(40));
  CHECK(midnight.year == 2027);
  CHECK(midnight.minute == 0);
  for (const UtcClock& bad : std::vector<UtcClock>{{1949, 12, 31, 0, 0},
                                                   {2100, 1, 1, 0, 0},
                                                   {2026, 13, 1, 0, 0},
                                                   {2026, 0, 1, 0, 0},
                                                   {2026, 2, 29, 0, 0},
                                                   {2026, 4, 31, 0, 0},
                                                   {2026, 4, 0, 0, 0},
                                                   {2026, 4, 1, 24, 0},
                                                   {2026, 4, 1, 0, 60}}) {
    CHECK_FALSE(utc(bad));
  }
  CHECK(utc({2028, 2, 29, 0, 0}));
}
