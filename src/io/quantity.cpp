#include "backfield/io/quantity.hpp"

#include "backfield/base/contract.hpp"

#include <array>
#include <cctype>
#include <charconv>
#include <vector>

namespace backfield::io {
namespace {

struct Unit {
  std::string_view name;
  double (*to_si)(double);
};

struct Kind {
  std::string_view noun;
  std::string_view example;
  std::vector<Unit> units;
};

const Kind& kind_of(Dimension dimension) {
  // clang-format off
  static const std::array<Kind, 16> kinds{{
      {"a length", "800 m", {{"m", [](double v) { return metres(v).si(); }},
                             {"ft", [](double v) { return feet(v).si(); }},
                             {"km", [](double v) { return metres(1000.0 * v).si(); }},
                             {"NM", [](double v) { return nautical_miles(v).si(); }}}},
      {"a speed", "68 kt", {{"kt", [](double v) { return knots(v).si(); }},
                            {"m/s", [](double v) { return metres_per_second(v).si(); }},
                            {"km/h", [](double v) { return kilometres_per_hour(v).si(); }},
                            {"mph", [](double v) { return miles_per_hour(v).si(); }}}},
      {"a vertical speed", "700 ft/min", {{"ft/min", [](double v) { return feet_per_minute(v).si(); }},
                                          {"m/s", [](double v) { return metres_per_second(v).si(); }}}},
      {"a time", "4 s", {{"s", [](double v) { return seconds(v).si(); }},
                         {"min", [](double v) { return minutes(v).si(); }}}},
      {"a mass", "1100 kg", {{"kg", [](double v) { return kilograms(v).si(); }},
                             {"lb", [](double v) { return pounds(v).si(); }}}},
      {"a pressure", "1013 hPa", {{"hPa", [](double v) { return hectopascals(v).si(); }},
                                  {"inHg", [](double v) { return inches_of_mercury(v).si(); }}}},
      {"a temperature", "15 C", {{"C", [](double v) { return celsius(v).si(); }},
                                 {"F", [](double v) { return fahrenheit(v).si(); }}}},
      {"an angle", "30 deg", {{"deg", [](double v) { return degrees(v).si(); }}}},
      {"a turning rate", "20 deg/s", {{"deg/s", [](double v) { return degrees(v).si(); }}}},
      {"a percentage", "1.5 %", {{"%", [](double v) { return v / 100.0; }}}},
      {"a plain number", "1.15", {}},
      {"a lever arm", "2.35 m", {{"m", [](double v) { return metres(v).si(); }},
                                 {"cm", [](double v) { return metres(v * 1e-2).si(); }},
                                 {"mm", [](double v) { return metres(v * 1e-3).si(); }},
                                 {"in", [](double v) { return feet(v / 12.0).si(); }}}},
      {"a volume", "120 l", {{"l", [](double v) { return litres(v).si(); }},
                             {"USgal", [](double v) { return us_gallons(v).si(); }}}},
      {"a density", "0.72 kg/l", {{"kg/l", [](double v) { return kilograms_per_litre(v).si(); }},
                                  {"lb/USgal", [](double v) { return pounds(v).si() / us_gallons(1).si(); }}}},
      {"a mass a time", "22 kg/h", {{"kg/h", [](double v) { return kilograms_per_hour(v).si(); }},
                                    {"lb/h", [](double v) { return kilograms_per_hour(pounds(v).si()).si(); }}}},
      {"a volume a time", "30 l/h", {{"l/h", [](double v) { return litres(v).si() / 3600.0; }},
                                     {"USgal/h", [](double v) { return us_gallons(v).si() / 3600.0; }}}},
  }};
  // clang-format on
  return kinds.at(static_cast<std::size_t>(dimension));
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

std::string quoted(std::string_view text) { return '"' + std::string(text) + '"'; }

std::string lower(std::string_view text) {
  std::string result(text);
  for (char& c : result) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return result;
}

/// Length of a leading [+-]digits[.digits][e[+-]digits], or 0. Narrower than from_chars, which also takes "nan", "inf",
/// ".5" and "5.".
std::size_t number_length(std::string_view text) {
  std::size_t i = 0;
  const auto digits = [&] {
    const std::size_t from = i;
    while (i < text.size() && std::isdigit(static_cast<unsigned char>(text[i])) != 0) ++i;
    return i > from;
  };
  if (i < text.size() && (text[i] == '+' || text[i] == '-')) ++i;
  if (!digits()) return 0;
  std::size_t end = i;
  if (i < text.size() && text[i] == '.') {
    ++i;
    if (!digits()) return end;
    end = i;
  }
  if (i < text.size() && (text[i] == 'e' || text[i] == 'E')) {
    ++i;
    if (i < text.size() && (text[i] == '+' || text[i] == '-')) ++i;
    if (digits()) end = i;
  }
  return end;
}

/// Takes a leading number off `text`.
Parsed<double> take_number(std::string_view& text) {
  text = trimmed(text);
  for (const char c : text) {
    if (static_cast<unsigned char>(c) >= 0x80) {
      return {std::nullopt,
              "there is a character outside ASCII in it (a no-break space, a long minus or a degree "
              "sign?): use plain characters"};
    }
  }
  const std::string word = lower(text.substr(0, text.find(' ')));
  if (word.find("nan") != std::string::npos || word.find("inf") != std::string::npos) {
    return {std::nullopt, "the value must be a finite number"};
  }
  const std::size_t length = number_length(text);
  if (length == 0) return {std::nullopt, "it does not begin with a number"};
  const std::string_view digits = text.substr(0, length);
  text.remove_prefix(length);
  if (!text.empty() && (text.front() == ',' || text.front() == '_' || text.front() == '\'')) {
    return {std::nullopt, "write a decimal point and no thousands separators"};
  }
  if (!text.empty() && text.front() == '.') return {std::nullopt, "write digits on both sides of the decimal point"};
  double value = 0.0;
  const char* begin = digits.data() + (digits.front() == '+' ? 1 : 0);
  const auto [end, failed] = std::from_chars(begin, digits.data() + digits.size(), value);
  if (failed != std::errc() || end != digits.data() + digits.size()) {
    return {std::nullopt, "the number is too large or too small to be meant"};
  }
  text = trimmed(text);
  return {value, {}};
}

/// Another spelling of one of the units, or the unit of another dimension: worth a word.
std::string unit_hint(std::string_view found, const Kind& kind) {
  for (const Unit& unit : kind.units) {
    if (lower(unit.name) == lower(found)) return "the unit is written " + quoted(unit.name);
  }
  static const std::array<std::pair<std::string_view, std::string_view>, 22> spellings{{
      {"kts", "kt"},    {"knots", "kt"},    {"kn", "kt"},     {"feet", "ft"}, {"'", "ft"},   {"fpm", "ft/min"},
      {"lbs", "lb"},    {"mb", "hPa"},      {"mbar", "hPa"},  {"in", "inHg"}, {"sec", "s"},  {"metres", "m"},
      {"meters", "m"},  {"degrees", "deg"}, {"celsius", "C"}, {"nmi", "NM"},  {"kgs", "kg"}, {"minutes", "min"},
      {"seconds", "s"}, {"kmh", "km/h"},    {"kph", "km/h"},  {"mps", "m/s"},
  }};
  for (const auto& [other, ours] : spellings) {
    if (lower(found) != other) continue;
    for (const Unit& unit : kind.units) {
      if (unit.name == ours) return "the unit is written " + quoted(ours);
    }
  }
  return {};
}

}  // namespace

std::string accepted_quantity(Dimension dimension) {
  const Kind& kind = kind_of(dimension);
  std::string text(kind.noun);
  if (kind.units.empty()) {
    text += " without a unit";
  } else {
    text += " in ";
    for (std::size_t i = 0; i < kind.units.size(); ++i) {
      if (i > 0) text += i + 1 == kind.units.size() ? " or " : ", ";
      text += kind.units[i].name;
    }
  }
  return text + ", such as " + quoted(kind.example);
}

double to_si(double value, std::string_view unit, Dimension dimension) {
  if (dimension == Dimension::number) return value;
  for (const Unit& known : kind_of(dimension).units) {
    if (known.name == unit) return known.to_si(value);
  }
  require(false, "to_si is given a unit of its dimension");
  return value;
}

Parsed<double> parse_quantity(std::string_view text, Dimension dimension) {
  const Parsed<double> number = take_number(text);
  if (!number.ok()) return number;
  const Kind& kind = kind_of(dimension);
  if (kind.units.empty()) {
    if (text.empty()) return number;
    return {std::nullopt, "no unit belongs here; leave out " + quoted(text)};
  }
  if (text.empty()) return {std::nullopt, "the unit is missing"};
  for (const Unit& unit : kind.units) {
    if (unit.name == text) {
      const double si = unit.to_si(*number.value);
      if (!std::isfinite(si)) return {std::nullopt, "the number is too large or too small to be meant"};
      return {si, {}};
    }
  }
  return {std::nullopt, unit_hint(text, kind)};
}

earth::TrueDirection Bearing::to_true(Angle variation_east) const {
  if (!magnetic) return earth::true_degrees(degrees);
  return earth::MagneticDirection(backfield::degrees(degrees)).to_true(variation_east);
}

Parsed<Bearing> parse_bearing(std::string_view text) {
  const Parsed<double> number = take_number(text);
  if (!number.ok()) return {std::nullopt, number.hint};
  if (text == "deg" || text.empty()) {
    return {std::nullopt,
            "say which north it is measured from: a METAR and a chart's meridians are true, a tower, an ATIS "
            "and a compass are magnetic"};
  }
  const bool is_true = text == "deg true";
  if (!is_true && text != "deg magnetic") return {std::nullopt, {}};
  if (*number.value < 0.0 || *number.value > 360.0) return {std::nullopt, "a bearing lies between 0 and 360 deg"};
  return {Bearing{*number.value, !is_true}, {}};
}

Parsed<Angle> parse_variation(std::string_view text) {
  const Parsed<double> number = take_number(text);
  if (!number.ok()) return {std::nullopt, number.hint};
  if (*number.value < 0.0) return {std::nullopt, "no sign: the letter E or W says which side"};
  if (*number.value > 180.0) return {std::nullopt, "a variation is at most 180 deg"};
  if (text == "deg E") return {degrees(*number.value), {}};
  if (text == "deg W") return {degrees(-*number.value), {}};
  return {std::nullopt, {}};
}

Parsed<earth::Geodetic> parse_position(std::string_view text) {
  const std::size_t comma = text.find(',');
  if (comma == std::string_view::npos) return {std::nullopt, {}};
  std::string_view first = text.substr(0, comma);
  std::string_view second = text.substr(comma + 1);
  const Parsed<double> latitude = take_number(first);
  if (!latitude.ok()) return {std::nullopt, "latitude: " + latitude.hint};
  const Parsed<double> longitude = take_number(second);
  if (!longitude.ok()) return {std::nullopt, "longitude: " + longitude.hint};
  if ((first == "E" || first == "W") && (second == "N" || second == "S")) {
    return {std::nullopt, "latitude (N or S) comes first"};
  }
  if ((first != "N" && first != "S") || (second != "E" && second != "W")) {
    return {std::nullopt, "each number needs its letter: N or S, E or W"};
  }
  if (*latitude.value < 0.0 || *longitude.value < 0.0) {
    return {std::nullopt, "no signs: the letters N, S, E and W say which side"};
  }
  if (*latitude.value > 90.0) return {std::nullopt, "a latitude is at most 90: are the two swapped?"};
  if (*longitude.value > 180.0) return {std::nullopt, "a longitude is at most 180"};
  return {earth::Geodetic{degrees(first == "S" ? -*latitude.value : *latitude.value),
                          degrees(second == "W" ? -*longitude.value : *longitude.value)},
          {}};
}

}  // namespace backfield::io
