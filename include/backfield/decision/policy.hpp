#pragma once
// The file of planning margins, as one value. Each layer owns the part it applies; here they are only put together.

#include "backfield/aircraft/aircraft.hpp"
#include "backfield/aircraft/stop_rule.hpp"
#include "backfield/decision/circuit.hpp"
#include "backfield/decision/ground_ahead.hpp"
#include "backfield/decision/power_left.hpp"
#include "backfield/decision/runway_choice.hpp"
#include "backfield/decision/runway_needs.hpp"
#include "backfield/decision/sky.hpp"
#include "backfield/earth/wind.hpp"
#include "backfield/flight/clearance.hpp"
#include "backfield/flight/technique.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace backfield::decision {

/// One world of the bracket: what differs from the plan in it.
struct WorldRule {
  std::string name;            ///< our own short word, e.g. "light wind"
  double wind_factor = 1.0;    ///< on the reported wind
  bool at_least_gust = false;  ///< the factor is raised until the surface wind equals the reported gust
  bool profile = true;         ///< false: the surface wind at every height
  Angle shift{};               ///< of the wind direction, clockwise positive; replaced by the reported sector if any
  double climb_factor = 1.0;   ///< on the rate of climb
};

struct BracketRule {
  std::vector<WorldRule> worlds;  ///< the first one is the plan
  Speed calm_speed{};             ///< calm or variable: this much, or the report if more ...
  std::vector<Angle>
      calm_directions;            ///< ... from each of these, clockwise from the departure runway's track (0 is a
                                  ///< headwind), so that turning the whole scene turns the answer; empty: as reported
  double profile_exponent = 0.0;  ///< power law of the surface wind
};

enum class Preference { ground_ahead, runway };

struct GateRule {
  Length rounding{};        ///< opening edges up and closing edges down to this step; zero: not rounded
  Length minimum_window{};  ///< narrower windows are computed, never briefed
  Duration minimum_window_time{};
  int most_gates = 4;
  Angle small_turn{};            ///< a return whose larger turn is no more than this needs no training for turnbacks
  Length full_circle{};          ///< above the alignment height: a return that turns once round is not briefed below
  Length prefer_runway_above{};  ///< above the aerodrome; `prefer` when both landable ground and a window are there
  Preference prefer_below = Preference::ground_ahead;
  Preference prefer_above = Preference::runway;
};

/// The sector ahead within which ground is looked for, by height at the failure.
struct SectorRule {
  struct Step {
    Length from_height{};  ///< above the departure elevation
    Angle half_width{};    ///< to either side of the track flown
  };
  std::vector<Step> steps;  ///< rising
};

struct Policy {
  std::string name;
  std::string file;
  std::string checksum;
  flight::Model model;
  flight::Technique technique;
  std::map<aircraft::AircraftClass, Length>
      alignment_height;  ///< wings level on the track by this height above the runway
  aircraft::StopRule stop;
  std::optional<LandingAssessmentRule> landing_assessment;  ///< none: no landing with power is assessed, and said so
  std::optional<CircuitRule> circuit;                       ///< none: no return with power is planned, and said so
  std::optional<TakeOffRule> take_off;                      ///< none: declared distances are not judged, and said so
  std::optional<CloudRule> cloud;                           ///< none: a case that states a cloud base is refused
  std::optional<NightRule> night;                           ///< none: a case that states its time is refused
  std::optional<RunwayChoiceRule> runway_choice;            ///< none: runway ends are not compared, and said so
  flight::ClearanceRule clearance;
  BracketRule bracket;
  GateRule gates;
  SectorRule sector;
  std::optional<GroundAheadRule> ground_ahead;  ///< none: a case that states areas is refused
  PowerLeftRule power_left;
  Duration scan_end{};    ///< of the scan, after lift-off: at least so long ...
  Length scan_height{};   ///< ... and on to this height above the aerodrome ...
  Duration scan_limit{};  ///< ... but never longer than this
};

}  // namespace backfield::decision
