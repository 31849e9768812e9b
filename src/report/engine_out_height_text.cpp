// What the brief says of height with an engine out: drift-down, and what comes first as the air thins.

#include "parts.hpp"

#include "backfield/aircraft/performance.hpp"
#include "backfield/report/text.hpp"

namespace backfield::report {
namespace {

/// "1,200 ft above aerodrome (2,900 ft above mean sea level)"
std::string both_datums(const decision::Case& c, Length height) {
  return ft(height, Rounding::down) + " above aerodrome (" +
         ft((c.elevation + earth::Height{height}).above_sea_level, Rounding::down) + " above mean sea level)";
}

/// Against the highest thing that the case states.
std::string over_what_is_stated(const decision::Case& c, Length height) {
  const earth::Obstacle* highest = nullptr;
  for (const earth::Obstacle& o : c.ground.obstacles) {
    if (highest == nullptr || o.top.above_sea_level > highest->top.above_sea_level) highest = &o;
  }
  if (highest == nullptr) return "no obstacle is stated";
  const Length over = height - (highest->top - c.elevation).above_datum;
  return (over.si() < 0.0 ? ft(-over, Rounding::up) + " BELOW" : ft(over, Rounding::down) + " above") +
         " the highest obstacle stated, " + ascii(highest->name, 30);
}

Lines drift_down(const decision::Case& c, const decision::DriftDown& d) {
  const std::string head = "DRIFT-DOWN " + on_one_engine(c) + " from " + ft(d.from) + " above aerodrome" +
                           (d.stated ? "" : " (to where the scan goes)");
  if (!d.why_not.empty()) return wrapped(head + ": not computed, " + ascii(d.why_not, 100) + ".", kPageColumns, "  ");
  Lines lines = wrapped(
      head + ", still air, net less " +
          percent(c.policy.power_left.net_decrement.en_route.at(c.aircraft.one_engine_out->engines), 1) + " en route:",
      kPageColumns, "  ");
  std::vector<Lines> rows{{"after", "gross", "net", "flown"}};
  for (const decision::DriftDownPoint& p : d.points) {
    rows.push_back({number(in_seconds(p.time) / 60.0) + " min", ft(p.height, Rounding::down),
                    ft(p.net_height, Rounding::down), m(p.distance, Rounding::down)});
  }
  append(lines, table(rows, kPageColumns, "  "));
  append(lines, wrapped(d.levels_at ? "levels towards " + both_datums(c, *d.levels_at) + "; net " +
                                          (d.net_levels_at ? "towards " + ft(*d.net_levels_at, Rounding::down)
                                                           : "it comes down to the aerodrome's height") +
                                          ", " + over_what_is_stated(c, d.net_levels_at.value_or(Length{})) + "."
                                    : "it does not level above the aerodrome.",
                        kPageColumns, "  "));
  lines.emplace_back("  TERRAIN UNDER IT IS NOT LOOKED AT.");
  return lines;
}

Lines controls(const decision::Case& c, const decision::ControlSpeeds& s) {
  const aircraft::Performance performance(c.aircraft, c.mass);
  const auto shown = [&](Cas cas) { return kt(performance.indicated(cas)); };
  if (!s.stall_first && !s.meet) return {};
  std::string text =
      "v_mca " + shown(performance.v_mca()) + " is a figure of sea level. Of unsupercharged engines it falls " +
      "as the air thins, here to about " + shown(s.v_mca_in_that_air) +
      (c.aircraft.one_engine_out->v_mca_falls_with_density ? ", which the file allows" : ", not used here") +
      "; the stall, " + shown(s.stall) + ", does not: ";
  text += s.stall_first ? "HERE THE STALL MAY COME FIRST, with one engine pulling: a spin, not a swing that warns."
                        : "from about " + ft(*s.meet, Rounding::down) +
                              " above aerodrome the stall may come first, with one engine pulling: a spin.";
  return wrapped(text, kPageColumns, "  ");
}

}  // namespace

Lines engine_out_height_in_full(const Brief& brief) {
  const decision::OneEngineOut& o = *brief.answer.power_left.one_engine_out;
  Lines lines;
  if (o.drift_down) append(lines, drift_down(brief.the_case, *o.drift_down));
  if (o.controls) append(lines, controls(brief.the_case, *o.controls));
  return lines;
}

}  // namespace backfield::report
