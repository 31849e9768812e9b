#include "read_weather.hpp"

#include "read_sky.hpp"
#include "read_winds_aloft.hpp"
#include "text_origin.hpp"

#include "backfield/io/metar.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <sstream>

namespace backfield::io {
namespace {

constexpr Range kQnh{870, 1085, "hPa", 975, 1040};
constexpr Range kOat{-60, 55, "C", -35, 40};

/// The words of a wind, taken one after another.
class WordReader {
 public:
  explicit WordReader(std::string_view text) {
    std::istringstream in{std::string(text)};
    for (std::string word; in >> word;) words_.push_back(word);
  }
  [[nodiscard]] bool at_end() const { return next_ == words_.size(); }
  bool take(std::string_view word) {
    if (at_end() || words_[next_] != word) return false;
    ++next_;
    return true;
  }
  /// The next `count` words with blanks between.
  std::string phrase(std::size_t count) {
    std::string text;
    for (std::size_t i = 0; i < count && !at_end(); ++i) text += (i > 0 ? " " : "") + words_[next_++];
    return text;
  }
  [[nodiscard]] std::string peek() const { return at_end() ? std::string{} : words_[next_]; }

 private:
  std::vector<std::string> words_;
  std::size_t next_ = 0;
};

Parsed<Speed> take_speed(WordReader& words) {
  std::string text = words.phrase(1);  // "15kt" is one word, "15 kt" two
  if (!text.empty() && std::isdigit(static_cast<unsigned char>(text.back())) != 0) text += " " + words.phrase(1);
  const Parsed<double> speed = parse_quantity(text, Dimension::speed);
  if (!speed.ok()) return {std::nullopt, "the speed: " + (speed.hint.empty() ? "unknown unit" : speed.hint)};
  if (*speed.value < 0.0) return {std::nullopt, "a wind speed has no sign"};
  return {Speed::from_si(*speed.value), {}};
}

void check_wind(const Value& value, const decision::WindReport& wind) {
  const Speed gust = wind.gust.value_or(wind.mean);
  if (gust > knots(70)) value.refuse("at most 70 kt", "is the unit right?");
  if (gust < wind.mean) value.refuse("a gust above the mean wind");
  if (wind.mean > knots(35) && gust <= knots(70)) value.warn("usually at most 35 kt", "check that this is meant");
  if (gust - wind.mean > knots(20)) value.warn("usually a gust within 20 kt of the mean", "check that this is meant");
  if (wind.variable && wind.mean >= knots(4)) {
    value.warn("a variable wind usually blows with less than 4 kt", "ask for a direction");
  }
}

std::optional<TypedWind> read_typed_wind(const Value& value) {
  const Parsed<TypedWind> wind = value.is_text() ? parse_wind(value.raw()) : Parsed<TypedWind>{};
  if (!wind.ok()) value.refuse(kAcceptedWind, wind.hint);
  return wind.value;
}

std::optional<decision::WindReport> to_true(const Value& value, const TypedWind& typed,
                                            const std::optional<Angle>& variation) {
  if (typed.from && typed.from->magnetic && !variation) {
    value.refuse("a true wind", "a magnetic one needs \"variation\" in the case, such as \"variation: 3 deg E\"");
    return std::nullopt;
  }
  const Angle east = variation.value_or(Angle{});
  decision::WindReport wind;
  wind.mean = typed.mean;
  wind.gust = typed.gust;
  // A direction without speed says nothing: calm.
  wind.variable = !typed.from || (typed.mean.si() == 0.0 && !typed.gust);
  if (typed.from) wind.from = typed.from->to_true(east);
  if (typed.sector) wind.sector = {typed.sector->first.to_true(east), typed.sector->second.to_true(east)};
  return wind;
}

void read_aloft(const Value& value, const std::optional<Angle>& variation,
                const std::optional<earth::Altitude>& elevation, decision::Weather& weather) {
  for (const Value& item : value.items("a list of {height, wind} or {altitude, wind}, rising")) {
    const Fields fields(item, {"height", "altitude", "wind"});
    if (!fields.is_map()) continue;
    const auto height = fields.get_quantity<Length>("height", Dimension::length, {50, 20000, "ft"});
    const auto altitude = fields.get_quantity<Length>("altitude", Dimension::length, {-1000, 25000, "ft"});
    if (fields.has("height") == fields.has("altitude")) {
      item.refuse("either \"height\" (above the aerodrome) or \"altitude\" (above sea level)");
    }
    const auto wind_value = fields.need("wind", kAcceptedWind);
    const auto typed = wind_value ? read_typed_wind(*wind_value) : std::nullopt;
    if (!typed) continue;
    if (typed->gust || typed->sector || (!typed->from && typed->mean.si() > 0.0)) {
      wind_value->refuse("one direction and one speed", "winds aloft are forecast without gusts and sectors");
      continue;
    }
    const auto wind = to_true(*wind_value, *typed, variation);
    if (!wind || (!height && !altitude) || (altitude && !elevation)) continue;
    if (wind->mean > knots(150)) wind_value->refuse("at most 150 kt", "is the unit right?");
    const Length above = height ? *height : *altitude - elevation->above_sea_level;
    const auto level_value = fields.get(height ? "height" : "altitude");
    const bool rises = weather.aloft.empty() || weather.aloft.back().height.above_datum < above;
    if (above <= metres(10) || !rises) {
      level_value->refuse("a level more than 10 m above the aerodrome and above the level before it");
      continue;
    }
    weather.aloft.push_back({{above}, earth::wind_from(wind->from, wind->mean)});
  }
}

/// Runs the same limits over a figure that a METAR gave.
void check_metar_figure(const Value& at, std::string_view what, double value, const Range& range) {
  if (value >= range.usual_low && value <= range.usual_high) return;
  at.warn("usually a " + std::string(what) + " of " + plain(range.usual_low) + " to " + plain(range.usual_high) + " " +
              std::string(range.unit),
          "check that the report is read right");
}

struct Read {
  std::optional<decision::WindReport> wind;
  std::optional<Temperature> oat;
  std::optional<Pressure> qnh;
  std::optional<Metar> report;
  std::string as_read;
  bool complete = true;  // false when a field was there and wrong: then it is not missing as well
};

void read_metar(const Value& value, const std::string& station, Read& read) {
  const auto text = value.text(R"(a report such as "ZZDA 121650Z 24012KT 9999 FEW030 16/09 Q1013")");
  if (!text) {
    read.complete = false;
    return;
  }
  const std::optional<TextOrigin> origin = text_origin(value);
  Loaded<Metar> metar = parse_metar(*text, origin.value_or(TextOrigin{}));
  tell(value, origin, metar.findings);  // notes are about groups that play no part in a departure
  if (!metar.ok()) {
    read.complete = false;
    return;
  }
  read.wind = metar.value->wind;
  read.oat = metar.value->temperature;
  read.qnh = metar.value->qnh;
  read.as_read = metar.value->raw;
  if (read.wind) check_wind(value, *read.wind);
  if (read.oat) check_metar_figure(value, "temperature", in_celsius(*read.oat), kOat);
  if (read.qnh) check_metar_figure(value, "QNH", in_hectopascals(*read.qnh), kQnh);
  if (!station.empty() && metar.value->station != station) {
    value.warn("a report from " + station, "this one is from " + metar.value->station);
  }
  read.report = std::move(metar.value);
}

}  // namespace

Parsed<TypedWind> parse_wind(std::string_view text) {
  TypedWind wind;
  WordReader words(text);
  if (words.take("calm")) {
    if (!words.at_end()) return {std::nullopt, "\"calm\" stands alone"};
    return {wind, {}};
  }
  const bool variable = words.take("variable");
  std::string reference;
  if (!variable) {
    const std::string number = words.phrase(1);
    if (number.find('/') != std::string::npos) {
      return {std::nullopt, "write the direction with \"deg true\" or \"deg magnetic\", then the speed with its unit"};
    }
    if (!words.take("deg")) return {std::nullopt, {}};
    if (words.peek() == "true" || words.peek() == "magnetic") reference = " " + words.phrase(1);
    const Parsed<Bearing> from = parse_bearing(number + " deg" + reference);
    if (!from.ok()) return {std::nullopt, from.hint};
    wind.from = from.value;
  }
  const Parsed<Speed> mean = take_speed(words);
  if (!mean.ok()) return {std::nullopt, mean.hint};
  wind.mean = *mean.value;
  if (words.take("gusting")) {
    const Parsed<Speed> gust = take_speed(words);
    if (!gust.ok()) return {std::nullopt, gust.hint};
    wind.gust = gust.value;
  }
  if (!variable && words.take("varying")) {
    const Parsed<Bearing> first = parse_bearing(words.phrase(2) + reference);
    const bool joined = words.take("to");
    const Parsed<Bearing> second = parse_bearing(words.phrase(2) + reference);
    if (!joined || !first.ok() || !second.ok()) {
      return {std::nullopt, "a sector is written \"varying 330 deg to 030 deg\", in the reference of the wind"};
    }
    wind.sector = {*first.value, *second.value};
  }
  if (!words.at_end()) return {std::nullopt, "\"" + words.peek() + "\" does not belong there"};
  return {wind, {}};
}

std::optional<decision::Weather> read_weather(const Value& value, const std::optional<Angle>& variation,
                                              const std::optional<earth::Altitude>& elevation,
                                              const std::string& station,
                                              const std::optional<earth::Instant>& departure) {
  const Fields fields(value, {"metar", "wind", "oat", "qnh", "surface", "cloud_base", "aloft", "winds_aloft"});
  if (!fields.is_map()) return std::nullopt;
  decision::Weather weather;
  Read read;
  const auto metar = fields.get("metar");
  if (metar) read_metar(*metar, station, read);
  if (read.report && departure) check_report_time(*metar, *read.report, *departure);

  // What the METAR lacks, typed.
  const auto field = [&](std::string_view key, bool already, const std::string& accepted) -> std::optional<Value> {
    const auto typed = fields.get(key);
    if (typed && already) typed->refuse("nothing", "the METAR states it already");
    if (!typed && !already && read.complete) {
      fields.missing(key, accepted, metar ? "the METAR does not state it" : "");
    }
    if (typed && !already) {
      read.as_read += (read.as_read.empty() ? "" : ", ") + std::string(key) + " " + typed->raw();
      return typed;
    }
    return std::nullopt;
  };
  if (const auto typed = field("wind", read.wind.has_value(), kAcceptedWind)) {
    const auto wind = read_typed_wind(*typed);
    if (wind) read.wind = to_true(*typed, *wind, variation);
    if (read.wind) check_wind(*typed, *read.wind);
  }
  if (const auto typed = field("oat", read.oat.has_value(), accepted_quantity(Dimension::temperature))) {
    read.oat = typed->quantity<Temperature>(Dimension::temperature, kOat);
  }
  if (const auto typed = field("qnh", read.qnh.has_value(), accepted_quantity(Dimension::pressure))) {
    read.qnh = typed->quantity<Pressure>(Dimension::pressure, kQnh);
  }
  if (const auto aloft = fields.get("aloft")) read_aloft(*aloft, variation, elevation, weather);
  const auto forecast = fields.get("winds_aloft");
  if (forecast && fields.has("aloft")) forecast->refuse("either aloft or winds_aloft", "each states the winds above");
  const bool complete = read.wind && read.oat && read.qnh;
  std::optional<earth::Air> air;
  if (complete && elevation) air.emplace(*read.qnh, *elevation, *read.oat, earth::DensityRule::aerodrome);
  if (forecast) read_winds_aloft(*forecast, air, departure, weather);
  weather.cloud = read_cloud(fields, read.report);
  weather.wet_because = read_wetness(fields, read.report);
  if (!complete) return std::nullopt;
  weather.qnh = *read.qnh;
  weather.oat = *read.oat;
  weather.wind = *read.wind;
  weather.as_read = read.as_read;
  if (air) {
    const Temperature standard = earth::standard_temperature(air->pressure_altitude_at(*elevation));
    const double off = difference(weather.oat, standard).si();
    if (std::abs(off) > 30.0) {
      (metar && !fields.has("oat") ? *metar : *fields.get("oat"))
          .warn("usually within 30 C of the standard atmosphere's " + plain(std::round(in_celsius(standard))) + " C",
                "check that this is meant");
    }
  }
  return weather;
}

}  // namespace backfield::io
