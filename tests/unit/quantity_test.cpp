#include "backfield/io/quantity.hpp"

#include <catch2/catch.hpp>

using namespace backfield;
using io::Dimension;
using io::parse_quantity;

namespace {

double si(const char* text, Dimension dimension) {
  const auto parsed = parse_quantity(text, dimension);
  INFO(text << ": " << parsed.hint);
  REQUIRE(parsed.ok());
  return *parsed.value;
}

std::string refusal(const char* text, Dimension dimension) {
  const auto parsed = parse_quantity(text, dimension);
  INFO(text);
  REQUIRE_FALSE(parsed.ok());
  return parsed.hint;
}

}  // namespace

TEST_CASE("Every unit reads as what it is by definition", "[io][quantity]") {
  // The factors: International yard and pound agreement 1959; nautical mile, Monaco 1929; SI Brochure, 9th edition.
  CHECK(si("800 m", Dimension::length) == 800.0);
  CHECK(si("1000 ft", Dimension::length) == Approx(304.8).epsilon(1e-12));
  CHECK(si("2.5 km", Dimension::length) == 2500.0);
  CHECK(si("12 NM", Dimension::length) == Approx(22224.0).epsilon(1e-12));
  CHECK(si("36 kt", Dimension::speed) == Approx(18.52).epsilon(1e-12));
  CHECK(si("12 m/s", Dimension::speed) == 12.0);
  CHECK(si("90 km/h", Dimension::speed) == 25.0);
  CHECK(si("100 mph", Dimension::speed) == Approx(44.704).epsilon(1e-12));
  CHECK(si("700 ft/min", Dimension::vertical_speed) == Approx(3.556).epsilon(1e-12));
  CHECK(si("4 s", Dimension::duration) == 4.0);
  CHECK(si("5 min", Dimension::duration) == 300.0);
  CHECK(si("1100 kg", Dimension::mass) == 1100.0);
  CHECK(si("-12 in", Dimension::arm) == Approx(-0.3048).epsilon(1e-12));
  CHECK(si("235 cm", Dimension::arm) == Approx(2.35).epsilon(1e-12));
  CHECK(si("2350 mm", Dimension::arm) == Approx(2.35).epsilon(1e-12));
  CHECK(si("100 l", Dimension::volume) == Approx(0.1).epsilon(1e-12));
  CHECK(si("1 USgal", Dimension::volume) == Approx(0.003785411784).epsilon(1e-12));  // 231 cubic inches
  CHECK(si("0.72 kg/l", Dimension::density) == Approx(720.0).epsilon(1e-12));
  CHECK(si("6 lb/USgal", Dimension::density) == Approx(6 * 0.45359237 / 0.003785411784).epsilon(1e-12));
  CHECK(si("36 kg/h", Dimension::mass_flow) == Approx(0.01).epsilon(1e-12));
  CHECK(si("100 lb/h", Dimension::mass_flow) == Approx(45.359237 / 3600.0).epsilon(1e-12));
  CHECK(si("36 l/h", Dimension::volume_flow) == Approx(1e-5).epsilon(1e-12));
  CHECK(si("10 USgal/h", Dimension::volume_flow) == Approx(0.03785411784 / 3600.0).epsilon(1e-12));
  CHECK(si("2300 lb", Dimension::mass) == Approx(1043.262451).epsilon(1e-12));
  CHECK(si("1013 hPa", Dimension::pressure) == 101300.0);
  CHECK(si("29.92 inHg", Dimension::pressure) == Approx(101320.76).epsilon(1e-6));
  CHECK(si("15 C", Dimension::temperature) == Approx(288.15).epsilon(1e-12));
  CHECK(si("59 F", Dimension::temperature) == Approx(288.15).epsilon(1e-12));
  CHECK(si("180 deg", Dimension::angle) == Approx(kPi).epsilon(1e-15));
  CHECK(si("1.5 %", Dimension::percent) == Approx(0.015).epsilon(1e-15));
  CHECK(si("1.15", Dimension::number) == 1.15);
}

TEST_CASE("Signs, exponents, leading zeros and spaces do not change a number", "[io][quantity]") {
  CHECK(si("-5 C", Dimension::temperature) == Approx(268.15));
  CHECK(si("+5 C", Dimension::temperature) == Approx(278.15));
  CHECK(si("1e3 m", Dimension::length) == 1000.0);
  CHECK(si("010 kt", Dimension::speed) == si("10 kt", Dimension::speed));
  CHECK(si("  68   kt ", Dimension::speed) == si("68 kt", Dimension::speed));
  CHECK(si("68kt", Dimension::speed) == si("68 kt", Dimension::speed));
}

TEST_CASE("A number that is none, or that cannot be meant, is refused with the reason", "[io][quantity]") {
  CHECK(refusal("", Dimension::length) == "it does not begin with a number");
  CHECK(refusal("long", Dimension::length) == "it does not begin with a number");
  CHECK(refusal("68", Dimension::speed) == "the unit is missing");
  CHECK(refusal("29,92 inHg", Dimension::pressure) == "write a decimal point and no thousands separators");
  CHECK(refusal("1_000 m", Dimension::length) == "write a decimal point and no thousands separators");
  CHECK(refusal("1'000 m", Dimension::length) == "write a decimal point and no thousands separators");
  CHECK(refusal("5. kt", Dimension::speed) == "write digits on both sides of the decimal point");
  CHECK(refusal("nan kt", Dimension::speed) == "the value must be a finite number");
  CHECK(refusal(".nan kt", Dimension::speed) == "the value must be a finite number");
  CHECK(refusal("-inf C", Dimension::temperature) == "the value must be a finite number");
  CHECK(refusal("1e400 m", Dimension::length) == "the number is too large or too small to be meant");
  CHECK(refusal("1e308 NM", Dimension::length) == "the number is too large or too small to be meant");
  CHECK(refusal("1.15 x", Dimension::number) == "no unit belongs here; leave out \"x\"");
  // A no-break space, as word processors set before a unit.
  CHECK_THAT(refusal("68\xC2\xA0kt", Dimension::speed), Catch::StartsWith("there is a character outside ASCII"));
}

TEST_CASE("A unit of another spelling is named, one of another dimension only refused", "[io][quantity]") {
  CHECK(refusal("68 KT", Dimension::speed) == "the unit is written \"kt\"");
  CHECK(refusal("68 kts", Dimension::speed) == "the unit is written \"kt\"");
  CHECK(refusal("2300 lbs", Dimension::mass) == "the unit is written \"lb\"");
  CHECK(refusal("700 fpm", Dimension::vertical_speed) == "the unit is written \"ft/min\"");
  CHECK(refusal("2 nm", Dimension::length) == "the unit is written \"NM\"");
  CHECK(refusal("68 kg", Dimension::speed).empty());
  CHECK(refusal("0x10 m", Dimension::length).empty());
}

TEST_CASE("What is accepted is listed with an example that is itself accepted", "[io][quantity]") {
  CHECK(io::accepted_quantity(Dimension::speed) == "a speed in kt, m/s, km/h or mph, such as \"68 kt\"");
  CHECK(io::accepted_quantity(Dimension::number) == "a plain number without a unit, such as \"1.15\"");
  for (int d = 0; d <= static_cast<int>(Dimension::number); ++d) {
    const std::string text = io::accepted_quantity(static_cast<Dimension>(d));
    const auto from = text.find('"') + 1;
    const std::string example = text.substr(from, text.rfind('"') - from);
    CAPTURE(example);
    CHECK(parse_quantity(example, static_cast<Dimension>(d)).ok());
  }
}

TEST_CASE("A bearing needs its reference, and a magnetic one turns with the variation", "[io][quantity]") {
  CHECK(io::parse_bearing("040 deg true").value->to_true(degrees(-18)).deg() == Approx(40.0));
  // Variation west, magnetic best: 18 W makes magnetic 270 a true 252.
  CHECK(io::parse_bearing("270 deg magnetic").value->to_true(degrees(-18)).deg() == Approx(252.0));
  CHECK_THAT(io::parse_bearing("040 deg").hint, Catch::StartsWith("say which north it is measured from"));
  CHECK_THAT(io::parse_bearing("040").hint, Catch::StartsWith("say which north it is measured from"));
  CHECK(io::parse_bearing("361 deg true").hint == "a bearing lies between 0 and 360 deg");
  CHECK(io::parse_bearing("-10 deg true").hint == "a bearing lies between 0 and 360 deg");
  CHECK_FALSE(io::parse_bearing("040 deg grid").ok());
}

TEST_CASE("Variation east is positive, west negative, and a sign is refused", "[io][quantity]") {
  CHECK(in_degrees(*io::parse_variation("3 deg E").value) == Approx(3.0));
  CHECK(in_degrees(*io::parse_variation("18 deg W").value) == Approx(-18.0));
  CHECK(io::parse_variation("-3 deg E").hint == "no sign: the letter E or W says which side");
  CHECK_FALSE(io::parse_variation("3 deg").ok());
  CHECK_FALSE(io::parse_variation("200 deg W").ok());
}

TEST_CASE("Positions are decimal degrees with letters, latitude first", "[io][quantity]") {
  const auto place = io::parse_position("46.1234 N, 7.5 E");
  REQUIRE(place.ok());
  CHECK(in_degrees(place.value->latitude) == Approx(46.1234));
  CHECK(in_degrees(place.value->longitude) == Approx(7.5));
  const auto south_west = io::parse_position("33.9 S, 151.2 W");
  REQUIRE(south_west.ok());
  CHECK(in_degrees(south_west.value->latitude) == Approx(-33.9));
  CHECK(in_degrees(south_west.value->longitude) == Approx(-151.2));
  CHECK(io::parse_position("7.5 E, 46.1 N").hint == "latitude (N or S) comes first");
  CHECK(io::parse_position("46.1, 7.5").hint == "each number needs its letter: N or S, E or W");
  CHECK(io::parse_position("-46.1 N, 7.5 E").hint == "no signs: the letters N, S, E and W say which side");
  CHECK(io::parse_position("146.1 N, 7.5 E").hint == "a latitude is at most 90: are the two swapped?");
  CHECK(io::parse_position("46.1 N, 190 E").hint == "a longitude is at most 180");
  CHECK_FALSE(io::parse_position("46.1 N").ok());
}
