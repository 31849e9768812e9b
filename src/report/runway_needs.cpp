// Take-off and landing with power against the declared distances, and how the mass is made up.

#include "parts.hpp"

#include "backfield/aircraft/performance.hpp"
#include "backfield/report/text.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::report {
namespace {

constexpr std::size_t kWidth = kPageColumns;

std::string times_factor(double factor) { return "x" + number(factor, 2); }

std::string left_words(Length left) {
  return left.si() < 0.0 ? m(-left, Rounding::up) + " short" : m(left, Rounding::down) + " left";
}

std::string use_words(decision::MarginUse use) {
  return std::string(name_of(use)) + (use == decision::MarginUse::planning ? " only" : "");
}

/// "x1.25 = 455 m of 1,800 m TORA"
std::string need_words(const decision::TakeOffNeed& need) {
  return times_factor(need.factor) + " = " + m(need.needed, Rounding::up) + " of " + m(need.available, Rounding::down) +
         " " + need.against;
}

std::string arm(Length v) { return number(in_metres(v), 3) + " m"; }
std::string kg(Mass v) { return number(in_kilograms(v), 1) + " kg"; }

/// "ZZVA 09 1,104 m left".
std::string stops_with(const decision::RunwayOption& option) {
  const decision::LandingNeed& need = option.powered.worlds[option.powered.worst].deciding();
  const auto& exit = option.powered.exit;
  return name_of(option.end) + " " + (need.fits() ? "stops with " : "DOES NOT FIT, ") + left_words(need.left()) +
         (need.fits() && exit ? ", off at " + ascii(exit->name, 30) + " with " + left_words(exit->left) : "");
}

std::string mark_words(const decision::MarkOnRoll& mark) {
  return ascii(mark.name, 30) + " (" + m(mark.from_release) + " from release)";
}

/// Where the roll should be over, and where a stop must have begun, by what can be seen beside the runway.
Lines by_marks(const decision::RollOut& roll) {
  if (!roll.marks.stated) return {};
  std::string text = roll.marks.rotate_by
                         ? "rotation expected by " + mark_words(*roll.marks.rotate_by) + " in every world"
                         : "no mark is left beyond the longest roll";
  if (roll.stop_fits_to_lift_off) {
    text += "; a stop fits to lift-off";
  } else if (roll.marks.stop_before) {
    text += "; stop before " + mark_words(*roll.marks.stop_before);
  } else {
    text += "; no mark before the last place to stop";
  }
  return wrapped(text + ".", kWidth, "  By marks: ");
}

}  // namespace

std::string take_off_fits(const decision::TakeOffRoom& room) {
  if (!room.fits()) return {};
  return ", " + need_words(room.worlds[room.worst].deciding()) + ": fits";
}

Lines take_off_does_not_fit(const decision::TakeOffRoom& room) {
  if (room.worlds.empty() || room.fits()) return {};
  const decision::TakeOffInWorld& worst = room.worlds[room.worst];
  const decision::TakeOffNeed& need = worst.deciding();
  return wrapped("*** TAKE-OFF DOES NOT FIT *** " + m(worst.to_50ft, Rounding::up) + " to 50 ft at worst (" +
                     ascii(worst.world, 30) + "), " + need_words(need) + ": " + left_words(need.left()) + ".",
                 kWidth, "  ");
}

Lines powered_line(const Brief& brief) {
  Lines each;
  for (const decision::RunwayOption& option : brief.answer.options) {
    if (!option.powered.worlds.empty()) each.push_back(stops_with(option));
  }
  if (each.empty()) return {};
  const decision::PoweredReturn* first = nullptr;
  for (const decision::RunwayOption& option : brief.answer.options) {
    if (first == nullptr && !option.powered.worlds.empty()) first = &option.powered;
  }
  return wrapped("LANDING WITH POWER, worst wind, " + times_factor(first->worlds.front().deciding().factor) +
                     " kept, " + number(in_kilograms(first->mass)) + " kg: " + joined(each, "; ") + ".",
                 kWidth);
}

Lines take_off_room(const Brief& brief) {
  const decision::TakeOffRoom& room = brief.answer.take_off;
  if (!room.not_assessed.empty()) return {"TAKE-OFF ROOM: not assessed, " + ascii(room.not_assessed, 60)};
  Lines lines{"TAKE-OFF ROOM, the distance to 50 ft by the factors of the policy"};
  std::vector<Lines> rows{{"world", "roll", "50 ft", "to stop", "factor", "needs", "of", "left"}};
  for (const decision::TakeOffInWorld& w : room.worlds) {
    const decision::TakeOffNeed& need = w.deciding();
    const Length left = need.left();
    rows.push_back({w.world, m(w.roll, Rounding::up), m(w.to_50ft, Rounding::up),
                    w.accelerate_stop ? m(*w.accelerate_stop, Rounding::up) : "-", times_factor(need.factor),
                    m(need.needed, Rounding::up), m(need.available, Rounding::down) + " " + need.against,
                    left.si() < 0.0 ? "-" + m(-left, Rounding::up) : m(left, Rounding::down)});
  }
  append(lines, table(rows, kWidth, "  "));
  append(lines, wrapped("to stop: from brake release to lift-off speed, and stopped again from there.", kWidth, "  "));
  const decision::TakeOffInWorld& worst = room.worlds[room.worst];
  if (worst.needs.size() > 1) {
    Lines all;
    for (const decision::TakeOffNeed& need : worst.needs) all.push_back(need_words(need));
    append(lines, wrapped("In " + ascii(worst.world, 30) + ": " + all.front() + " alone, or all of " +
                              joined(Lines(all.begin() + 1, all.end()), "; ") + ".",
                          kWidth, "  "));
  }
  append(lines, take_off_does_not_fit(room));
  const decision::RollOut& roll = brief.answer.roll_out;
  const aircraft::Performance performance(brief.the_case.aircraft, brief.the_case.mass);
  std::string expected = "Rotation expected " + m(roll.roll) + " from release, at " +
                         kt(performance.indicated(performance.v_r())) + " indicated";
  if (roll.speed_at_last_stop) {
    expected += "; beyond " + m(*roll.last_stop, Rounding::down) + ", at " +
                kt(performance.indicated(*roll.speed_at_last_stop)) + " in the plan, a stop no longer fits";
  }
  append(lines, wrapped(expected + ".", kWidth, "  "));
  append(lines, by_marks(roll));
  return lines;
}

Lines powered_landing(const decision::RunwayOption& option) {
  const decision::PoweredReturn& back = option.powered;
  if (back.worlds.empty()) {
    return wrapped("With power: not assessed, " + ascii(back.not_assessed, 110) + ".", kWidth, "  ");
  }
  const decision::PoweredLanding& plan = back.worlds.front();
  const decision::PoweredLanding& worst = back.worlds[back.worst];
  Lines lines = wrapped("With power, from 50 ft, at " + number(in_kilograms(back.mass)) + " kg: surface " +
                            surface(option.end.surface) + " " + times_factor(plan.distance.surface_factor) + " (" +
                            ascii(plan.distance.surface_source, 70) + "); over the threshold at " +
                            kt(plan.threshold_ground_speed) + " over the ground in the plan" +
                            (back.over_v_ref.si() > 0.0 ? ", " + kt(back.over_v_ref) + " of it for gusts." : "."),
                        kWidth, "  ");
  std::vector<Lines> rows{{"margin", "factor", "of dry", "plan", "left", "worst", "left", "use"}};
  for (std::size_t i = 0; i < plan.needs.size(); ++i) {
    const decision::LandingNeed& here = plan.needs[i];
    const decision::LandingNeed& there = worst.needs[i];
    const auto left = [](Length v) { return v.si() < 0.0 ? "-" + m(-v, Rounding::up) : m(v, Rounding::down); };
    rows.push_back({here.name, times_factor(here.factor), times_factor(here.factor * here.surface),
                    m(here.needed, Rounding::up), left(here.left()), m(there.needed, Rounding::up), left(there.left()),
                    use_words(here.use)});
  }
  append(lines, table(rows, kWidth, "  ", {7}));
  const decision::LandingNeed& need = worst.deciding();
  const std::string verdict = need.fits() ? "Stops with " + m(need.left(), Rounding::down) + " left"
                                          : "DOES NOT FIT: " + m(-need.left(), Rounding::up) + " too short";
  append(lines, wrapped(verdict + " of " + m(need.available, Rounding::down) + " LDA in the worst wind (" +
                            ascii(worst.world, 30) + "), " + times_factor(need.factor) + " kept.",
                        kWidth, "  "));
  for (const std::string& finding : back.findings) {
    append(lines, wrapped("with power: " + ascii(finding), kWidth, "  "));
  }
  return lines;
}

Lines length_ratio(const decision::RunwayOption& option) {
  if (option.landings.empty()) return {};
  const auto ratio = [](const decision::Landing& l) { return l.available / l.needed(); };
  const auto worst = std::min_element(option.landings.begin(), option.landings.end(),
                                      [&](const auto& a, const auto& b) { return ratio(a) < ratio(b); });
  return wrapped("Without power LDA is x" + number(ratio(option.landings.front()), 2, Rounding::down) +
                     " of the need in the plan, x" + number(ratio(*worst), 2, Rounding::down) + " at worst (" +
                     ascii(worst->world, 30) + ").",
                 kWidth, "  ");
}

Lines load_sheet(const decision::Case& c) {
  if (!c.load_sheet) return {"LOADING: the case states the mass alone; centre of gravity not computed"};
  const aircraft::LoadSheet& sheet = *c.load_sheet;
  std::vector<Lines> rows{{"station", "mass", "arm", "moment"}};
  const auto row = [&](const std::string& name, Mass mass, Length at) {
    rows.push_back({name, kg(mass), arm(at), number(mass.si() * at.si(), 1) + " kg m"});
  };
  for (const aircraft::LoadLine& line : sheet.lines) row(ascii(line.station, 30), line.mass, line.arm);
  row("at brake release", sheet.take_off.mass, sheet.take_off.arm);
  if (sheet.at_return) row("at the return", sheet.at_return->mass, sheet.at_return->arm);
  row("with empty tanks", sheet.tanks_empty.mass, sheet.tanks_empty.arm);
  Lines lines{"LOADING, arms from the datum of the aircraft file"};
  append(lines, table(rows, kWidth, "  "));
  const auto limits = aircraft::standing_in_envelope(c.aircraft.loading->envelope, sheet.take_off).arms;
  if (limits) {
    append(lines, wrapped("limits at the mass of brake release: " + arm(limits->low) + " to " + arm(limits->high) + ".",
                          kWidth, "  "));
  }
  if (c.return_after) {
    append(lines, wrapped("return with power after " + number(in_seconds(*c.return_after) / 60.0, 1) +
                              " min; tanks are emptied in the order of the file.",
                          kWidth, "  "));
  }
  return lines;
}

Lines runway_rules(const decision::Policy& p) {
  Lines lines;
  if (p.landing_assessment) {
    const aircraft::LandingCharge& charge = p.landing_assessment->charge;
    append(lines, wrapped("landing with power: headwind " +
                              (charge.headwind_credit > 0.0 ? times_factor(charge.headwind_credit) : "not counted") +
                              ", tailwind " + times_factor(charge.tailwind_charge) +
                              ", by the square of ground speed over v_ref",
                          kWidth, "  "));
    for (const decision::LandingMargin& margin : p.landing_assessment->margins) {
      append(
          lines,
          wrapped(ascii("margin " + margin.name + ", " + times_factor(margin.factor) +
                        (margin.least_surface > 1.0 ? ", surface at least " + times_factor(margin.least_surface) : "") +
                        ", " + use_words(margin.use) + ": " + margin.meaning),
                  kWidth, "  "));
    }
  } else {
    lines.emplace_back("  landing with power: not in this policy");
  }
  if (p.take_off) {
    append(lines, wrapped("take-off: 50 ft " + times_factor(p.take_off->tora_alone) +
                              " within TORA; or, with stopway or clearway, " + times_factor(p.take_off->tora) +
                              " within TORA, " + times_factor(p.take_off->toda) + " within TODA and " +
                              times_factor(p.take_off->asda) + " within ASDA (" + ascii(p.take_off->source, 60) + ")",
                          kWidth, "  "));
  } else {
    lines.emplace_back("  take-off against declared distances: not in this policy");
  }
  return lines;
}

}  // namespace backfield::report
