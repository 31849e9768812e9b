#pragma once
// What can be done with the power that is left: partial power of a single, one engine of a twin.
//
// Rates are steady ones in still air, clean, at the mass of the day, in the air of a stated height above the aerodrome:
// higher up less is left. What is claimed of them is the weakest of the bracket. Ways back are flown in every world.

#include "backfield/aircraft/take_off_path.hpp"
#include "backfield/base/interval.hpp"
#include "backfield/base/units.hpp"
#include "backfield/decision/ground_ahead.hpp"
#include "backfield/decision/obstacle_rule.hpp"
#include "backfield/flight/path.hpp"

#include <optional>
#include <string>
#include <vector>

namespace backfield::decision {

/// Which ways back with the power left are flown.
struct WayBackRule {
  std::vector<Length> fails_at;  ///< heights above the aerodrome at which part of the power goes, rising
  Length turn_from{};            ///< no turn is begun below this height above the aerodrome
  Length circuit_height{};       ///< the climb straight on ends here at the latest
  Length turn_step{};            ///< heights at which the turn may be begun are tried so far apart
  Duration longest_climb{};      ///< the climb straight on takes no longer
  Length committal{};            ///< above the runway: below it, on one engine, the landing is completed
};

/// Of the wind that is reported, in distances and paths with an engine out: never more headwind than the one share of
/// it, never less tailwind than the other.
struct WindCounted {
  double headwind = 0.0;  ///< 0..1
  double tailwind = 0.0;  ///< >= 1
};

/// The planning margins for power that is left.
struct PowerLeftRule {
  Length evaluated_at{};          ///< above the aerodrome: the air that rates are judged in
  std::vector<double> fractions;  ///< of full power, falling, each between 0 and 1
  std::vector<Angle> banks;       ///< rising, the first one wings level
  Speed circuit_needs{};          ///< rate of climb, wings level, below which no circuit is flown on partial power
  Angle circuit_bank{};           ///< most bank in it
  aircraft::NetDecrement net_decrement;     ///< gross less net gradient with one engine out
  Angle one_engine_bank{};                  ///< most bank on one engine
  Length straight_until{};                  ///< no turn on one engine below this height above the aerodrome
  ObstacleRule obstacles;                   ///< of the net path on one engine
  std::optional<WindCounted> wind_counted;  ///< none: no case of an aeroplane with more than one engine is accepted
  std::optional<aircraft::TakeOffPathRule> take_off_path;  ///< none: no path from v_1 is computed, and said so
  std::optional<WayBackRule> way_back;  ///< none: no way back with the power left is flown, and said so
};

/// Power is lost in part; the aeroplane climbs straight on, turns, and holds what height it can until a glide reaches a
/// runway: from there on it needs no engine. Until then it is exposed: if the rest stopped, no runway could be reached.
/// The turn is begun at the same height in every world of the bracket, where the fewest seconds are exposed; the least
/// favourable world is shown. The glide is flown from there: near the end of the way with power, too high or in its
/// last turn, none may be found any more, and that is not counted.
/// accuracy    to one second of flight (tests/laws/power_path_test.cpp flies ways again)
struct WayBack {
  double fraction = 0.0;    ///< of full power; of a twin: 0, and one engine is out
  double flown_with = 0.0;  ///< no more than fraction: less where that exposes for fewer seconds
  Length fails_at{};        ///< above the aerodrome
  bool found = false;
  std::string why_not;            ///< where none was found
  bool at_once = false;           ///< a window of a total loss holds at that height; nothing below is filled then
  std::string aerodrome, runway;  ///< whose track the turn leads to, and where the glide ends
  flight::Side side = flight::Side::left;        ///< of the way with power
  flight::Side glide_side = flight::Side::left;  ///< of the glide it ends with
  Length turn_at{};                              ///< above the aerodrome
  bool turns_before_home = false;                ///< false: a glide works before the turn is begun
  std::string decided_in;                        ///< the world with the most exposed seconds; of that one:
  Duration exposed{};                            ///< from the failure to where a glide works
  Length home{};                                 ///< height of that above the aerodrome
  Duration to_touchdown{};                       ///< from the failure, gliding from there; rough
  /// What lies right below in the exposed seconds, as shares of them; none: the case states no areas.
  std::optional<GroundShares> below;
};

/// On one engine: what a go-around would cost, against the height below which none is flown.
struct Committal {
  Length policy{};  ///< above the runway
  Length lost{};    ///< at the rate with gear down and propeller unfeathered, for the file's time to clean up; no
                    ///< reaction
  bool flap_counted = false;  ///< the approach flap is in it, for the file states what it costs
  [[nodiscard]] bool enough() const { return lost <= policy; }
};

struct ClimbAtBank {
  Angle bank;
  Speed rate;  ///< climbing +
};

enum class PartialVerdict {
  circuit,  ///< climbs well enough for a circuit with little bank
  holds,    ///< holds height wings level, no more
  sinks     ///< a forced landing with more time
};

struct PartialPower {
  double fraction = 0.0;
  std::vector<ClimbAtBank> climb;   ///< at the banks of the rule
  std::optional<Angle> level_bank;  ///< in which height is just held, to 0.1 degrees; none: not even wings level
  PartialVerdict verdict = PartialVerdict::sinks;
};

/// What the gradient on one engine is good for.
enum class EngineOutVerdict {
  clears,  ///< net gradient positive, and over the obstacles stated along the departure track, of which there are some,
           ///< and over the ground, where elevations are stated
  climbs,  ///< net gradient positive; something is in the way, no obstacle is stated, or ground or track are not known
  holds,   ///< gross gradient not negative, net not positive
  sinks    ///< an extended glide
};

/// Something that stands along the departure track, and the path on one engine over it. Heights above the aerodrome.
struct ObstacleAhead {
  std::string name;
  Length distance;  ///< from brake release along the track
  Length top;       ///< of the obstacle
  Length required;  ///< top and what the rule adds
  Length gross, net;
  [[nodiscard]] bool clear() const { return net >= required; }
};

/// Something stated that the rule leaves out: beside the way looked at, or before it begins.
struct ObstacleAside {
  std::string name;
  Length distance;      ///< from brake release along the track, negative behind
  Length off;           ///< of its nearest edge from the track, seen from above; zero when it stands on it
  bool right = false;   ///< of the track
  Length looked_at;     ///< half width of the way at that distance
  bool before = false;  ///< it lies before the way that is looked at begins, whatever it is off
};

/// The ground across the departure track, within the half width of the rule, and the path on one engine over it.
struct TerrainUnder {
  bool assessed = false;  ///< false: the net path does not climb, and clears nothing
  Length up_to{};         ///< looked at until the net path is this high above the aerodrome ...
  Length to{};            ///< ... which is so far from brake release at the latest, or as far as posts count
  std::optional<ObstacleAhead>
      nearest;                         ///< of known ground, where the net path has least to spare; `top` is the ground
  std::optional<Length> too_low_from;  ///< from brake release: the first place where it is too low
  std::optional<Length> unknown_from;  ///< from brake release: the first place beside which no elevation is known
  [[nodiscard]] bool clear() const { return assessed && !too_low_from && !unknown_from; }
};

/// A distance with an engine failing against one that is declared: by aircraft::accelerate_go_distance and
/// accelerate_stop_distance, the longest of the bracket.
/// test        tests/unit/engine_out_take_off_test.cpp
struct DistanceAgainst {
  Length needed, available;
  bool estimated = false;  ///< the file has no figure for the day: made up from others
  [[nodiscard]] bool fits() const { return needed <= available; }
};

/// The take-off path with an engine failing at v_1, in the world with the weakest climb.
struct EngineOutTakeOff {
  aircraft::TakeOffPath path;
  double second_least = 0.0, last_least = 0.0;  ///< gross gradients that the rule asks for
  bool in_time = true;                          ///< take-off thrust is needed no longer than it is allowed
  std::string not_in;                           ///< a world in which the screen is not reached; empty: none
};

/// Down to where the height is held on the engines left, or to the ground.
struct DriftDownPoint {
  Duration time;
  Length height, net_height;  ///< above the aerodrome; the net one by the en-route decrement
  Length distance;            ///< through the air, still air
};
struct DriftDown {
  Length from{};                        ///< above the aerodrome
  bool stated = false;                  ///< by the case; else the height to which the scan goes
  std::vector<DriftDownPoint> points;   ///< rising in time
  std::optional<Length> levels_at;      ///< above the aerodrome; none: it comes to the ground
  std::optional<Length> net_levels_at;  ///< the same, net
  std::string why_not;                  ///< which table does not cover it, or that there is nothing to drift from
};

/// What is controllable where an engine fails, as the air thins: v_mca falls and the stall, calibrated, does not.
struct ControlSpeeds {
  Cas v_mca;              ///< that is used: the file's, or lower where the file allows it
  Cas v_mca_in_that_air;  ///< of unsupercharged engines: the file's times the root of the density ratio
  Cas stall;              ///< clean
  std::optional<Length>
      meet;  ///< height above the aerodrome at which the falling v_mca is the stall; none: above 25,000 ft
  bool stall_first = false;  ///< at the departure already: it stalls before it cannot be held
};

struct OneEngineOut {
  EngineOutVerdict verdict = EngineOutVerdict::sinks;
  std::string decided_in;                   ///< the world with the weakest climb
  std::vector<ClimbAtBank> climb;           ///< at the banks of the rule, at the climb speed; in that world
  double gross = 0.0, net = 0.0;            ///< gradients in still air, wings level
  Speed gear_down, unfeathered;             ///< rate of climb with the gear down, and until the propeller is feathered
  Length half_circle_radius{};              ///< at the most bank, true airspeed of that height, still air
  Length half_circle_height{};              ///< change of height in half a circle, climbing +
  std::optional<DistanceAgainst> stop, go;  ///< where the file has the distance and the runway states the other
  /// Why there is none: axis and end of the file's table where it ends before the day, or why none can be made up.
  /// Empty where it is not stated.
  std::string stop_beyond, go_beyond;
  bool go_impossible = false;      ///< no distance is enough: no climb until gear and propeller are clean
  Length path_begins{};            ///< from brake release: where it is 50 ft high, or lift-off of an estimated path
  bool path_begins_at_go = false;  ///< there by accelerate-go; else by the take-off on all engines, or ...
  bool path_estimated = false;     ///< ... at lift-off by an estimate of the take-off path
  bool go_estimated = false;       ///< that accelerate-go is an estimate, as no file has the figure
  std::optional<EngineOutTakeOff> take_off;  ///< where the aircraft states v_1 and the policy a rule
  ObstacleRule obstacle_rule;                ///< by which they are judged
  bool obstacles_assessed = false;           ///< false: a turn of the departure is begun at a height never reached
  std::vector<ObstacleAhead> obstacles;      ///< in the order of the flight, worst over the bracket
  std::vector<ObstacleAside> aside;          ///< the others that are stated, nearest to the way first
  std::optional<TerrainUnder> terrain;       ///< none: the case states no elevations
  /// Height above the aerodrome above which one engine holds no height; none: not within the file's table.
  std::optional<Length> ceiling;
  std::optional<DriftDown> drift_down;    ///< where the case states a height, or nothing is left to climb with
  std::optional<ControlSpeeds> controls;  ///< of a piston aeroplane

  /// False: in a world of the bracket the take-off path ends before v_2, and nothing after it is relied on.
  [[nodiscard]] bool reaches_v_2() const { return !take_off || take_off->not_in.empty(); }
  /// The first that is not cleared, or ground that is not cleared before it; null: none is known.
  [[nodiscard]] const ObstacleAhead* in_the_way() const {
    const bool too_low = terrain && terrain->too_low_from;
    for (const ObstacleAhead& o : obstacles) {
      if (o.clear()) continue;
      return too_low && *terrain->too_low_from < o.distance ? &*terrain->nearest : &o;
    }
    return too_low ? &*terrain->nearest : nullptr;
  }
};

/// Both parts of the answer; neither for a jet with one engine, which no class is.
struct PowerLeftAnswer {
  Length evaluated_at{};
  std::vector<PartialPower> partial;  ///< singles
  std::optional<OneEngineOut> one_engine_out;
  std::vector<WayBack> ways_back;      ///< in the order of the rule: shares of power, and of each the heights
  std::optional<Committal> committal;  ///< of a twin, where the policy states a height
  std::string not_assessed;            ///< which table does not cover the day; then nothing else is filled
};

constexpr const char* name_of(EngineOutVerdict verdict) {
  switch (verdict) {
    case EngineOutVerdict::clears:
      return "clears";
    case EngineOutVerdict::climbs:
      return "climbs";
    case EngineOutVerdict::holds:
      return "holds";
    case EngineOutVerdict::sinks:
      return "sinks";
  }
  return "";
}
constexpr const char* name_of(PartialVerdict verdict) {
  switch (verdict) {
    case PartialVerdict::circuit:
      return "circuit";
    case PartialVerdict::holds:
      return "holds";
    case PartialVerdict::sinks:
      return "sinks";
  }
  return "";
}

}  // namespace backfield::decision
