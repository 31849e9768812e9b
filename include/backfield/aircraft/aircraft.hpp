#pragma once
// An aircraft as its file describes it. Nothing here depends on the day; Performance (performance.hpp) does.

#include "backfield/aircraft/figure.hpp"
#include "backfield/aircraft/landing.hpp"
#include "backfield/aircraft/loading.hpp"
#include "backfield/earth/runway.hpp"

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
  SurfaceFactors take_off_surface_factor;  ///< on the roll
  SurfaceFactors landing_surface_factor;   ///< on the roll
};

struct Limits {
  std::optional<Speed> crosswind;  ///< demonstrated or limiting
  std::optional<Speed> tailwind;
  bool slip_allowed = false;
  Source source;
};

/// Drag: D/W = (v^2 f + n^2/v^2) / (2E), with v = V/Vbg. f is 1 clean.
struct Polar {
  double glide_ratio = 0.0;               ///< E, best, clean, propeller as in its source; 4..30
  double glide_ratio_landing_flap = 0.0;  ///< at best glide speed with landing flap; below glide_ratio
  Source source;
  std::optional<double> glide_ratio_slip;  ///< in a slip with landing flap, at best glide speed; below that without
  Source slip_source;
};

/// A propeller that can be feathered: `Polar` is the glide with it feathered, this the glide until it is.
struct Feathering {
  double glide_ratio_unfeathered = 0.0;  ///< best, clean, propeller windmilling; below the feathered one
  Cas best_glide_unfeathered;            ///< at the reference mass
  Duration time{};                       ///< from the failure to a feathered propeller
  Source source;                         ///< of the unfeathered glide
  Source time_source;
};

/// Aeroplanes with more than one engine: what they do with one of them out. Speeds at the reference mass.
struct OneEngineOut {
  int engines = 2;  ///< 2..4, of which one is out; every figure here holds with the others running
  Cas v_mca;        ///< minimum control speed in the air, sea level standard; it does not grow with mass
  Cas climb_speed;  ///< v_yse of a light twin, v_2 of the classes that have one
  std::optional<Cas> v_1;
  Figure climb_rate;         ///< at climb_speed: clean, gear up, propeller feathered; the engine that runs at its limit
  Speed lost_gear_down{};    ///< of that rate while the gear is down, >= 0
  Speed lost_unfeathered{};  ///< of that rate until the propeller is feathered, >= 0; 0 for a jet
  std::optional<Speed> lost_approach_flap;  ///< of that rate with the flap of an approach, >= 0; none: not stated
  bool v_mca_falls_with_density = false;    ///< the file allows a lower v_mca in thinner air: unsupercharged engines
  Duration clean_up{};                      ///< from the failure to gear up and propeller feathered
  Figure accelerate_stop;  ///< brake release to a stop, failure at the decision speed; may be not stated
  Figure accelerate_go;    ///< brake release to 50 ft, the same failure; may be not stated
  std::optional<Length> acceleration_height;  ///< above the aerodrome, with v_1 only; none: the policy's
  std::optional<Cas> final_speed;             ///< of the final segment, clean, with v_1 only; at least climb_speed
  Figure final_rate;                          ///< at final_speed, continuous thrust; may be not stated
  Source source;
};

struct Aircraft {
  std::string name;
  std::string file;      ///< as the case names it
  std::string checksum;  ///< of the file's bytes, for the brief
  bool invented = false;
  AircraftClass kind = AircraftClass::single_piston_fixed_gear;
  Mass reference_mass, empty_mass, max_take_off_mass, max_landing_mass;
  Source masses_source;
  Speeds speeds;
  Source speeds_source;
  /// Indicated against calibrated airspeed, rising; empty when the file has none (indicated is then taken as calibrated
  /// and the brief says so).
  std::vector<std::pair<Speed, Speed>> indicated_to_calibrated;
  Source indicated_source;
  Polar polar;
  Figure climb_rate_v_y;  ///< at v_y, take-off or climb power, clean
  Figure climb_rate_v_x;  ///< at v_x; may be not stated
  Distances distances;
  std::optional<LandingFrom50ft> landing_from_50ft;  ///< with power; none: the file has no figure
  std::optional<Loading> loading;                    ///< stations and envelope; none: the file has none
  std::optional<Fuel> fuel;
  Limits limits;
  Angle roll_rate_per_second{};  ///< bank change in one second
  Duration flap_time{};          ///< to extend landing flap
  Source handling_source;
  std::optional<Feathering> feathering;        ///< single turboprop: always; others: where the file has it
  std::optional<OneEngineOut> one_engine_out;  ///< twins: always

  [[nodiscard]] bool is_twin() const {
    return kind == AircraftClass::light_twin || kind == AircraftClass::twin_turboprop ||
           kind == AircraftClass::light_jet;
  }
  [[nodiscard]] bool is_jet() const { return kind == AircraftClass::light_jet; }
};

/// The same aeroplane before its propeller is feathered: another glide ratio and another best glide speed. Landing
/// flap and slip lose no less than its own glide does. The file must have the figures.
Aircraft unfeathered(const Aircraft& aircraft);

}  // namespace backfield::aircraft
