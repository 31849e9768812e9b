#pragma once
// From the failure to a steady glide, flown: reaction, then nose down and bank on together.
//
// For the reaction the climb's flight-path angle and bank are held while the speed decays. Then, at the same time, the
// bank goes on at the roll rate and the nose goes down, with 0.5 <= n <= (V / 1.1 stall)^2, until turn speed and bank
// are reached. The pilot's law for the nose: aim at the flight-path angle that would win the missing speed back within
// kSpeedTime, and rotate towards it within kNoseTime. Measured with a 9:1 trainer after 5 s of holding: see
// tests/laws/path_laws_test.cpp, which holds height lost in 270 and 360 degrees inside published bands.
//
// Rejected: waiting for turn speed before banking (about 150 ft more than flown returns show), and trading energy at
// once (cheaper than they show).

#include "backfield/flight/path.hpp"
#include "glider.hpp"

#include <vector>

namespace backfield::flight {

/// The end of the reaction, from which entries to every side go on.
struct Reacted {
  double V = 0.0, gamma = 0.0, psi = 0.0, e = 0.0, n = 0.0, h = 0.0;
  double bank = 0.0, load = 1.0;  ///< held all the time
  double time = 0.0;
  double lowest_speed_over_stall = 0.0;
};
/// The glide of an entry: until a propeller is feathered another one, if it has to be.
struct EntryGlide {
  const Glider* feathered = nullptr;
  const Glider* until = nullptr;  ///< before that; none: there is nothing to feather
  double feathered_after = 0.0;   ///< s after the failure
  [[nodiscard]] bool is_feathered(double time) const { return until == nullptr || time >= feathered_after; }
  [[nodiscard]] Propeller propeller(double time) const {
    return is_feathered(time) ? Propeller::at_rest : Propeller::unfeathered;
  }
  [[nodiscard]] const Glider& at(double time) const { return is_feathered(time) ? *feathered : *until; }
};

/// stall_cas   1 g, clean
/// track       when given, receives where the aeroplane is after each step
Reacted react(const AirState& start, double reaction_s, double stall_cas, const EntryGlide& glide,
              std::vector<Point>* track = nullptr);

struct EntryRequest {
  double bank_target = 0.0;  ///< signed, right +; 0 for a straight entry
  double cas_target = 0.0;
  double roll_rate = 0.0;  ///< rad/s
  double stall_cas = 0.0;  ///< 1 g, clean
};

struct EntryEnd {
  Point point;  ///< at the end, speed differences already traded for height
  double duration = 0.0;
  double cas_flown = 0.0;     ///< before that trade
  double height_given = 0.0;  ///< given away at the end, taken off the point already
  double lowest_speed_over_stall = 0.0;
};

/// `samples`, when given, receives the schedule flown, reaction included; `track` where the aeroplane is after each
/// step.
EntryEnd fly_entry(const Reacted& start, const EntryRequest& request, const EntryGlide& glide,
                   std::vector<EntrySample>* samples, std::vector<Point>* track = nullptr);

}  // namespace backfield::flight
