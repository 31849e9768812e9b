#pragma once
// Gliding flight in small fixed time steps, for the exhaustive search of tests (dense_search.hpp).
//
// It shares the equations of motion and the classes of earth and aircraft with the program and nothing else. What the
// technique prescribes is written down here once more: how an entry is flown, how a turn is rolled into and out of.

#include "backfield/flight/equations.hpp"
#include "backfield/flight/path_finder.hpp"

#include <vector>

namespace backfield::test {

/// Metres and radians; height above the departure elevation.
struct Spot {
  double e = 0.0, n = 0.0, h = 0.0, psi = 0.0;
};

/// A bank (magnitude) and the calibrated airspeed flown in it.
struct Turn {
  double bank = 0.0, cas = 0.0;
};

class DenseFlight {
 public:
  /// How the air is tabled and flown through. A metre and a quarter of a second blur what a shear that jumps from
  /// nothing to 0.2/s does to a turn beside it by two feet, which matters where a single path is flown.
  struct Fineness {
    double table_m = 1.0, step_s = 0.25;
  };
  /// The setup's own data are used, none of the solver's, up to its top.
  explicit DenseFlight(const flight::PathFinderSetup& setup) : DenseFlight(setup, Fineness{}) {}
  DenseFlight(const flight::PathFinderSetup& setup, Fineness fineness);

  struct Air {
    double q, q_slope;               ///< true over calibrated airspeed
    double east, north;              ///< motion of the air
    double east_slope, north_slope;  ///< 0 where the model has no shear
  };
  [[nodiscard]] Air air(double h) const;
  /// Exactly, slopes as they are over `span` metres about a height: the table knows nothing narrower than its step.
  [[nodiscard]] Air air_over(double h, double span) const;

  /// The same air at every height?
  [[nodiscard]] bool uniform() const { return uniform_; }

  /// Through the air; wings level at best glide speed unless told otherwise.
  struct Glide {
    double level, sink;  ///< m/s
  };
  [[nodiscard]] Glide glide(double h, double psi) const { return glide(air(h), psi); }
  [[nodiscard]] Glide glide(const Air& air, double psi) const;
  [[nodiscard]] const Turn& first() const { return first_; }
  [[nodiscard]] const Turn& line_up() const { return line_up_; }
  [[nodiscard]] bool rolls() const { return rolls_; }
  [[nodiscard]] bool entry_is_flown() const { return flown_; }

  /// From the failure to a steady glide: wings level (0), or into the first turn (-1 left, +1 right).
  [[nodiscard]] Spot enter(const flight::AirState& failure, int sense) const;
  /// Wings level and straight on, before the first turn: where rolling is not flown at the speed of the turn already.
  void before_turning(Spot& p, double seconds) const;
  /// The same at best glide speed.
  void straight(Spot& p, double seconds) const;
  /// From wings level to wings level, by `change` >= 0.
  void turn(Spot& p, const Turn& turn, int sense, double change) const;
  /// The bank held until the heading has changed by `change`.
  void hold(Spot& p, const Turn& turn, int sense, double change) const;
  void roll_out(Spot& p, const Turn& turn, int sense) const;
  /// Heading that rolling out from the bank (or in) adds at a height; 0 where no rolling is flown.
  [[nodiscard]] double roll_gain(const Turn& turn, double h) const;

 private:
  struct Motion {
    double east, north, sink, turn;
  };
  /// How it is flown at one moment: bank right +, change of calibrated airspeed a second.
  struct Controls {
    double tan_bank, cas, cas_rate;
    flight::equations::Trim trim;
  };
  [[nodiscard]] Controls controls(double bank, double cas, double cas_rate) const;
  [[nodiscard]] Motion motion(double h, double psi, const Controls& controls) const;
  void ahead(Spot& p, double seconds, double cas) const;
  void step(Spot& p, const Controls& controls, double dt) const;
  void roll(Spot& p, const Turn& from, const Turn& to, int sense) const;
  [[nodiscard]] Turn part_of(const Turn& turn, double share) const;
  [[nodiscard]] Spot keep_speed(const flight::AirState& failure, double cas_target) const;
  [[nodiscard]] Spot fly_entry(const flight::AirState& failure, double bank_target, double cas_target) const;

  earth::Air density_;
  earth::WindProfile wind_;
  double datum_m_, shear_;  // 1 with shear, 0 without
  Fineness fine_;
  std::vector<Air> table_;
  double vbg_, stall_, E_, reaction_, roll_rate_, given_;
  flight::AngleRule angle_;
  bool rolls_, flown_, uniform_;
  Turn first_, line_up_;
};

}  // namespace backfield::test
