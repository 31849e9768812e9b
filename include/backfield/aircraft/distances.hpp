#pragma once
// What a take-off and a landing need of a runway: tables times wind, slope, surface and policy.

#include "backfield/aircraft/performance.hpp"
#include "backfield/aircraft/stop_rule.hpp"
#include "backfield/earth/runway.hpp"

namespace backfield::aircraft {

/// The runway as a roll sees it.
struct RollSurface {
  earth::Surface surface = earth::Surface::unknown;
  double slope = 0.0;  ///< rise over run in the direction of the roll, uphill +
  Speed headwind{};    ///< along the roll at 10 m, tailwind negative
};

/// What an adverse slope makes of a distance, >= 1; a helpful one is 1.
/// adverse_slope   rise over run: uphill + for a take-off, downhill + for a landing
/// source          AMC2 CAT.POL.A.400 and A.430: 5 % for each 1 %
double adverse_slope_factor(double adverse_slope, const StopRule& rule);

struct TakeOffDistances {
  Length roll;     ///< brake release to lift-off
  Length to_50ft;  ///< brake release to 50 ft
};

/// Still-air book figures take wind as physics has it: the roll scales with ((V - w)/V)^2, the air part with (V - w)/V,
/// V the true airspeed at rotation, w the headwind. Uphill lengthens the roll by the rule's share.
///
/// returns     outside, naming axis and end, where a table does not cover the conditions or no factor is stated for the
///             surface
/// source      constant acceleration to a fixed airspeed; slope share: AMC2 CAT.POL.A.400 gives 5 % per 1 %
Lookup<TakeOffDistances> take_off_distances(const Performance& performance, const Conditions& conditions,
                                            const RollSurface& runway, const StopRule& rule);

struct LandingDistances {
  Length air;   ///< from where the glide would meet the ground to touchdown
  Length roll;  ///< touchdown to stop, policy factor included
};

/// Power off: float at best glide speed, then the roll. Float scales with (Vbg - w)/Vbg, the roll with
/// ((Vtd - w)/Vtd)^2, both at true airspeed. `no headwind credit` is not taken: the bracket moves the wind instead.
///
/// source      as above
Lookup<LandingDistances> landing_distances(const Performance& performance, const Conditions& conditions,
                                           const RollSurface& runway, const StopRule& rule);

/// Distance to stop from a ground speed on the take-off roll: the delay at that speed, then braking as after a landing
/// (the landing roll at the same surface and slope, scaled with the square of ground speed).
Lookup<Length> rejected_take_off_distance(const Performance& performance, const Conditions& conditions,
                                          const RollSurface& runway, Speed ground_speed, const StopRule& rule);

/// Accelerate and go, accelerate and stop with an engine failing: the file's distances, on the day.
///
/// Wind, where the file's take-off is in still air: a tailwind by the square of the ground speed at v_r over the
/// airspeed, a headwind by that ratio alone, which is never too short however roll and climb share the distance. Slope:
/// the share of the rule, uphill for going; either way for stopping, of which the one half rolls up what the other
/// rolls down. Surface: of a take-off for going, the greater of take-off and landing for stopping; on the whole
/// distance.
///
/// returns     outside, naming axis and end, where the file has no figure, its table ends before the day, or it has no
///             factor for the surface
/// source      as take_off_distances; that wind, slope and surface are counted: CAT.POL.A.205(c), 14 CFR 25.105(d)
/// test        tests/reference/engine_out_distances_test.cpp
Lookup<Length> accelerate_go_distance(const Performance& performance, const Conditions& conditions,
                                      const RollSurface& runway, const StopRule& rule);
Lookup<Length> accelerate_stop_distance(const Performance& performance, const Conditions& conditions,
                                        const RollSurface& runway, const StopRule& rule);

/// An estimate for files without accelerate_stop: the roll on all engines to the decision speed, v_1 or else v_r, then
/// as rejected_take_off_distance.
Lookup<Length> estimated_accelerate_stop(const Performance& performance, const Conditions& conditions,
                                         const RollSurface& runway, const StopRule& rule);

}  // namespace backfield::aircraft
