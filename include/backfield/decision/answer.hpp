#pragma once
// The answer to one case: what works when, what is briefed, and why.
//
// Heights are above the departure elevation, true; readings are what the altimeter shows. Seconds count from lift-off
// in the plan's world, negative on the roll.

#include "backfield/base/interval.hpp"
#include "backfield/decision/bracket.hpp"
#include "backfield/decision/circuit.hpp"
#include "backfield/decision/ground_ahead.hpp"
#include "backfield/decision/height_loss.hpp"
#include "backfield/decision/marks.hpp"
#include "backfield/decision/power_left.hpp"
#include "backfield/decision/runway_needs.hpp"
#include "backfield/decision/sky.hpp"
#include "backfield/flight/path.hpp"

#include <optional>
#include <string>
#include <vector>

namespace backfield::decision {

/// What bounds a window at one of its edges.
enum class Limit {
  reach,      ///< outside it the aeroplane arrives too low, or no path was found
  stop,       ///< what is left of the runway is too short
  too_high,   ///< outside it every path found passes the last point that leaves room to stop
  clearance,  ///< outside it no path found that lands is clear of what is on the ground
  lift_off,   ///< it begins with the flight
  scan_end,   ///< it goes on beyond what was scanned
  cloud,      ///< above it the failure is in cloud, or too near to it
  preference  ///< the policy prefers landable ground ahead below this height
};

/// A height interval in which one option works in one world at one bank, turning to one side.
struct Window {
  std::string aerodrome, runway;
  flight::Side side = flight::Side::left;
  Angle bank;
  std::string world;
  Interval<Length> heights;
  Interval<Duration> times;  ///< since lift-off, in that world
  Limit lower = Limit::reach, upper = Limit::reach;
  HeightLoss height_loss{};
  [[nodiscard]] bool open_above() const { return upper == Limit::scan_end; }
};

/// Landing on one runway end in one world, at the mass of the day.
struct Landing {
  std::string world;
  Length air, roll;  ///< policy factor included
  Length available;  ///< LDA
  Speed headwind;    ///< at 10 m, tailwind negative
  Speed crosswind_from_right;
  Speed touchdown_ground_speed;
  [[nodiscard]] Length needed() const { return air + roll; }
  [[nodiscard]] Length left() const { return available - air - roll; }
  [[nodiscard]] bool fits() const { return left().si() >= 0.0; }
};

/// A piece of the intersection over all worlds and banks.
struct CommonWindow {
  Interval<Length> heights;
  Interval<Duration> times;  ///< since lift-off, in the plan
  Limit lower = Limit::reach, upper = Limit::reach;
  std::string lower_world, upper_world;  ///< which world sets the edge, with the bank, e.g. "light, 30 deg"
  Angle larger_turn;         ///< at the lower edge in the plan, magnitude; total of the larger of its two turns
  Length best_surplus;       ///< largest height to spare inside, the worst of all worlds and banks
  HeightLoss height_loss{};  ///< in any world and bank
  [[nodiscard]] bool open_above() const { return upper == Limit::scan_end; }
};

/// How far an option that never works stays away from working, in the plan.
struct Nearest {
  Length surplus;           ///< negative: height missing at the best moment
  Length at_height;         ///< of the failure
  bool bound_only = false;  ///< true: at least so much is missing (a bound); false: the best path found
  /// Where some height is too high for every path found: by how much the one that comes nearest passes the last point
  /// that leaves room to stop, in the configuration that loses most height of those the policy allows.
  std::optional<Length> past_end{};
};

/// Where a side would land, and something on the ground forbids it. Over all worlds and banks.
struct Veto {
  /// Of terrain: where the path that lacks most comes nearest to it.
  struct Place {
    Length distance;                             ///< from the departure aerodrome
    earth::TrueDirection bearing;                ///< from there
    std::optional<earth::Altitude> elevation{};  ///< of the ground; none: not known
  };
  std::string what;          ///< name of the obstacle or area, or the ground
  Interval<Length> heights;  ///< lowest and highest failure looked at that it forbids; between them some may be clear
  std::optional<Length> below;  ///< most that is missing over it, by the path that comes nearest; none: no height helps
  Length within;                ///< how far that path enters what is to be left free, seen from above
  std::optional<Place> place;
};

/// What is done with one side of one runway end.
enum class Standing {
  briefed,           ///< inside its window it is the action
  computed_only,     ///< works in every world of the bracket, but something forbids briefing it
  some_worlds_only,  ///< works in some worlds: not a plan
  none               ///< works in none
};

struct SideAnswer {
  flight::Side side = flight::Side::left;
  Standing standing = Standing::none;
  std::vector<Window> windows;               ///< every world and bank
  std::vector<Window> unfeathered;           ///< in the plan, if the propeller is never feathered; never briefed
  std::vector<CommonWindow> common;          ///< in all of them; pieces kept apart
  std::vector<std::string> why_not_briefed;  ///< in plain words, the decisive one first
  std::vector<Veto> vetoes;                  ///< what the ground takes away from it
  std::optional<Nearest> nearest;            ///< when there is no window in the plan, nor a veto
};

/// One runway end as a place to land, without power and with it.
struct RunwayOption {
  earth::RunwayEnd end;
  bool reciprocal = false;           ///< of the departure runway: landing back on it
  Length distance;                   ///< from brake release to the threshold
  std::vector<Landing> landings;     ///< one per world; empty when not assessed
  std::string not_assessed;          ///< why: declared distance or surface not stated, no figure for it; else empty
  std::vector<SideAnswer> sides;     ///< left and right; empty when not assessed
  PoweredReturn powered;             ///< assessed or not by itself, whatever is said of a landing without power
  std::optional<Circuit> circuit;    ///< with power; none: the policy or the wind has none, or ...
  std::string circuit_void;          ///< ... cloud, night or the ground forbids it, and this is why
  std::vector<std::string> reasons;  ///< why it ranks where it does, limiting margin first
};

/// Heights from which the runway left ahead is enough, in every world.
struct LandAhead {
  std::optional<Interval<Length>> heights;
  Interval<Duration> times{};  ///< in the plan, when there are heights
  Limit lower = Limit::lift_off, upper = Limit::stop;
  std::string upper_world;
  std::vector<std::pair<std::string, std::optional<Interval<Length>>>> by_world;
  std::optional<Length> upper_with_stopway;  ///< where a stopway is declared: the upper edge if it is used too
  std::string not_assessed;
  std::vector<Veto> vetoes;  ///< what the ground takes away: the runway left would do, the way down to it is not clear
  /// What stands beside it, nearer than the policy has it on other ways; takes nothing away. `below`, `within`: of
  /// that.
  std::vector<Veto> passed;
};

/// A stretch without any briefable option but the ground ahead.
struct Gap {
  Length from_height;
  std::optional<Length> to_height;  ///< none: to the end of what was scanned
  Duration from, to;                ///< since lift-off, in the plan
  [[nodiscard]] Duration duration() const { return to - from; }
  std::string below;  ///< what the case says about the ground there; "not stated" otherwise
};

/// A reading of the altimeter at which the briefed action changes.
enum class GateKind { closes, opens };
struct Gate {
  GateKind kind = GateKind::closes;
  Length reading;      ///< what the altimeter shows, rounded to the policy's step
  Length height;       ///< true, above the departure elevation, before rounding
  std::string action;  ///< from here on (opens), or up to here (closes)
  std::string option;  ///< e.g. "ahead", "ZZDA 36 left"
};

struct CancelLine {
  Length reading;
  std::string place;  ///< "the departure end" or the landmark
  Length distance;    ///< from brake release
};

/// What is briefed for one runway end and side.
struct BriefedWindow {
  std::size_t option = 0;  ///< index into Answer::options
  flight::Side side = flight::Side::left;
  CommonWindow window;
  Length opens_reading;
  std::optional<Length> closes_reading;  ///< none when open above
  Speed tailwind_plan, tailwind_worst;   ///< on landing; headwind negative
  Length needed_worst, available;
  Speed touchdown_ground_speed_worst;
};

/// The take-off roll.
struct RollOut {
  Length available;                  ///< TORA left from the start of the roll
  Length roll, to_50ft;              ///< in the plan
  Length roll_worst, to_50ft_worst;  ///< over the bracket
  std::optional<Length>
      last_stop;  ///< from brake release: last place from which a stop fits, worst world; none: nowhere
  bool stop_fits_to_lift_off = false;
  MarksOnRoll marks;
  std::string last_stop_mark;             ///< the last named mark before it; may be empty
  Length half_way;                        ///< half of what is available, from brake release
  std::optional<Cas> speed_half_way;      ///< in the plan; none: airborne by then
  Cas least_speed_half_way;               ///< 70 % of rotation speed
  std::optional<Cas> speed_at_last_stop;  ///< in the plan; none: a stop fits to lift-off, or nowhere
  std::string note;                       ///< e.g. that the run available is shorter than the take-off needs
};

/// One line of speeds, as indicated, at the mass of the day.
struct NamedSpeed {
  std::string name;
  Speed indicated;
};

/// What the climb does in one world.
struct WorldReport {
  std::string name;
  earth::WindVector surface_wind;
  double climb_factor = 1.0;
  Length height_at_departure_end;  ///< 0 when still on the ground there
  Duration scanned_to;             ///< since lift-off
  Length scanned_height;
  std::string stopped_because;
  double lowest_speed_over_stall = 0.0;  ///< in any entry of the scan
};

struct SectorStep {
  Length from_height;
  Angle half_width;
};

struct Answer {
  std::string refusal;  ///< not empty: a departure figure is outside its table; nothing else is filled
  Length pressure_altitude, density_altitude;
  std::vector<WorldReport> worlds;  ///< the first is the plan
  RollOut roll_out;
  TakeOffRoom take_off;
  ReturnWithPower return_with_power;
  LandAhead land_ahead;
  std::vector<SectorStep> sector;
  std::vector<RunwayOption> options;  ///< best first
  std::vector<BriefedWindow> briefed;
  std::optional<CloudAnswer> cloud;  ///< none: the case says nothing that limits anything
  std::optional<NightAnswer> night;  ///< none: the case states no time
  std::vector<Gap> gaps;
  std::optional<GroundAheadAnswer> ground_ahead;  ///< where the case states areas
  std::vector<Gate> gates;                        ///< in the order of the climb
  std::optional<CancelLine> cancel;
  std::vector<NamedSpeed> speeds;
  PowerLeftAnswer power_left;
  bool temperature_correction_used = false;  ///< some reading was moved for a cold aerodrome
  std::vector<std::string> assumptions;
  std::vector<std::string> warnings;
  std::vector<std::string> cautions;
};

constexpr const char* name_of(Limit limit) {
  switch (limit) {
    case Limit::reach:
      return "reach";
    case Limit::stop:
      return "stop";
    case Limit::too_high:
      return "too high";
    case Limit::clearance:
      return "clearance";
    case Limit::lift_off:
      return "lift-off";
    case Limit::scan_end:
      return "end of scan";
    case Limit::cloud:
      return "cloud";
    case Limit::preference:
      return "policy preference";
  }
  return "";
}
constexpr const char* name_of(Standing standing) {
  switch (standing) {
    case Standing::briefed:
      return "briefed";
    case Standing::computed_only:
      return "computed, not briefed";
    case Standing::some_worlds_only:
      return "works in some winds only";
    case Standing::none:
      return "none";
  }
  return "";
}

}  // namespace backfield::decision
