// Page one. It is read at the holding point, and perhaps once more with 500 ft below: what to do stands first in its
// line, and a line says one thing.

#include "parts.hpp"

#include "backfield/aircraft/performance.hpp"
#include "backfield/base/contract.hpp"
#include "backfield/report/text.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::report {
namespace {

constexpr std::size_t kWidth = kPageColumns;
constexpr std::size_t kRoom = kPageLines - 1;  // the last line names the pages that follow
constexpr std::size_t kNote = 160;  // columns of a text that people typed; all of it is on the pages that follow

std::string pressure(Pressure p) {
  const bool whole = std::abs(in_hectopascals(p) - std::round(in_hectopascals(p))) < 0.05;
  // Without the comma of thousands: a setting is read digit by digit.
  std::string hpa = number(in_hectopascals(p), whole ? 0 : 1);
  hpa.erase(std::remove(hpa.begin(), hpa.end(), ','), hpa.end());
  return hpa + " hPa (" + number(in_inches_of_mercury(p), 2) + " inHg)";
}

std::string ground_taken_as(decision::TerrainBasis terrain) {
  switch (terrain) {
    case decision::TerrainBasis::not_stated:
      return " NO TERRAIN STATED: ground taken as FLAT, NOT CHECKED.";
    case decision::TerrainBasis::flat:
      return " Terrain stated as flat, not checked.";
    case decision::TerrainBasis::posts:
      break;
  }
  return "";
}

Lines conditions(const Brief& brief) {
  const decision::Case& c = brief.the_case;
  const decision::Answer& a = brief.answer;
  std::string text = "Weather as read: " + ascii(c.weather.as_read, kNote) + ". ";
  if (!a.worlds.empty()) {
    const auto parts = earth::components(a.worlds.front().surface_wind, c.departure.end.track);
    text += "On the roll " + along(parts.headwind) + ", " + across(parts.from_right) + ". ";
  }
  text += "QNH " + pressure(c.weather.qnh) + ", OAT " + number(in_celsius(c.weather.oat)) + " C, pressure altitude " +
          ft(a.pressure_altitude) + ", density altitude " + ft(a.density_altitude) + ".";
  Lines lines = wrapped(text, kWidth);
  const std::string on_ground =
      c.altimeter == decision::AltimeterSetting::qnh ? ft(c.elevation.above_sea_level) : "0 ft";
  append(lines, wrapped("Elevation " + ft(c.elevation.above_sea_level) + "; altimeter on " + setting(c) + " reads " +
                            on_ground + " there." +
                            (a.temperature_correction_used ? " Readings corrected for temperature." : "") +
                            ground_taken_as(c.terrain),
                        kWidth));
  return lines;
}

Lines say_aloud(const Brief& brief) {
  Lines lines{"SAY ALOUD"};
  append(lines, wrapped(spoken_brief(brief.the_case, brief.answer), kWidth, "  "));
  return lines;
}

/// What ends the window that a gate opens.
std::string upper_edge(const Brief& brief, const decision::Gate& gate) {
  for (const decision::BriefedWindow& w : brief.answer.briefed) {
    if (name_of(end_of(brief.answer, w)) + " " + flight::name_of(w.side) != gate.option) continue;
    if (std::abs((w.opens_reading - gate.reading).si()) > 0.01) continue;
    return w.closes_reading ? "; upper edge " + ft(*w.closes_reading) : "; no upper edge as far as scanned";
  }
  return "";
}

Lines gates(const Brief& brief) {
  const decision::Case& c = brief.the_case;
  const decision::Answer& a = brief.answer;
  Lines lines{"GATES: read the altimeter on " + setting(c) + "; in brackets true height above aerodrome"};
  for (const decision::Gate& gate : a.gates) {
    const bool opens = gate.kind == decision::GateKind::opens;
    std::string reading = ft(gate.reading);
    reading.insert(0, reading.size() < 9 ? 9 - reading.size() : 0, ' ');
    std::string height = "(" + ft(gate.height, opens ? Rounding::up : Rounding::down) + ")";
    height.insert(0, height.size() < 10 ? 10 - height.size() : 0, ' ');
    const std::string head = joined({opens ? "  OPENS  at" : "  CLOSES at", reading, height, " "}, " ");
    append(lines, wrapped(ascii(gate.action, 100) + (opens ? upper_edge(brief, gate) : "") + ".", kWidth, head));
  }
  if (a.gates.empty()) lines.emplace_back("  None today.");
  const char* what = any_turnback(brief) ? "no turnback." : "no return.";
  if (a.cancel) {
    append(lines, wrapped("below " + ft(a.cancel->reading) + " at " + ascii(a.cancel->place, 40) + " (" +
                              m(a.cancel->distance) + " from release): " + what,
                          kWidth, "  CANCEL "));
  } else if (a.briefed.empty()) {
    lines.emplace_back("  CANCEL: no line, because no return without power is briefed.");
  } else {
    lines.emplace_back("  CANCEL: no line; in the weakest climb there is no height yet at its place.");
  }
  return lines;
}

Lines take_off(const Brief& brief) {
  const decision::RollOut& roll = brief.answer.roll_out;
  const aircraft::Performance performance(brief.the_case.aircraft, brief.the_case.mass);
  const auto indicated = [&performance](Cas cas) { return kt(performance.indicated(cas)); };
  Lines lines =
      wrapped(m(roll.available, Rounding::down) + " available. Rotate at about " + m(roll.roll) + ", at worst " +
                  m(roll.roll_worst, Rounding::up) + "; 50 ft at " + m(roll.to_50ft) + ", at worst " +
                  m(roll.to_50ft_worst, Rounding::up) + take_off_fits(brief.answer.take_off) + ".",
              kWidth, "TAKE-OFF: ");
  std::string stop = "Last stop: nowhere, a stop does not fit.";
  if (roll.last_stop) {
    stop = roll.stop_fits_to_lift_off ? "Last stop: lift-off; a stop fits all the way"
                                      : "Last stop: " + m(*roll.last_stop, Rounding::down) + " from release";
    if (!roll.last_stop_mark.empty()) stop += "; last mark before it " + ascii(roll.last_stop_mark, 30);
    stop += ".";
  }
  append(lines, wrapped(stop, kWidth, "  "));
  append(lines, wrapped("Half-way, " + m(roll.half_way) + ": stop if below " + indicated(roll.least_speed_half_way) +
                            " (70 % of rotation); expect " +
                            (roll.speed_half_way ? indicated(*roll.speed_half_way) : "to be airborne") + ".",
                        kWidth, "  "));
  if (!roll.note.empty()) append(lines, wrapped("Note: " + ascii(roll.note, kNote), kWidth, "  "));
  return lines;
}

Lines speeds(const Brief& brief) {
  Lines each;
  for (const decision::NamedSpeed& speed : brief.answer.speeds) {
    each.push_back(ascii(speed.name, 40) + " " + kt(speed.indicated));
  }
  return wrapped("SPEEDS indicated, " + number(in_kilograms(brief.the_case.mass)) + " kg: " + joined(each, "; ") + ".",
                 kWidth);
}

Lines briefed(const Brief& brief, const decision::BriefedWindow& w) {
  constexpr std::string_view kIndent = "     ";
  const earth::RunwayEnd& end = end_of(brief.answer, w);
  const std::string readings =
      w.closes_reading ? "from " + ft(w.opens_reading) + " to " + ft(*w.closes_reading) + " on the altimeter"
                       : "from " + ft(w.opens_reading) + " up on the altimeter, as far as scanned";
  const std::string turn = w.side == flight::Side::left ? "TURN LEFT" : "TURN RIGHT";
  Lines lines = wrapped(turn + ", land on " + name_of(end) + ": " + readings + ".", kWidth, kIndent);
  append(lines, wrapped("Planned window: " + heights(w.window.heights, w.window.open_above()) + ", " +
                            times(w.window.times) + "; larger turn " + deg(w.window.larger_turn) + "; " +
                            ft(w.window.best_surplus, Rounding::down) + " to spare at best.",
                        kWidth, kIndent));
  const std::string needed = needed_on_final(w.window.height_loss, w.window.heights, w.window.open_above());
  if (!needed.empty()) {
    append(lines,
           wrapped("NEEDS on the final, once aligned: " + needed + "; clean it is too high there.", kWidth, kIndent));
  }
  append(lines, wrapped("Landing: " + along(-w.tailwind_plan) + ", at worst " + along(-w.tailwind_worst) + "; needs " +
                            m(w.needed_worst, Rounding::up) + " at worst of " + m(w.available, Rounding::down) +
                            " LDA; touchdown at " + kt(w.touchdown_ground_speed_worst) + " ground speed.",
                        kWidth, kIndent));
  return lines;
}

/// Why one side of a runway end is not briefed, and how much is missing.
std::string why_not(const decision::SideAnswer& side) {
  const bool nowhere = side.standing == decision::Standing::none;
  std::string why = nowhere ? "works in no world of the bracket" : decision::name_of(side.standing);
  if (!side.why_not_briefed.empty()) why = ascii(side.why_not_briefed.front(), 110);
  if (side.nearest && side.nearest->surplus.si() < 0.0) {
    why += std::string("; ") + (side.nearest->bound_only ? "at least " : "") +
           ft(-side.nearest->surplus, Rounding::up) + " missing at best, from " + ft(side.nearest->at_height) +
           " above aerodrome";
  }
  if (side.nearest && side.nearest->past_end) {
    why += "; where too high, the last point that leaves room to stop is passed by " +
           m(*side.nearest->past_end, Rounding::up) + " at best";
  }
  if (side.standing == decision::Standing::computed_only && !side.common.empty()) {
    why += "; computed only, not briefed: " + heights(side.common.front().heights, side.common.front().open_above());
  }
  return why + ".";
}

/// The runway a turnback would go to: the opposite direction of the departure runway, or the best option.
const decision::RunwayOption* turnback_target(const decision::Answer& answer) {
  for (const decision::RunwayOption& option : answer.options) {
    if (option.reciprocal) return &option;
  }
  return answer.options.empty() ? nullptr : &answer.options.front();
}

Lines no_turnback(const Brief& brief) {
  Lines lines{"  5  *** NO TURNBACK TODAY *** at any height, to either side."};
  const decision::RunwayOption* target = turnback_target(brief.answer);
  if (target == nullptr) {
    append(lines, wrapped("The case names no runway to return to.", kWidth, "     "));
    return lines;
  }
  if (target->sides.empty()) {
    append(lines, wrapped(name_of(target->end) + ": not assessed, " + ascii(target->not_assessed, kNote) + ".", kWidth,
                          "     "));
  }
  std::vector<std::pair<std::string, std::string>> reasons;  // side, why not
  for (const decision::SideAnswer& side : target->sides) {
    const std::string why = why_not(side);
    if (!reasons.empty() && reasons.back().second == why) {
      reasons.back().first = "left or right";
    } else {
      reasons.emplace_back(flight::name_of(side.side), why);
    }
  }
  for (const auto& [side, why] : reasons) {
    append(lines, wrapped(joined({name_of(target->end), ", ", side, " turn: ", why}, ""), kWidth, "     "));
  }
  return lines;
}

Lines stop_and_ahead(const Brief& brief) {
  const decision::Answer& a = brief.answer;
  Lines lines;
  if (brief.the_case.aircraft.is_twin()) {
    append(lines, power_left_on_page(brief));
    lines.emplace_back("IF BOTH ENGINES FAIL, in this order");
  } else {
    lines.emplace_back("IF THE ENGINE FAILS, in this order");
  }
  std::string stop = "the runway is too short for it.";
  if (a.roll_out.last_stop) stop = "up to " + m(*a.roll_out.last_stop, Rounding::down) + " from release.";
  if (a.roll_out.stop_fits_to_lift_off) stop = "fits all the way to lift-off.";
  lines.push_back("  1  STOP: close the throttle, brake; " + stop);
  std::string ahead = "RUNWAY AHEAD: none is left once airborne.";
  if (!a.land_ahead.vetoes.empty()) {
    ahead =
        "RUNWAY AHEAD: none briefed, the way down is not clear of " + ascii(a.land_ahead.vetoes.front().what, 30) + ".";
  }
  if (a.land_ahead.heights) {
    const decision::Gate* gate = end_of_runway_ahead(a);
    ahead = "RUNWAY AHEAD: land on it; ";
    // Not from lift-off on where something beside the runway is in the way.
    const bool later = a.land_ahead.lower == decision::Limit::clearance;
    if (gate != nullptr && !later) ahead += "up to " + ft(gate->reading) + " on the altimeter; ";
    ahead += heights(*a.land_ahead.heights, a.land_ahead.upper == decision::Limit::scan_end) + ".";
    if (a.land_ahead.upper_with_stopway) {
      ahead += " With the stopway " + ft(*a.land_ahead.upper_with_stopway, Rounding::down) + " above aerodrome.";
    }
  } else if (!a.land_ahead.not_assessed.empty()) {
    ahead = "RUNWAY AHEAD: not assessed, " + ascii(a.land_ahead.not_assessed, kNote) + ".";
  }
  append(lines, wrapped(ahead, kWidth, "  2  "));
  return lines;
}

std::string landable(decision::GroundAhead::Landable landable) {
  switch (landable) {
    case decision::GroundAhead::Landable::yes:
      return "stated as landable";
    case decision::GroundAhead::Landable::no:
      return "stated as not landable";
    case decision::GroundAhead::Landable::unknown:
      return "not stated whether landable";
  }
  return "";
}

Lines ground_ahead(const Brief& brief) {
  Lines steps;
  for (const decision::SectorStep& step : brief.answer.sector) {
    steps.push_back(deg(step.half_width) + (steps.empty() ? " either side of track" : "") + " from " +
                    ft(step.from_height));
  }
  std::string text =
      "GROUND AHEAD: " + (steps.empty() ? "no sector in the policy" : joined(steps, ", ") + " above aerodrome");
  const decision::GroundAhead& ahead = brief.the_case.ground_ahead;
  text += "; " +
          (ahead.file.empty() ? landable(ahead.landable) : "what is reached of the areas stated is among the numbers");
  if (!ahead.note.empty()) text += "; " + ascii(ahead.note, kNote);
  return wrapped(text + ".", kWidth, "  3  ");
}

/// Numbered lines of the briefed windows of one kind.
Lines windows(const Brief& brief, bool turnbacks) {
  Lines lines;
  for (const decision::BriefedWindow& w : in_climb_order(brief.answer)) {
    if (is_turnback(brief.the_case, w) != turnbacks) continue;
    Lines these = briefed(brief, w);
    these.front().replace(2, 1, turnbacks ? "5" : "4");
    append(lines, these);
  }
  if (lines.empty() && !turnbacks) lines.emplace_back("  4  OTHER RUNWAY with a small turn: none briefed.");
  return lines;
}

/// Glides to areas that the case states are checked, others ahead are not.
std::string not_checked(const Brief& brief) {
  return brief.the_case.ground_ahead.file.empty() ? " The ground ahead is not checked." : "";
}

/// What the briefed turns must go around or over; nothing to say of empty ground.
Lines keep_clear(const Brief& brief) {
  constexpr std::size_t kNamed = 3;
  const earth::Ground& ground = brief.the_case.ground;
  const std::size_t count = ground.obstacles.size() + ground.areas.size();
  if (count == 0) return {};
  Lines names;
  for (flight::Hazard i = 0; i < std::min(count, kNamed); ++i) names.push_back(ascii(flight::name_of(ground, i), 30));
  std::string text = "KEEP CLEAR of " + joined(names, ", ");
  if (count > kNamed) text += " and " + number(static_cast<double>(count - kNamed)) + " more";
  return wrapped(text +
                     ": a window counts where one path at least is clear of them; any other turn from the same "
                     "height may not be." +
                     not_checked(brief),
                 kWidth);
}

/// What the paths are kept over; that there is nothing stands with the conditions.
Lines terrain(const Brief& brief) {
  const decision::Case& c = brief.the_case;
  if (c.terrain != decision::TerrainBasis::posts) return {};
  return wrapped("TERRAIN: a window counts where one path at least is " + ft(c.policy.clearance.over_terrain) +
                     " over it, less near the runway; any other turn may not be. Trees and masts are not in it." +
                     not_checked(brief),
                 kWidth);
}

Lines gaps(const Brief& brief) {
  if (brief.answer.gaps.empty()) { return {"GAPS: none; at every moment scanned some runway is briefed."}; }
  Duration total{};
  for (const decision::Gap& gap : brief.answer.gaps) total += gap.duration();
  const std::string of = brief.the_case.aircraft.is_twin()
                             ? "GAPS with " + every_engine(brief.the_case) + " out, nothing"
                             : "GAPS, nothing";
  Lines lines{of + (" briefed but the ground ahead: " + s(total) + " in all")};
  append(lines, gap_lines(brief));
  return lines;
}

Lines duties(const Brief& brief) {
  const decision::Answer& a = brief.answer;
  const decision::Case& c = brief.the_case;
  Lines lines{"DRILLS: fly first; then, as the flight manual says: fuel, mixture, door, belts."};
  Lines calls, seen;
  bool back = false;
  for (const decision::BriefedWindow& w : in_climb_order(a)) {
    const earth::RunwayEnd& end = end_of(a, w);
    back = back || a.options[w.option].reciprocal;
    if (std::find(seen.begin(), seen.end(), ascii(end.aerodrome)) != seen.end()) continue;
    seen.push_back(ascii(end.aerodrome));
    calls.push_back(ascii(end.aerodrome, 12) + " " +
                    (end.frequency.empty() ? "(not stated)" : ascii(end.frequency, 20)));
  }
  if (calls.empty()) {
    calls.push_back(ascii(c.departure.end.aerodrome, 12) + " " +
                    (c.departure.end.frequency.empty() ? "(not stated)" : ascii(c.departure.end.frequency, 20)));
  }
  if (back) {
    append(lines, wrapped("TRAFFIC: you land against runway " + ascii(c.departure.end.designator, 4) +
                              ": look for who lines up behind you.",
                          kWidth));
  } else {
    lines.emplace_back("TRAFFIC: look out; no landing against the departure runway is briefed.");
  }
  append(lines, wrapped("CALLS: under control first, then say where you land: " + joined(calls, ", ") + ".", kWidth));
  if (!brief.the_case.aircraft.is_twin()) append(lines, power_left_on_page(brief));
  return lines;
}

Lines warnings(const Brief& brief) {
  if (brief.answer.warnings.empty()) return {};
  Lines lines;
  for (const std::string& warning : brief.answer.warnings) append(lines, wrapped(ascii(warning), kWidth, "WARNING "));
  return lines;
}

/// A piece of page one. A piece with a pointer may move to page two, and the pointer stays.
struct Block {
  Lines lines;
  std::string pointer;
};

/// In the order of the page; `moves` says which go first when it is too long.
struct Page {
  std::vector<Block> blocks;
  std::vector<std::size_t> moves;

  void add(Lines lines) { blocks.push_back({std::move(lines), ""}); }
  void add(Lines lines, std::string pointer) { blocks.push_back({std::move(lines), std::move(pointer)}); }
  [[nodiscard]] std::size_t length() const {
    std::size_t sum = 0;
    for (const Block& block : blocks) sum += block.lines.size();
    return sum;
  }
};

}  // namespace

FirstPage first_page(const Brief& brief) {
  const std::string rule(kWidth, '-');
  Page page;
  page.add(title(brief.the_case));
  page.add(conditions(brief));
  page.add({rule});
  page.add(say_aloud(brief));
  page.add({rule});
  page.add(gates(brief));
  page.add(take_off(brief), "TAKE-OFF: roll, last stop and half-way speed are on page 2.");
  const std::size_t at_take_off = page.blocks.size() - 1;
  page.add(take_off_does_not_fit(brief.answer.take_off));
  const std::size_t at_speeds = page.blocks.size();
  page.add(speeds(brief), "SPEEDS: on page 2.");
  page.add(stop_and_ahead(brief));
  const std::size_t at_ground = page.blocks.size();
  page.add(ground_ahead(brief), "  3  GROUND AHEAD: sector and ground are on page 2.");
  const std::size_t at_other = page.blocks.size();
  page.add(windows(brief, false), "  4  OTHER RUNWAY with a small turn: gates above, numbers on page 2.");
  const std::size_t at_turnback = page.blocks.size();
  if (any_turnback(brief)) {
    page.add(windows(brief, true), "  5  TURNBACK: gates above, numbers on page 2.");
  } else {
    page.add(no_turnback(brief));
  }
  page.add(feathering_on_page(brief));
  page.add(keep_clear(brief));
  page.add(terrain(brief));
  const std::size_t at_gaps = page.blocks.size();
  page.add(gaps(brief), "GAPS: on page 2.");
  page.add(duties(brief));
  const std::size_t at_return = page.blocks.size();
  page.add(return_on_page(brief), "BACK WITH POWER: on page 2.");
  const std::size_t at_warnings = page.blocks.size();
  page.add(warnings(brief), "WARNINGS: " + number(static_cast<double>(brief.answer.warnings.size())) +
                                ", all of them on page 2. Read them.");
  page.add({rule});
  const std::size_t at_cautions = page.blocks.size();
  page.add(cautions(brief.answer));
  page.moves = {at_other, at_return, at_warnings, at_gaps, at_turnback, at_ground, at_speeds, at_take_off};

  if (page.length() > kRoom) page.blocks[at_cautions].lines = cautions(brief.answer, true);
  FirstPage result;
  for (const std::size_t at : page.moves) {
    Block& block = page.blocks[at];
    if (page.length() <= kRoom) break;
    if (block.pointer.empty() || block.lines.size() < 2) continue;
    append(result.moved, block.lines);
    result.moved.emplace_back();
    block.lines = {block.pointer};
  }
  require(page.length() <= kRoom, "page one has room for what may not leave it");
  for (const Block& block : page.blocks) append(result.lines, block.lines);
  return result;
}

}  // namespace backfield::report
