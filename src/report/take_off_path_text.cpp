// What the brief says of the take-off path with an engine failing at v_1.

#include "parts.hpp"

#include "backfield/aircraft/performance.hpp"
#include "backfield/report/text.hpp"

#include <string>

namespace backfield::report {
namespace {

using aircraft::TakeOffMark;
using aircraft::TakeOffPoint;

Lines points(const decision::Case& c, const std::vector<TakeOffPoint>& points) {
  const aircraft::Performance performance(c.aircraft, c.mass);
  std::vector<Lines> rows{{"to", "at", "gross", "net", "from release", "after"}};
  for (const TakeOffPoint& p : points) {
    const bool in_the_air = p.what >= TakeOffMark::screen;
    rows.push_back({std::string(aircraft::name_of(p.what)) + (p.estimated ? " *" : ""),
                    kt(performance.indicated(p.speed)), in_the_air ? ft(p.height, Rounding::down) : "on the ground",
                    in_the_air ? ft(p.net_height, Rounding::down) : "", m(p.distance, Rounding::up), s(p.time)});
  }
  return table(rows, kPageColumns, "  ");
}

std::string gradient(const char* name, const std::optional<aircraft::SegmentGradient>& g, double least) {
  if (!g) return std::string(name) + ": not got so far";
  return std::string(name) + ": " + percent(g->gross, 2) + " gross, " + percent(g->net, 2) + " net, " +
         percent(least, 1) + " asked for" + (g->gross >= least ? "" : ": NOT MET");
}

}  // namespace

Lines take_off_path_in_full(const Brief& brief) {
  const decision::Case& c = brief.the_case;
  const decision::OneEngineOut& o = *brief.answer.power_left.one_engine_out;
  if (!c.aircraft.one_engine_out->v_1) return {};
  if (!o.take_off) return {"  take-off path from v_1: not computed, the policy has no rule for it."};
  const decision::EngineOutTakeOff& t = *o.take_off;
  const aircraft::TakeOffPath& path = t.path;
  Lines lines = wrapped("TAKE-OFF PATH, an engine failing at v_1: heights above aerodrome, world " +
                            ascii(o.decided_in, 40) + "; * is estimated:",
                        kPageColumns, "  ");
  if (!path.points.empty()) { append(lines, points(c, path.points)); }
  if (!path.why_not.empty()) {
    append(lines, wrapped((path.points.empty() ? "not computed: " : "it ends there: ") + ascii(path.why_not, 120) + ".",
                          kPageColumns, "  *** "));
  }
  if (!t.not_in.empty()) {
    append(lines, wrapped("v_2 is not reached in world " + ascii(t.not_in, 40) + ": no obstacle is judged.",
                          kPageColumns, "  *** "));
  }
  if (path.points.empty()) { return lines; }
  append(lines, wrapped("gradients of the weakest climb, " + gradient("second segment", path.second, t.second_least) +
                            "; " + gradient("final segment", path.last, t.last_least) + ".",
                        kPageColumns, "  "));
  const std::string condition = ascii(c.aircraft.one_engine_out->climb_rate.source().condition, 80);
  if (!t.in_time) {
    append(lines, wrapped("take-off thrust is needed for longer than it is allowed.", kPageColumns, "  *** "));
  }
  if (!path.second) return lines;
  append(
      lines,
      wrapped(
          "level at " + ft(path.acceleration_height) +
              (c.aircraft.one_engine_out->acceleration_height ? " (aircraft file)" : " (policy)") + " up to " +
              (path.final_speed_stated ? "the file's final speed"
                                       : "best glide speed or v_2, the greater, for no final one is stated") +
              "; the final climb is " +
              (path.final_rate_stated ? "the file's."
                                      : "that of " + percent(c.policy.power_left.take_off_path->continuous_thrust, 0) +
                                            " of take-off thrust, for no other figure is stated.") +
              " Past its end the net path climbs no more." +
              (c.departure.track.legs.empty() ? "" : " Turns are those of v_2, narrower than at a higher speed.") +
              (condition.empty() ? "" : " The rate at v_2 is for: " + condition + "."),
          kPageColumns, "  "));
  return lines;
}

}  // namespace backfield::report
