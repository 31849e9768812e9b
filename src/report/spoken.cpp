#include "parts.hpp"

#include "backfield/report/text.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace backfield::report {
namespace {

/// "18L" -> "one eight left", "A2" -> "A two": how a name is said.
std::string said(const std::string& name, std::size_t most_words) {
  static constexpr std::array<const char*, 10> kDigits{"zero", "one", "two",   "three", "four",
                                                       "five", "six", "seven", "eight", "nine"};
  std::string spaced;
  for (const char c : ascii(name)) {
    if (c >= '0' && c <= '9') {
      spaced += std::string(" ") + kDigits.at(static_cast<std::size_t>(c - '0')) + " ";
    } else {
      spaced += c;
    }
  }
  std::string words;
  std::size_t taken = 0;
  for (std::size_t at = 0; at < spaced.size() && taken < most_words;) {
    const std::size_t end = std::min(spaced.find(' ', at), spaced.size());
    if (end > at) {
      if (taken > 0) words += ' ';
      words += spaced.substr(at, end - at);
      ++taken;
    }
    at = end + 1;
  }
  return words;
}

/// "the ridge", of "ridge" and of "the ridge".
std::string the(const std::string& name) {
  const std::string words = said(name, 3);
  return words.rfind("the ", 0) == 0 ? words : "the " + words;
}

std::string said_runway(const earth::RunwayEnd& end) {
  std::string designator = ascii(end.designator);
  std::string side;
  if (!designator.empty()) {
    if (designator.back() == 'L') side = " left";
    if (designator.back() == 'R') side = " right";
    if (designator.back() == 'C') side = " centre";
    if (!side.empty()) designator.pop_back();
  }
  return "runway " + said(designator, 4) + side;
}

/// A start that is typed as a distance is a number and not a name, so it is not said.
std::string said_start(const decision::Case& c) {
  const std::string start = start_of(c);
  if (start.size() > 5 && start.find_first_of("0123456789") == 5) return "not from its begin";
  return said(start, 5);
}

std::string take_off(const Brief& brief) {
  const decision::RollOut& roll = brief.answer.roll_out;
  std::string start = said_runway(brief.the_case.departure.end) + ", " + said_start(brief.the_case) + ". ";
  start.front() = 'R';
  // With a decision speed that one says when to stop.
  const auto& engine_out = brief.the_case.aircraft.one_engine_out;
  if (engine_out && engine_out->v_1) return start.substr(0, start.size() - 1);
  if (!roll.last_stop) return start + "No stop fits on the roll.";
  if (roll.stop_fits_to_lift_off) return start + "Anything wrong on the roll: stop.";
  if (roll.last_stop_mark.empty()) return start + "Anything wrong before the last stop point: stop.";
  return start + "Anything wrong before " + said(roll.last_stop_mark, 4) + ": stop.";
}

std::string runway_ahead(const Brief& brief) {
  if (!brief.answer.land_ahead.not_assessed.empty()) return "Runway left ahead: not assessed.";
  if (!brief.answer.land_ahead.heights && !brief.answer.land_ahead.vetoes.empty()) {
    return "Runway left ahead: the way down is not clear; not briefed.";
  }
  if (!brief.answer.land_ahead.heights) return "Once airborne, no runway is left ahead.";
  if (brief.answer.land_ahead.lower == decision::Limit::clearance) {
    return "Runway left ahead: only between heights on the page.";
  }
  const decision::Gate* gate = end_of_runway_ahead(brief.answer);
  if (gate == nullptr) return "While runway is left ahead: land on it.";
  return "Up to " + ft(gate->reading) + " on the altimeter: land on the runway ahead.";
}

std::string ground(const Brief& brief, bool with_note) {
  using Landable = decision::GroundAhead::Landable;
  const decision::GroundAhead& ahead = brief.the_case.ground_ahead;
  std::string text =
      brief.answer.briefed.empty() ? "Then land ahead in the sector" : "Otherwise land ahead in the sector";
  if (ahead.landable == Landable::no) text += ", poor ground";
  const bool dark = brief.answer.night && brief.answer.night->after_take_off;
  if (with_note && !dark && !ahead.note.empty()) text += ": " + said(ahead.note, 12);
  return text + ".";
}

std::string window(const Brief& brief, const decision::BriefedWindow& briefed) {
  const earth::RunwayEnd& end = end_of(brief.answer, briefed);
  std::string readings = "From " + ft(briefed.opens_reading) + " up";
  if (briefed.closes_reading) {
    readings = "Between " + number(in_feet(briefed.opens_reading)) + " and " + ft(*briefed.closes_reading);
  }
  std::string where = said_runway(end);
  if (end.aerodrome != brief.the_case.departure.end.aerodrome) where += " at " + said(end.aerodrome, 4);
  const char* feathered = brief.the_case.aircraft.feathering ? ", propeller feathered" : "";
  return readings + feathered + ": turn " + flight::name_of(briefed.side) + ", " + where + ".";
}

std::string cancel(const Brief& brief) {
  const std::string what = any_turnback(brief) ? "no turnback." : "no return.";
  return "Below " + ft(brief.answer.cancel->reading) + " at " + said(brief.answer.cancel->place, 4) + ": " + what;
}

/// What is done on one engine; nothing of a single.
Lines one_engine_out(const Brief& brief) {
  if (!brief.the_case.aircraft.is_twin()) return {};
  Lines sentences{brief.the_case.aircraft.one_engine_out->v_1
                      ? "An engine fails before V one: stop. After it: fly."
                      : "An engine fails with gear down and runway ahead, or slow: close both, stop or land."};
  const auto& answer = brief.answer.power_left.one_engine_out;
  const bool two = brief.the_case.aircraft.one_engine_out->engines == 2;
  if (!answer) return {sentences.front(), "Climb " + on_one_engine(brief.the_case) + ": not assessed."};
  const std::string on = two ? "On one engine" : "With one engine out";
  if (!answer->reaches_v_2()) {
    return {"An engine fails before V one: stop. After it V two is not reached: we do not depart like this."};
  }
  switch (answer->verdict) {
    case decision::EngineOutVerdict::clears:
    case decision::EngineOutVerdict::climbs:
      if (const auto* obstacle = answer->in_the_way()) {
        sentences.push_back(on + " we do not outclimb " + the(obstacle->name) + ": turn before it with little bank.");
      } else {
        sentences.push_back(on + ": straight on, climb, then a wide circuit.");
      }
      break;
    case decision::EngineOutVerdict::holds:
      sentences.push_back(on + " we hold height and do not climb: straight on, best ground, no circuit.");
      break;
    case decision::EngineOutVerdict::sinks:
      sentences.push_back(on + " we sink: straight ahead, " +
                          (two ? "the live engine chooses" : "the live engines choose") + " the ground, no circuit.");
      break;
  }
  return sentences;
}

/// Sentences in the order of the flight, with the first `windows` windows.
std::string compose(const Brief& brief, std::size_t windows, bool note, bool partial) {
  const std::vector<decision::BriefedWindow> briefed = in_climb_order(brief.answer);
  const bool twin = brief.the_case.aircraft.is_twin();
  Lines sentences{take_off(brief)};
  append(sentences, one_engine_out(brief));
  std::string ahead = runway_ahead(brief);
  if (twin) ahead = "Both out: " + std::string(1, static_cast<char>(std::tolower(ahead.front()))) + ahead.substr(1);
  sentences.push_back(ahead);
  for (std::size_t i = 0; i < windows; ++i) sentences.push_back(window(brief, briefed[i]));
  if (windows < briefed.size()) sentences.push_back("Further windows: on the page.");
  sentences.push_back(ground(brief, note));
  if (brief.answer.cancel && !briefed.empty()) sentences.push_back(cancel(brief));
  if (!any_turnback(brief)) sentences.push_back("No turnback today.");
  if (partial && !twin) sentences.push_back("Partial power: expect total loss at any moment.");
  return joined(sentences, " ");
}

}  // namespace

std::string spoken_brief(const decision::Case& the_case, const decision::Answer& answer) {
  const Brief brief{the_case, answer};
  const auto fits = [](const std::string& text) {
    const Count counted = count(text);
    return counted.words <= kMostSpokenWords && counted.numbers <= kMostSpokenNumbers;
  };
  for (std::size_t left_out = 0; left_out <= answer.briefed.size(); ++left_out) {
    const std::size_t windows = answer.briefed.size() - left_out;
    for (const auto& [note, partial] : {std::pair(true, true), std::pair(true, false), std::pair(false, false)}) {
      std::string text = compose(brief, windows, note, partial);
      if (fits(text)) return text;
    }
  }
  // Nothing is left that grows with the case: names are four words at most, two readings remain.
  return compose(brief, 0, false, false);
}

}  // namespace backfield::report
