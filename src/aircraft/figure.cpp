#include "backfield/aircraft/figure.hpp"

#include "backfield/base/contract.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>

namespace backfield::aircraft {
namespace {

// Conditions come out of chains such as kg -> lb -> kg; a pilot at the last row is not to be refused for the last bit.
constexpr double kRounding = 1e-6;

double rounding_at(double node) { return kRounding * std::max(1.0, std::abs(node)); }

/// An axis as a pilot names it, and the unit he reads it in.
struct AxisName {
  const char* name;
  const char* unit;
  double (*in_unit)(double si);
};

constexpr AxisName kMassAxis = {"mass", "kg", [](double kg) { return kg; }};
constexpr AxisName kAltitudeAxis = {"pressure altitude", "ft", [](double m) { return in_feet(metres(m)); }};
constexpr AxisName kTemperatureAxis = {"outside air temperature", "C", [](double k) { return in_celsius(kelvins(k)); }};

/// "ends at 30 C"; one decimal only where the node has one, and never "-0".
std::string describe(const char* what, const AxisName& axis, double node_si) {
  double value = std::round(axis.in_unit(node_si) * 10.0) / 10.0;
  if (value == 0.0) value = 0.0;
  char number[32];
  std::snprintf(number, sizeof number, value == std::round(value) ? "%.0f" : "%.1f", value);
  return std::string(what) + ' ' + number + ' ' + axis.unit;
}

/// Where a condition falls on an axis: between nodes `low` and `high`, `t` of the way.
struct Bracket {
  std::size_t low = 0;
  std::size_t high = 0;
  double t = 0.0;
  enum class Side { inside, below, above } side = Side::inside;
};

Bracket bracket(const std::vector<double>& nodes, double x) {
  const std::size_t last = nodes.size() - 1;
  if (x < nodes.front()) {
    return {0, 0, 0.0, x < nodes.front() - rounding_at(nodes.front()) ? Bracket::Side::below : Bracket::Side::inside};
  }
  if (x >= nodes[last]) {
    return {last, last, 0.0, x > nodes[last] + rounding_at(nodes[last]) ? Bracket::Side::above : Bracket::Side::inside};
  }
  const auto high = static_cast<std::size_t>(std::upper_bound(nodes.begin(), nodes.end(), x) - nodes.begin());
  return {high - 1, high, (x - nodes[high - 1]) / (nodes[high] - nodes[high - 1]), Bracket::Side::inside};
}

/// Lowers `result` to what this axis allows; outside is never raised again, and the first axis to say so is named.
void judge(const Bracket& b, const std::vector<double>& nodes, const AxisName& axis, bool clamp_low,
           Lookup<double>& result) {
  if (b.side == Bracket::Side::inside || result.coverage == Coverage::outside) return;
  const bool below = b.side == Bracket::Side::below;
  const bool clamps = below && clamp_low;
  if (clamps && result.coverage == Coverage::clamped) return;
  result.coverage = clamps ? Coverage::clamped : Coverage::outside;
  result.axis = axis.name;
  const char* what = nodes.size() == 1 ? "given only for" : below ? "starts at" : "ends at";
  result.end = describe(what, axis, below ? nodes.front() : nodes.back());
}

double lerp(double a, double b, double t) { return a + t * (b - a); }

Lookup<double> look_up(const Grid& g, const Conditions& c) {
  const Bracket m = bracket(g.mass_kg, c.mass.si());
  const Bracket h = bracket(g.pressure_altitude_m, c.pressure_altitude.in_standard_atmosphere.si());
  const Bracket k = bracket(g.temperature_k, c.temperature.si());

  Lookup<double> result;
  result.coverage = Coverage::inside;
  judge(m, g.mass_kg, kMassAxis, g.clamp_mass_low, result);
  judge(h, g.pressure_altitude_m, kAltitudeAxis, g.clamp_altitude_low, result);
  judge(k, g.temperature_k, kTemperatureAxis, g.clamp_temperature_low, result);
  if (!result.usable()) {
    result.value = std::numeric_limits<double>::quiet_NaN();
    return result;
  }

  const auto along_temperature = [&](std::size_t i_mass, std::size_t i_altitude) {
    const double* row = &g.values_si[(i_mass * g.pressure_altitude_m.size() + i_altitude) * g.temperature_k.size()];
    return lerp(row[k.low], row[k.high], k.t);
  };
  const auto along_altitude = [&](std::size_t i_mass) {
    return lerp(along_temperature(i_mass, h.low), along_temperature(i_mass, h.high), h.t);
  };
  result.value = lerp(along_altitude(m.low), along_altitude(m.high), m.t);
  return result;
}

void judge_range(double x, double low, double high, const AxisName& axis, Lookup<double>& result) {
  if (!result.usable()) return;
  const bool below = x < low - rounding_at(low);
  if (!below && x <= high + rounding_at(high)) return;
  result.coverage = Coverage::outside;
  result.axis = axis.name;
  result.end = describe(below ? "starts at" : "ends at", axis, below ? low : high);
}

Lookup<double> look_up(const Scaled& s, const Validity& valid, const Conditions& c) {
  Lookup<double> result;
  result.coverage = Coverage::inside;
  if (valid.mass) judge_range(c.mass.si(), valid.mass->low.si(), valid.mass->high.si(), kMassAxis, result);
  if (valid.pressure_altitude) {
    judge_range(c.pressure_altitude.in_standard_atmosphere.si(), valid.pressure_altitude->low.si(),
                valid.pressure_altitude->high.si(), kAltitudeAxis, result);
  }
  if (valid.temperature) {
    judge_range(c.temperature.si(), valid.temperature->low.si(), valid.temperature->high.si(), kTemperatureAxis,
                result);
  }
  if (!result.usable()) {
    result.value = std::numeric_limits<double>::quiet_NaN();
    return result;
  }
  switch (s.law) {
    case Scaled::Law::constant:
      result.value = s.value_si;
      break;
    case Scaled::Law::inverse_sigma:
      result.value = s.value_si / c.sigma;
      break;
    case Scaled::Law::sqrt_mass:
      result.value = s.value_si * std::sqrt(c.mass.si() / s.reference_mass_kg);
      break;
  }
  return result;
}

bool all_finite(const std::vector<double>& values) {
  return std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
}

void require_axis(const std::vector<double>& nodes) {
  require(!nodes.empty(), "an axis of a table has at least one node");
  require(all_finite(nodes), "the nodes of a table are finite");
  require(std::adjacent_find(nodes.begin(), nodes.end(), [](double a, double b) { return a >= b; }) == nodes.end(),
          "the nodes of a table rise strictly");
}

template <class T>
void require_range(const std::optional<Interval<T>>& range) {
  if (!range) return;
  require(std::isfinite(range->low.si()) && std::isfinite(range->high.si()) && range->low <= range->high,
          "a range of validity is finite and has its low end first");
}

}  // namespace

Figure::Figure(Grid grid, Source source) : source_(std::move(source)) {
  require_axis(grid.mass_kg);
  require_axis(grid.pressure_altitude_m);
  require_axis(grid.temperature_k);
  require(grid.values_si.size() == grid.mass_kg.size() * grid.pressure_altitude_m.size() * grid.temperature_k.size(),
          "a table has one value for each combination of its nodes");
  require(all_finite(grid.values_si), "the values of a table are finite");
  data_ = std::move(grid);
}

Figure::Figure(Scaled scaled, Validity validity, Source source) : validity_(validity), source_(std::move(source)) {
  require(std::isfinite(scaled.value_si), "a figure is finite");
  require(scaled.law != Scaled::Law::sqrt_mass ||
              (std::isfinite(scaled.reference_mass_kg) && scaled.reference_mass_kg > 0.0),
          "a figure that scales with mass has a positive reference mass");
  require_range(validity.mass);
  require_range(validity.pressure_altitude);
  require_range(validity.temperature);
  data_ = scaled;
}

Lookup<double> Figure::at(const Conditions& c) const {
  require(std::isfinite(c.mass.si()) && std::isfinite(c.pressure_altitude.in_standard_atmosphere.si()) &&
              std::isfinite(c.temperature.si()) && std::isfinite(c.sigma) && c.sigma > 0.0,
          "the conditions of a lookup are finite and the density ratio is positive");
  if (const auto* grid = std::get_if<Grid>(&data_)) return look_up(*grid, c);
  if (const auto* scaled = std::get_if<Scaled>(&data_)) return look_up(*scaled, validity_, c);
  return {std::numeric_limits<double>::quiet_NaN(), Coverage::outside, "figure", "not stated in the aircraft file"};
}

}  // namespace backfield::aircraft
