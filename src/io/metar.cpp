#include "backfield/io/metar.hpp"

#include "metar_groups.hpp"
#include "text_origin.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace backfield::io {
namespace {

using namespace metar_groups;  // every name of it is used below
using decision::WindReport;

constexpr double kStrongestWindKt = 250.0;  // stronger than any surface wind on record; above it a digit slipped
constexpr double kLowestQnhHpa = 870.0;     // the range earth::Air accepts
constexpr double kHighestQnhHpa = 1085.0;
constexpr std::size_t kLongestText = 4000;  // a report has some 200 characters

constexpr const char* kAcceptedWind =
    "a wind group such as 24012KT, 24012G25KT, VRB03KT, 00000KT or /////KT (KT, MPS or KMH)";
constexpr const char* kAcceptedSector = "a sector such as 210V280, clockwise, right after the wind group";
constexpr const char* kAcceptedTemperature = "temperature and dew point such as 16/09, M05/M08, 05/ or /////";
constexpr const char* kAcceptedPressure = "a pressure such as Q1013, A2992 or Q////";

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_upper(char c) { return c >= 'A' && c <= 'Z'; }
bool is_lower(char c) { return c >= 'a' && c <= 'z'; }

// --- The report -----------------------------------------------------------------------------------------------------

class Reader {
 public:
  Reader(std::string_view text, const TextOrigin& origin) : text_(text), origin_(origin) {}

  Loaded<Metar> read() {
    if (text_.size() > kLongestText) {
      complain({text_.substr(0, 0), 0}, "one report", "the text is far longer than a report; is this the right file?",
               std::to_string(text_.size()) + " characters");
      return finish();
    }
    std::string_view body = text_;
    const std::size_t end = text_.find('=');
    if (end != text_.npos) {
      body = text_.substr(0, end);
      const std::vector<Group> more = split(text_.substr(end + 1));
      if (!more.empty()) {
        complain({more.front().text, more.front().at + end + 1}, "the end of the text after \"=\"",
                 "give one report only");
      }
    }
    groups_ = split(body);
    for (const Group& g : groups_) metar_.raw += (metar_.raw.empty() ? "" : " ") + std::string(g.text);
    if (read_header()) {
      read_wind();
      read_body();
      judge_unreadable();
      read_remarks();
    }
    return finish();
  }

 private:
  [[nodiscard]] bool at_end() const { return next_ >= groups_.size(); }
  [[nodiscard]] const Group& group() const { return groups_[next_]; }
  [[nodiscard]] bool take(std::string_view word) {
    if (at_end() || group().text != word) return false;
    ++next_;
    return true;
  }
  /// Trends and remarks end the body; nothing in a trend is the weather of now.
  [[nodiscard]] bool body_ends() const {
    constexpr std::array<std::string_view, 4> kEnds = {"NOSIG", "BECMG", "TEMPO", "RMK"};
    return at_end() || std::find(kEnds.begin(), kEnds.end(), group().text) != kEnds.end();
  }

  void add(Severity severity, const Group& g, std::string accepted, std::string hint, std::string found = {}) {
    Finding f = finding_at(text_, g.at, origin_);
    f.severity = severity;
    f.found = found.empty() ? "\"" + std::string(g.text) + "\"" : std::move(found);
    f.accepted = std::move(accepted);
    f.hint = std::move(hint);
    findings_.push_back(std::move(f));
  }
  void complain(const Group& g, std::string accepted, std::string hint = {}, std::string found = {}) {
    add(Severity::error, g, std::move(accepted), std::move(hint), std::move(found));
  }
  void warn(const Group& g, std::string accepted, std::string hint) {
    add(Severity::warning, g, std::move(accepted), std::move(hint));
  }

  Loaded<Metar> finish() {
    Loaded<Metar> result;
    if (!has_error(findings_)) result.value = std::move(metar_);
    result.findings = std::move(findings_);
    return result;
  }

  /// [METAR|SPECI] [COR] CCCC YYGGggZ [COR] [AUTO]; false when the rest is not worth reading.
  bool read_header() {
    for (const Group& g : groups_) {
      if (g.text == "RMK") break;
      if (std::any_of(g.text.begin(), g.text.end(), is_lower)) {
        complain(g, "a report in capitals", "copy the report as it was issued");
        return false;
      }
    }
    if (!take("METAR")) (void)take("SPECI");
    metar_.corrected = take("COR");
    if (at_end() || take("NIL")) {
      complain(groups_.empty() ? Group{} : groups_.back(), "a METAR or SPECI",
               "give a report that has weather in it, or plain fields", groups_.empty() ? "an empty report" : "");
      return false;
    }
    const std::string_view station = group().text;
    if (station.size() != 4 || !is_upper(station[0]) ||
        !std::all_of(station.begin(), station.end(), [](char c) { return is_upper(c) || is_digit(c); })) {
      complain(group(), "a location indicator of four letters or digits, such as ZZDA");
      return false;
    }
    metar_.station = station;
    ++next_;
    if (at_end() || group().text.size() != 7 || !all_digits(group().text.substr(0, 6)) || group().text[6] != 'Z') {
      complain(at_end() ? groups_.back() : group(), "day, hour and minute such as 121650Z, after the station");
      return false;
    }
    const std::string_view time = group().text;
    metar_.day = number(time.substr(0, 2));
    metar_.hour = number(time.substr(2, 2));
    metar_.minute = number(time.substr(4, 2));
    if (metar_.day < 1 || metar_.day > 31 || metar_.hour > 23 || metar_.minute > 59) {
      complain(group(), "a day of 01..31, an hour of 00..23 and a minute of 00..59 such as 121650Z");
    }
    ++next_;
    for (bool more = true; more;) {
      more = false;
      if (take("COR")) more = metar_.corrected = true;
      if (take("AUTO")) more = metar_.automatic = true;
    }
    if (take("NIL")) {
      complain(groups_[next_ - 1], "a report that has weather in it", "NIL means that the report is missing");
      return false;
    }
    return true;
  }

  /// The wind has one place, right after the time; a group there that is none and cannot be read counts as unreadable.
  void read_wind() {
    if (body_ends()) return;
    const Group g = group();
    if (all_slashes(g.text) && g.text.size() >= 5) {
      wind_settled_ = true;
      ++next_;
      return;
    }
    const std::optional<WindText> wind = match_wind(g.text);
    if (!wind) return;
    ++next_;
    wind_settled_ = true;
    const bool missing = wind->direction == "///" || wind->mean.missing || (wind->gust && wind->gust->missing);
    if (missing) {
      const bool wholly = wind->direction == "///" && wind->mean.missing && !wind->gust;
      if (!wholly) warn(g, kAcceptedWind, "part of the wind is missing, so it is treated as not reported");
    } else {
      judge_wind(g, *wind);
    }
    if (!body_ends() && is_sector(group().text)) {
      read_sector();
      ++next_;
    }
  }

  void judge_wind(const Group& g, const WindText& text) {
    WindReport wind;
    wind.variable = text.direction == "VRB";
    wind.mean = speed_of(text.mean, text.unit);
    if (text.gust) wind.gust = speed_of(*text.gust, text.unit);
    const double mean_kt = in_knots(wind.mean);
    const int direction = wind.variable ? 0 : number(text.direction);

    if (direction > 360) return complain(g, kAcceptedWind, "the direction is over 360 degrees");
    if (!wind.variable && direction == 0 && mean_kt > 0.0) {
      return complain(g, kAcceptedWind, "000 is written for calm only; north is 360 (reg. 15.5.4)");
    }
    if (wind.gust && *wind.gust <= wind.mean) {
      return complain(g, kAcceptedWind, "the gust is not above the mean wind");
    }
    if (std::max(mean_kt, wind.gust ? in_knots(*wind.gust) : 0.0) > kStrongestWindKt) {
      return complain(g, kAcceptedWind, "no surface wind is that strong");
    }
    for (const SpeedText& speed : {text.mean, text.gust.value_or(SpeedText{})}) {
      if (!speed.beyond) continue;
      if (!is_allowed_beyond(speed, text.unit)) {
        return complain(g, kAcceptedWind, "P is written as P99KT, P49MPS or P199KMH only");
      }
      warn(g, kAcceptedWind, "P means this much or more; it is read as the least it can be");
    }
    if (direction % 10 != 0) warn(g, kAcceptedWind, "directions are reported in steps of 10 degrees; check it");
    if (mean_kt == 0.0) {
      if (direction != 0) warn(g, "00000KT", "calm is written 00000KT; it is read as calm");
      wind.variable = true;
    }
    if (!wind.variable) wind.from = earth::true_degrees(direction);
    metar_.wind = wind;
  }

  void read_sector() {
    const Group& g = group();
    const int low = number(g.text.substr(0, 3));
    const int high = number(g.text.substr(4));
    if (low > 360 || high > 360) return complain(g, kAcceptedSector, "a direction is over 360 degrees");
    if (!metar_.wind) return;
    const std::pair sector{earth::true_degrees(low), earth::true_degrees(high)};
    if (!metar_.wind->variable) {
      // The limits are the extremes of the same ten minutes whose mean was given (reg. 15.5.3), rounded to 10 degrees.
      const double width = in_degrees(earth::wrap_turn(sector.second.angle() - sector.first.angle()));
      const double mean_at = in_degrees(earth::wrap_turn(metar_.wind->from.angle() - sector.first.angle()));
      constexpr double kRounding = 10.0 + 1e-9;
      if (mean_at > width + kRounding && mean_at < 360.0 - kRounding) {
        return complain(g, kAcceptedSector, "the mean direction is not within the sector; were its limits swapped?");
      }
    }
    metar_.wind->sector = sector;
  }

  void read_body() {
    for (; !body_ends(); ++next_) {
      const Group& g = group();
      if (read_temperature(g) || read_pressure(g) || read_visibility(g)) continue;
      if (const std::optional<CloudText> cloud = match_cloud(g.text)) {
        read_cloud(g, *cloud);
        continue;
      }
      if (match_wind(g.text)) {
        complain(g, kAcceptedWind, wind_settled_ ? "the report has two wind groups" : "the wind stands after the time");
      } else if (is_sector(g.text)) {
        complain(g, kAcceptedSector);
      } else if (is_weather(g.text)) {
        read_weather(g);
      } else if (!all_slashes(g.text) && !is_runway_or_sea(g.text)) {
        read_unknown(g);
      }
    }
    metar_.sky_known = (cloud_reported_ || metar_.cavok) && !cloud_incomplete_;
  }

  void read_cloud(const Group& g, const CloudText& cloud) {
    using Amount = CloudLayer::Amount;
    if (!cloud.nothing) metar_.clouds.push_back(cloud.layer);
    cloud_reported_ = true;
    const Amount amount = cloud.layer.amount;
    const bool ceiling = cloud.unknown_amount || amount == Amount::broken || amount == Amount::overcast ||
                         amount == Amount::vertical_visibility;
    if ((cloud.nothing && !cloud.unknown_amount) || !ceiling) return;
    if (!cloud.layer.base) {
      cloud_incomplete_ = true;
      metar_.ceiling_unmeasured = g.text;
    } else if (!metar_.ceiling || *cloud.layer.base < *metar_.ceiling) {
      metar_.ceiling = cloud.layer.base;
      metar_.ceiling_group = g.text;
    }
  }

  void read_weather(const Group& g) {
    const Wetting what = wetting(g.text);
    if (what == Wetting::none) return;
    if (metar_.precipitation.empty()) metar_.precipitation = g.text;
    metar_.frozen = metar_.frozen || what == Wetting::frozen;
  }

  void read_unknown(const Group& g) {
    if (resembles_wind(g.text)) return complain(g, kAcceptedWind);
    if (resembles_sector(g.text)) return complain(g, kAcceptedSector);
    if (resembles_pressure(g.text)) return complain(g, kAcceptedPressure);
    if (resembles_temperature(g.text)) return complain(g, kAcceptedTemperature);
    unknown_.push_back(g);
  }

  bool read_temperature(const Group& g) {
    if (g.text == "/////") {
      temperature_settled_ = true;
      return true;
    }
    const std::optional<TemperatureText> read = match_temperature(g.text);
    if (!read) return false;
    if (air_c_) {
      complain(g, "one temperature group", "the report has two");
    } else if (*read->air_c < -90 || *read->air_c > 60) {
      complain(g, kAcceptedTemperature, "no air temperature is that extreme");
    } else if (read->dew_c && *read->dew_c > *read->air_c) {
      complain(g, kAcceptedTemperature, "the dew point cannot be above the temperature");
    }
    temperature_settled_ = true;
    air_c_ = read->air_c;
    metar_.temperature = celsius(*read->air_c);
    if (read->dew_c) metar_.dew_point = celsius(*read->dew_c);
    return true;
  }

  bool read_pressure(const Group& g) {
    const bool hectopascal = g.text[0] == 'Q';
    if (!hectopascal && g.text[0] != 'A') return false;
    const std::string_view figure = g.text.substr(1);
    if (figure == "////") {
      pressure_settled_ = true;
      return true;
    }
    if (figure.size() != 4 || !all_digits(figure)) return false;
    pressure_settled_ = true;
    const Pressure qnh = hectopascal ? hectopascals(number(figure)) : inches_of_mercury(0.01 * number(figure));
    const double hpa = in_hectopascals(qnh);
    if (hpa < kLowestQnhHpa || hpa > kHighestQnhHpa) {
      complain(g, kAcceptedPressure, "no sea-level pressure is that extreme: 870 to 1085 hPa, 25.70 to 32.03 inHg");
    } else if (!metar_.qnh) {
      metar_.qnh = qnh;
      qnh_letter_ = g.text[0];
    } else {
      judge_second_pressure(g, qnh);
    }
    return true;
  }

  /// Both codes may stand in one report. They round down (reg. 15.12, FMH-1 11.5.1), Q by up to 1 hPa and A by up to
  /// 0.34 hPa, so they agree when the intervals they stand for overlap; then the finer one is kept.
  void judge_second_pressure(const Group& g, Pressure second) {
    const bool second_is_q = g.text[0] == 'Q';
    const double q = in_hectopascals(second_is_q ? second : *metar_.qnh);
    const double a = in_hectopascals(second_is_q ? *metar_.qnh : second);
    if (g.text[0] == qnh_letter_) {
      complain(g, "one pressure group", "the report has two");
    } else if (a >= q + 1.0 || a + in_hectopascals(inches_of_mercury(0.01)) <= q) {
      complain(g, "one pressure", "the report has two that contradict each other");
    } else {
      if (!second_is_q) metar_.qnh = second;
      add(Severity::note, g, "", "",
          "both Q and A are given and agree; the A group, the finer one, is used (" + std::string(g.text) + ")");
    }
  }

  bool read_visibility(const Group& g) {
    if (g.text == "CAVOK") {
      metar_.cavok = true;
      metar_.visibility = metres(10000);
      return true;
    }
    if (const std::optional<VisibilityText> read = match_visibility_m(g.text)) {
      if (!read->directional && metar_.visibility) return false;  // a second one: perhaps a torn group
      if (!metar_.visibility) metar_.visibility = read->prevailing_or_least;
      return true;
    }
    std::optional<Length> miles;
    if (g.text.size() <= 2 && all_digits(g.text) && next_ + 1 < groups_.size()) {
      miles = match_visibility_sm(groups_[next_ + 1].text, number(g.text));
      if (miles) ++next_;
    }
    if (!miles) miles = match_visibility_sm(g.text, 0);
    if (!miles) return g.text == "////SM";
    metar_.visibility = miles;
    return true;
  }

  /// A group nobody can read may be the very one that is missing. When none is missing it is only noted.
  void judge_unreadable() {
    std::string missing;
    if (!wind_settled_) missing = "wind";
    if (!temperature_settled_) missing += (missing.empty() ? "" : " or ") + std::string("temperature");
    if (!pressure_settled_) missing += (missing.empty() ? "" : " or ") + std::string("pressure");
    for (const Group& g : unknown_) {
      if (missing.empty()) {
        add(Severity::note, g, "", "", "group \"" + std::string(g.text) + "\" of the report is not read");
      } else {
        complain(g, "a group of the code", "the report has no " + missing + " group: this may be it");
      }
    }
  }

  /// Of the remarks only the T group is read: tenths of the temperature that the body rounds (FMH-1 12.7.2).
  void read_remarks() {
    while (!at_end() && group().text != "RMK") ++next_;
    for (; !at_end(); ++next_) {
      const Group& g = group();
      if (g.text.size() < 5 || g.text[0] != 'T' || !all_digits(g.text.substr(1, 4))) continue;
      const std::optional<TenthsText> tenths = match_tenths(g.text);
      if (!tenths) {
        warn(g, "tenths of the temperature such as T02220100", "the group is damaged, so the body's figure stands");
        continue;
      }
      if (air_c_ && std::abs(tenths->air_c - *air_c_) > 0.5 + 1e-9) {
        complain(g, "the temperature of the body in tenths",
                 "the body says " + std::to_string(*air_c_) + " C, the remark does not round to it");
        continue;
      }
      if (tenths->dew_c && *tenths->dew_c > tenths->air_c) {
        complain(g, "tenths of temperature and dew point such as T02220100",
                 "the dew point cannot be above the temperature");
        continue;
      }
      metar_.temperature = celsius(tenths->air_c);
      if (tenths->dew_c) metar_.dew_point = celsius(*tenths->dew_c);
    }
  }

  std::string_view text_;
  const TextOrigin& origin_;
  std::vector<Group> groups_;
  std::size_t next_ = 0;
  Metar metar_;
  std::vector<Finding> findings_;
  std::vector<Group> unknown_;
  std::optional<int> air_c_;
  char qnh_letter_ = ' ';
  bool cloud_reported_ = false;
  bool cloud_incomplete_ = false;
  bool wind_settled_ = false;  ///< read, reported as missing, or complained about
  bool temperature_settled_ = false;
  bool pressure_settled_ = false;
};

}  // namespace

Loaded<Metar> parse_metar(std::string_view text, const TextOrigin& origin) { return Reader(text, origin).read(); }

}  // namespace backfield::io
