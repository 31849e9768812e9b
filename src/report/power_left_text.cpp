// What the brief says of power that is left: partial power of a single, one engine of a twin, a propeller that has to
// be feathered.

#include "no_distance.hpp"
#include "parts.hpp"

#include "backfield/aircraft/performance.hpp"
#include "backfield/report/text.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::report {
namespace {

constexpr std::size_t kWidth = kPageColumns;

std::string fpm(Speed rate) {
  // Shown down to whole feet per minute: never more than there is.
  const double down = std::floor(in_feet_per_minute(rate) + 1e-6);
  return (down > 0.0 ? "+" : "") + number(down) + " fpm";
}

std::string share(double fraction) { return percent(fraction, 0); }

std::string in_turns(const std::vector<decision::ClimbAtBank>& climb) {
  Lines each;
  for (const decision::ClimbAtBank& c : climb) each.push_back(deg(c.bank) + " " + fpm(c.rate));
  return joined(each, ", ");
}

std::string name_of_climb_speed(const decision::Case& c) {
  return c.aircraft.kind == aircraft::AircraftClass::light_twin ? "v_yse" : "v_2";
}

/// "80 %, 60 %": the fractions with a verdict; empty when there are none.
std::string fractions_with(const std::vector<decision::PartialPower>& partial, decision::PartialVerdict verdict) {
  Lines names;
  for (const decision::PartialPower& p : partial) {
    if (p.verdict == verdict) names.push_back(share(p.fraction));
  }
  return joined(names, ", ");
}

Lines partial_on_page(const Brief& brief) {
  const decision::PowerLeftAnswer& a = brief.answer.power_left;
  const decision::PowerLeftRule& rule = brief.the_case.policy.power_left;
  std::string text = "PARTIAL POWER may become total at any moment. ";
  if (!a.not_assessed.empty()) return wrapped(text + "Not assessed: " + ascii(a.not_assessed, 100) + ".", kWidth);
  const auto when = [&](decision::PartialVerdict verdict, const std::string& seen, const std::string& what) {
    const std::string names = fractions_with(a.partial, verdict);
    if (!names.empty()) text += seen + " (" + names + " left): " + what + " ";
  };
  const bool in_cloud = brief.answer.cloud && brief.answer.cloud->circuit_in_cloud;
  when(decision::PartialVerdict::circuit, "Climbs " + number(in_feet_per_minute(rule.circuit_needs)) + " fpm or more",
       in_cloud ? "straight on; a circuit would be in cloud."
                : "straight, then a circuit with " + deg(rule.circuit_bank) + " of bank at most.");
  when(decision::PartialVerdict::holds, "Only holds height", "wings level to the best ground.");
  when(decision::PartialVerdict::sinks, "Sinks", "forced landing.");
  return wrapped(text + (rule.way_back ? "Rates, and a way back with its exposed seconds, are among the numbers."
                                       : "Rates are among the numbers; no way back is flown."),
                 kWidth);
}

/// Of the ground under a path that is not known to come too low over it.
std::string ground_on_page(const decision::OneEngineOut& o) {
  if (!o.terrain) return " terrain is not looked at";
  if (!o.terrain->assessed) return "; THE GROUND IS NOT LOOKED AT";
  if (o.terrain->unknown_from) return "; THE GROUND IS NOT KNOWN from " + m(*o.terrain->unknown_from, Rounding::down);
  return o.obstacles.empty() ? "; the ground is cleared" : " and the ground";
}

/// What to do once it is cleaned up, by the verdict.
std::string action(const Brief& brief, const decision::OneEngineOut& o) {
  const decision::PowerLeftRule& rule = brief.the_case.policy.power_left;
  const std::string live = brief.the_case.aircraft.one_engine_out->engines > 2 ? "engines" : "engine";
  const std::string straight = "straight on to " + ft(rule.straight_until) + " above aerodrome";
  const std::string on =
      straight + ", on to circuit height; turns with " + deg(rule.one_engine_bank) + " of bank at most.";
  const std::string ground = ground_on_page(o);
  if (!o.reaches_v_2()) {
    return "V_2 IS NOT REACHED in world " + ascii(o.take_off->not_in, 40) +
           ": no obstacle is cleared, no return is planned. Do not depart like this: go lighter.";
  }
  switch (o.verdict) {
    case decision::EngineOutVerdict::clears:
      return "climbs, and over the obstacles stated" + std::string(o.terrain ? "" : ";") + ground + ": " + on;
    case decision::EngineOutVerdict::climbs:
      if (const auto* obstacle = o.in_the_way()) {
        const bool ground_first = o.terrain && o.terrain->too_low_from && obstacle == &*o.terrain->nearest;
        return "climbs, but NOT over " + ascii(obstacle->name, 30) +
               (ground_first ? " from " + m(*o.terrain->too_low_from, Rounding::down) + " on" : "") +
               ": turn away before it with " + deg(rule.one_engine_bank) + " of bank at most, or go lighter.";
      }
      return std::string("climbs; ") +
             (!o.obstacles_assessed
                  ? "obstacles are not looked at, for the path does not reach the height of the departure's turn"
              : o.aside.empty()     ? "no obstacle is stated"
              : o.obstacles.empty() ? "no obstacle stated stands in the way looked at"
                                    : "and over the obstacles stated") +
             (o.terrain ? "" : ",") + (o.terrain && !o.obstacles_assessed ? "; THE GROUND IS NOT LOOKED AT" : ground) +
             ": " + on;
    case decision::EngineOutVerdict::holds:
      return "holds height, that is not a climb: no obstacle is cleared. " + straight + "; the live " + live +
             (live == "engine" ? " is" : " are") + " for choosing the ground. No return to the circuit is planned.";
    case decision::EngineOutVerdict::sinks:
      return "SINKS, an extended glide: below " + ft(rule.straight_until) + " straight ahead, the live " + live +
             " only to choose the ground. No return to the circuit is planned.";
  }
  return "";
}

/// What a take-off path that reaches v_2 fails in after it; empty: nothing.
std::string path_fails_in(const decision::OneEngineOut& o) {
  if (!o.take_off || !o.reaches_v_2()) return {};
  const decision::EngineOutTakeOff& t = *o.take_off;
  if (!t.path.why_not.empty()) return "it ends, " + ascii(t.path.why_not, 80);
  if (t.path.second && t.path.second->gross < t.second_least) return "second segment, gradient NOT MET";
  if (t.path.last && t.path.last->gross < t.last_least) return "final segment, gradient NOT MET";
  return t.in_time ? std::string{} : "take-off thrust is needed for longer than it is allowed";
}

Lines engine_out_on_page(const Brief& brief) {
  const decision::Case& c = brief.the_case;
  const decision::PowerLeftAnswer& a = brief.answer.power_left;
  const aircraft::Performance performance(c.aircraft, c.mass);
  if (!a.one_engine_out) {
    return wrapped("ONE ENGINE OUT: not assessed, " + ascii(a.not_assessed, 100) + ".", kWidth);
  }
  const decision::OneEngineOut& o = *a.one_engine_out;
  const std::string climb_speed =
      name_of_climb_speed(c) + " " + kt(performance.indicated(performance.one_engine_out_climb_speed()));
  const auto v_1 = performance.v_1();
  const std::string straight_up = "fly, at " + climb_speed + ", nothing touched below " +
                                  ft(c.policy.power_left.straight_until) + " but the gear: ";
  const std::string first =
      v_1 ? "before v_1 " + kt(performance.indicated(*v_1)) + " stop. After it " + (o.reaches_v_2() ? straight_up : "")
          : "gear down and runway ahead, or below " + climb_speed + ": close " +
                std::string(c.aircraft.one_engine_out->engines > 2 ? "all" : "both") +
                " throttles, stop or land ahead. Gear up, clean, at " + climb_speed + ": ";
  Lines lines = wrapped(first + action(brief, o), kWidth, "ONE ENGINE OUT: ");
  if (const std::string fails = path_fails_in(o); !fails.empty()) {
    append(lines, wrapped("take-off path after v_1: " + fails + ".", kWidth, "  *** "));
  }
  append(lines, wrapped(fpm(o.climb.empty() ? Speed{} : o.climb.front().rate) + " wings level: gross " +
                            percent(o.gross, 2) + ", net " + percent(o.net, 2) + "; half a circle at " +
                            deg(c.policy.power_left.one_engine_bank) + " " +
                            (o.half_circle_height.si() < 0.0 ? "loses " + ft(-o.half_circle_height, Rounding::up)
                                                             : "gains " + ft(o.half_circle_height, Rounding::down)) +
                            ", radius " + m(o.half_circle_radius, Rounding::up) + ". All numbers on later pages.",
                        kWidth, "  "));
  const auto does_not_fit = [&](const char* what, const std::optional<decision::DistanceAgainst>& d) {
    if (d && !d->fits()) {
      append(lines,
             wrapped(std::string(what) + " " + m(d->needed, Rounding::up) + " of " + m(d->available, Rounding::down) +
                         (d->estimated ? ", an estimate" : "") + ": DOES NOT FIT.",
                     kWidth, "  *** "));
    }
  };
  does_not_fit("Accelerate-stop", o.stop);
  does_not_fit("Accelerate-go", o.go);
  if (!o.obstacles.empty() && !o.path_begins_at_go && !o.path_estimated) {
    append(lines,
           wrapped("Obstacles are judged for failures above 50 ft only: no accelerate-go distance.", kWidth, "  "));
  }
  return lines;
}

/// Which rule obstacles are judged by, and those that it leaves out.
Lines not_considered(const decision::OneEngineOut& o) {
  constexpr std::size_t kNamed = 6;
  const decision::ObstacleRule& rule = o.obstacle_rule;
  const auto and_of_d = [](double growth) { return growth > 0.0 ? " + " + percent(growth, 1) + " of D" : ""; };
  Lines lines = wrapped("rule \"" + ascii(rule.name, 40) + "\": net path over them by " + ft(rule.over) +
                            and_of_d(rule.over_growth) + ", or beside them by " + m(rule.beside) +
                            and_of_d(rule.beside_growth) + ", D from the end of the TODA.",
                        kWidth, "  obstacles by ");
  for (std::size_t i = 0; i < std::min(o.aside.size(), kNamed); ++i) {
    const decision::ObstacleAside& x = o.aside[i];
    const std::string where =
        x.off.si() > 0.0 ? m(x.off, Rounding::down) + (x.right ? " right" : " left") + " of track" : "on the track";
    append(lines, wrapped(ascii(x.name, 40) + ", " +
                              (x.before ? where + ", before this path begins"
                                        : m(x.distance) + " from release, " + where + "; the way looked at is " +
                                              m(x.looked_at, Rounding::up) + " to each side there") +
                              ".",
                          kWidth, "  not considered: "));
  }
  if (o.aside.size() > kNamed) {
    lines.push_back("  not considered: " + number(static_cast<double>(o.aside.size() - kNamed)) +
                    " more, further off; the JSON lists them.");
  }
  return lines;
}

std::string shortfall(const decision::ObstacleAhead& x) {
  return "gross " + ft(x.gross, Rounding::down) + ", net " + ft(x.net, Rounding::down) + "; needs " +
         ft(x.required, Rounding::up) +
         (x.clear() ? "." : ": NOT CLEARED by " + ft(x.required - x.net, Rounding::up) + ".");
}

Lines ground_in_full(const decision::OneEngineOut& o) {
  if (!o.terrain) return {"  terrain under this path is not looked at."};
  const decision::TerrainUnder& t = *o.terrain;
  if (!t.assessed) {
    return wrapped(o.obstacles_assessed ? "not looked at: the net path does not climb, and clears none."
                                        : "not looked at: where the path goes is not known.",
                   kWidth, "  ground: ");
  }
  Lines lines = wrapped("looked at across the way of the rule to " + m(t.to, Rounding::down) +
                            " from release, where the net path is " + ft(t.up_to) +
                            " high or terrain is looked at no farther; over ground that rises less above the aerodrome "
                            "than the rule asks, as much again. Trees and buildings are in no grid.",
                        kWidth, "  ground: ");
  if (t.unknown_from) {
    append(lines,
           wrapped("NOT KNOWN from " + m(*t.unknown_from, Rounding::down) + " from release on: NOT ASSESSED there.",
                   kWidth, "  *** ground: "));
  }
  if (t.too_low_from) {
    append(lines, wrapped("TOO LOW from " + m(*t.too_low_from, Rounding::down) + " from release on.", kWidth,
                          "  *** ground: "));
  }
  if (t.nearest) {
    append(lines, wrapped("least to spare " + m(t.nearest->distance) + " from release, ground " +
                              ft(t.nearest->top, Rounding::up) + ": " + shortfall(*t.nearest),
                          kWidth, "  ground: "));
  }
  return lines;
}

Lines engine_out_in_full(const Brief& brief) {
  const decision::Case& c = brief.the_case;
  const decision::OneEngineOut& o = *brief.answer.power_left.one_engine_out;
  const decision::PowerLeftRule& rule = c.policy.power_left;
  Lines lines = wrapped(std::string(decision::name_of(o.verdict)) + "; weakest climb in world " + o.decided_in +
                            ", air of " + ft(brief.answer.power_left.evaluated_at) + " above aerodrome.",
                        kWidth, "  verdict: ");
  append(lines, wrapped("by bank: " + in_turns(o.climb) + ".", kWidth, "  "));
  append(lines, wrapped("gradient " + percent(o.gross, 2) + " gross, " + percent(o.net, 2) + " net (less " +
                            percent(rule.net_decrement.take_off.at(c.aircraft.one_engine_out->engines), 1) +
                            "); gear down " + fpm(o.gear_down) +
                            (c.aircraft.is_jet() ? "" : "; propeller not feathered " + fpm(o.unfeathered)) + ".",
                        kWidth, "  "));
  append(lines, wrapped(o.ceiling ? "holds height up to " + ft(*o.ceiling, Rounding::down) + " above aerodrome."
                        : o.verdict == decision::EngineOutVerdict::sinks
                            ? "no height is held in this air."
                            : "the height up to which it holds is beyond the table.",
                        kWidth, "  "));
  const auto distance = [&](const char* what, const std::optional<decision::DistanceAgainst>& d, const char* declared,
                            const std::string& why_not) {
    append(lines, wrapped(d ? std::string(what) + " " + m(d->needed, Rounding::up) + " of " +
                                  m(d->available, Rounding::down) + " " + declared +
                                  (d->estimated ? ", an estimate" : "") + (d->fits() ? "." : ": DOES NOT FIT.")
                            : std::string(what) + ": " + why_not + ".",
                          kWidth, "  "));
  };
  distance("accelerate-stop", o.stop, "ASDA", why_no_stop(o));
  distance("accelerate-go", o.go, "TODA", why_no_go(o));
  append(lines, take_off_path_in_full(brief));
  if (o.reaches_v_2()) {
    append(lines, wrapped("path " + on_one_engine(c) + " begins at " + (o.path_estimated ? "lift-off" : "50 ft") +
                              ", " + m(o.path_begins) + " from release" +
                              (o.path_estimated || o.go_estimated ? ", an estimate."
                               : o.path_begins_at_go
                                   ? "."
                                   : " (by the take-off on " + every_engine(c) +
                                         ": the failure is not before; gear "
                                         "and propeller then cost " +
                                         number(in_seconds(c.aircraft.one_engine_out->clean_up)) + " s of climb)."),
                          kWidth, "  "));
  }
  for (const decision::ObstacleAhead& x : o.obstacles) {
    append(lines, wrapped(ascii(x.name, 40) + ", " + m(x.distance) + " from release, top " + ft(x.top, Rounding::up) +
                              ": " + shortfall(x),
                          kWidth, "  obstacle: "));
  }
  if (!o.obstacles_assessed) {
    append(lines, wrapped(o.reaches_v_2() ? "not assessed, the path does not reach the height at which it turns."
                                          : "not assessed, v_2 is not reached.",
                          kWidth, "  obstacles along the departure: "));
  } else if (o.obstacles.empty() && o.aside.empty()) {
    lines.emplace_back("  obstacles along the departure: none stated.");
  } else {
    append(lines, not_considered(o));
  }
  append(lines, ground_in_full(o));
  append(lines, engine_out_height_in_full(brief));
  return lines;
}

/// "80 % left", "one engine left"
std::string of_power(const Brief& brief, const decision::WayBack& w) {
  if (w.fraction > 0.0) return share(w.fraction) + " left";
  return brief.the_case.aircraft.one_engine_out->engines > 2 ? "one engine out" : "one engine left";
}

std::string in_words(const decision::WayBack& w) {
  if (!w.found) return "NONE: " + ascii(w.why_not, 100) + ".";
  if (w.at_once) return "inside a window above, as after a total loss: turn at once, what is left is to spare.";
  const std::string runway = ascii(w.aerodrome, 20) + " " + w.runway;
  const std::string side = flight::name_of(w.glide_side);
  const std::string from = ", works from " + ft(w.home, Rounding::down);
  const std::string way = w.turns_before_home
                              ? "turn " + std::string(flight::name_of(w.side)) + " for " + runway + " at " +
                                    ft(w.turn_at) + ", hold height; a glide there, " + side + from
                              : "a glide to " + runway + ", " + side + from + ", before any turn";
  const std::string throttled = w.flown_with < w.fraction ? "throttled to " + share(w.flown_with) + ", " : "";
  const std::string below = w.below ? "; below it " + percent(w.below->landable, 0) + " landable, " +
                                          percent(w.below->avoid, 0) + " to be avoided, " +
                                          percent(w.below->unknown, 0) + " not known"
                                    : "";
  return throttled + "straight on, " + way + ": EXPOSED " + number(in_seconds(w.exposed), 0, Rounding::up) + " s" +
         below + "; touchdown after about " + number(in_seconds(w.to_touchdown), 0, Rounding::up) + " s (" +
         ascii(w.decided_in, 40) + ").";
}

Lines ways_back_in_full(const Brief& brief) {
  const decision::PowerLeftAnswer& a = brief.answer.power_left;
  const auto& rule = brief.the_case.policy.power_left.way_back;
  if (!rule) return {"  no way back with the power left is flown: the policy asks for none."};
  Lines lines;
  if (a.ways_back.empty()) {
    lines.emplace_back("  no way back with the power left: nothing climbs well enough.");
  } else {
    append(
        lines,
        wrapped("WAY BACK with what is left, flown: no turn below " + ft(rule->turn_from) +
                    ", no climb once it turns, the final without power. EXPOSED are the seconds until a glide works: "
                    "if the rest stops in them no runway is reached. Fly that glide once it works: farther along this "
                    "way it is not looked for again. What lies below is known only of areas stated; "
                    "with ground ahead that is better, go there. The worst of the bracket:",
                kWidth, "  "));
    for (const decision::WayBack& w : a.ways_back) {
      append(lines, wrapped(of_power(brief, w) + " at " + ft(w.fails_at) + ": " + in_words(w), kWidth, "  "));
    }
  }
  if (a.committal) {
    append(lines,
           wrapped(std::string(brief.the_case.aircraft.one_engine_out->engines > 2 ? "one engine out" : "one engine") +
                       ": below " + ft(a.committal->policy) +
                       " above the runway the landing is completed. Gear and propeller cleaned up from there cost " +
                       ft(a.committal->lost, Rounding::up) +
                       (a.committal->flap_counted ? "; the flap is in it, a reaction is not"
                                                  : "; neither a reaction nor the flap is in it") +
                       (a.committal->enough() ? "." : ": MORE THAN THAT HEIGHT, decide higher."),
                   kWidth, "  "));
  }
  return lines;
}

}  // namespace

Lines power_left_on_page(const Brief& brief) {
  return brief.the_case.aircraft.is_twin() ? engine_out_on_page(brief) : partial_on_page(brief);
}

Lines power_left_in_full(const Brief& brief) {
  const decision::PowerLeftAnswer& a = brief.answer.power_left;
  const bool twin = brief.the_case.aircraft.is_twin();
  Lines lines{twin ? "ONE ENGINE OUT, steady and in still air" : "PARTIAL POWER, steady and in still air"};
  if (!a.not_assessed.empty() || (twin && !a.one_engine_out)) {
    append(lines, wrapped("not assessed: " + a.not_assessed, kWidth, "  "));
    return lines;
  }
  if (twin) {
    append(lines, engine_out_in_full(brief));
    append(lines, ways_back_in_full(brief));
    return lines;
  }
  if (a.partial.empty()) {
    lines.emplace_back("  no share of the power is looked at.");
    return lines;
  }
  std::vector<Lines> rows{{"left"}};
  for (const decision::ClimbAtBank& c : a.partial.front().climb) rows.front().push_back(deg(c.bank));
  rows.front().emplace_back("level to");
  rows.front().emplace_back("verdict");
  for (const decision::PartialPower& p : a.partial) {
    Lines row{share(p.fraction)};
    for (const decision::ClimbAtBank& c : p.climb) row.push_back(fpm(c.rate));
    row.push_back(p.level_bank ? number(in_degrees(*p.level_bank), 0, Rounding::down) + " deg" : "never");
    row.emplace_back(decision::name_of(p.verdict));
    rows.push_back(row);
  }
  append(lines, table(rows, kWidth, "  "));
  append(lines, wrapped("weakest climb of the bracket, air of " + ft(a.evaluated_at) +
                            " above aerodrome, at the speeds of the turns. The share of the power is the propeller's: "
                            "what the climb shows is what counts.",
                        kWidth, "  "));
  append(lines, ways_back_in_full(brief));
  return lines;
}

Lines feathering_on_page(const Brief& brief) {
  const auto& feathering = brief.the_case.aircraft.feathering;
  if (!feathering) return {};
  std::string text = "FEATHER the propeller: every window above needs it, feathered within " +
                     number(in_seconds(feathering->time), 0, Rounding::down) + " s of the failure. Not feathered: ";
  Lines places;
  for (const decision::RunwayOption& o : brief.answer.options) {
    for (const decision::SideAnswer& side : o.sides) {
      for (const decision::Window& w : side.unfeathered) {
        if (w.heights.low.si() <= 0.0) continue;
        places.push_back(name_of(o.end) + " " + flight::name_of(w.side) + " " + heights(w.heights, w.open_above()) +
                         " at " + deg(w.bank));
      }
    }
  }
  constexpr std::size_t kNamed = 2;
  if (places.empty()) {
    text += "no window at any height scanned.";
  } else {
    const std::size_t more = places.size() > kNamed ? places.size() - kNamed : 0;
    places.resize(std::min(places.size(), kNamed));
    text +=
        "in the plan only " + joined(places, "; ") + (more > 0 ? "; others on later pages" : "") + "; never briefed.";
  }
  return wrapped(text, kWidth);
}

}  // namespace backfield::report
