#pragma once
// A rendezvous flown without its solver: as a control schedule of an aeroplane, and by plain integration.

#include "backfield/flight/path.hpp"
#include "backfield/flight/rendezvous.hpp"
#include "tests/tools/random_scene.hpp"

namespace backfield::test {

/// What a rendezvous is posed in: one density, small angles, no energy from shear, turns without rolling.
flight::Model rendezvous_model();

/// How an aeroplane of a scene flies one, power off.
struct WordPilot {
  Cas straight_speed, first_speed, last_speed;
  Angle first_bank, last_bank;
  flight::RendezvousSetup setup;
};
WordPilot word_pilot(const RandomScene& scene, Angle last_bank);

/// The schedule that Flyer flies again; `on` seconds of a straight at its end.
flight::Path schedule(const WordPilot& pilot, const flight::AirPose& from, const flight::RendezvousResult& path,
                      double on_s = 0.0);

/// Where a word ends, by Simpson's rule over steps of 0.05 s of each piece.
flight::AirPose fly_word(const flight::RendezvousSetup& setup, const flight::AirPose& from,
                         const flight::RendezvousResult& path);

}  // namespace backfield::test
