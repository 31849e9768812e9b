#include "parts.hpp"

#include "backfield/report/runways.hpp"
#include "backfield/report/text.hpp"

#include <algorithm>

namespace backfield::report {
namespace {

using decision::RunwayCriterion;
using study::RunwayRow;

constexpr std::size_t kWidth = kPageColumns;

std::string start(const RunwayRow& row) {
  return ascii(row.end.designator, 4) +
         (row.start.si() == 0.0 ? ", full length" : " from " + ascii(row.start_name, 30));
}

/// Winds that count against a departure, up to whole knots.
std::string at_most(Speed wind) { return number(in_knots(wind), 0, Rounding::up) + " kt"; }

/// A criterion as one item of the order.
std::string in_order(const decision::RunwayPreference& p, const aircraft::Limits& limits) {
  switch (p.by) {
    case RunwayCriterion::take_off_fits:
      return "the take-off fits";
    case RunwayCriterion::tailwind:
      return "tailwind up to " + kt(std::min(p.limit, limits.tailwind.value_or(p.limit)));
    case RunwayCriterion::crosswind:
      return limits.crosswind ? "crosswind up to " + kt(*limits.crosswind)
                              : "crosswind, not judged: the aircraft file states no limit";
    case RunwayCriterion::one_engine:
      return "what one engine is good for (twins)";
    case RunwayCriterion::gap:
      return "shortest gaps, in steps of " + s(Duration::from_si(p.step));
    case RunwayCriterion::window:
      return "lowest opening of a briefed return, in steps of " + ft(Length::from_si(p.step));
    case RunwayCriterion::headwind:
      return "most headwind, in steps of " + kt(Speed::from_si(p.step));
    case RunwayCriterion::runway_left:
      return "most runway left, in steps of " + m(Length::from_si(p.step));
  }
  return "";
}

std::string left_words(const decision::TakeOffNeed& need) {
  return need.fits() ? m(need.left(), Rounding::down) + " left" : m(-need.left(), Rounding::up) + " SHORT";
}

std::string opening(const RunwayRow& row) {
  return row.lowest_return ? "a return from " + ft(*row.lowest_return, Rounding::up) : "no return briefed";
}

std::string on_one_engine(const RunwayRow& row) {
  if (!row.one_engine) return "one engine out: not assessed";
  std::string text = std::string("one engine out: ") + decision::name_of(row.one_engine->verdict);
  if (!row.one_engine->in_the_way.empty()) text += ", NOT over " + ascii(row.one_engine->in_the_way, 40);
  if (!row.one_engine->obstacles_assessed) {
    text += ", obstacles not looked at, for v_2 or the height of the turn is not reached";
  }
  if (!row.one_engine->ground_known) text += ", ground under it not known";
  return text;
}

/// The figure of one row that a criterion looks at.
std::string figure(RunwayCriterion by, const RunwayRow& row) {
  switch (by) {
    case RunwayCriterion::take_off_fits:
      return row.take_off ? (row.take_off->fits() ? "the take-off fits" : "the take-off does not fit") : "not judged";
    case RunwayCriterion::tailwind:
      return row.tailwind_worst.si() > 0.0 ? "tailwind up to " + at_most(row.tailwind_worst) : "no tailwind";
    case RunwayCriterion::crosswind:
      return "crosswind up to " + at_most(row.crosswind_worst);
    case RunwayCriterion::one_engine:
      return on_one_engine(row);
    case RunwayCriterion::gap:
      return s(row.gap) + " of gaps";
    case RunwayCriterion::window:
      return opening(row);
    case RunwayCriterion::headwind:
      return along(row.headwind);
    case RunwayCriterion::runway_left:
      return row.take_off ? left_words(*row.take_off) : "not judged";
  }
  return "";
}

std::string fails(const RunwayRow& row) {
  Lines each;
  for (const RunwayCriterion by : row.fails) each.push_back(figure(by, row));
  return joined(each, "; ");
}

Lines choice(const decision::Case& c, const study::RunwayComparison& comparison) {
  Lines order;
  for (const decision::RunwayPreference& p : c.policy.runway_choice->order) {
    order.push_back(in_order(p, c.aircraft.limits));
  }
  Lines lines;
  const std::vector<RunwayRow>& rows = comparison.rows;
  if (!comparison.chosen) {
    lines = wrapped("*** NONE TODAY *** no runway end meets what must hold.", kWidth, "  ");
  } else {
    std::string why;
    if (comparison.decided_by) {
      why = figure(*comparison.decided_by, rows[0]) + "; next " + start(rows[1]) + ": " +
            figure(*comparison.decided_by, rows[1]);
    } else if (rows.size() > 1 && rows[1].not_assessed.empty()) {
      why = "equal to " + start(rows[1]) + " by all of it, and first in the aerodrome's file";
    } else {
      why = "the only one that could be assessed";
    }
    lines = wrapped("It would be runway " + start(rows[0]) + ": " + why + ".", kWidth, "  ");
  }
  lines.insert(lines.begin(), "BY THE ORDER OF THE POLICY");
  append(lines, wrapped("Order: " + joined(order, "; then ") + ".", kWidth, "  "));
  return lines;
}

std::string windows(const study::TurnbackWindows& w) {
  if (w.count == 0) return "none";
  return number(static_cast<double>(w.count)) + ": " + ft(*w.lowest_edge, Rounding::up) + (w.briefed ? " *" : "");
}

Lines overview(const decision::Case& c, const study::RunwayComparison& comparison) {
  std::vector<Lines> rows{{"runway and start", "along", "take-off", "gaps", "left", "right"}};
  for (const RunwayRow& row : comparison.rows) {
    if (!row.not_assessed.empty()) {
      rows.push_back({start(row), "-", "-", "-", "-", "-"});
      continue;
    }
    const bool head = row.headwind.si() >= 0.0;
    rows.push_back({start(row), (head ? "head " : "tail ") + kt(head ? row.headwind : -row.headwind),
                    row.take_off ? left_words(*row.take_off) : "-", s(row.gap), windows(row.left), windows(row.right)});
  }
  Lines lines{"COMPARED, best first"};
  append(lines, table(rows, kWidth, "  "));
  append(lines,
         wrapped(std::string("gaps") + (c.aircraft.is_twin() ? " with " + every_engine(c) + " out" : "") +
                     ": nothing briefed but the ground ahead. left, right: turnbacks in all worlds, how many, and "
                     "the lowest edge above aerodrome; * one is briefed.",
                 kWidth, "  "));
  return lines;
}

std::string ground(const decision::GroundAhead& ground) {
  switch (ground.landable) {
    case decision::GroundAhead::Landable::yes:
      return "stated as landable";
    case decision::GroundAhead::Landable::no:
      return "stated as not landable";
    case decision::GroundAhead::Landable::unknown:
      break;
  }
  return "not stated whether landable";
}

Lines in_full(const decision::Case& c, std::size_t rank, const RunwayRow& row) {
  const std::string head = start(row) + (row.as_stated ? " (as the case states)" : "") + ": ";
  const std::string place = number(static_cast<double>(rank)) + "  ";
  if (!row.not_assessed.empty()) {
    return wrapped(head + "not assessed, " + ascii(row.not_assessed, 160) + ".", kWidth, "  " + place);
  }
  std::string text = head;
  if (!row.fails.empty()) text += "*** NOT CHOSEN: " + fails(row) + ". *** ";
  text += along(row.headwind) + ", " + across(row.crosswind_from_right) + "; at worst " +
          figure(RunwayCriterion::tailwind, row) + ", " + figure(RunwayCriterion::crosswind, row) + ". ";
  if (row.take_off) {
    text += "Take-off x" + number(row.take_off->factor, 2) + " = " + m(row.take_off->needed, Rounding::up) + " of " +
            m(row.take_off->available, Rounding::down) + " " + row.take_off->against + " at worst (" +
            ascii(row.take_off_world, 30) + "): " + left_words(*row.take_off) + ". ";
  } else {
    text += "Take-off not judged: the policy has no take_off. ";
  }
  if (c.aircraft.is_twin()) text += "With " + on_one_engine(row) + ". ";
  text +=
      "Gaps " + s(row.gap) + "; " + opening(row) + (row.lowest_return ? " above aerodrome" : "") + ". Ground ahead: " +
      (row.ground_ahead.file.empty() ? ground(row.ground_ahead) : std::string("areas of a file, not compared here"));
  if (!row.ground_ahead.note.empty()) text += ", " + ascii(row.ground_ahead.note, 100);
  return wrapped(text + ".", kWidth, "  " + place);
}

}  // namespace

std::string runways_text(const decision::Case& c, const study::RunwayComparison& comparison,
                         const std::vector<std::string>& warnings) {
  const std::string rule(kWidth, '-');
  std::string heading = "BACKFIELD: WHICH RUNWAY TO DEPART FROM";
  const std::string invented = c.invented ? "*** INVENTED DATA ***" : "";
  heading += std::string(kWidth - heading.size() - invented.size(), ' ') + invented;
  Lines lines{c.invented ? heading : heading.substr(0, heading.find_last_not_of(' ') + 1)};
  append(lines, wrapped(ascii(c.departure.end.aerodrome, 12) + "; " + ascii(c.aircraft.name, 60) + ", " +
                            number(in_kilograms(c.mass)) + " kg. Case: " + ascii(c.title, 100) + ".",
                        kWidth));
  append(lines, wrapped("Weather as read: " + ascii(c.weather.as_read, 160) + ".", kWidth));
  lines.push_back(rule);
  append(lines, choice(c, comparison));
  lines.emplace_back();
  append(lines, overview(c, comparison));
  lines.emplace_back();
  lines.emplace_back("ONE BY ONE");
  for (std::size_t i = 0; i < comparison.rows.size(); ++i) append(lines, in_full(c, i + 1, comparison.rows[i]));
  append(lines,
         wrapped("A comparison of take-off, wind and landings without power; obstacles and terrain under the climb "
                 "on all engines, traffic, noise and local procedures are not in it. Brief the one that is flown.",
                 kWidth, "  "));
  lines.emplace_back();
  for (const std::string& warning : warnings) append(lines, wrapped(ascii(warning), kWidth, "WARNING "));
  lines.emplace_back("ASSUMED");
  for (const std::string& assumption : comparison.assumptions) append(lines, wrapped(ascii(assumption), kWidth, "- "));
  if (comparison.assumptions.empty()) lines.emplace_back("- nothing");
  lines.emplace_back("SOURCES OF DATA");
  for (const std::string& source : c.attributions) append(lines, wrapped(ascii(source), kWidth, "- "));
  if (c.attributions.empty()) lines.emplace_back("- none");
  append(lines, wrapped(ascii(c.policy.name) + ", file " + ascii(c.policy.file) + ", checksum " + c.policy.checksum +
                            "; " + ascii(c.aircraft.name) + ", checksum " + c.aircraft.checksum,
                        kWidth, "POLICY AND AIRCRAFT "));
  lines.push_back(rule);
  append(lines, wrapped(joined(comparison.cautions, " "), kWidth, "CAUTIONS: "));
  return joined(lines, "\n") + "\n";
}

}  // namespace backfield::report
