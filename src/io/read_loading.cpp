#include "read_loading.hpp"

#include "read_figure.hpp"

#include "backfield/base/polygon.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::io {
namespace {

using aircraft::Aircraft;
using aircraft::Fuel;
using aircraft::Loading;
using aircraft::MassAndArm;
using aircraft::Station;

constexpr Range kArm{-20, 20, "m", -3, 15};
constexpr Range kStationMass{0, 5000, "kg"};
constexpr Range kVolume{0, 6000, "l"};
constexpr Range kDensity{0.6, 1, "kg/l", 0.68, 0.85};
constexpr Range kMassFlow{1, 2000, "kg/h", 5, 1000};
constexpr Range kVolumeFlow{1, 2500, "l/h", 5, 1200};
constexpr Range kCornerMass{100, 10000, "kg"};
constexpr double kThinnest = 1e-3;      // of an envelope drawn as a unit square
constexpr double kNearLimit = 0.05;     // of the envelope's width: nearer to a limit is worth a word
const Mass kRounding = kilograms(0.5);  // a limit in pounds, typed in kilograms

/// Of two dimensions the one whose unit is typed; a finding where neither is.
std::optional<Dimension> typed_as(const Value& value, Dimension first, Dimension second) {
  for (const Dimension dimension : {first, second}) {
    if (value.is_text() && parse_quantity(value.raw(), dimension).ok()) return dimension;
  }
  value.refuse(accepted_quantity(first) + ", or " + accepted_quantity(second),
               value.is_text() ? parse_quantity(value.raw(), first).hint : std::string{});
  return std::nullopt;
}

void read_fuel(const Fields& root, Aircraft& result) {
  const auto value = root.get("fuel");
  if (!value) return;
  const Fields fields(*value, {"density", "flow", "source"});
  const auto density = fields.need_quantity<Density>("density", Dimension::density, kDensity);
  Fuel fuel;
  fuel.source = need_source(fields);
  if (!density) return;
  fuel.density = *density;
  if (const auto flow = fields.get("flow")) {
    const auto dimension = typed_as(*flow, Dimension::mass_flow, Dimension::volume_flow);
    if (dimension == Dimension::mass_flow) fuel.flow = flow->quantity<MassFlow>(Dimension::mass_flow, kMassFlow);
    if (dimension == Dimension::volume_flow) {
      if (const auto volume = flow->si(Dimension::volume_flow, kVolumeFlow)) {
        fuel.flow = MassFlow::from_si(*volume * density->si());
      }
    }
  }
  result.fuel = fuel;
}

void read_station(const Value& item, bool fuel_known, Loading& loading) {
  const Fields fields(item, {"name", "arm", "maximum", "capacity"});
  Station station;
  station.name = fields.need_text("name", "a name, as a case will state it").value_or("");
  const auto arm = fields.need_quantity<Length>("arm", Dimension::arm, kArm);
  station.maximum = fields.get_quantity<Mass>("maximum", Dimension::mass, kStationMass);
  station.capacity = fields.get_quantity<Volume>("capacity", Dimension::volume, kVolume);
  if (fields.is_map() && fields.has("maximum") == fields.has("capacity")) {
    item.refuse("either a maximum, or the capacity of a tank");
  }
  if (fields.has("capacity") && !fuel_known) {
    fields.get("capacity")->refuse("a file that states its fuel", "add {density, source} under \"fuel\"");
  }
  for (const Station& other : loading.stations) {
    if (!station.name.empty() && other.name == station.name) {
      fields.get("name")->refuse("a name of its own", "there is a station of this name already");
    }
  }
  station.arm = arm.value_or(Length{});
  loading.stations.push_back(std::move(station));
}

void read_envelope(const Fields& fields, Mass most, Loading& loading) {
  const std::string accepted = "a list of at least three corners {mass, arm}";
  const auto list = fields.need("envelope", accepted);
  if (!list) return;
  const std::vector<Value> corners = list->items(accepted);
  if (corners.empty()) return;
  if (corners.size() < 3) return list->refuse(accepted);
  Interval<double> masses{1e9, -1e9};
  Interval<double> arms{1e9, -1e9};
  for (const Value& item : corners) {
    const Fields corner(item, {"mass", "arm"});
    const auto mass = corner.need_quantity<Mass>("mass", Dimension::mass, kCornerMass);
    const auto arm = corner.need_quantity<Length>("arm", Dimension::arm, kArm);
    if (!mass || !arm) continue;
    if (most.si() > 0.0 && *mass > most + kRounding) {
      corner.get("mass")->refuse("a mass up to masses.max_take_off, " + plain(std::round(in_kilograms(most))) + " kg");
    }
    masses = {std::min(masses.low, mass->si()), std::max(masses.high, mass->si())};
    arms = {std::min(arms.low, arm->si()), std::max(arms.high, arm->si())};
    loading.envelope.push_back({*mass, *arm});
  }
  if (loading.envelope.size() != corners.size()) return;
  // Drawn as a square, so that kilograms and metres count alike.
  const double wide = std::max(arms.width(), 1e-9);
  const double tall = std::max(masses.width(), 1e-9);
  Ring ring;
  for (const MassAndArm& corner : loading.envelope) {
    ring.push_back({(corner.arm.si() - arms.low) / wide, (corner.mass.si() - masses.low) / tall});
  }
  if (const std::string needed = needed_of_ring(ring, kThinnest); !needed.empty()) {
    list->refuse(needed, "corners in the order in which one would draw the envelope");
  }
}

std::string words_of(MassAndArm what) {
  return plain(std::round(what.mass.si() * 10.0) / 10.0) + " kg at " + plain(std::round(what.arm.si() * 1e3) / 1e3) +
         " m";
}

void say(const Value& loads, Severity severity, const std::string& when, MassAndArm what, std::string accepted,
         std::string hint) {
  loads.reading().add(severity, loads.place(), loads.path(),
                      {when + " " + words_of(what), std::move(accepted), std::move(hint)});
}

/// Refuses, or warns of, a mass and arm outside the envelope. Returns whether it is inside.
bool check_standing(const Value& loads, Severity severity, const std::string& when, const Loading& loading,
                    MassAndArm what) {
  const aircraft::EnvelopeStanding standing = aircraft::standing_in_envelope(loading.envelope, what);
  if (standing.inside()) return true;
  say(loads, severity, when, what, "a mass and arm inside the envelope of the aircraft file",
      aircraft::in_words(standing));
  return false;
}

/// Inside, but with little to spare.
void check_margin(const Value& loads, const Aircraft& aircraft, MassAndArm what) {
  const auto arms = aircraft::standing_in_envelope(aircraft.loading->envelope, what).arms;
  if (arms) {
    const Length spare = std::min(what.arm - arms->low, arms->high - what.arm);
    if (spare < arms->width() * kNearLimit) {
      say(loads, Severity::warning, "at brake release", what,
          "usually farther than " + plain(100.0 * kNearLimit) + " % of the envelope's width from its edge",
          plain(std::round(std::max(0.0, spare.si()) * 1000.0) / 10.0) + " cm are left");
    }
  }
  if (what.mass > aircraft.max_take_off_mass * 0.98) {
    say(loads, Severity::warning, "at brake release", what,
        "usually at most 0.98 of the maximum, " + plain(std::round(in_kilograms(aircraft.max_take_off_mass))) + " kg",
        "little is left for what was not weighed");
  }
}

/// The load at one station as a mass.
std::optional<Mass> read_load(const Value& value, const Station& station, const Aircraft& aircraft) {
  if (!station.is_tank()) {
    const auto mass = value.quantity<Mass>(Dimension::mass, kStationMass);
    if (!mass) return std::nullopt;
    if (*mass > *station.maximum + kRounding) {
      value.refuse("at most " + plain(std::round(in_kilograms(*station.maximum))) + " kg at this station",
                   "too heavy by " + plain(std::ceil(in_kilograms(*mass - *station.maximum) - 1e-6)) + " kg");
      return std::nullopt;
    }
    return mass;
  }
  const Density density = aircraft.fuel->density;
  std::optional<Mass> mass;
  const auto dimension = typed_as(value, Dimension::mass, Dimension::volume);
  if (dimension == Dimension::mass) mass = value.quantity<Mass>(Dimension::mass, kStationMass);
  if (dimension == Dimension::volume) {
    if (const auto volume = value.quantity<Volume>(Dimension::volume, kVolume)) mass = *volume * density;
  }
  const Mass full = *station.capacity * density;
  if (mass && *mass > full + kRounding) {
    value.refuse("at most " + plain(std::round(in_litres(*station.capacity))) + " l, " +
                 plain(std::round(in_kilograms(full))) + " kg of fuel in this tank");
    return std::nullopt;
  }
  return mass;
}

/// Reads `loads`; the mass at each station, or nullopt after a finding.
std::optional<std::vector<Mass>> read_loads(const Value& loads, const Aircraft& aircraft) {
  const Loading& loading = *aircraft.loading;
  std::vector<std::string_view> names;
  for (const Station& station : loading.stations) names.push_back(station.name);
  const Fields fields(loads, names);
  std::vector<Mass> at;
  for (const Station& station : loading.stations) {
    const std::string accepted = accepted_quantity(Dimension::mass);
    const auto value = fields.get(station.name);
    if (!value && fields.is_map()) {
      fields.missing(station.name,
                     station.is_tank() ? accepted + ", or " + accepted_quantity(Dimension::volume) : accepted,
                     "an empty station is stated as 0 kg");
    }
    const auto mass = value ? read_load(*value, station, aircraft) : std::nullopt;
    if (mass) at.push_back(*mass);
  }
  if (at.size() != loading.stations.size()) return std::nullopt;
  return at;
}

/// Fuel burnt before the return.
std::optional<Mass> burn_of(const Fields& root, const Aircraft& aircraft, decision::Case& result) {
  const auto value = root.get("return_after");
  if (!value) return std::nullopt;
  result.return_after = value->quantity<Duration>(Dimension::duration, {0, 7200, "s", 60, 3600});
  if (!aircraft.fuel || !aircraft.fuel->flow) {
    value->refuse("an aircraft file that states fuel.flow", "without it a return is assessed at the take-off mass");
    return std::nullopt;
  }
  if (!result.return_after) return std::nullopt;
  return *aircraft.fuel->flow * *result.return_after;
}

}  // namespace

void read_loading(const Fields& root, Aircraft& result) {
  read_fuel(root, result);
  const auto value = root.get("loading");
  if (!value) return;
  const Fields fields(*value, {"source", "empty_arm", "stations", "envelope"});
  Loading loading;
  loading.source = need_source(fields);
  const auto arm = fields.need_quantity<Length>("empty_arm", Dimension::arm, kArm);
  loading.empty_arm = arm.value_or(Length{});
  const std::string accepted = "a list of {name, arm, maximum}, or {name, arm, capacity} for a tank";
  if (const auto stations = fields.need("stations", accepted)) {
    for (const Value& item : stations->items(accepted)) read_station(item, root.has("fuel"), loading);
  }
  read_envelope(fields, result.max_take_off_mass, loading);
  result.loading = std::move(loading);
}

void read_load_sheet(const Fields& root, const Aircraft& aircraft, decision::Case& result) {
  const auto burn = burn_of(root, aircraft, result);
  const auto loads = root.get("loads");
  if (!loads) {
    if (burn && result.mass.si() > 0.0) result.return_mass = result.mass - *burn;
    if (result.return_mass && *result.return_mass < aircraft.empty_mass) {
      root.get("return_after")->refuse("a time after which there is fuel left", "the burn is more than the load");
    }
    return;
  }
  if (!aircraft.loading) {
    loads->refuse("\"mass\" instead", "the aircraft file has no stations under \"loading\"");
    return;
  }
  const Loading& loading = *aircraft.loading;
  const auto at = read_loads(*loads, aircraft);
  if (!at) return;
  aircraft::LoadSheet sheet;
  sheet.lines.push_back({"empty aeroplane", aircraft.empty_mass, loading.empty_arm});
  Mass fuel{};
  for (std::size_t i = 0; i < at->size(); ++i) {
    sheet.lines.push_back({loading.stations[i].name, (*at)[i], loading.stations[i].arm});
    if (loading.stations[i].is_tank()) fuel += (*at)[i];
  }
  sheet.take_off = aircraft::balance(loading, aircraft.empty_mass, *at);
  sheet.tanks_empty = aircraft::balance(loading, aircraft.empty_mass, aircraft::after_burn(loading, *at, fuel));
  result.mass = sheet.take_off.mass;
  if (burn && *burn > fuel) {
    root.get("return_after")
        ->refuse("a time for which the fuel lasts", plain(std::floor(in_kilograms(fuel))) + " kg are on board, " +
                                                        plain(std::ceil(in_kilograms(*burn))) + " kg would be burnt");
    return;
  }
  if (burn) {
    sheet.at_return = aircraft::balance(loading, aircraft.empty_mass, aircraft::after_burn(loading, *at, *burn));
    result.return_mass = sheet.at_return->mass;
  }
  bool inside = check_standing(*loads, Severity::error, "at brake release", loading, sheet.take_off);
  if (inside && sheet.at_return) {
    inside = check_standing(*loads, Severity::error, "at the return", loading, *sheet.at_return);
  }
  if (inside) {
    (void)check_standing(*loads, Severity::warning, "with empty tanks", loading, sheet.tanks_empty);
    check_margin(*loads, aircraft, sheet.take_off);
  }
  result.load_sheet = std::move(sheet);
}

}  // namespace backfield::io
