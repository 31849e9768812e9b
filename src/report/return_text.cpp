// What the brief says of coming back with power.

#include "parts.hpp"

#include "backfield/report/text.hpp"

#include <cmath>

namespace backfield::report {
namespace {

constexpr std::size_t kWidth = kPageColumns;
constexpr Angle kTurnToSay = degrees(0.5);  // it rounds to a degree: the line of the rest rests on it

/// Rough, and never less than it is: "about 4 min", up to the next half minute.
std::string about(Duration time) {
  const double minutes = std::ceil(in_seconds(time) / 30.0 - 1e-6) / 2.0;
  return "about " + number(minutes, minutes == std::floor(minutes) ? 0 : 1) + " min";
}

const char* trouble(decision::Urgency urgency) {
  switch (urgency) {
    case decision::Urgency::at_once:
      return "Fire, smoke, controls";
    case decision::Urgency::soon:
      return "Vibration, bird, doubt";
    case decision::Urgency::unhurried:
      return "Door, instrument, gear";
  }
  return "";
}

/// e.g. "left 129 deg"
std::string one_turn(Angle angle) {
  return (angle.si() < 0.0 ? "left " : "right ") + deg(angle.si() < 0.0 ? -angle : angle);
}

/// e.g. "left", or "straight on 98 s, then left" where only a way that turns late is known to be clear of the ground
std::string turned(const decision::Circuit& c) {
  const std::string side = flight::name_of(c.side);
  if (c.ways.empty()) return side;
  const flight::RendezvousResult& turns = c.ways.front().turns;
  const bool late = 2.0 * std::abs(turns.first_turn.si()) < std::abs(turns.last_turn.si());
  if (!late || turns.straight.si() < 5.0) return side;
  const bool at_first = std::abs(turns.first_turn.si()) >= kTurnToSay.si();
  return (at_first ? one_turn(turns.first_turn) + ", " : "") + "straight on " + s(turns.straight) + ", then " + side;
}

std::string destination(const decision::RunwayOption& o) {
  return name_of(o.end) + ", " + turned(*o.circuit) + ", " + about(o.circuit->to_touchdown);
}

/// e.g. "; in the plan at 66 kt calibrated right 8 deg, straight 98 s, left 184 deg"
std::string way(const decision::Circuit& c) {
  if (c.ways.empty()) return {};
  Lines parts;
  const auto turn = [&](Angle angle) {
    if (std::abs(angle.si()) >= kTurnToSay.si()) parts.push_back(one_turn(angle));
  };
  const flight::RendezvousResult& turns = c.ways.front().turns;
  turn(turns.first_turn);
  turn(turns.middle_turn);
  if (turns.straight.si() >= 0.5) parts.push_back("straight on " + s(turns.straight));
  turn(turns.last_turn);
  return "; in the plan at " + kt(c.ways.front().speed.value) + " calibrated " + joined(parts, ", ");
}

std::string choice(const Brief& brief, const decision::ReturnChoice& c, bool in_full) {
  std::string text = std::string(trouble(c.urgency)) + ": ";
  if (!c.option) return text + "NONE, " + c.remark;
  text += destination(brief.answer.options[*c.option]);
  if (in_full && !c.remark.empty()) text += "; " + c.remark;
  return text;
}

}  // namespace

Lines return_on_page(const Brief& brief) {
  const decision::ReturnWithPower& back = brief.answer.return_with_power;
  if (!back.not_assessed.empty()) {
    return wrapped("BACK WITH POWER: not assessed, " + ascii(back.not_assessed, 200) + ".", kWidth);
  }
  Lines each;
  for (const decision::ReturnChoice& c : back.choices) each.push_back(choice(brief, c, false));
  std::string text = "BACK WITH POWER, minutes from " + ft(brief.the_case.policy.circuit->height) +
                     " above aerodrome: " + joined(each, ". ") + ".";
  if (back.overweight.si() > 0.0) text += " All of them overweight landings: numbers on later pages.";
  return wrapped(text, kWidth);
}

Lines return_in_full(const Brief& brief) {
  const decision::ReturnWithPower& back = brief.answer.return_with_power;
  if (!back.not_assessed.empty()) return return_on_page(brief);
  Lines lines{"BACK WITH POWER, from " + ft(brief.the_case.policy.circuit->height) +
              " above aerodrome on the way out to touchdown"};
  for (const decision::ReturnChoice& c : back.choices) {
    append(lines, wrapped(choice(brief, c, true) + ".", kWidth, "  "));
  }
  for (const decision::RunwayOption& o : brief.answer.options) {
    if (!o.circuit) continue;
    append(lines, wrapped(destination(o) + ", slowest in world " + ascii(o.circuit->world, 30) + way(*o.circuit) + ".",
                          kWidth, "  to "));
  }
  if (back.overweight.si() > 0.0) {
    const std::string over = number(in_kilograms(back.overweight), 0, Rounding::up) + " kg";
    append(lines,
           wrapped(back.to_landing_mass
                       ? over + " to burn to the maximum landing mass: " + about(*back.to_landing_mass) +
                             " at the fuel flow of the file. At once or soon: land overweight, gently; then an "
                             "inspection and an entry in the log, as the manuals say."
                       : over + " over the maximum landing mass; the file states no fuel flow, so for how long is "
                                "not known.",
                   kWidth, "  "));
  }
  append(lines,
         wrapped(
             "Rough: a level way by turns and a straight in the wind there, then a final; checklists, traffic "
             "and instructions come on top." +
                 std::string(brief.the_case.ground.empty()
                                 ? ""
                                 : " In each world's wind a way to that side is clear of what is stated on the ground; "
                                   "turns and seconds shown are those of the plan. Others may not be clear."),
             kWidth, "  "));
  return lines;
}

}  // namespace backfield::report
