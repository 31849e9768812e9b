#pragma once
// A landing with power: from 50 ft above the threshold at v_ref to a stop, as the flight manual's table has it.

#include "backfield/aircraft/figure.hpp"
#include "backfield/aircraft/stop_rule.hpp"
#include "backfield/aircraft/surface_factors.hpp"
#include "backfield/earth/runway.hpp"

#include <map>
#include <string>

namespace backfield::aircraft {

class Performance;
struct RollSurface;

/// As the aircraft file has it: still air, level, paved and dry, no factor of any kind.
struct LandingFrom50ft {
  Figure distance;                ///< 50 ft above the threshold to a stop
  SurfaceFactors surface_factor;  ///< on all of it, from the file's notes; may be empty
};

/// What the policy charges a landing with power.
struct LandingCharge {
  double headwind_credit = 0.0;  ///< share of a headwind that is counted, 0..1
  double tailwind_charge = 0.0;  ///< times the tailwind, >= 1; set by the policy file
  struct SurfaceRow {
    double factor = 1.0;  ///< on the whole distance, >= 1
    std::string source;   ///< regulation, or "common practice"
  };
  std::map<earth::Surface, SurfaceRow> surface;  ///< where the aircraft file has no note
};

struct PoweredDistance {
  Length dry;                   ///< with wind and slope, paved and dry
  double surface_factor = 1.0;  ///< >= 1
  std::string surface_source;   ///< where that comes from
  [[nodiscard]] Length of_the_day() const { return dry * surface_factor; }
};

/// Distance from 50 ft at v_ref to a stop.
///
/// runway      headwind along the landing, at 10 m; slope uphill + in the direction of the landing
/// charge      which share of the wind counts: w = credit x headwind, or charge x tailwind
/// over_v_ref  calibrated airspeed carried over v_ref, as for gusts; >= 0
/// slope       a downhill landing grows by the rule's share; uphill is not credited
/// returns     with V the true airspeed of v_ref at this mass and a what is carried over it, the longer of
///               table x ((V + a - w)/V)^2 and
///               table x ((V - w)/V)^2 + E ((2 V a + a^2)/2 - w a)/g,
///             the first for an aeroplane that brakes away what is too much, the second for one that floats until it is
///             gone, at the glide ratio with landing flap, E: drag is weight/E, so losing the energy of V + a over that
///             of V takes E ((V + a)^2 - V^2)/(2 g) through the air and the time E a/g, in which the wind counts.
///             Downhill the float, too, grows by the rule's share, or by 1/(1 - E x slope) where that is more: the
///             ground falls away from the glide. Squared throughout: more than the air part needs, less than the roll,
///             which begins slower; with a quarter of the distance in the air and v_ref up to 1.15 x touchdown speed
///             the sum is no less than physics asks in a tailwind. `outside`, naming axis and end, where the file has
///             no such figure, where its table does not cover the conditions, where neither file nor policy has a
///             factor for the surface, and where with a > 0 the runway falls as steeply as the glide, so that nothing
///             floats off
/// accuracy    arithmetic; tests/reference/powered_landing_test.cpp. The glide ratio is the one at best glide speed,
///             the best there is out of ground effect; that ground effect carries a float farther is not counted
/// source      constant deceleration from a fixed airspeed; the float from the balance of energy, closed form; the
///             share by slope: AMC2 CAT.POL.A.430 gives 5 % per 1 % downhill
Lookup<PoweredDistance> powered_landing_distance(const Performance& performance, const Conditions& conditions,
                                                 const RollSurface& runway, const LandingCharge& charge,
                                                 const StopRule& rule, Speed over_v_ref = {});

}  // namespace backfield::aircraft
