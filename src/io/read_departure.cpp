#include "read_departure.hpp"

#include "read_figure.hpp"

#include "backfield/aircraft/performance.hpp"

#include <cmath>

namespace backfield::io {
namespace {

std::string surface_name(earth::Surface surface) {
  for (const auto& [name, value] : surface_words()) {
    if (value == surface) return std::string(name);
  }
  return "unknown";
}

/// The value of the day on the axis that a lookup ran off, and the key it is typed under.
struct Axis {
  std::string value;
  std::vector<std::string_view> keys;
};

Axis axis_of(const std::string& name, const decision::Case& c, const aircraft::Conditions& conditions) {
  if (name == "mass") return {plain(in_kilograms(c.mass)) + " kg", {"mass"}};
  if (name == "pressure altitude") {
    const double feet = in_feet(conditions.pressure_altitude.in_standard_atmosphere);
    return {plain(std::round(feet)) + " ft", {"weather", "qnh"}};
  }
  return {plain(std::round(in_celsius(conditions.temperature) * 10.0) / 10.0) + " C", {"weather", "oat"}};
}

/// Figures that do not cover the day, in the same way.
struct Overrun {
  std::string figures;
  Lookup<double> lookup;
};

/// The value at a path of keys, or the deepest one there is. What the weather does not state, its METAR does.
Value value_at(const Value& root, const std::vector<std::string_view>& keys) {
  const auto child = [](const Value& value, std::string_view key) -> std::optional<Value> {
    if (!value.is_map()) return std::nullopt;
    for (std::size_t i = 0; i < value.node().keys.size(); ++i) {
      if (value.node().keys[i].name != key) continue;
      const std::string path = value.path().empty() ? std::string(key) : value.path() + "." + std::string(key);
      return Value(value.reading(), value.node().items[i], path, value.node().keys[i].place);
    }
    return std::nullopt;
  };
  Value value = root;
  for (const std::string_view key : keys) {
    std::optional<Value> inner = child(value, key);
    if (!inner) inner = child(value, "metar");
    if (!inner) break;
    value = *inner;
  }
  return value;
}

}  // namespace

StatedDeparture read_departure_names(const Fields& departure) {
  StatedDeparture stated;
  stated.aerodrome = departure.need("aerodrome", "the identifier of an aerodrome");
  stated.runway = departure.need("runway", R"(a runway designator such as "09" or "27L")");
  stated.from = departure.need("from", R"("full length", the name of a mark, or a distance such as "300 m")");
  if (stated.aerodrome) stated.aerodrome_id = stated.aerodrome->text("the identifier of an aerodrome").value_or("");
  if (stated.runway) stated.designator = stated.runway->text("a runway designator").value_or("");
  return stated;
}

void read_start(const StatedDeparture& stated, const std::vector<earth::RunwayMark>& marks,
                decision::Departure& departure) {
  if (!stated.from) return;
  const auto text = stated.from->text(R"("full length", the name of a mark, or a distance such as "300 m")");
  if (!text) return;
  departure.start_name = *text;
  if (*text == "full length") return;
  std::vector<std::string_view> names{"full length"};
  for (const earth::RunwayMark& mark : marks) {
    names.push_back(mark.name);
    if (mark.name == *text) departure.start = mark.from_start;
  }
  if (departure.start.si() == 0.0) {
    const Parsed<double> distance = parse_quantity(*text, Dimension::length);
    if (!distance.ok() || *distance.value < 0.0) {
      const std::string_view near = nearest(*text, names);
      stated.from->refuse(Fields::listed(names) + ", or a distance from the start of the runway such as \"300 m\"",
                          near.empty() ? std::string{} : "did you mean \"" + std::string(near) + "\"?");
      return;
    }
    departure.start = Length::from_si(*distance.value);
  }
  const Length available = departure.end.tora.value_or(departure.end.pavement);
  if (departure.start >= available) stated.from->refuse("a start before the end of the take-off run available");
}

void read_track(const Value& value, const std::optional<Angle>& variation, flight::DepartureTrack& track) {
  if (value.is_text() && value.raw() == "straight") return;
  const std::string accepted = R"("straight", or a list of {from_height, turn, track, bank}, rising)";
  for (const Value& item : value.items(accepted)) {
    const Fields fields(item, {"from_height", "turn", "track", "bank"});
    const auto height = fields.need_quantity<Length>("from_height", Dimension::length, {0, 10000, "ft", 200, 10000});
    const auto right = fields.need_choice<bool>("turn", {{"left", false}, {"right", true}});
    const auto bearing_value = fields.need("track", kAcceptedBearing);
    const auto bearing = bearing_value ? bearing_value->bearing() : std::nullopt;
    const auto bank = fields.need_quantity<Angle>("bank", Dimension::angle, {1, 45, "deg", 10, 30});
    if (bearing && bearing->magnetic && !variation) {
      bearing_value->refuse("a true track", "a magnetic one needs \"variation\" in the case");
      continue;
    }
    if (!height || !right || !bearing || !bank) continue;
    if (!track.legs.empty() && *height <= track.legs.back().from_height.above_datum) {
      fields.get("from_height")->refuse("a height above the one before it");
    }
    track.legs.push_back({{*height}, bearing->to_true(variation.value_or(Angle{})), *bank, *right});
  }
}

std::optional<decision::Landmark> read_landmark(const Value& value) {
  const Fields fields(value, {"name", "from_brake_release"});
  const auto name = fields.need_text("name", "what can be seen there");
  const auto distance = fields.need_quantity<Length>("from_brake_release", Dimension::length, {100, 50000, "m"});
  if (!name || !distance) return std::nullopt;
  return decision::Landmark{*name, *distance};
}

decision::GroundAhead read_ground_ahead(const Value& value) {
  using Landable = decision::GroundAhead::Landable;
  const Fields fields(value, {"landable", "note", "file"});
  decision::GroundAhead ground;
  ground.note = fields.get_text("note", "a text").value_or("");
  if (const auto file = fields.get("file")) {
    if (fields.has("landable")) {
      fields.get("landable")->refuse("either landable or file", "the file says which ground can be landed on");
    }
    return ground;
  }
  const auto landable = fields.need_choice<Landable>(
      "landable", {{"yes", Landable::yes}, {"no", Landable::no}, {"unknown", Landable::unknown}});
  ground.landable = landable.value_or(Landable::unknown);
  return ground;
}

void check_mass(const Value& mass, Mass value, const aircraft::Aircraft& aircraft) {
  const std::string limits = plain(std::round(in_kilograms(aircraft.empty_mass))) + " kg to " +
                             plain(std::round(in_kilograms(aircraft.max_take_off_mass))) + " kg for this aircraft";
  const Mass slack = kilograms(0.5);  // a limit in pounds, typed in kilograms
  if (value > aircraft.max_take_off_mass + slack || value < aircraft.empty_mass - slack) {
    std::string hint;
    const std::string number = mass.raw().substr(0, mass.raw().find_first_not_of("0123456789."));
    const Parsed<double> as_pounds = parse_quantity(number + " lb", Dimension::mass);
    const bool was_kg = mass.raw().find("kg") != std::string::npos;
    if (was_kg && as_pounds.ok() && *as_pounds.value <= aircraft.max_take_off_mass.si() &&
        *as_pounds.value >= aircraft.empty_mass.si()) {
      hint = "a mass in pounds is written \"" + number + " lb\"";
    }
    mass.refuse(limits, hint);
    return;
  }
  if (value > aircraft.max_take_off_mass * 0.98) {
    mass.warn(
        "usually at most 0.98 of the maximum, " + plain(std::round(in_kilograms(aircraft.max_take_off_mass))) + " kg",
        "little is left for what was not weighed");
  }
  if (value < aircraft.empty_mass + kilograms(70)) {
    mass.warn("usually the empty mass and at least 70 kg", "pilot and fuel included?");
  }
}

void check_departure_figures(const Fields& root, const decision::Case& result) {
  const aircraft::Distances& d = result.aircraft.distances;
  const bool steep = result.departure.climb == flight::ClimbSpeed::v_x;
  const aircraft::Figure& climb = steep ? result.aircraft.climb_rate_v_x : result.aircraft.climb_rate_v_y;
  if (!climb.stated()) {
    value_at(root.map(), {"departure", "climb"}).refuse("v_y", "the aircraft file has no rate of climb at v_x");
    return;
  }
  const earth::Air air(result.weather.qnh, result.elevation, result.weather.oat, result.policy.model.density);
  const aircraft::Performance performance(result.aircraft, result.mass);
  const aircraft::Conditions conditions = performance.conditions(air, result.elevation);
  // Tables of one file mostly end together; what ends together is said once.
  std::vector<Overrun> overruns;
  const auto look_up = [&](const std::string& name, const aircraft::Figure& figure) {
    const Lookup<double> found = figure.at(conditions);
    if (found.coverage == Coverage::inside) return;
    for (Overrun& other : overruns) {
      if (other.lookup.axis != found.axis || other.lookup.end != found.end) continue;
      if (other.lookup.coverage == found.coverage) {
        other.figures += " and " + name;
        return;
      }
    }
    overruns.push_back({name, found});
  };
  look_up(steep ? "climb.v_x" : "climb.v_y", climb);
  look_up("take_off.roll", d.take_off_roll);
  look_up("take_off.to_50_ft", d.take_off_to_50ft);
  for (const auto& [figures, lookup] : overruns) {
    const Axis axis = axis_of(lookup.axis, result, conditions);
    const Value place = value_at(root.map(), axis.keys);
    const std::string of_aircraft = figures + " of " + result.aircraft.name;
    if (lookup.coverage == Coverage::clamped) {
      place.assume(of_aircraft + ": the table of " + lookup.axis + " " + lookup.end + "; its lowest row is used at " +
                   axis.value);
      continue;
    }
    root.map().reading().add(Severity::error, place.place(), place.path(),
                             {lookup.axis + " " + axis.value, "what " + of_aircraft + " covers, which " + lookup.end,
                              "nothing is extrapolated"});
  }
}

void check_departure_runway(const Fields& root, const decision::Case& result) {
  const earth::RunwayEnd& end = result.departure.end;
  if (result.aircraft.distances.take_off_surface_factor.find(end.surface) == nullptr) {
    value_at(root.map(), {"departure", "runway"})
        .refuse("a surface that the aircraft file has a take-off factor for",
                "runway " + end.designator + " is " + surface_name(end.surface) +
                    (result.weather.wet_because.empty() ? "" : ", by " + result.weather.wet_because));
  }
  if (const std::string never = decision::no_take_off(result); !never.empty()) {
    value_at(root.map(), {"departure", "runway"}).refuse("a runway on which the aeroplane can lift off", never);
  }
}

}  // namespace backfield::io
