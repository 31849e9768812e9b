// What the brief says of cloud and night.

#include "parts.hpp"

#include "backfield/report/text.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::report {
namespace {

constexpr std::size_t kWidth = kPageColumns;

std::string two(int v) { return (v < 10 ? "0" : "") + std::to_string(v); }

Lines cloud(const decision::CloudAnswer& cloud, const decision::Policy& policy) {
  using Kind = decision::CloudReport::Kind;
  const std::string source = " (" + ascii(cloud.report.source, 60) + ")";
  if (cloud.report.kind == Kind::not_known) {
    return wrapped("cloud base not known" + source + ": no window is limited by it.", kWidth, "  ");
  }
  if (cloud.report.kind == Kind::none) return wrapped("no cloud base" + source + ".", kWidth, "  ");
  std::string text = "cloud base " + ft(cloud.report.base, Rounding::down) + " above aerodrome" + source +
                     ", taken as level everywhere; returns are planned from ";
  text += cloud.limit->si() > 0.0 ? ft(*cloud.limit, Rounding::down) + " or lower" : std::string("no height");
  text += " (policy: at least " + ft(policy.cloud->below_base) + " below the base).";
  Lines lines = wrapped(text, kWidth, "  ");
  for (const decision::VoidPart& part : cloud.parts) {
    const std::string edges = ft(part.from, part.whole ? Rounding::up : Rounding::down) +
                              (part.to ? " to " + ft(*part.to, Rounding::up) : " and up, as far as scanned");
    append(lines, wrapped(part.option + ": " + edges + (part.whole ? ", the whole window." : ", part of the window."),
                          kWidth, "  void: "));
  }
  if (cloud.parts.empty()) lines.emplace_back("  void: nothing; every window computed lies below that.");
  if (cloud.circuit_in_cloud) {
    append(lines,
           wrapped("the circuit of a return with power, " + ft(policy.circuit->height) + ".", kWidth, "  void: "));
  }
  if (cloud.runway_ahead_in_cloud) {
    append(lines, wrapped("the runway ahead is long enough from heights above that, where it may not be seen; "
                          "it stays the plan, for it is straight ahead.",
                          kWidth, "  "));
  }
  return lines;
}

Lines night(const decision::NightAnswer& night, const decision::Policy& policy) {
  const double sun = in_degrees(night.sun_at_departure);
  std::string text = "departure " + utc_of(night.departure) + ": sun " + number(std::abs(sun), 1) + " deg " +
                     (sun < 0.0 ? "below" : "above") + " the horizon; night is from " + deg(policy.night->sun_below) +
                     " below it on (policy). ";
  const bool now = night.sun_at_departure <= -policy.night->sun_below;
  text += now                    ? "NIGHT at departure"
          : night.after_take_off ? "NIGHT falls before the end of the climb that is scanned"
          : night.on_return      ? "Day at departure, NIGHT at the return with power"
                                 : "Day";
  text += night.change ? std::string("; night ") + (now ? "ends " : "begins ") + utc_of(*night.change) + "."
                       : std::string("; that does not change within a day.");
  Lines lines = wrapped(text, kWidth, "  ");
  for (const decision::NightAnswer::Unlit& end : night.unlit) {
    append(lines, wrapped(ascii(end.aerodrome, 20) + " " + end.runway +
                              (end.stated ? ", not lit." : ", no lights stated for it, which counts as not lit."),
                          kWidth, "  no return to: "));
  }
  if (night.on_return && night.unlit.empty()) lines.emplace_back("  every runway end stated is lit.");
  return lines;
}

}  // namespace

std::string utc_of(earth::Instant t) {
  const earth::UtcClock k = earth::clock_of(t);
  return std::to_string(k.year) + "-" + two(k.month) + "-" + two(k.day) + " " + two(k.hour) + ":" + two(k.minute) +
         " UTC";
}

Lines sky_in_full(const Brief& brief) {
  const decision::Answer& answer = brief.answer;
  if (!answer.cloud && !answer.night) return {};
  Lines lines{"CLOUD AND NIGHT, heights above aerodrome"};
  if (answer.cloud) append(lines, cloud(*answer.cloud, brief.the_case.policy));
  if (answer.night) append(lines, night(*answer.night, brief.the_case.policy));
  return lines;
}

}  // namespace backfield::report
