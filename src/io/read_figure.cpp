#include "read_figure.hpp"

#include "backfield/earth/atmosphere.hpp"

#include <array>
#include <cmath>
#include <set>

namespace backfield::io {
namespace {

using aircraft::Grid;
using aircraft::Scaled;

constexpr Range kMass{100, 20000, "kg"};
constexpr Range kPressureAltitude{-2000, 45000, "ft"};
constexpr Range kTemperature{-80, 60, "C"};

/// A list of rising quantities; empty after a finding.
std::vector<double> read_axis(const Value& list, Dimension dimension, const Range& range) {
  std::vector<double> nodes;
  bool complete = true;
  for (const Value& item : list.items("a list of values with units, rising")) {
    const auto node = item.si(dimension, range);
    if (!node) {
      complete = false;
      continue;
    }
    if (!nodes.empty() && *node <= nodes.back()) {
      item.refuse("a value above the one before it");
      complete = false;
    }
    nodes.push_back(*node);
  }
  return complete ? nodes : std::vector<double>{};
}

struct Table {
  Grid grid;
  std::vector<Value> cells;  // the same order as the values
};

/// One mass of the table: a list with a row for each pressure altitude, each with a number for each temperature.
bool read_rows(const Value& rows, const FigureKind& kind, std::string_view unit, Table& table) {
  bool complete = true;
  const std::size_t altitudes = table.grid.pressure_altitude_m.size();
  const std::size_t temperatures = table.grid.temperature_k.size();
  const std::vector<Value> lines = rows.items("a list of rows, one for each pressure altitude");
  if (lines.size() != altitudes) {
    if (!lines.empty()) {
      rows.refuse(std::to_string(altitudes) + " rows, one for each pressure altitude",
                  "there are " + std::to_string(lines.size()));
    }
    return false;
  }
  for (const Value& line : lines) {
    const std::vector<Value> cells = line.items("a list of numbers, one for each temperature");
    if (cells.size() != temperatures) {
      if (!cells.empty()) {
        line.refuse(std::to_string(temperatures) + " numbers, one for each temperature",
                    "there are " + std::to_string(cells.size()));
      }
      complete = false;
      continue;
    }
    for (const Value& cell : cells) {
      const auto number = cell.si(Dimension::number, {-1e6, 1e6, ""});
      if (!number) {
        complete = false;
        continue;
      }
      const double si = to_si(*number, unit, kind.dimension);
      const double low = to_si(kind.range.low, kind.range.unit, kind.dimension);
      const double high = to_si(kind.range.high, kind.range.unit, kind.dimension);
      if (si < low || si > high) {
        cell.refuse(plain(kind.range.low) + " to " + plain(kind.range.high) + " " + std::string(kind.range.unit),
                    "the unit of this table is " + std::string(unit));
        complete = false;
      }
      table.grid.values_si.push_back(si);
      table.cells.push_back(cell);
    }
  }
  return complete;
}

/// Every value is compared with the one before it along each axis.
void check_trend(const Table& table, Trend trend) {
  if (trend == Trend::free) return;
  const std::size_t rows = table.grid.pressure_altitude_m.size();
  const std::size_t columns = table.grid.temperature_k.size();
  // clang-format off
  const std::array<std::pair<std::size_t, const char*>, 3> axes{{
      {rows * columns, "mass"}, {columns, "pressure altitude"}, {1, "temperature"}}};
  // clang-format on
  const std::array<std::size_t, 3> sizes{table.grid.mass_kg.size(), rows, columns};
  for (std::size_t i = 0; i < table.cells.size(); ++i) {
    for (std::size_t axis = 0; axis < axes.size(); ++axis) {
      const std::size_t stride = axes[axis].first;
      if ((i / stride) % sizes[axis] == 0) continue;
      const double step = table.grid.values_si[i] - table.grid.values_si[i - stride];
      if (trend == Trend::grows ? step >= 0.0 : step <= 0.0) continue;
      table.cells[i].refuse(std::string(trend == Trend::grows ? "a value not below " : "a value not above ") +
                                table.cells[i - stride].raw() + ", the one at the next lower " + axes[axis].second,
                            trend == Trend::grows ? "a distance does not shrink with mass, altitude or temperature"
                                                  : "a rate of climb does not grow with mass, altitude or temperature");
      break;
    }
  }
}

std::optional<Grid> read_table(const Value& value, const FigureKind& kind) {
  const Fields fields(value, {"unit", "pressure_altitude", "temperature", "by_mass", "below_the_table"});
  if (!fields.is_map()) return std::nullopt;
  const Words<std::string_view> units = kind.dimension == Dimension::vertical_speed
                                            ? Words<std::string_view>{{"ft/min", "ft/min"}, {"m/s", "m/s"}}
                                            : Words<std::string_view>{{"m", "m"}, {"ft", "ft"}};
  const auto unit = fields.need_choice("unit", units);
  Table table;
  if (const auto axis = fields.need("pressure_altitude", R"(a list such as [0 ft, 2000 ft])")) {
    table.grid.pressure_altitude_m = read_axis(*axis, Dimension::length, kPressureAltitude);
  }
  if (const auto axis = fields.need("temperature", R"(a list such as [-20 C, 0 C, 20 C])")) {
    table.grid.temperature_k = read_axis(*axis, Dimension::temperature, kTemperature);
  }
  if (const auto below = fields.get("below_the_table")) {
    const Fields ends(*below, {"mass", "pressure_altitude", "temperature"});
    const Words<bool> words{{"use_lowest", true}, {"refuse", false}};
    table.grid.clamp_mass_low = ends.get_choice("mass", words).value_or(false);
    table.grid.clamp_altitude_low = ends.get_choice("pressure_altitude", words).value_or(false);
    table.grid.clamp_temperature_low = ends.get_choice("temperature", words).value_or(false);
  }
  const auto by_mass = fields.need("by_mass", "a list of {mass, rows}");
  if (!by_mass || !unit || table.grid.pressure_altitude_m.empty() || table.grid.temperature_k.empty()) {
    return std::nullopt;
  }
  bool complete = true;
  for (const Value& part : by_mass->items("a list of {mass, rows}")) {
    const Fields block(part, {"mass", "rows"});
    const auto mass = block.need_quantity<Mass>("mass", Dimension::mass, kMass);
    const auto rows = block.need("rows", "a list of rows, one for each pressure altitude");
    if (!mass || !rows) {
      complete = false;
      continue;
    }
    if (!table.grid.mass_kg.empty() && mass->si() <= table.grid.mass_kg.back()) {
      block.get("mass")->refuse("a mass above the one before it");
      complete = false;
    }
    table.grid.mass_kg.push_back(mass->si());
    complete = read_rows(*rows, kind, *unit, table) && complete;
  }
  if (!complete || table.grid.mass_kg.empty()) return std::nullopt;
  check_trend(table, kind.trend);
  return table.grid;
}

/// `[low, high]` of a validity.
template <class Q>
std::optional<Interval<Q>> read_interval(const Fields& fields, std::string_view key, Dimension dimension,
                                         const Range& range) {
  const auto value = fields.get(key);
  if (!value) return std::nullopt;
  const std::vector<Value> items = value->items("the lowest and the highest, such as [900 kg, 1100 kg]");
  if (items.empty()) return std::nullopt;
  if (items.size() != 2) {
    value->refuse("two values, the lowest and the highest");
    return std::nullopt;
  }
  const auto low = items[0].quantity<Q>(dimension, range);
  const auto high = items[1].quantity<Q>(dimension, range);
  if (!low || !high) return std::nullopt;
  if (*high < *low) {
    items[1].refuse("a value not below the first");
    return std::nullopt;
  }
  return Interval<Q>{*low, *high};
}

}  // namespace

const Words<earth::Surface>& surface_words() {
  static const Words<earth::Surface> words{
      {"paved", earth::Surface::paved},         {"wet_paved", earth::Surface::wet_paved},
      {"grass_dry", earth::Surface::grass_dry}, {"grass_wet", earth::Surface::grass_wet},
      {"gravel", earth::Surface::gravel},       {"dirt", earth::Surface::dirt},
      {"water", earth::Surface::water},         {"contaminated", earth::Surface::contaminated},
      {"unknown", earth::Surface::unknown}};
  return words;
}

aircraft::Source need_source(const Fields& group) {
  const auto value = group.need("source", R"({document: invented, condition: "flaps up", uncertainty: "5 %"})");
  if (!value) return {};
  const Fields fields(*value, {"document", "condition", "uncertainty", "estimate"});
  aircraft::Source source;
  const auto text = [&](std::string_view key, const std::string& accepted) {
    return fields.need_text(key, accepted).value_or("");
  };
  source.document = text("document", R"(where the number comes from, such as "invented")");
  source.condition = text("condition", R"(what the number holds in, such as "flaps up", or "not stated")");
  source.uncertainty = text("uncertainty", R"(a text such as "5 %", or "not stated")");
  if (const auto estimate = fields.get("estimate")) source.estimate = estimate->yes_or_no().value_or(false);
  return source;
}

std::optional<aircraft::Figure> read_figure(const Value& value, const FigureKind& kind) {
  const Fields fields(value, {"value", "law", "reference_mass", "valid", "table", "source"});
  if (!fields.is_map()) return std::nullopt;
  const aircraft::Source source = need_source(fields);
  const auto table = fields.get("table");
  const auto number = fields.get("value");
  if (!table == !number) {
    value.refuse("either \"value\" or \"table\"");
    return std::nullopt;
  }
  if (table) {
    for (const std::string_view key : {"law", "reference_mass", "valid"}) {
      const auto extra = fields.get(key);
      if (extra) extra->refuse("nothing", "this key belongs to a \"value\", not to a table");
    }
    const auto grid = read_table(*table, kind);
    if (!grid) return std::nullopt;
    return aircraft::Figure(*grid, source);
  }
  Scaled scaled;
  const auto si = number->si(kind.dimension, kind.range);
  const auto law = fields.need_choice<Scaled::Law>("law", {{"constant", Scaled::Law::constant},
                                                           {"1/sigma", Scaled::Law::inverse_sigma},
                                                           {"sqrt(mass)", Scaled::Law::sqrt_mass}});
  const auto reference = fields.get_quantity<Mass>("reference_mass", Dimension::mass, kMass);
  if (law == Scaled::Law::sqrt_mass && !fields.has("reference_mass")) {
    fields.missing("reference_mass", "the mass at which the value holds", "the law sqrt(mass) needs it");
  }
  aircraft::Validity validity;
  if (const auto valid = fields.need("valid",
                                     "the conditions the value holds in, such as "
                                     "{mass: [900 kg, 1100 kg], pressure_altitude: [0 ft, 5000 ft]}")) {
    const Fields ranges(*valid, {"mass", "pressure_altitude", "temperature"});
    validity.mass = read_interval<Mass>(ranges, "mass", Dimension::mass, kMass);
    validity.pressure_altitude =
        read_interval<Length>(ranges, "pressure_altitude", Dimension::length, kPressureAltitude);
    validity.temperature = read_interval<Temperature>(ranges, "temperature", Dimension::temperature, kTemperature);
  }
  if (!si || !law) return std::nullopt;
  if (*law == Scaled::Law::sqrt_mass && !reference) return std::nullopt;
  scaled.value_si = *si;
  scaled.law = *law;
  scaled.reference_mass_kg = reference ? reference->si() : 0.0;
  return aircraft::Figure(scaled, validity, source);
}

std::vector<aircraft::Conditions> common_nodes(const aircraft::Figure& a, const aircraft::Figure& b) {
  std::set<double> masses;
  std::set<double> altitudes;
  std::set<double> temperatures;
  for (const aircraft::Figure* figure : {&a, &b}) {
    const auto* grid = std::get_if<Grid>(&figure->data());
    if (!grid) continue;
    masses.insert(grid->mass_kg.begin(), grid->mass_kg.end());
    altitudes.insert(grid->pressure_altitude_m.begin(), grid->pressure_altitude_m.end());
    temperatures.insert(grid->temperature_k.begin(), grid->temperature_k.end());
  }
  std::vector<aircraft::Conditions> nodes;
  for (const double mass : masses) {
    for (const double altitude : altitudes) {
      for (const double temperature : temperatures) {
        const earth::PressureAltitude h{metres(altitude)};
        const aircraft::Conditions c{kilograms(mass), h, kelvins(temperature),
                                     earth::density_ratio(earth::standard_pressure(h), kelvins(temperature))};
        if (a.at(c).usable() && b.at(c).usable()) nodes.push_back(c);
      }
    }
  }
  return nodes;
}

std::string words_of(const aircraft::Conditions& c) {
  return plain(c.mass.si()) + " kg, " + plain(in_feet(c.pressure_altitude.in_standard_atmosphere)) + " ft, " +
         plain(in_celsius(c.temperature)) + " C";
}

void check_above(const Value& place, const aircraft::Figure& less, const aircraft::Figure& more, std::string_view unit,
                 const std::string& why) {
  const auto* a = std::get_if<Scaled>(&less.data());
  const auto* b = std::get_if<Scaled>(&more.data());
  if (a && b) {
    if (b->value_si <= a->value_si) place.refuse(why);
    return;
  }
  const Dimension dimension = unit == "m" ? Dimension::length : Dimension::vertical_speed;
  const auto printed = [&](double si) {
    const double one = to_si(1.0, unit, dimension);
    return plain(std::round(si / one * 1e4) / 1e4) + " " + std::string(unit);
  };
  for (const aircraft::Conditions& c : common_nodes(less, more)) {
    const double low = less.at(c).value;
    const double high = more.at(c).value;
    if (high > low) continue;
    place.refuse(why,
                 "at " + words_of(c) + ": " + printed(high) + ", and " + printed(low) + " for what should be less");
    return;
  }
}

}  // namespace backfield::io
