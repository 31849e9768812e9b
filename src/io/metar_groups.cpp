#include "metar_groups.hpp"

#include <algorithm>
#include <array>

namespace backfield::io::metar_groups {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_space(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }
bool starts_with(std::string_view s, std::string_view head) { return s.substr(0, head.size()) == head; }
bool ends_with(std::string_view s, std::string_view tail) {
  return s.size() >= tail.size() && s.substr(s.size() - tail.size()) == tail;
}

template <std::size_t N>
bool one_of(std::string_view s, const std::array<std::string_view, N>& words) {
  return std::find(words.begin(), words.end(), s) != words.end();
}

/// Eats a group from its front.
struct Cursor {
  std::string_view rest;

  bool take(std::string_view word) {
    if (!starts_with(rest, word)) return false;
    rest.remove_prefix(word.size());
    return true;
  }
  std::string_view take_digits() {
    const std::size_t n = static_cast<std::size_t>(std::find_if_not(rest.begin(), rest.end(), is_digit) - rest.begin());
    const std::string_view digits = rest.substr(0, n);
    rest.remove_prefix(n);
    return digits;
  }
  [[nodiscard]] bool done() const { return rest.empty(); }
};

std::optional<SpeedText> take_speed(Cursor& c) {
  if (c.take("//")) return SpeedText{{}, false, true};
  const bool beyond = c.take("P");
  const std::string_view digits = c.take_digits();
  if (digits.size() != 2 && digits.size() != 3) return std::nullopt;
  return SpeedText{digits, beyond, false};
}

/// Whole degrees of "M05" or "16"; M00 is -0.5 to -0.1 degrees (reg. 15.11) and reads as 0.
std::optional<int> whole_degrees(std::string_view text) {
  Cursor c{text};
  const bool below_zero = c.take("M");
  const std::string_view digits = c.take_digits();
  if (digits.size() != 2 || !c.done()) return std::nullopt;
  return below_zero ? -number(digits) : number(digits);
}

}  // namespace

bool all_digits(std::string_view s) { return !s.empty() && std::all_of(s.begin(), s.end(), is_digit); }
bool all_slashes(std::string_view s) { return !s.empty() && s.find_first_not_of('/') == std::string_view::npos; }

int number(std::string_view digits) {
  int value = 0;
  for (const char c : digits) value = 10 * value + (c - '0');
  return value;
}

std::vector<Group> split(std::string_view text) {
  std::vector<Group> groups;
  for (std::size_t i = 0; i < text.size();) {
    if (is_space(text[i])) {
      ++i;
      continue;
    }
    std::size_t end = i;
    while (end < text.size() && !is_space(text[end])) ++end;
    groups.push_back({text.substr(i, end - i), i});
    i = end;
  }
  return groups;
}

std::optional<WindText> match_wind(std::string_view group) {
  if (group == "MMMMMKT") return match_wind("/////KT");  // how some stations write a missing wind
  if (group.size() < 3) return std::nullopt;
  WindText wind;
  wind.direction = group.substr(0, 3);
  if (!all_digits(wind.direction) && wind.direction != "VRB" && wind.direction != "///") return std::nullopt;
  Cursor c{group.substr(3)};
  const std::optional<SpeedText> mean = take_speed(c);
  if (!mean) return std::nullopt;
  wind.mean = *mean;
  if (c.take("G")) {
    wind.gust = take_speed(c);
    if (!wind.gust) return std::nullopt;
  }
  wind.unit = c.rest;
  if (wind.unit != "KT" && wind.unit != "MPS" && wind.unit != "KMH") return std::nullopt;
  return wind;
}

bool is_allowed_beyond(const SpeedText& text, std::string_view unit) {
  return text.digits == (unit == "KT" ? "99" : unit == "MPS" ? "49" : "199");
}

Speed speed_of(const SpeedText& text, std::string_view unit) {
  const double value = number(text.digits) + (text.beyond ? 1 : 0);
  if (unit == "MPS") return metres_per_second(value);
  if (unit == "KMH") return kilometres_per_hour(value);
  return knots(value);
}

std::optional<TemperatureText> match_temperature(std::string_view group) {
  const std::size_t slash = group.find('/');
  if (slash == std::string_view::npos) return std::nullopt;
  const std::string_view dew = group.substr(slash + 1);
  TemperatureText read{whole_degrees(group.substr(0, slash)), whole_degrees(dew)};
  if (!read.air_c) return std::nullopt;
  if (!read.dew_c && !dew.empty() && dew != "//") return std::nullopt;
  return read;
}

std::optional<TenthsText> match_tenths(std::string_view group) {
  Cursor c{group};
  if (!c.take("T")) return std::nullopt;
  const std::string_view digits = c.take_digits();
  if (!c.done() || (digits.size() != 4 && digits.size() != 8)) return std::nullopt;
  for (std::size_t i = 0; i < digits.size(); i += 4) {
    if (digits[i] != '0' && digits[i] != '1') return std::nullopt;
  }
  const auto read = [](std::string_view four) { return (four[0] == '1' ? -0.1 : 0.1) * number(four.substr(1)); };
  TenthsText tenths{read(digits.substr(0, 4)), std::nullopt};
  if (digits.size() == 8) tenths.dew_c = read(digits.substr(4));
  return tenths;
}

bool is_sector(std::string_view g) {
  return g.size() == 7 && g[3] == 'V' && all_digits(g.substr(0, 3)) && all_digits(g.substr(4));
}

std::optional<VisibilityText> match_visibility_m(std::string_view group) {
  constexpr std::array<std::string_view, 10> kSuffixes = {"", "NDV", "N", "NE", "E", "SE", "S", "SW", "W", "NW"};
  Cursor c{group};
  const std::string_view digits = c.take_digits();
  if (digits.size() != 4 || !one_of(c.rest, kSuffixes)) return std::nullopt;
  const bool directional = !c.done() && c.rest != "NDV";
  const int v = number(digits);
  if (v == 9999) return VisibilityText{metres(10000), directional};
  const int step = v < 800 ? 50 : v < 5000 ? 100 : 1000;
  if (v % step != 0) return std::nullopt;
  return VisibilityText{metres(v), directional};
}

std::optional<Length> match_visibility_sm(std::string_view group, int whole) {
  if (!ends_with(group, "SM")) return std::nullopt;
  Cursor c{group.substr(0, group.size() - 2)};
  if (!c.take("P")) c.take("M");
  const std::string_view top = c.take_digits();
  if (top.empty() || top.size() > 2) return std::nullopt;
  double miles = number(top);
  if (c.take("/")) {
    const std::string_view bottom = c.take_digits();
    if (bottom.empty() || bottom.size() > 2 || number(bottom) == 0) return std::nullopt;
    miles /= number(bottom);
  } else if (whole > 0) {
    return std::nullopt;
  }
  if (!c.done()) return std::nullopt;
  return metres((whole + miles) * 1609.344);  // statute mile, exact (1959)
}

std::optional<CloudText> match_cloud(std::string_view group) {
  constexpr std::array<std::string_view, 4> kNone = {"SKC", "CLR", "NSC", "NCD"};
  if (one_of(group, kNone)) return CloudText{true, false, {}};
  using Amount = CloudLayer::Amount;
  constexpr std::array<std::pair<std::string_view, Amount>, 5> kAmounts = {{{"FEW", Amount::few},
                                                                            {"SCT", Amount::scattered},
                                                                            {"BKN", Amount::broken},
                                                                            {"OVC", Amount::overcast},
                                                                            {"VV", Amount::vertical_visibility}}};
  constexpr std::array<std::string_view, 4> kSuffixes = {"", "CB", "TCU", "///"};
  Cursor c{group};
  CloudText cloud;
  const auto* const amount =
      std::find_if(kAmounts.begin(), kAmounts.end(), [&c](const auto& word) { return c.take(word.first); });
  if (amount != kAmounts.end()) {
    cloud.layer.amount = amount->second;
  } else if (c.take("///")) {
    cloud.nothing = cloud.unknown_amount = true;
  } else {
    return std::nullopt;
  }
  const std::string_view hundreds_of_feet = c.take_digits();
  if (hundreds_of_feet.size() == 3) {
    cloud.layer.base = feet(100.0 * number(hundreds_of_feet));
  } else if (!hundreds_of_feet.empty() || !c.take("///")) {
    return std::nullopt;
  }
  if (!one_of(c.rest, kSuffixes)) return std::nullopt;
  return cloud;
}

bool is_weather(std::string_view group) {
  constexpr std::array<std::string_view, 8> kDescriptors = {"MI", "BC", "PR", "DR", "BL", "SH", "TS", "FZ"};
  constexpr std::array<std::string_view, 23> kPhenomena = {"DZ", "RA", "SN", "SG", "IC", "PL", "PE", "GR",
                                                           "GS", "UP", "BR", "FG", "FU", "VA", "DU", "SA",
                                                           "HZ", "PO", "SQ", "FC", "SS", "DS", "PY"};
  if (group == "NSW") return true;
  Cursor c{group};
  if (!c.take("+") && !c.take("-") && !c.take("VC")) c.take("RE");
  bool any = false;
  if (one_of(c.rest.substr(0, 2), kDescriptors)) {
    any = true;
    c.rest.remove_prefix(2);
  }
  for (int i = 0; i < 3 && one_of(c.rest.substr(0, 2), kPhenomena); ++i) {
    any = true;
    c.rest.remove_prefix(2);
  }
  return any && c.done();
}

Wetting wetting(std::string_view weather) {
  if (starts_with(weather, "VC")) return Wetting::none;
  const auto any_of = [weather](std::initializer_list<std::string_view> words) {
    return std::any_of(words.begin(), words.end(), [weather](auto word) { return weather.find(word) != weather.npos; });
  };
  if (any_of({"SN", "SG", "PL", "PE", "GR", "GS", "UP", "FZRA", "FZDZ", "FZUP"})) return Wetting::frozen;
  return any_of({"RA", "DZ"}) ? Wetting::wet : Wetting::none;
}

bool is_runway_or_sea(std::string_view group) {
  constexpr std::array<std::string_view, 6> kWords = {"WS", "ALL", "RWY", "TKOF", "LDG", "SNOCLO"};
  if (one_of(group, kWords) || group == "R/SNOCLO") return true;
  if (group.size() == 8 && all_digits(group)) return true;  // runway state of the older form, 24290050
  Cursor c{group};
  if (c.take("R")) {
    c.take("WY");
    if (c.take_digits().size() != 2) return false;
    for (int i = 0; i < 2 && (c.take("L") || c.take("C") || c.take("R")); ++i) {}
    return c.done() || (c.take("/") && !ends_with(group, "KT") && !c.done());
  }
  return (starts_with(group, "W") && group.size() >= 5 &&
          (group.find("/S") != group.npos || group.find("/H") != group.npos));
}

bool resembles_wind(std::string_view g) {
  for (const std::string_view unit : {"KT", "KTS", "MPS", "KMH", "MPH", "KPH"}) {
    if (ends_with(g, unit)) return true;
  }
  if (starts_with(g, "VRB") || starts_with(g, "VAR")) return true;
  return g.size() >= 5 && all_digits(g.substr(0, 5)) && !(g.size() == 8 && all_digits(g));
}

bool resembles_sector(std::string_view g) {
  return g.size() >= 5 && is_digit(g.front()) && is_digit(g.back()) &&
         std::count_if(g.begin(), g.end(), [](char c) { return !is_digit(c); }) == 1 &&
         (g.find('V') != g.npos || g.find('-') != g.npos);
}

bool resembles_temperature(std::string_view g) {
  if (g.find('/') != g.npos) return g[0] != 'R';  // R is a runway group, damaged or not
  return g.size() >= 2 && g[0] == 'M' && is_digit(g[1]);
}

bool resembles_pressure(std::string_view g) {
  return starts_with(g, "Q") || (g.size() >= 2 && g[0] == 'A' && (is_digit(g[1]) || g[1] == '/'));
}

}  // namespace backfield::io::metar_groups
