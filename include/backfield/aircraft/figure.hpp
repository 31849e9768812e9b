#pragma once
// One performance figure of an aircraft file: a number, or a table of them, with the conditions it holds in and where
// it comes from. It answers only inside what it covers; nothing is extrapolated.

#include "backfield/base/interval.hpp"
#include "backfield/base/lookup.hpp"
#include "backfield/base/units.hpp"
#include "backfield/earth/altitude.hpp"

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace backfield::aircraft {

/// The state of the day a figure is asked for.
struct Conditions {
  Mass mass;
  earth::PressureAltitude pressure_altitude;
  Temperature temperature;
  double sigma = 1.0;  ///< density ratio
};

/// Where a figure comes from; printed beside it.
struct Source {
  std::string document;     ///< e.g. "invented", "flight manual p. 5-12", "measured 2026-03-01, n=10"
  std::string condition;    ///< e.g. "flaps up, propeller windmilling"
  std::string uncertainty;  ///< e.g. "5 %"; empty when not stated
  bool estimate = false;
};

/// A table over mass, pressure altitude and temperature, linear in between.
/// An axis may have one node: then the table holds at that value only. At a node and at an end, 1e-6 of the value (at
/// least 1e-6 of a unit) is taken as rounding.
struct Grid {
  std::vector<double> mass_kg;              ///< strictly rising, at least one
  std::vector<double> pressure_altitude_m;  ///< strictly rising, at least one
  std::vector<double> temperature_k;        ///< strictly rising, at least one
  std::vector<double> values_si;            ///< [mass][altitude][temperature], row-major
  /// Ends at which a lookup beyond the table takes the end row, because the file says that this is the safe side.
  bool clamp_mass_low = false;
  bool clamp_altitude_low = false;
  bool clamp_temperature_low = false;
};

/// One number for a range of conditions, with a named scaling law.
struct Scaled {
  double value_si = 0.0;
  enum class Law {
    constant,       ///< the same everywhere in the validity
    inverse_sigma,  ///< value / sigma                     (a roll at a given calibrated speed)
    sqrt_mass       ///< value * sqrt(mass / reference)    (a speed at a given lift coefficient)
  } law = Law::constant;
  double reference_mass_kg = 0.0;  ///< > 0 where the law uses it
};

/// Ranges, low end first, outside which a Scaled must not be used. An absent range means: not limited by the file (and
/// said so).
struct Validity {
  std::optional<Interval<Mass>> mass;
  std::optional<Interval<Length>> pressure_altitude;
  std::optional<Interval<Temperature>> temperature;
};

class Figure {
 public:
  Figure() = default;
  /// Throw std::logic_error when a rule of Grid or Scaled is broken or a number in them is not finite.
  Figure(Grid grid, Source source);
  Figure(Scaled scaled, Validity validity, Source source);

  /// Value in SI. Linear between rows; `outside` (value NaN) names axis and end; `clamped` only where the file allows
  /// it, and names them too. A figure that was never stated is outside. Throws std::logic_error unless every condition
  /// is finite and sigma positive. accuracy    exact at nodes and for functions linear in each axis
  /// (tests/unit/figure_test.cpp)
  [[nodiscard]] Lookup<double> at(const Conditions& c) const;
  [[nodiscard]] const Source& source() const { return source_; }
  /// False for a default-constructed figure, which no file stated.
  [[nodiscard]] bool stated() const { return !std::holds_alternative<std::monostate>(data_); }
  [[nodiscard]] const std::variant<std::monostate, Grid, Scaled>& data() const { return data_; }

 private:
  std::variant<std::monostate, Grid, Scaled> data_;
  Validity validity_;
  Source source_;
};

}  // namespace backfield::aircraft
