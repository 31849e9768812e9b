#pragma once
// The departure as flown: where the aeroplane is at every second after lift-off, in one world.

#include "backfield/aircraft/distances.hpp"
#include "backfield/earth/environment.hpp"
#include "backfield/earth/runway.hpp"
#include "backfield/flight/departure_track.hpp"
#include "backfield/flight/technique.hpp"

#include <optional>
#include <string>
#include <vector>

namespace backfield::flight {

/// The aeroplane in the air at one moment.
struct AirState {
  double time_s = 0.0;  ///< since lift-off
  double east_m = 0.0;
  double north_m = 0.0;
  double height_m = 0.0;     ///< above the departure elevation
  double heading_rad = 0.0;  ///< of the air path, clockwise from true north
  double tas_mps = 0.0;
  double gamma_rad = 0.0;          ///< flight-path angle through the air, descending +, so negative in the climb
  double bank_rad = 0.0;           ///< right +
  double ground_distance_m = 0.0;  ///< flown over the ground since brake release
};

/// The take-off roll, for what can be said about it.
struct TakeOff {
  Length start_from_pavement{};  ///< where the roll begins
  Length roll{};                 ///< brake release to lift-off
  Length to_50ft{};              ///< brake release to 50 ft
  Duration roll_time{};          ///< brake release to lift-off, constant acceleration
  Speed lift_off_ground_speed{};
};

/// Nodes every half second, straight lines between them.
/// accuracy    within 0.1 m of the integration it comes from: the sagitta of half a second of turning at rate one
class Timeline {
 public:
  Timeline(TakeOff take_off, std::vector<AirState> nodes, std::string stopped_because);

  [[nodiscard]] const TakeOff& take_off() const { return take_off_; }
  [[nodiscard]] Duration begin() const { return seconds(nodes_.front().time_s); }
  [[nodiscard]] Duration end() const { return seconds(nodes_.back().time_s); }
  /// time        begin()..end(), clamped to it
  [[nodiscard]] AirState at(Duration time) const;
  /// First time at which the height is reached; nullopt when it never is.
  [[nodiscard]] std::optional<Duration> when_at_height(Length height) const;
  /// First time at which so much ground has been covered since brake release.
  [[nodiscard]] std::optional<Duration> when_at_ground_distance(Length distance) const;
  /// Why it ends: "scan complete", "ceiling", ...
  [[nodiscard]] const std::string& stopped_because() const { return stopped_because_; }
  [[nodiscard]] const std::vector<AirState>& nodes() const { return nodes_; }

 private:
  TakeOff take_off_;
  std::vector<AirState> nodes_;
  std::string stopped_because_;
};

struct DepartureRequest {
  earth::RunwayEnd runway;
  Length start_from_pavement{};
  aircraft::TakeOffDistances distances;  ///< roll and distance to 50 ft, wind and surface already in them
  DepartureTrack track;
  ClimbSpeed climb = ClimbSpeed::v_y;
  earth::Altitude elevation;  ///< datum of heights
  double climb_factor = 1.0;  ///< on the book rate of climb, 0.5..1
  Duration at_least{};        ///< scan to this time after lift-off ...
  Length up_to{};             ///< ... and to this height ...
  Duration never_past{};      ///< ... but not past this time
};

/// Flies the departure: roll and air distance to 50 ft as given, then the climb at the chosen calibrated airspeed, in
/// the wind and air of `environment`, along the legs.
///
/// The climb below 50 ft is a straight line in ground distance; above it the rate of climb is the table's at the local
/// pressure altitude and temperature, bank costs (n^2 - 1)/(2 E v^2) of specific power, and with ShearRule::on the wind
/// change with height enters as in the glide. With DensityRule::aerodrome the table is asked once, at the aerodrome.
///
/// returns     nullopt, with `refusal` saying axis, value and end, when a table does not cover the departure, or when
///             there is no climb at all
struct Departed {
  std::optional<Timeline> timeline;
  std::string refusal;
};
Departed fly_departure(const aircraft::Performance& performance, const DepartureRequest& request,
                       const earth::Environment& environment, const Model& model);

}  // namespace backfield::flight
