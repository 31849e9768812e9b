#pragma once
// Aeroplanes and runways for tests, made in code: invented, generic.

#include "backfield/aircraft/aircraft.hpp"
#include "backfield/earth/environment.hpp"
#include "backfield/flight/path_finder.hpp"
#include "backfield/flight/timeline.hpp"

namespace backfield::test {

/// A figure that is the same everywhere, or scales with a law.
aircraft::Figure figure(double si, aircraft::Scaled::Law law = aircraft::Scaled::Law::constant);

/// Fixed-gear trainer, 1,100 kg, glide 9:1 at 68 kt. rate of climb and distances as given.
aircraft::Aircraft trainer(Speed climb_rate, Length roll, Length to_50ft);

/// Wings level by this height in all tests.
inline constexpr Length kAlignment = feet(100);

/// Reference arithmetic: uniform wind, one density, small angles, allowance for rolling, speed kept.
flight::Model plain_model();
flight::Technique plain_technique();
/// The full model and the technique of a cautious policy.
flight::Model full_model();
flight::Technique full_technique();

/// Runway with its start at the origin; both declared lengths equal to `length`.
earth::RunwayEnd runway(double track_deg, Length length, earth::Altitude elevation);
/// The other end of it.
earth::RunwayEnd opposite(const earth::RunwayEnd& end);

}  // namespace backfield::test
