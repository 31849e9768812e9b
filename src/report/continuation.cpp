// The pages behind page one: what an instructor or an operator checks, and what an auditor asks for.

#include "backfield/decision/assess.hpp"
#include "parts.hpp"

#include "backfield/base/version.hpp"
#include "backfield/report/text.hpp"

#include <algorithm>

namespace backfield::report {
namespace {

constexpr std::size_t kWidth = kPageColumns;
constexpr double kAnyEntry = 100.0;  // of speed over stall: more stands where no entry was flown

Lines paragraph(const std::string& text, std::string_view first = "") { return wrapped(ascii(text), kWidth, first); }

std::string limits(decision::Limit lower, decision::Limit upper) {
  return std::string(decision::name_of(lower)) + " / " + decision::name_of(upper);
}

Lines worlds(const decision::Answer& answer) {
  std::vector<Lines> rows{{"world", "true wind at 10 m", "climb", "at end", "scanned to", "V/stall"}};
  Lines ends;
  for (const decision::WorldReport& world : answer.worlds) {
    rows.push_back(
        {world.name, number(world.surface_wind.from().deg()) + " deg " + kt(world.surface_wind.speed()),
         "x" + number(world.climb_factor, 2), ft(world.height_at_departure_end, Rounding::down),
         s(world.scanned_to) + ", " + ft(world.scanned_height),
         world.lowest_speed_over_stall < kAnyEntry ? number(world.lowest_speed_over_stall, 2, Rounding::down) : "-"});
    append(ends,
           paragraph(ascii(world.name, 40) + ": scan ends because: " + ascii(world.stopped_because, 100) + ".", "  "));
  }
  Lines lines{"WORLDS OF THE BRACKET: every verdict holds in all of them; the first is the plan"};
  append(lines, table(rows, kWidth, "  "));
  append(lines, paragraph("at end: height at the departure end, above aerodrome. V/stall: lowest speed over stalling "
                          "speed in any entry.",
                          "  "));
  append(lines, ends);
  return lines;
}

Lines land_ahead(const decision::Answer& answer) {
  const decision::LandAhead& ahead = answer.land_ahead;
  Lines lines{"RUNWAY AHEAD, by world"};
  if (!ahead.not_assessed.empty()) return {lines.front(), "  not assessed: " + ascii(ahead.not_assessed, 60)};
  for (const auto& [world, edges] : ahead.by_world) {
    append(lines, paragraph(world + ": " + (edges ? heights(*edges, false) : "none"), "  "));
  }
  if (ahead.heights) {
    append(lines,
           paragraph("in all: " + heights(*ahead.heights, ahead.upper == decision::Limit::scan_end) + ", " +
                         times(ahead.times) + "; limits " + limits(ahead.lower, ahead.upper) +
                         (ahead.upper_world.empty() ? "" : "; the upper one in world " + ahead.upper_world) + ".",
                     "  "));
  }
  return lines;
}

Lines landings(const decision::RunwayOption& option) {
  std::vector<Lines> rows{{"world", "needed", "roll", "left", "along", "across", "touchdown"}};
  for (const decision::Landing& l : option.landings) {
    rows.push_back({l.world, m(l.needed(), Rounding::up), m(l.roll, Rounding::up), m(l.left(), Rounding::down),
                    (l.headwind.si() < 0.0 ? "tail " : "head ") + kt(l.headwind.si() < 0.0 ? -l.headwind : l.headwind),
                    (l.crosswind_from_right.si() < 0.0 ? "left " : "right ") +
                        kt(l.crosswind_from_right.si() < 0.0 ? -l.crosswind_from_right : l.crosswind_from_right),
                    kt(l.touchdown_ground_speed)});
  }
  Lines lines = table(rows, kWidth, "  ");
  lines.emplace_back("  Policy factor included; left: of LDA; across: from that side; over the ground.");
  return lines;
}

Lines side(const decision::RunwayOption& option, const decision::SideAnswer& answer) {
  Lines lines = paragraph(
      name_of(option.end) + " " + flight::name_of(answer.side) + ": " + decision::name_of(answer.standing) + ".", "  ");
  for (const std::string& why : answer.why_not_briefed) append(lines, paragraph("not briefed: " + why, "    "));
  if (answer.nearest) {
    const decision::Nearest& nearest = *answer.nearest;
    append(lines, paragraph(std::string("nearest in the plan: ") + (nearest.bound_only ? "at least " : "") +
                                (nearest.surplus.si() < 0.0 ? ft(-nearest.surplus, Rounding::up) + " missing"
                                                            : ft(nearest.surplus, Rounding::down) + " to spare") +
                                ", from " + ft(nearest.at_height) + " above aerodrome.",
                            "    "));
  }
  for (const decision::CommonWindow& w : answer.common) {
    std::string text = "in all worlds and banks: " + heights(w.heights, w.open_above()) + ", " + times(w.times) +
                       "; limits " + limits(w.lower, w.upper);
    if (!w.lower_world.empty()) text += "; lower edge from " + w.lower_world;
    if (!w.upper_world.empty()) text += "; upper edge from " + w.upper_world;
    const std::string needed = needed_on_final(w.height_loss, w.heights, w.open_above());
    if (!needed.empty()) text += "; needs " + needed;
    text += "; larger turn " + deg(w.larger_turn) + "; to spare at best " + ft(w.best_surplus, Rounding::down) + ".";
    append(lines, paragraph(text, "    "));
  }
  if (answer.windows.empty()) return lines;
  std::vector<Lines> rows{{"world", "bank", "from", "to", "time", "limits low/high"}};
  for (const decision::Window& w : answer.windows) {
    rows.push_back({w.world, deg(w.bank), ft(w.heights.low, Rounding::up),
                    w.open_above() ? "open" : ft(w.heights.high, Rounding::down),
                    number(in_seconds(w.times.low)) + "-" + s(w.times.high),
                    std::string(decision::name_of(w.lower)) + "/" + decision::name_of(w.upper) +
                        (w.height_loss.slip           ? ", slip"
                         : w.height_loss.landing_flap ? ", flap"
                                                      : "")});
  }
  append(lines, table(rows, kWidth, "  ", {5}));
  const auto any = [&](auto needs) {
    return std::any_of(answer.windows.begin(), answer.windows.end(),
                       [&](const decision::Window& w) { return (w.height_loss.*needs).has_value(); });
  };
  if (any(&decision::HeightLoss::landing_flap)) {
    lines.emplace_back("    flap: some of these heights need landing flap on the final");
  }
  if (any(&decision::HeightLoss::slip)) {
    lines.emplace_back("    slip: some of these heights need a slip besides landing flap");
  }
  return lines;
}

std::string facts(const decision::RunwayOption& option) {
  const earth::RunwayEnd& end = option.end;
  std::string text = option.reciprocal ? "opposite direction of the departure runway; " : "";
  text += "threshold " + m(option.distance) + " from brake release; track " + number(end.track.deg()) +
          " deg true; LDA " + (end.lda ? m(*end.lda, Rounding::down) : "not stated") + "; surface " +
          surface(end.surface) + "; slope " + percent(end.slope, 1) + " in landing direction; elevation " +
          ft(end.elevation.above_sea_level);
  if (end.displaced.si() > 0.0) text += "; threshold displaced by " + m(end.displaced);
  text += end.lit ? "; lit" : "; not lit";
  text += "; frequency " + (end.frequency.empty() ? "not stated" : ascii(end.frequency, 20));
  return text + ".";
}

Lines option(std::size_t rank, const decision::RunwayOption& option) {
  Lines lines{"OPTION " + number(static_cast<double>(rank)) + ": " + name_of(option.end)};
  append(lines, paragraph(facts(option), "  "));
  for (const std::string& reason : option.reasons) append(lines, paragraph("rank: " + reason, "  "));
  if (!option.not_assessed.empty()) append(lines, paragraph("not assessed: " + option.not_assessed, "  "));
  if (!option.landings.empty()) append(lines, landings(option));
  append(lines, length_ratio(option));
  append(lines, powered_landing(option));
  for (const decision::SideAnswer& answer : option.sides) append(lines, side(option, answer));
  return lines;
}

std::string figure(const std::string& name, const aircraft::Source& source) {
  const std::string text =
      name + ": " + source.document + "; " + source.condition + "; uncertainty " + source.uncertainty;
  return text + (source.estimate ? "; an estimate" : "");
}

/// What the file has for a propeller that stops and for one engine that does.
Lines failure_figures(const aircraft::Aircraft& a) {
  Lines lines;
  const auto add = [&](const std::string& name, const aircraft::Source& source) {
    append(lines, paragraph(figure(name, source), "  "));
  };
  if (a.feathering) {
    add("glide before feathering", a.feathering->source);
    add("time to feather", a.feathering->time_source);
  }
  if (!a.one_engine_out) { return lines; }
  const aircraft::OneEngineOut& out = *a.one_engine_out;
  add("one engine out: speeds, rates lost, time", out.source);
  add("rate of climb on one engine", out.climb_rate.source());
  if (out.final_rate.stated()) { add("rate in the final segment", out.final_rate.source()); }
  if (out.accelerate_stop.stated()) { add("accelerate-stop", out.accelerate_stop.source()); }
  if (out.accelerate_go.stated()) { add("accelerate-go", out.accelerate_go.source()); }
  return lines;
}

Lines aeroplane(const decision::Case& c) {
  const aircraft::Aircraft& a = c.aircraft;
  Lines lines{"AIRCRAFT FILE"};
  append(lines,
         paragraph(a.name + ", file " + a.file + ", checksum " + a.checksum + (a.invented ? ", invented" : ""), "  "));
  const auto add = [&](const std::string& name, const aircraft::Source& source) {
    append(lines, paragraph(figure(name, source), "  "));
  };
  add("masses", a.masses_source);
  add("speeds", a.speeds_source);
  if (!a.indicated_to_calibrated.empty()) { add("airspeed correction", a.indicated_source); }
  add("glide ratio " + number(a.polar.glide_ratio, 1) + ", with landing flap " +
          number(a.polar.glide_ratio_landing_flap, 1),
      a.polar.source);
  if (c.policy.technique.slip_on_final && a.limits.slip_allowed && a.polar.glide_ratio_slip) {
    add("glide ratio in a slip " + number(*a.polar.glide_ratio_slip, 1), a.polar.slip_source);
  }
  const bool steep = c.departure.climb == flight::ClimbSpeed::v_x;
  add(steep ? "rate of climb at v_x" : "rate of climb at v_y", (steep ? a.climb_rate_v_x : a.climb_rate_v_y).source());
  append(lines, failure_figures(a));
  const aircraft::Distances& d = a.distances;
  add("take-off roll", d.take_off_roll.source());
  add("take-off to 50 ft", d.take_off_to_50ft.source());
  add("take-off by surface", d.take_off_surface_factor.source);
  add("landing float", d.landing_float.source());
  add("landing roll", d.landing_roll.source());
  add("landing roll by surface", d.landing_surface_factor.source);
  if (a.landing_from_50ft) {
    add("landing from 50 ft, with power", a.landing_from_50ft->distance.source());
    const aircraft::SurfaceFactors& noted = a.landing_from_50ft->surface_factor;
    if (!noted.of.empty()) { add("landing from 50 ft by surface", noted.source); }
  }
  if (a.limits.crosswind || a.limits.tailwind) { add("wind limits", a.limits.source); }
  add("roll rate, flap time", a.handling_source);
  if (c.load_sheet) { add("stations and envelope", a.loading->source); }
  if (c.return_after && a.fuel) { add("fuel density and flow", a.fuel->source); }
  if (a.indicated_to_calibrated.empty()) {
    lines.emplace_back("  no correction of the airspeed indicator: indicated is taken as calibrated");
  }
  return lines;
}

std::string model(const flight::Model& m) {
  using namespace flight;
  std::string text = "physics: density ";
  text += m.density == earth::DensityRule::local ? "local" : "aerodrome";
  text += m.angle == AngleRule::exact ? ", angle exact" : ", angle small";
  text += m.shear == ShearRule::on ? ", shear on" : ", shear off";
  text += m.wind == WindRule::profile ? ", wind profile" : ", wind uniform";
  text += m.roll == RollRule::rate ? ", roll rate" : ", roll allowance";
  text += m.entry == EntryRule::flown ? ", entry flown" : ", entry speed_kept";
  return text;
}

std::string excess_height(const flight::Technique& t, const aircraft::Aircraft& a) {
  std::string text = "excess height lost by a longer path";
  if (!t.landing_flap_on_final) return text + " only";
  text += ", then landing flap on the final";
  if (!t.slip_on_final) return text;
  const bool can = a.limits.slip_allowed && a.polar.glide_ratio_slip.has_value();
  return text + (can ? ", then a slip" : "; no slip: the aircraft file has no figure for one");
}

std::string technique(const flight::Technique& t, Length aligned_by) {
  Lines banks;
  for (const Angle bank : t.banks) banks.push_back(deg(bank));
  std::string text = "flying: reaction " + number(in_seconds(t.reaction), 1) + " s; glide ratio x" +
                     number(t.glide_factor, 2) + "; banks " + joined(banks, ", ") + "; last turn " +
                     (t.line_up_bank ? deg(*t.line_up_bank) : "as the first") + "; turn speed at least " +
                     number(t.turn_stall_margin, 2) + " x stall in the turn";
  text += t.half_gust_on_speed ? "; half of the gust added to speed" : "; no gust added to speed";
  if (t.roll_allowance.si() > 0.0) text += "; rolling costs " + ft(t.roll_allowance, Rounding::up);
  return text + "; aligned by " + ft(aligned_by, Rounding::up) + " above runway; turn reversals at most " +
         number(t.briefed_reversals);
}

std::string clearance(const flight::ClearanceRule& rule, bool terrain) {
  return "clear of the ground: over obstacles " + ft(rule.over_obstacles) + ", beside them " +
         m(rule.beside_obstacles) + "; over areas to avoid " +
         (rule.over_areas ? ft(*rule.over_areas) : std::string("at no height")) + ", beside them " +
         m(rule.beside_areas) +
         (terrain ? "; over terrain " + ft(rule.over_terrain) + ", or half of the height over the height of alignment" +
                        " where that is less; not within " + m(rule.around_runway) + " of the runway landed on"
                  : std::string{});
}

std::string world_rule(const decision::WorldRule& w) {
  std::string text = "world " + w.name + ": wind x" + number(w.wind_factor, 2);
  if (w.at_least_gust) text += ", at least the gust";
  text += w.profile ? ", profile" : ", same at every height";
  if (w.shift.si() != 0.0) text += ", turned by " + deg(w.shift);
  return text + ", climb x" + number(w.climb_factor, 2);
}

Lines policy(const decision::Case& c) {
  const decision::Policy& p = c.policy;
  Lines lines{"POLICY"};
  append(lines, paragraph(p.name + ", file " + p.file + ", checksum " + p.checksum, "  "));
  append(lines, paragraph(model(p.model), "  "));
  append(lines, paragraph(technique(p.technique, decision::alignment_height(c)) + "; " +
                              excess_height(p.technique, c.aircraft),
                          "  "));
  append(lines, paragraph("stopping: landing roll x" + number(p.stop.landing_roll_factor, 2) + "; " +
                              percent(p.stop.slope_factor_per_percent, 1) +
                              " longer for 1 % of adverse slope; no landing briefed with more than " +
                              kt(p.stop.tailwind_not_briefed_above) + " of tailwind; a rejected take-off begins " +
                              number(in_seconds(p.stop.rejected_take_off_delay), 1) + " s late",
                          "  "));
  append(lines, runway_rules(p));
  if (!c.ground.empty()) append(lines, paragraph(clearance(p.clearance, c.ground.terrain != nullptr), "  "));
  const decision::GateRule& g = p.gates;
  const auto preferred = [](decision::Preference preference) {
    return preference == decision::Preference::runway ? "the runway" : "the ground ahead";
  };
  append(lines, paragraph("gates: " + (g.rounding.si() > 0.0 ? "rounded to " + ft(g.rounding) : "not rounded") +
                              "; windows of at least " + ft(g.minimum_window) + " and " + s(g.minimum_window_time) +
                              "; at most " + number(g.most_gates) + " gates; a turn up to " + deg(g.small_turn) +
                              " is small; once round not below " + ft(g.full_circle) +
                              " over the alignment height; below " + ft(g.prefer_runway_above) + " above aerodrome " +
                              preferred(g.prefer_below) + " is preferred, above it " + preferred(g.prefer_above),
                          "  "));
  for (const decision::WorldRule& w : p.bracket.worlds) append(lines, paragraph(world_rule(w), "  "));
  append(lines, paragraph("calm or variable: at least " + kt(p.bracket.calm_speed) + "; wind profile exponent " +
                              number(p.bracket.profile_exponent, 3),
                          "  "));
  append(lines, paragraph("scan: " + number(in_seconds(p.scan_end) / 60.0, 1) + " min after lift-off, on to " +
                              ft(p.scan_height) + " above aerodrome, never past " +
                              number(in_seconds(p.scan_limit) / 60.0, 1) + " min",
                          "  "));
  return lines;
}

Lines list(const char* heading, const std::vector<std::string>& items) {
  Lines lines{heading};
  for (const std::string& item : items) append(lines, paragraph(item, "- "));
  if (items.empty()) lines.emplace_back("- none");
  return lines;
}

void block(Lines& to, const Lines& lines) {
  if (!to.empty()) to.emplace_back();
  append(to, lines);
}

}  // namespace

Section options_and_numbers(const Brief& brief) {
  const decision::Answer& answer = brief.answer;
  Section section{"options and numbers", {}};
  block(section.lines, worlds(answer));
  if (const Lines sky = sky_in_full(brief); !sky.empty()) block(section.lines, sky);
  block(section.lines, take_off_room(brief));
  if (const Lines powered = powered_line(brief); !powered.empty()) block(section.lines, powered);
  block(section.lines, return_in_full(brief));
  block(section.lines, land_ahead(answer));
  block(section.lines, power_left_in_full(brief));
  Lines all_gaps{"GAPS"};
  append(all_gaps, answer.gaps.empty() ? Lines{"  none"} : gap_lines(brief));
  block(section.lines, all_gaps);
  if (const Lines ground = ground_ahead_in_full(brief); !ground.empty()) block(section.lines, ground);
  for (std::size_t i = 0; i < answer.options.size(); ++i) block(section.lines, option(i + 1, answer.options[i]));
  return section;
}

Section assumptions(const Brief& brief) {
  const decision::Case& c = brief.the_case;
  Section section{"assumptions", {}};
  block(section.lines, list("ASSUMED", brief.answer.assumptions));
  block(section.lines, list("WARNINGS", brief.answer.warnings));
  Lines typed{"CASE"};
  append(typed, paragraph(c.title + ", file " + c.file + (c.invented ? ", invented" : ""), "  "));
  append(typed, paragraph("start of the roll: " + c.departure.start_name + ", " + m(c.departure.start) +
                              " from the start of the runway",
                          "  "));
  append(typed, paragraph("weather as read: " + c.weather.as_read, "  "));
  append(typed,
         paragraph("ground ahead: " + (c.ground_ahead.note.empty() ? "nothing stated" : c.ground_ahead.note), "  "));
  if (!c.ground_ahead.file.empty()) append(typed, paragraph("ground ahead, file " + c.ground_ahead.file, "  "));
  append(typed, paragraph(std::string("turnback: ") + (c.turnback_trained ? "trained" : "not trained"), "  "));
  block(section.lines, typed);
  block(section.lines, load_sheet(c));
  block(section.lines, policy(c));
  block(section.lines, aeroplane(c));
  block(section.lines, list("SOURCES OF DATA", c.attributions));
  section.lines.emplace_back();
  section.lines.push_back("backfield " + std::string(version()));
  return section;
}

}  // namespace backfield::report
