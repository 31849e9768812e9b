#include "read_winds_aloft.hpp"

#include "text_origin.hpp"

#include "backfield/io/winds_aloft.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>

namespace backfield::io {
namespace {

/// A forecast has no wind nearer to the ground of its station; over a higher aerodrome there may be one, and it is then
/// nearer to the ground than forecasts mean to be.          source: US Navy training text P-304, winds-aloft forecasts
constexpr Length kAboveGround = feet(1500);

bool is_station(std::string_view text) {
  return (text.size() == 3 || text.size() == 4) && std::all_of(text.begin(), text.end(), [](unsigned char c) {
           return std::isupper(c) != 0 || std::isdigit(c) != 0;
         });
}

/// The true altitude of a pressure altitude in the air of the day.
earth::Altitude true_altitude(Length pressure_altitude, const earth::Air& air) {
  // The two differ by a few per cent, so each round takes all but a tenth or so of what is missing.
  constexpr int kRounds = 20;
  Length altitude = pressure_altitude;
  for (int i = 0; i < kRounds; ++i) {
    altitude = altitude + (pressure_altitude - air.pressure_altitude_at({altitude}).in_standard_atmosphere);
  }
  return {altitude};
}

/// Whether a moment lies in a period of the day that may run over midnight.
bool holds(const std::pair<int, int>& period, earth::Instant t) {
  const earth::UtcClock clock = earth::clock_of(t);
  const int minute = 60 * clock.hour + clock.minute;
  const auto [first, last] = period;
  return first <= last ? first <= minute && minute <= last : minute >= first || minute <= last;
}

/// Whether some moment with that day of the month and minute lies within a day of `t`.
bool within_a_day(const std::pair<int, int>& valid, earth::Instant t) {
  for (const int day : {-1, 0, 1}) {
    const earth::Instant then = t + minutes(24 * 60) * day;
    const earth::UtcClock clock = earth::clock_of(then);
    if (clock.day != valid.first) continue;
    const Duration late = minutes(valid.second - 60 * clock.hour - clock.minute);
    const Duration away = then + late - t;
    if (std::abs(in_seconds(away)) <= in_seconds(minutes(24 * 60))) return true;
  }
  return false;
}

}  // namespace

void read_winds_aloft(const Value& value, const std::optional<earth::Air>& air,
                      const std::optional<earth::Instant>& departure, decision::Weather& weather) {
  const Fields fields(value, {"station", "text"});
  if (!fields.is_map()) return;
  const auto station = fields.need_text("station", "the station whose line applies, such as ZZD");
  const auto text_value = fields.need("text", "the forecast as issued: \"text: |\" and then its lines");
  const auto text = text_value ? text_value->text("the forecast as issued") : std::nullopt;
  if (!station || !text) return;
  if (!is_station(*station)) {
    fields.get("station")->refuse("three or four capitals or digits, such as ZZD");
    return;
  }
  const std::optional<TextOrigin> origin = text_origin(*text_value);
  const Loaded<WindsAloft> forecast = parse_winds_aloft(*text, *station, origin.value_or(TextOrigin{}));
  tell(*text_value, origin, forecast.findings);
  if (!forecast.ok() || !air) return;
  const bool hour = !forecast.value->use || !departure || holds(*forecast.value->use, *departure);
  const bool day = !forecast.value->valid || !departure || within_a_day(*forecast.value->valid, *departure);
  if (!hour || !day) {
    text_value->warn("a forecast for use at the departure's time",
                     "see its line VALID and FOR USE; is that time in UTC?");
  }

  std::string low;
  for (const WindsAloft::Level& level : forecast.value->levels) {
    const earth::Altitude altitude =
        level.pressure_altitude ? true_altitude(level.altitude, *air) : earth::Altitude{level.altitude};
    const earth::Height above = altitude - air->elevation();
    const std::string name = plain(std::round(in_feet(level.altitude))) + " ft";
    if (above.above_datum < kAboveGround) {
      low += (low.empty() ? "" : ", ") + name;
      continue;
    }
    if (level.light_and_variable) {
      text_value->assume("winds aloft at " + name + ": light and variable, taken as calm");
    }
    weather.aloft.push_back({above, earth::wind_from(level.from, level.speed)});
  }
  if (!low.empty()) {
    text_value->assume("winds aloft at " + low + " left out: less than 1500 ft above the aerodrome");
  }
  text_value->assume(weather.aloft.empty()
                         ? "the forecast of winds aloft has no level that can be used: the surface wind is all there is"
                         : "winds aloft of " + *station +
                               " taken as those over the aerodrome: " + forecast.value->as_read);
}

}  // namespace backfield::io
