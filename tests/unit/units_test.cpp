#include "backfield/base/units.hpp"

#include <catch2/catch.hpp>

namespace {

using namespace backfield;

constexpr double kRounding = 1e-12;  // relative; two or three operations on doubles

TEST_CASE("A foot is 0.3048 m and a nautical mile 1852 m, both by definition", "[base][units]") {
  CHECK(in_metres(feet(1)) == 0.3048);
  CHECK(in_metres(nautical_miles(1)) == 1852.0);
  CHECK(in_feet(nautical_miles(1)) == Approx(6076.11548556).epsilon(1e-12));
}

TEST_CASE("A knot is a nautical mile in an hour", "[base][units]") {
  CHECK(in_metres(knots(1) * minutes(60)) == Approx(1852.0).epsilon(kRounding));
  CHECK(in_metres_per_second(kilometres_per_hour(3.6)) == Approx(1.0).epsilon(kRounding));
  CHECK(in_metres(miles_per_hour(1) * minutes(60)) == Approx(5280 * 0.3048).epsilon(kRounding));
  CHECK(in_feet(feet_per_minute(500) * minutes(2)) == Approx(1000.0).epsilon(kRounding));
}

TEST_CASE("A pound is 0.45359237 kg by definition", "[base][units]") {
  CHECK(in_kilograms(pounds(1)) == 0.45359237);
  CHECK(in_pounds(kilograms(0.45359237 * 2300)) == Approx(2300.0).epsilon(kRounding));
}

TEST_CASE("Standard sea level pressure reads 29.92 on an altimeter in inches", "[base][units]") {
  CHECK(in_inches_of_mercury(hectopascals(1013.25)) == Approx(29.9213).margin(5e-5));
  CHECK(in_pascals(hectopascals(1013.25)) == Approx(101325.0).epsilon(kRounding));
}

TEST_CASE("Temperature scales meet where they are defined to", "[base][units]") {
  CHECK(in_celsius(fahrenheit(32)) == Approx(0.0).margin(1e-12));
  CHECK(in_celsius(fahrenheit(212)) == Approx(100.0).epsilon(kRounding));
  CHECK(in_celsius(fahrenheit(-40)) == Approx(-40.0).epsilon(kRounding));
  CHECK(in_kelvins(celsius(0)) == 273.15);
}

TEST_CASE("A temperature moves by a difference and two temperatures differ by one", "[base][units]") {
  const Temperature warmer = celsius(15) + celsius_degrees(7.5);
  CHECK(in_celsius(warmer) == Approx(22.5).epsilon(kRounding));
  CHECK(difference(warmer, celsius(15)).si() == Approx(7.5).epsilon(kRounding));
}

TEST_CASE("Length, speed and time agree whichever of the three is asked for", "[base][units]") {
  CHECK(in_seconds(metres(100) / metres_per_second(25)) == 4.0);
  CHECK(in_metres_per_second(metres(100) / seconds(4)) == 25.0);
  CHECK(in_metres(metres_per_second(25) * seconds(4)) == 100.0);
  CHECK(in_metres(seconds(4) * metres_per_second(25)) == 100.0);
}

TEST_CASE("Quantities of one kind add, scale, compare and divide to a number", "[base][units]") {
  Length h = feet(1000);
  h += feet(500);
  h -= feet(200);
  CHECK(in_feet(h) == Approx(1300.0).epsilon(kRounding));
  CHECK(in_feet(-h) == Approx(-1300.0).epsilon(kRounding));
  CHECK(in_feet(2.0 * h / 4.0) == Approx(650.0).epsilon(kRounding));
  CHECK(h / feet(650) == Approx(2.0).epsilon(kRounding));
  CHECK(feet(999) < h);
  CHECK(feet(1) > Length{});
}

TEST_CASE("A right angle is ninety degrees", "[base][units]") {
  CHECK(in_radians(degrees(90)) == Approx(kPi / 2).epsilon(kRounding));
  CHECK(in_degrees(radians(kPi)) == Approx(180.0).epsilon(kRounding));
}

}  // namespace
