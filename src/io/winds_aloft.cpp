#include "backfield/io/winds_aloft.hpp"

#include "metar_groups.hpp"
#include "text_origin.hpp"

#include <algorithm>

namespace backfield::io {
namespace {

using metar_groups::all_digits;
using metar_groups::Group;
using metar_groups::number;
using metar_groups::split;

constexpr int kTemperatureWithoutSign = 24000;  // ft: above it the minus is left out
constexpr int kPressureAltitudes = 18000;       // ft: from here up levels are pressure altitudes
constexpr int kHundredMore = 50;                // added to the tens of degrees for 100 kt more
constexpr int kWeakestWind = 5;                 // kt: less is written 9900
constexpr int kStrongestWind = 199;             // kt: stands for more, too

constexpr const char* kAcceptedLow =
    "four digits and, if a temperature follows, its sign and two more: 2714, 2714+05 or 9900";
constexpr const char* kAcceptedHigh = "six digits, the last two a temperature below zero: 265842";

/// A level of the header and the columns of its field, both counted from 0 in their line.
struct Column {
  int level_ft = 0;
  std::size_t last = 0;  ///< where the figure of the header ends, and so do the groups under it
};

class Reader {
 public:
  Reader(std::string_view text, std::string_view station, const TextOrigin& origin)
      : text_(text), station_(station), origin_(origin) {}

  Loaded<WindsAloft> read() {
    std::size_t begin = 0;
    while (begin <= text_.size()) {
      const std::size_t end = std::min(text_.find('\n', begin), text_.size());
      read_line(begin, text_.substr(begin, end - begin));
      begin = end + 1;
    }
    if (!seen_header_) {
      complain(0, "the text of a forecast of winds aloft", "a line that begins with FT and names the levels",
               "keep the lines as they were issued: in YAML, \"text: |\" and then the lines");
    } else if (result_.station.empty() && !has_error(findings_)) {
      complain(0, "no line of " + std::string(station_),
               stations_.empty() ? "a line of that station" : "a station of the text: " + stations_);
    }
    Loaded<WindsAloft> loaded;
    if (!has_error(findings_)) loaded.value = std::move(result_);
    loaded.findings = std::move(findings_);
    return loaded;
  }

 private:
  void add(Severity severity, std::size_t at, std::string found, std::string accepted, std::string hint) {
    Finding f = finding_at(text_, at, origin_);
    f.severity = severity;
    f.found = std::move(found);
    f.accepted = std::move(accepted);
    f.hint = std::move(hint);
    findings_.push_back(std::move(f));
  }
  void complain(std::size_t at, std::string found, std::string accepted, std::string hint = {}) {
    add(Severity::error, at, std::move(found), std::move(accepted), std::move(hint));
  }

  void read_line(std::size_t begin, std::string_view line) {
    const std::vector<Group> groups = split(line);
    if (groups.empty()) return;
    const bool header = groups.front().text == "FT";
    const bool mine = groups.front().text == station_;
    if ((header || mine) && line.find('\t') != line.npos) {
      complain(begin + line.find('\t'), "a tab", "blanks, as issued: columns tell the level of a group");
    } else if (header) {
      read_header(begin, groups);
    } else if (mine) {
      read_station(begin, groups);
    } else if (line.find("FOR USE") != line.npos) {
      read_use(begin, groups);
    } else if (seen_header_ && groups.size() > 1 && groups.front().text.size() <= 4) {
      stations_ += (stations_.empty() ? "" : ", ") + std::string(groups.front().text);
    }
  }

  /// "FOR USE 1400-2100Z. TEMPS NEG ABV 24000"
  void read_use(std::size_t begin, const std::vector<Group>& groups) {
    const auto use = std::find_if(groups.begin(), groups.end(), [](const Group& g) { return g.text == "USE"; });
    const std::string_view s =
        use != groups.end() && use + 1 != groups.end() ? (use + 1)->text.substr(0, 10) : std::string_view{};
    const bool fits =
        s.size() == 10 && all_digits(s.substr(0, 4)) && s[4] == '-' && all_digits(s.substr(5, 4)) && s[9] == 'Z';
    const auto minutes_of = [](std::string_view clock) {
      return 60 * number(clock.substr(0, 2)) + number(clock.substr(2));
    };
    if (fits) result_.use = {minutes_of(s.substr(0, 4)), minutes_of(s.substr(5, 4))};
    if (!fits || std::max(result_.use->first, result_.use->second) > 24 * 60) {
      complain(begin, "a time of use", "hours and minutes such as FOR USE 1400-2100Z");
    }
    const auto valid = std::find_if(groups.begin(), groups.end(), [](const Group& g) { return g.text == "VALID"; });
    if (valid == groups.end() || valid + 1 == groups.end()) return;
    const std::string_view v = (valid + 1)->text;
    if (v.size() != 7 || !all_digits(v.substr(0, 6)) || v[6] != 'Z' || number(v.substr(2, 2)) > 24) {
      complain(begin, "a time of validity", "day, hours and minutes such as VALID 121800Z");
      return;
    }
    result_.valid = {number(v.substr(0, 2)), minutes_of(v.substr(2, 4))};
  }

  void read_header(std::size_t begin, const std::vector<Group>& groups) {
    seen_header_ = true;
    columns_.clear();
    for (std::size_t i = 1; i < groups.size(); ++i) {
      const Group& g = groups[i];
      const bool plausible = all_digits(g.text) && g.text.size() >= 4 && g.text.size() <= 5;
      const int level = plausible ? number(g.text) : 0;
      if (level < 1000 || (!columns_.empty() && level <= columns_.back().level_ft)) {
        complain(begin + g.at, "level \"" + std::string(g.text) + "\" in the header",
                 "levels in feet, rising, such as 3000 6000 9000 12000");
        return;
      }
      columns_.push_back({level, g.at + g.text.size() - 1});
    }
    if (columns_.empty()) complain(begin, "a header without levels", "levels such as FT 3000 6000 9000");
  }

  void read_station(std::size_t begin, const std::vector<Group>& groups) {
    if (!result_.station.empty()) {
      complain(begin, "a second line of " + std::string(station_), "one forecast: delete the one that does not apply");
      return;
    }
    if (columns_.empty()) {
      if (!seen_header_) {
        seen_header_ = true;  // said once
        complain(begin, std::string(station_) + " without a header",
                 "a line above that begins with FT, with the levels");
      }
      return;
    }
    result_.station = station_;
    for (const Group& g : groups) result_.as_read += (result_.as_read.empty() ? "" : " ") + std::string(g.text);
    const std::size_t count = groups.size() - 1;
    if (count > columns_.size()) {
      complain(begin, std::string(station_) + " with " + std::to_string(count) + " groups",
               "at most one group for each of the " + std::to_string(columns_.size()) + " levels");
      return;
    }
    std::size_t first = 0;
    std::size_t next = 0;  // column that the next group may stand in
    for (std::size_t i = 1; i < groups.size(); ++i) {
      // With a group for every level the order says it all; where one is blank its column has to.
      std::size_t k = i - 1;
      if (count < columns_.size()) {
        k = next;
        while (k < columns_.size() && !stands_in(groups[i], columns_[k])) ++k;
      }
      if (k == columns_.size()) {
        complain(begin + groups[i].at, name(groups[i]) + " under no level, or out of order",
                 "groups that end below the last digit of their level, or a group for every level",
                 "were blanks lost when the text was copied?");
        return;
      }
      if (i == 1) first = k;
      next = k + 1;
      read_group(begin, groups[i], columns_[k].level_ft);
    }
    if (count > 0 && first + count < columns_.size()) {
      add(Severity::warning, begin, std::string(station_) + " without a group at some level above its first",
          "blank groups near the ground only", "were blanks lost when the text was copied?");
    }
  }

  /// Groups end with the figure of the header; without a temperature they may leave its three columns blank instead.
  static bool stands_in(const Group& g, const Column& column) {
    const std::size_t last = g.at + g.text.size() - 1;
    return last == column.last || (g.text.size() == 4 && last + 3 == column.last);
  }

  [[nodiscard]] std::string name(const Group& g) const {
    return std::string(station_) + ", group \"" + std::string(g.text) + "\"";
  }

  void read_group(std::size_t begin, const Group& g, int level_ft) {
    const std::string found = name(g) + " at " + std::to_string(level_ft) + " ft";
    const bool high = level_ft > kTemperatureWithoutSign;
    const std::string_view s = g.text;
    const auto bad = [&](const std::string& hint) {
      complain(begin + g.at, found, high ? kAcceptedHigh : kAcceptedLow, hint);
    };
    const bool bare = s.size() == 4 && all_digits(s);
    const bool with_sign =
        s.size() == 7 && all_digits(s.substr(0, 4)) && (s[4] == '+' || s[4] == '-') && all_digits(s.substr(5));
    const bool without_sign = s.size() == 6 && all_digits(s);
    if (high ? !without_sign : !(bare || with_sign)) {
      return bad(high           ? "above 24000 ft the temperature is always there and its minus left out"
                 : without_sign ? "up to 24000 ft a temperature has its sign"
                                : "");
    }
    WindsAloft::Level level;
    level.altitude = feet(level_ft);
    level.pressure_altitude = level_ft >= kPressureAltitudes;
    if (with_sign) level.temperature_c = number(s.substr(5)) * (s[4] == '-' ? -1 : 1);
    if (without_sign) level.temperature_c = -number(s.substr(4));
    if (s.substr(0, 4) == "9900") {
      level.light_and_variable = true;
      result_.levels.push_back(level);
      return;
    }
    int tens = number(s.substr(0, 2));
    int speed = number(s.substr(2, 2));
    if (tens > kHundredMore) {
      tens -= kHundredMore;
      speed += 100;
    }
    if (tens < 1 || tens > 36) {
      return bad("the first two digits are tens of degrees, 01 to 36, or 51 to 86 for 100 kt more");
    }
    if (speed < kWeakestWind) {
      add(Severity::warning, begin + g.at, found, "9900 for less than 5 kt", "it is read as it stands");
    }
    if (speed == kStrongestWind) {
      add(Severity::warning, begin + g.at, found, "a wind of less than 199 kt",
          "199 kt stands for more, too; it is read as the least it can be");
    }
    level.from = earth::true_degrees(10.0 * tens);
    level.speed = knots(speed);
    result_.levels.push_back(level);
  }

  std::string_view text_, station_;
  TextOrigin origin_;
  bool seen_header_ = false;
  std::string stations_;
  std::vector<Column> columns_;
  WindsAloft result_;
  std::vector<Finding> findings_;
};

}  // namespace

Loaded<WindsAloft> parse_winds_aloft(std::string_view text, std::string_view station, const TextOrigin& origin) {
  return Reader(text, station, origin).read();
}

}  // namespace backfield::io
