#pragma once
// An aircraft at the mass of the day.

#include "backfield/aircraft/aircraft.hpp"
#include "backfield/earth/atmosphere.hpp"

#include <optional>

namespace backfield::aircraft {

/// Speeds scale with sqrt(mass / reference mass): the same angle of attack carries the weight.
/// source      lift equation at constant lift coefficient
class Performance {
 public:
  /// mass        empty..max take-off; the reader has checked it
  Performance(const Aircraft& aircraft, Mass mass);

  [[nodiscard]] const Aircraft& aircraft() const { return *aircraft_; }
  [[nodiscard]] Mass mass() const { return mass_; }
  [[nodiscard]] Cas v_r() const { return scaled(aircraft_->speeds.v_r); }
  [[nodiscard]] Cas v_x() const { return scaled(aircraft_->speeds.v_x); }
  [[nodiscard]] Cas v_y() const { return scaled(aircraft_->speeds.v_y); }
  [[nodiscard]] Cas best_glide() const { return scaled(aircraft_->speeds.best_glide); }
  /// Until the propeller is feathered; the file must have the figures.
  [[nodiscard]] Cas best_glide_unfeathered() const;
  [[nodiscard]] Cas stall_clean() const { return scaled(aircraft_->speeds.stall_clean); }
  [[nodiscard]] Cas stall_landing() const { return scaled(aircraft_->speeds.stall_landing); }
  [[nodiscard]] Cas v_ref() const { return scaled(aircraft_->speeds.v_ref); }
  /// On one engine; the file must have the figures.
  [[nodiscard]] Cas one_engine_out_climb_speed() const { return scaled(engine_out().climb_speed); }
  [[nodiscard]] std::optional<Cas> v_1() const;
  /// Of the final segment; none where the file states none.
  [[nodiscard]] std::optional<Cas> final_speed() const;
  /// Without regard to mass: it is a matter of rudder and thrust.
  [[nodiscard]] Cas v_mca() const { return engine_out().v_mca; }
  [[nodiscard]] Cas touchdown() const { return scaled(aircraft_->speeds.touchdown); }
  /// What the airspeed indicator shows; equal to `cas` when the file has no correction.
  [[nodiscard]] Speed indicated(Cas cas) const;

  /// Parasite factor of the landing flap: the f for which D/W at best glide speed is 1/(ratio with landing flap).
  [[nodiscard]] double landing_flap_parasite_factor() const;
  /// The same of a slip with landing flap; none where slips are not allowed or the file has no figure.
  [[nodiscard]] std::optional<double> slip_parasite_factor() const;

  [[nodiscard]] Conditions conditions(const earth::Air& air, earth::Altitude at) const;

 private:
  [[nodiscard]] const OneEngineOut& engine_out() const;
  [[nodiscard]] double parasite_factor_for(double ratio) const;
  [[nodiscard]] Cas scaled(Cas at_reference_mass) const;
  const Aircraft* aircraft_;
  Mass mass_;
  double speed_factor_;
};

}  // namespace backfield::aircraft
