#pragma once
// An aircraft as its file describes it. Nothing here depends on the day; Performance (performance.hpp) does.

#include "backfield/aircraft/figure.hpp"
#include "backfield/earth/runway.hpp"

#include <map>
#include <string>
#include <utility>
#include <vector>

namespace backfield::aircraft {

/// Classes that differ in what a loss of power means and in the height by which they must be aligned.
enum class AircraftClass {
  single_piston_fixed_gear,
  single_piston_retractable,
  single_turboprop,
  light_twin,
  twin_turboprop,
  light_jet
};

/// Speeds as calibrated airspeed at the reference mass; they scale with sqrt(mass).
struct Speeds {
  Cas v_r, v_x, v_y;               ///< rotation; steepest and fastest climb
  Cas best_glide;                  ///< power off, clean
  Cas stall_clean, stall_landing;  ///< wings level, 1 g
  Cas v_ref;                       ///< approach, landing flap
  Cas touchdown;                   ///< at which the landing roll of the file starts
};

/// Take-off and landing distances. `headwind` says whether the figures are still-air figures, to which the wind is
/// applied by physics, or stand for the very wind of the case.
enum class BookWind { still_air, as_stated_for_the_case };
struct Distances {
  Figure take_off_roll;     ///< brake release to lift-off
  Figure take_off_to_50ft;  ///< brake release to 50 ft
  Figure landing_float;     ///< from where the glide would meet the ground to touchdown, power off
  Figure landing_roll;      ///< touchdown to stop
  BookWind take_off_wind = BookWind::still_air;
  /// Factors on the rolls by surface, from the file's notes; a surface that is missing here has no figure.
  std::map<earth::Surface, double> take_off_surface_factor;
  std::map<earth::Surface, double> landing_surface_factor;
};

struct Limits {
  std::optional<Speed> crosswind;  ///< demonstrated or limiting
  std::optional<Speed> tailwind;
  bool slip_allowed = false;
};

/// Drag: D/W = (v^2 f + n^2/v^2) / (2E), with v = V/Vbg. f is 1 clean.
struct Polar {
  double glide_ratio = 0.0;               ///< E, best, clean, propeller as in its source; 4..30
  double glide_ratio_landing_flap = 0.0;  ///< at best glide speed with landing flap; below glide_ratio
  Source source;
  std::optional<double> glide_ratio_slip;  ///< in a slip with landing flap, at best glide speed; below that without
  Source slip_source;
};

struct Aircraft {
  std::string name;
  std::string file;      ///< as the case names it
  std::string checksum;  ///< of the file's bytes, for the brief
  bool invented = false;
  AircraftClass kind = AircraftClass::single_piston_fixed_gear;
  Mass reference_mass, empty_mass, max_take_off_mass, max_landing_mass;
  Speeds speeds;
  Source speeds_source;
  /// Indicated against calibrated airspeed, rising; empty when the file has none (indicated is then taken as calibrated
  /// and the brief says so).
  std::vector<std::pair<Speed, Speed>> indicated_to_calibrated;
  Polar polar;
  Figure climb_rate_v_y;  ///< at v_y, take-off or climb power, clean
  Figure climb_rate_v_x;  ///< at v_x; may be not stated
  Distances distances;
  Limits limits;
  Angle roll_rate_per_second{};  ///< bank change in one second
  Duration flap_time{};          ///< to extend landing flap
};

}  // namespace backfield::aircraft
