#include "read_sky.hpp"

#include "metar_groups.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::io {
namespace {

using earth::Surface;

constexpr Duration kReportAge = minutes(180);  // common practice: an older report is not the weather of a take-off

std::optional<Surface> wet_form(Surface surface) {
  switch (surface) {
    case Surface::paved:
    case Surface::wet_paved:
      return Surface::wet_paved;
    case Surface::grass_dry:
    case Surface::grass_wet:
      return Surface::grass_wet;
    case Surface::water:
    case Surface::contaminated:
      return surface;
    case Surface::unknown:
    case Surface::gravel:
    case Surface::dirt:
      return std::nullopt;
  }
  return std::nullopt;
}

}  // namespace

std::optional<earth::Instant> read_time(const Value& value) {
  const std::string accepted = "date and time in UTC, such as 2026-11-27T16:40Z, of the years 1950 to 2099";
  const auto text = value.text(accepted);
  if (!text) return std::nullopt;
  const std::string pattern = "dddd-dd-ddTdd:ddZ";
  bool fits = text->size() == pattern.size();
  for (std::size_t i = 0; fits && i < pattern.size(); ++i) {
    const char c = (*text)[i];
    fits = pattern[i] == 'd' ? c >= '0' && c <= '9' : c == pattern[i];
  }
  if (!fits) {
    value.refuse(accepted, text->find('Z') == std::string::npos ? "a time is in UTC and ends in Z" : "");
    return std::nullopt;
  }
  const auto digits = [&text](std::size_t at, std::size_t count) {
    return metar_groups::number(std::string_view(*text).substr(at, count));
  };
  const auto time = earth::utc({digits(0, 4), digits(5, 2), digits(8, 2), digits(11, 2), digits(14, 2)});
  if (!time) value.refuse(accepted, "there is no such day or minute");
  return time;
}

void check_report_time(const Value& value, const Metar& report, earth::Instant departure) {
  // A report has the day of the month only: the nearest such moment is meant.
  constexpr Duration kDay = minutes(24 * 60);
  std::optional<Duration> nearest;
  for (int day = -15; day <= 15; ++day) {
    earth::UtcClock clock = earth::clock_of(departure + kDay * day);
    if (clock.day != report.day) continue;
    clock.hour = report.hour;
    clock.minute = report.minute;
    const auto then = earth::utc(clock);
    if (!then) continue;
    const Duration away = seconds(std::abs(in_seconds(*then - departure)));
    nearest = std::min(nearest.value_or(away), away);
  }
  if (nearest && *nearest <= kReportAge) return;
  value.warn("a report within 3 h of the departure's time", "is that time in UTC, and the date right?");
}

std::optional<decision::CloudReport> read_cloud(const Fields& weather, const std::optional<Metar>& report) {
  using Kind = decision::CloudReport::Kind;
  const auto value = weather.get("cloud_base");
  if (value && report && report->ceiling) {
    value->refuse("nothing", "the METAR states it already: " + report->ceiling_group);
    return std::nullopt;
  }
  if (value) {
    if (value->is_text() && value->raw() == "none") return decision::CloudReport{Kind::none, {}, "stated in the case"};
    const auto base = value->quantity<Length>(Dimension::length, {0, 20000, "ft", 200, 12000});
    if (!base) return std::nullopt;
    return decision::CloudReport{Kind::base, *base, "stated in the case"};
  }
  if (!report) return std::nullopt;
  if (report->ceiling) {
    return decision::CloudReport{Kind::base, *report->ceiling, report->ceiling_group + " of the METAR"};
  }
  if (!report->ceiling_unmeasured.empty()) {
    weather.get("metar")->refuse("cloud_base stated beside it, such as \"cloud_base: 300 ft\"",
                                 report->ceiling_unmeasured + " is a ceiling without a height");
    return std::nullopt;
  }
  if (report->sky_known) return std::nullopt;
  return decision::CloudReport{Kind::not_known, {}, "the METAR does not say"};
}

std::string read_wetness(const Fields& weather, const std::optional<Metar>& report) {
  const std::string rain = report ? report->precipitation : std::string{};
  const auto wet = weather.get_choice<bool>("surface", {{"wet", true}, {"dry", false}});
  if (wet && *wet) return "stated in the case";
  if (rain.empty()) return {};
  if (wet) {
    weather.get("surface")->warn("wet, by " + rain + " of the METAR",
                                 "the case stands: runways are taken as their files say");
    return {};
  }
  if (report->frozen) {
    weather.get("metar")->warn("a runway surface stated with " + rain + " about",
                               "snow or ice may be worse than wet, which is all that is assumed: contaminated?");
  }
  return rain + " of the METAR";
}

void wet_runways(const Value& weather, decision::Case& result) {
  if (result.weather.wet_because.empty()) return;
  const auto wet = [&](earth::RunwayEnd& end, bool say) {
    if (const auto form = wet_form(end.surface)) {
      end.surface = *form;
    } else if (say && end.surface != Surface::unknown) {  // of unknown ones nothing is planned anyway
      weather.assume("runway " + end.aerodrome + " " + end.designator +
                     ": taken as stated, for there is no figure for it when wet");
    }
  };
  for (earth::RunwayEnd& end : result.options) wet(end, true);
  wet(result.departure.end, false);
  for (earth::LandableArea& area : result.ground_ahead.areas) {
    if (const auto form = wet_form(area.surface)) area.surface = *form;
  }
  weather.assume("runways are taken as wet: " + result.weather.wet_because);
}

void read_sky_rules(const Fields& root, decision::Policy& policy) {
  if (const auto value = root.get("cloud")) {
    const Fields fields(*value, {"below_base"});
    const auto below = fields.need_quantity<Length>("below_base", Dimension::length, {0, 3000, "ft", 0, 1000});
    if (below) policy.cloud = decision::CloudRule{*below};
  }
  if (const auto value = root.get("night")) {
    const Fields fields(*value, {"sun_below"});
    const auto below = fields.need_quantity<Angle>("sun_below", Dimension::angle, {0, 18, "deg", 0, 12});
    if (below) policy.night = decision::NightRule{*below};
  }
}

void check_sky(const Fields& root, const decision::Case& result) {
  const auto& cloud = result.weather.cloud;
  if (cloud && cloud->kind == decision::CloudReport::Kind::base && !result.policy.cloud) {
    root.get("policy")->refuse("a policy with \"cloud: {below_base: ...}\"",
                               "the case has a cloud base: " + cloud->source);
  }
  if (result.departure.time && !result.policy.night) {
    root.get("policy")->refuse("a policy with \"night: {sun_below: ...}\"", "the case states its time");
  }
}

}  // namespace backfield::io
