#include "format.hpp"

#include "backfield/base/contract.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace backfield::report {
namespace {

/// U+00C0 to U+00FF without their accents.
constexpr std::string_view kLatin =
    "AAAAAAACEEEEIIII"
    "DNOOOOOxOUUUUYTs"
    "aaaaaaaceeeeiiii"
    "dnooooo/ouuuuyty";

/// Bytes of the character that begins with `lead`, by UTF-8; 1 for what cannot begin one.
std::size_t length_of_character(unsigned char lead) {
  if (lead >= 0xF0U) return 4;
  if (lead >= 0xE0U) return 3;
  if (lead >= 0xC0U) return 2;
  return 1;
}

char plain_character(std::string_view character) {
  const auto lead = static_cast<unsigned char>(character[0]);
  if (lead < 0x20U || lead == 0x7FU) return ' ';
  if (lead < 0x7FU) return character[0];
  if (character.size() == 2 && lead == 0xC3U) return kLatin[static_cast<unsigned char>(character[1]) & 0x3FU];
  // U+0080 to U+009F are control characters too; some terminals obey them.
  if (character.size() == 2 && lead == 0xC2U && static_cast<unsigned char>(character[1]) < 0xA0U) return ' ';
  return '?';
}

}  // namespace

std::string ascii(std::string_view text) {
  std::string plain;
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t length = length_of_character(static_cast<unsigned char>(text[i]));
    const char c = plain_character(text.substr(i, length));
    if (c != ' ' || (!plain.empty() && plain.back() != ' ')) plain += c;
    i += length;
  }
  while (!plain.empty() && plain.back() == ' ') plain.pop_back();
  return plain;
}

std::string ascii(std::string_view text, std::size_t most) {
  std::string plain = ascii(text);
  if (plain.size() > most) plain = plain.substr(0, most - 3) + "...";
  return plain;
}

std::string number(double value, int decimals, Rounding rounding) {
  require(std::isfinite(value), "a printed number is finite");
  const double scale = std::pow(10.0, decimals);
  double scaled = value * scale;
  if (rounding == Rounding::up) scaled = std::ceil(scaled - 1e-6);
  if (rounding == Rounding::down) scaled = std::floor(scaled + 1e-6);
  if (rounding == Rounding::nearest) scaled = std::round(scaled);
  std::string digits = fmt::format("{:.{}f}", std::abs(scaled) / scale, decimals);
  const std::size_t point = std::min(digits.find('.'), digits.size());
  for (std::size_t at = point; at > 3; at -= 3) digits.insert(at - 3, ",");
  return (scaled < 0.0 ? "-" : "") + digits;
}

std::string ft(Length v, Rounding rounding) { return number(in_feet(v), 0, rounding) + " ft"; }
std::string m(Length v, Rounding rounding) { return number(in_metres(v), 0, rounding) + " m"; }
std::string kt(Speed v) { return number(in_knots(v)) + " kt"; }
std::string s(Duration v) { return number(in_seconds(v)) + " s"; }
std::string deg(Angle v) { return number(in_degrees(v)) + " deg"; }
std::string percent(double share, int decimals) { return number(share * 100.0, decimals) + " %"; }

std::string along(Speed headwind) {
  return (headwind.si() < 0.0 ? "tailwind " : "headwind ") + kt(metres_per_second(std::abs(headwind.si())));
}

std::string across(Speed from_right) {
  return kt(metres_per_second(std::abs(from_right.si()))) + (from_right.si() < 0.0 ? " from left" : " from right");
}

std::string surface(earth::Surface surface) {
  switch (surface) {
    case earth::Surface::unknown:
      return "not stated";
    case earth::Surface::paved:
      return "paved";
    case earth::Surface::grass_dry:
      return "dry grass";
    case earth::Surface::grass_wet:
      return "wet grass";
    case earth::Surface::gravel:
      return "gravel";
    case earth::Surface::dirt:
      return "dirt";
    case earth::Surface::water:
      return "water";
    case earth::Surface::wet_paved:
      return "paved, wet";
    case earth::Surface::contaminated:
      return "contaminated";
  }
  return "";
}

namespace {

/// What must stay together: a word, and the unit after a number.
std::vector<std::string_view> pieces(std::string_view text) {
  std::vector<std::string_view> all;
  for (std::size_t at = 0; at < text.size();) {
    std::size_t end = std::min(text.find(' ', at), text.size());
    if (end > at && text[end - 1] >= '0' && text[end - 1] <= '9' && end < text.size()) {
      end = std::min(text.find(' ', end + 1), text.size());
    }
    if (end > at) all.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return all;
}

}  // namespace

Lines wrapped(std::string_view text, std::size_t width, std::string_view first) {
  Lines lines{std::string(first)};
  const std::string indent(first.size(), ' ');
  bool fresh = true;  // nothing but the indent stands on the line yet
  for (std::string_view piece : pieces(text)) {
    while (!piece.empty()) {
      std::string& line = lines.back();
      const std::size_t room = width - line.size();
      if (piece.size() + (fresh ? 0 : 1) <= room) {
        line.append(fresh ? "" : " ").append(piece);
        piece = {};
      } else if (fresh) {
        line.append(piece.substr(0, room));
        piece.remove_prefix(room);
        if (!piece.empty()) lines.push_back(indent);
        continue;
      } else {
        lines.push_back(indent);
      }
      fresh = !piece.empty();
    }
  }
  return lines;
}

std::string joined(const Lines& parts, std::string_view between) {
  std::string all;
  for (const std::string& part : parts) {
    if (!all.empty()) all += between;
    all += part;
  }
  return all;
}

void append(Lines& to, const Lines& more) { to.insert(to.end(), more.begin(), more.end()); }

Lines table(const std::vector<Lines>& rows, std::size_t width, std::string_view indent,
            const std::vector<std::size_t>& left) {
  std::vector<std::size_t> widths;
  for (const Lines& row : rows) {
    widths.resize(std::max(widths.size(), row.size()), 0);
    for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], row[i].size());
  }
  std::size_t others = indent.size();
  for (std::size_t i = 1; i < widths.size(); ++i) others += 2 + widths[i];
  require(others + 4 < width, "a table fits its page");
  widths[0] = std::min(widths[0], width - others);

  Lines lines;
  for (const Lines& row : rows) {
    std::string line(indent);
    for (std::size_t i = 0; i < row.size(); ++i) {
      const bool on_left = i == 0 || std::find(left.begin(), left.end(), i) != left.end();
      const std::string cell = ascii(row[i], widths[i]);
      const std::string space(widths[i] - cell.size(), ' ');
      line += i == 0 ? "" : "  ";
      line += on_left ? cell + space : space + cell;
    }
    line.erase(line.find_last_not_of(' ') + 1);
    lines.push_back(std::move(line));
  }
  return lines;
}

}  // namespace backfield::report
