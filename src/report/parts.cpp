#include "parts.hpp"

#include "backfield/aircraft/by_engines.hpp"

#include <algorithm>
#include <cmath>
#include <sstream>

namespace backfield::report {

std::string name_of(const earth::RunwayEnd& end) { return ascii(end.aerodrome, 12) + " " + ascii(end.designator, 4); }

std::string setting(const decision::Case& the_case) {
  return the_case.altimeter == decision::AltimeterSetting::qnh ? "QNH" : "QFE";
}

std::vector<decision::BriefedWindow> in_climb_order(const decision::Answer& answer) {
  std::vector<decision::BriefedWindow> ordered = answer.briefed;
  std::stable_sort(ordered.begin(), ordered.end(),
                   [](const auto& a, const auto& b) { return a.window.heights.low < b.window.heights.low; });
  return ordered;
}

const earth::RunwayEnd& end_of(const decision::Answer& answer, const decision::BriefedWindow& window) {
  return answer.options.at(window.option).end;
}

bool is_turnback(const decision::Case& the_case, const decision::BriefedWindow& window) {
  return window.window.larger_turn > the_case.policy.gates.small_turn;
}

bool any_turnback(const Brief& brief) {
  return std::any_of(brief.answer.briefed.begin(), brief.answer.briefed.end(),
                     [&brief](const auto& window) { return is_turnback(brief.the_case, window); });
}

const decision::Gate* end_of_runway_ahead(const decision::Answer& answer) {
  for (const decision::Gate& gate : answer.gates) {
    if (gate.option == "ahead" && gate.kind == decision::GateKind::closes) return &gate;
  }
  return nullptr;
}

Count count(const std::string& spoken) {
  Count counted;
  std::istringstream words(spoken);
  for (std::string word; words >> word; ++counted.words) {
    if (word.find_first_of("0123456789") != std::string::npos) ++counted.numbers;
  }
  return counted;
}

std::string heights(const Interval<Length>& edges, bool open_above) {
  if (open_above) return ft(edges.low, Rounding::up) + " above aerodrome and up, as far as scanned";
  return number(in_feet(edges.low), 0, Rounding::up) + " to " + ft(edges.high, Rounding::down) + " above aerodrome";
}

std::string needed_on_final(const decision::HeightLoss& loss, const Interval<Length>& window, bool open_above) {
  // Outwards: here it is the wider interval that is the cautious one.
  const auto where = [&](const Interval<Length>& h) {
    const std::string from = number(in_feet(h.low), 0, Rounding::down);
    if (open_above && h.high >= window.high) return from + " ft above aerodrome up";
    return from + " to " + ft(h.high, Rounding::up) + " above aerodrome";
  };
  std::string text;
  if (loss.landing_flap) text += "landing flap from " + where(*loss.landing_flap);
  if (loss.slip) text += "; a slip besides from " + where(*loss.slip);
  return text;
}

std::string times(const Interval<Duration>& edges) {
  if (std::round(in_seconds(edges.low)) >= 0.0) {
    return number(in_seconds(edges.low)) + " to " + s(edges.high) + " after lift-off";
  }
  const bool both = std::round(in_seconds(edges.high)) < 0.0;
  return s(-edges.low) + " before lift-off to " + s(both ? -edges.high : edges.high) +
         (both ? " before it" : " after it");
}

std::string start_of(const decision::Case& the_case) {
  const std::string name = ascii(the_case.departure.start_name, 40);
  return name == "full length" ? name : "from " + name;
}

std::string every_engine(const decision::Case& the_case) {
  return aircraft::every_engine(the_case.aircraft.one_engine_out->engines);
}

std::string on_one_engine(const decision::Case& the_case) {
  return the_case.aircraft.one_engine_out->engines > 2 ? "with one engine out" : "on one engine";
}

Lines title(const decision::Case& the_case) {
  constexpr std::string_view kMark = "*** INVENTED DATA ***";
  std::string head = "BACKFIELD: WHERE TO LAND IF THE ENGINE FAILS";
  if (the_case.invented || the_case.aircraft.invented) {
    head += std::string(80 - head.size() - kMark.size(), ' ') + std::string(kMark);
  }
  Lines lines{head};
  append(lines, wrapped(name_of(the_case.departure.end) + ", " + start_of(the_case) + "; " +
                            ascii(the_case.aircraft.name, 40) + ", " + number(in_kilograms(the_case.mass)) +
                            " kg. Case: " + ascii(the_case.title, 120) + ".",
                        80));
  return lines;
}

Lines cautions(const decision::Answer& answer, bool one_paragraph) {
  if (one_paragraph) return wrapped("CAUTIONS: " + ascii(joined(answer.cautions, " ")), 80);
  Lines lines{"CAUTIONS"};
  for (const std::string& caution : answer.cautions) append(lines, wrapped(ascii(caution), 80, "- "));
  return lines;
}

Lines gap_lines(const Brief& brief) {
  Lines lines;
  for (const decision::Gap& gap : brief.answer.gaps) {
    const std::string from = number(in_feet(gap.from_height));
    const std::string to = gap.to_height ? from + " to " + ft(*gap.to_height) + " above aerodrome"
                                         : from + " ft above aerodrome and up, as far as scanned";
    // The ground is on page one already where the case has one note for all of it.
    const bool known = gap.below == brief.the_case.ground_ahead.note;
    append(lines, wrapped(s(gap.duration()) + ": " + to + ", " + times({gap.from, gap.to}) +
                              (known ? "." : "; ground: " + ascii(gap.below, 60) + "."),
                          80, "  "));
  }
  return lines;
}

}  // namespace backfield::report
