#pragma once
// Coming back with power: nothing is wrong with the engine, but the flight is over.
//
// Times are rough on purpose: from circuit height on the way out, level by the quickest path of turns and a straight to
// a final on the runway's track, in the wind there; what checklists, traffic and a controller add is not in them.

#include "backfield/base/units.hpp"
#include "backfield/flight/clearance.hpp"
#include "backfield/flight/path.hpp"
#include "backfield/flight/rendezvous.hpp"

#include <optional>
#include <string>
#include <vector>

namespace backfield::decision {

/// Part of a policy.
struct CircuitRule {
  Length height{};            ///< above the departure aerodrome: where the way back begins
  Angle bank{};               ///< of its turns
  double stall_margin = 0.0;  ///< its speed over the stalling speed, clean, wings level
  Length final_from{};        ///< the final begins this high above the runway ...
  Angle final_angle{};        ///< ... on a path of this angle, at v_ref
};

/// The way back to one runway end, the slowest world of the bracket.
struct Circuit {
  Duration to_touchdown{};                 ///< from circuit height on
  std::string world;                       ///< the slowest
  flight::Side side = flight::Side::left;  ///< of its larger turn, in the plan; of two alike that of the first
  /// With something on the ground: in each world, the plan first, a way that is clear of it. Others may not be.
  struct Way {
    std::string world;
    flight::RendezvousResult turns;
    std::vector<flight::WayPoint> line;  ///< over the ground, from circuit height to the threshold
    Cas speed;                           ///< of turns and straight
  };
  std::vector<Way> ways;
};

/// How much of a hurry it is; each names its kind of trouble in the brief.
enum class Urgency {
  at_once,   ///< fire, smoke, controls: the soonest runway that is long enough
  soon,      ///< vibration, a bird, a doubt: the soonest into wind and within every limit
  unhurried  ///< a door, an instrument, the gear: the one with most runway to spare within every limit
};

/// What is planned for one urgency.
struct ReturnChoice {
  Urgency urgency = Urgency::at_once;
  std::optional<std::size_t> option;  ///< index into Answer::options; none: no runway end will do
  std::string remark;                 ///< what of limits is passed, or why none will do; may be empty
};

struct ReturnWithPower {
  std::string not_assessed = "not computed";  ///< why; empty: it is
  std::vector<ReturnChoice> choices;          ///< in the order of the enumeration
  /// To burn down to the maximum landing mass; none: no need, or the file states no fuel flow.
  std::optional<Duration> to_landing_mass;
  Mass overweight{};  ///< over the maximum landing mass at brake release, 0 when not
};

constexpr const char* name_of(Urgency urgency) {
  switch (urgency) {
    case Urgency::at_once:
      return "at once";
    case Urgency::soon:
      return "soon";
    case Urgency::unhurried:
      return "unhurried";
  }
  return "";
}

}  // namespace backfield::decision
