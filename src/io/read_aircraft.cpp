#include "read_aircraft.hpp"

#include "read_figure.hpp"
#include "read_loading.hpp"
#include "read_power.hpp"

#include "backfield/io/load.hpp"

namespace backfield::io {
namespace {

using aircraft::Aircraft;
using aircraft::AircraftClass;

constexpr Range kAirspeed{15, 300, "kt"};
constexpr Range kDistance{0, 6500, "m"};
constexpr FigureKind kDistanceFigure{Dimension::length, {1, 6500, "m"}, Trend::grows};
constexpr FigureKind kClimbFigure{Dimension::vertical_speed, {-1000, 6000, "ft/min"}, Trend::falls};

void read_masses(const Fields& root, Aircraft& result) {
  const auto value = root.need("masses", "{reference, empty, max_take_off, max_landing, source}");
  if (!value) return;
  const Fields fields(*value, {"reference", "empty", "max_take_off", "max_landing", "source"});
  result.masses_source = need_source(fields);
  constexpr Range kRange{150, 10000, "kg"};
  const auto mass = [&](std::string_view key) { return fields.need_quantity<Mass>(key, Dimension::mass, kRange); };
  const auto reference = mass("reference");
  const auto empty = mass("empty");
  const auto take_off = mass("max_take_off");
  const auto landing = mass("max_landing");
  if (!reference || !empty || !take_off || !landing) return;
  if (*empty >= *take_off) fields.get("empty")->refuse("a mass below max_take_off");
  if (*reference > *take_off || *reference < *empty) {
    fields.get("reference")->refuse("a mass between empty and max_take_off");
  }
  if (*landing > *take_off || *landing <= *empty) {
    fields.get("max_landing")->refuse("a mass above empty and at most max_take_off");
  }
  result.reference_mass = *reference;
  result.empty_mass = *empty;
  result.max_take_off_mass = *take_off;
  result.max_landing_mass = *landing;
}

void read_indicated(const Fields& root, Aircraft& result) {
  const auto value = root.get("indicated_airspeed");
  if (!value) return;
  const Fields fields(*value, {"rows", "source"});
  result.indicated_source = need_source(fields);
  const auto table = fields.need("rows", "a list of {indicated, calibrated}, rising");
  if (!table) return;
  for (const Value& item : table->items("a list of {indicated, calibrated}, rising")) {
    const Fields row(item, {"indicated", "calibrated"});
    const auto indicated = row.need_quantity<Speed>("indicated", Dimension::speed, kAirspeed);
    const auto calibrated = row.need_quantity<Speed>("calibrated", Dimension::speed, kAirspeed);
    if (!indicated || !calibrated) continue;
    auto& rows = result.indicated_to_calibrated;
    if (!rows.empty() && (*indicated <= rows.back().first || *calibrated <= rows.back().second)) {
      item.refuse("both speeds above those of the row before");
    }
    rows.emplace_back(*indicated, *calibrated);
  }
}

/// Refuses `low` when it is not below `high` (or not above it, where equality is allowed).
void check_order(const Fields& fields, std::string_view low, Cas a, std::string_view high, Cas b, bool equal_allowed) {
  if (equal_allowed ? a <= b : a < b) return;
  fields.get(low)->refuse(std::string(equal_allowed ? "at most " : "below ") + std::string(high) + ", which is " +
                          fields.get(high)->raw());
}

void warn_below(const Fields& fields, std::string_view key, Cas speed, double factor, std::string_view stall,
                Cas base) {
  if (speed.value >= base.value * factor) return;
  fields.get(key)->warn("usually at least " + plain(factor) + " x " + std::string(stall), "check that this is meant");
}

void read_speeds(const Fields& root, Aircraft& result) {
  const auto value = root.need("speeds", "the speeds at the reference mass");
  if (!value) return;
  const Fields fields(*value, {"basis", "source", "stall_landing", "stall_clean", "v_r", "v_x", "v_y", "best_glide",
                               "v_ref", "touchdown"});
  // A file whose speeds are indicated ones would have to say so speed by speed; one basis keeps them comparable.
  (void)fields.need_choice<bool>("basis", {{"calibrated", true}});
  result.speeds_source = need_source(fields);
  bool complete = true;
  const auto speed = [&](std::string_view key) {
    const auto read = fields.need_quantity<Speed>(key, Dimension::speed, kAirspeed);
    complete = complete && read.has_value();
    return Cas{read.value_or(Speed{})};
  };
  aircraft::Speeds& s = result.speeds;
  s.stall_landing = speed("stall_landing");
  s.stall_clean = speed("stall_clean");
  s.v_r = speed("v_r");
  s.v_x = speed("v_x");
  s.v_y = speed("v_y");
  s.best_glide = speed("best_glide");
  s.v_ref = speed("v_ref");
  s.touchdown = speed("touchdown");
  if (!complete) return;
  check_order(fields, "stall_landing", s.stall_landing, "stall_clean", s.stall_clean, true);
  check_order(fields, "stall_clean", s.stall_clean, "v_x", s.v_x, false);
  check_order(fields, "v_x", s.v_x, "v_y", s.v_y, true);
  check_order(fields, "v_r", s.v_r, "v_y", s.v_y, true);
  check_order(fields, "stall_landing", s.stall_landing, "v_r", s.v_r, false);
  check_order(fields, "stall_clean", s.stall_clean, "best_glide", s.best_glide, false);
  check_order(fields, "stall_landing", s.stall_landing, "touchdown", s.touchdown, true);
  check_order(fields, "touchdown", s.touchdown, "v_ref", s.v_ref, true);
  // Customary margins over the stall; below them a figure is more often a slip than an aeroplane.
  warn_below(fields, "v_r", s.v_r, 1.05, "stall_landing", s.stall_landing);
  warn_below(fields, "v_x", s.v_x, 1.1, "stall_clean", s.stall_clean);
  warn_below(fields, "best_glide", s.best_glide, 1.15, "stall_clean", s.stall_clean);
  warn_below(fields, "v_ref", s.v_ref, 1.2, "stall_landing", s.stall_landing);
}

void read_glide(const Fields& root, Aircraft& result) {
  const auto value = root.need("glide", "{ratio, ratio_landing_flap, source}");
  if (!value) return;
  const Fields fields(*value, {"ratio", "ratio_landing_flap", "source", "slip"});
  const auto clean = fields.need_number("ratio", {4, 30, "", 6, 20});
  const auto flap = fields.need_number("ratio_landing_flap", {2, 30, ""});
  result.polar.source = need_source(fields);
  if (!clean || !flap) return;
  if (*flap >= *clean) fields.get("ratio_landing_flap")->refuse("a ratio below the clean one");
  result.polar.glide_ratio = *clean;
  result.polar.glide_ratio_landing_flap = *flap;
  const auto slip = fields.get("slip");
  if (!slip) return;
  const Fields figure(*slip, {"ratio", "source"});
  const auto ratio = figure.need_number("ratio", {1.5, 30, "", 2, 15});
  result.polar.slip_source = need_source(figure);
  if (!ratio) return;
  if (*ratio >= *flap) figure.get("ratio")->refuse("a ratio below ratio_landing_flap: the slip is flown with it");
  result.polar.glide_ratio_slip = *ratio;
}

aircraft::Figure figure(const Fields& fields, std::string_view key, const FigureKind& kind, bool needed = true) {
  const auto value =
      needed ? fields.need(key, "a figure: {value, law, valid, source} or {table, source}") : fields.get(key);
  if (!value) return {};
  return read_figure(*value, kind).value_or(aircraft::Figure{});
}

aircraft::SurfaceFactors surface_factors(const Fields& fields, bool needed = true) {
  aircraft::SurfaceFactors factors;
  const auto value =
      needed ? fields.need("surface_factors", "factors on the roll by surface, such as {source: {...}, paved: 1}")
             : fields.get("surface_factors");
  if (!value) return factors;
  std::vector<std::string_view> names{"source"};
  for (const auto& [name, surface] : surface_words()) {
    if (surface != earth::Surface::unknown) names.push_back(name);
  }
  const Fields map(*value, names);
  if (!map.is_map()) return factors;
  factors.source = need_source(map);
  for (const auto& [name, surface] : surface_words()) {
    if (surface == earth::Surface::unknown) continue;
    const auto entry = map.get(name);
    if (!entry) continue;
    if (const auto factor = entry->si(Dimension::number, {0.8, 5, "", 1, 2.5})) factors.of[surface] = *factor;
  }
  if (value->node().keys.size() <= (map.has("source") ? 1U : 0U)) value->refuse("at least one surface");
  return factors;
}

/// `landing.from_50_ft`; the landing roll has been read.
void read_from_50_ft(const Value& value, Aircraft& result) {
  const Fields fields(value, {"distance", "surface_factors"});
  aircraft::LandingFrom50ft landing;
  landing.distance = figure(fields, "distance", kDistanceFigure);
  landing.surface_factor = surface_factors(fields, false);
  if (landing.distance.stated() && result.distances.landing_roll.stated()) {
    check_above(*fields.get("distance"), result.distances.landing_roll, landing.distance, "m",
                "a distance from 50 ft longer than the landing roll");
  }
  result.landing_from_50ft = std::move(landing);
}

void read_distances(const Fields& root, Aircraft& result) {
  aircraft::Distances& d = result.distances;
  if (const auto value = root.need("take_off", "{wind, roll, to_50_ft, surface_factors}")) {
    const Fields fields(*value, {"wind", "roll", "to_50_ft", "surface_factors"});
    const auto wind = fields.need_choice<aircraft::BookWind>(
        "wind", {{"still_air", aircraft::BookWind::still_air},
                 {"as_stated_for_the_case", aircraft::BookWind::as_stated_for_the_case}});
    d.take_off_wind = wind.value_or(aircraft::BookWind::still_air);
    d.take_off_roll = figure(fields, "roll", kDistanceFigure);
    d.take_off_to_50ft = figure(fields, "to_50_ft", kDistanceFigure);
    if (d.take_off_roll.stated() && d.take_off_to_50ft.stated()) {
      check_above(*fields.get("to_50_ft"), d.take_off_roll, d.take_off_to_50ft, "m",
                  "a distance to 50 ft longer than the roll");
    }
    d.take_off_surface_factor = surface_factors(fields);
  }
  if (const auto value = root.need("landing", "{float, roll, surface_factors}")) {
    const Fields fields(*value, {"float", "roll", "surface_factors", "from_50_ft"});
    d.landing_float = figure(fields, "float", {Dimension::length, kDistance, Trend::free});
    d.landing_roll = figure(fields, "roll", kDistanceFigure);
    d.landing_surface_factor = surface_factors(fields);
    if (const auto from = fields.get("from_50_ft")) read_from_50_ft(*from, result);
  }
}

void read_handling(const Fields& root, Aircraft& result) {
  if (const auto value = root.need("handling", "{roll_rate, flap_time, source}")) {
    const Fields fields(*value, {"roll_rate", "flap_time", "source"});
    result.handling_source = need_source(fields);
    const auto rate = fields.need_quantity<Angle>("roll_rate", Dimension::angular_rate, {3, 120, "deg/s", 8, 60});
    const auto flap = fields.need_quantity<Duration>("flap_time", Dimension::duration, {0, 60, "s", 0, 20});
    result.roll_rate_per_second = rate.value_or(Angle{});
    result.flap_time = flap.value_or(Duration{});
  }
  const auto value = root.need("limits", "{crosswind, tailwind, slip, source}");
  if (!value) return;
  const Fields fields(*value, {"crosswind", "tailwind", "slip", "source"});
  result.limits.source = need_source(fields);
  constexpr Range kLimit{0, 60, "kt", 5, 40};
  result.limits.crosswind = fields.get_quantity<Speed>("crosswind", Dimension::speed, kLimit);
  result.limits.tailwind = fields.get_quantity<Speed>("tailwind", Dimension::speed, kLimit);
  const auto slip = fields.need_choice<bool>("slip", {{"allowed", true}, {"not_allowed", false}});
  result.limits.slip_allowed = slip.value_or(false);
  if (slip && !*slip && result.polar.glide_ratio_slip) {
    fields.get("slip")->refuse("allowed", "glide.slip has a figure for it; leave that out if slips are not allowed");
  }
}

}  // namespace

Aircraft read_aircraft(const Value& root) {
  Aircraft result;
  const Fields fields(
      root, {"backfield", "name", "invented", "class", "masses", "speeds", "indicated_airspeed", "glide", "propeller",
             "climb", "one_engine_out", "take_off", "landing", "limits", "handling", "fuel", "loading"});
  result.name = fields.need_text("name", "a name").value_or("");
  if (const auto invented = fields.need("invented", "yes or no")) {
    result.invented = invented->yes_or_no().value_or(false);
  }
  const auto kind = fields.need_choice<AircraftClass>(
      "class", {{"single_piston_fixed_gear", AircraftClass::single_piston_fixed_gear},
                {"single_piston_retractable", AircraftClass::single_piston_retractable},
                {"single_turboprop", AircraftClass::single_turboprop},
                {"light_twin", AircraftClass::light_twin},
                {"twin_turboprop", AircraftClass::twin_turboprop},
                {"light_jet", AircraftClass::light_jet}});
  result.kind = kind.value_or(AircraftClass::single_piston_fixed_gear);
  read_masses(fields, result);
  read_speeds(fields, result);
  read_indicated(fields, result);
  if (!fields.has("indicated_airspeed")) {
    root.assume("the aircraft file has no airspeed correction: indicated airspeed is taken as calibrated");
  }
  read_glide(fields, result);
  if (const auto climb = fields.need("climb", "{v_y, v_x}, rates of climb")) {
    const Fields rates(*climb, {"v_y", "v_x"});
    result.climb_rate_v_y = figure(rates, "v_y", kClimbFigure);
    result.climb_rate_v_x = figure(rates, "v_x", kClimbFigure, false);
  }
  read_power(fields, result);
  read_distances(fields, result);
  check_power(fields, result);
  read_handling(fields, result);
  read_loading(fields, result);
  result.file = root.reading().document().file;
  result.checksum = checksum(root.reading().document().bytes);
  return result;
}

Loaded<Aircraft> load_aircraft(const std::string& path) {
  const Document document = read_document(path);
  Reading reading(document);
  Loaded<Aircraft> loaded;
  if (document.readable && is_kind(Value::root(reading), "aircraft/1")) {
    loaded.value = read_aircraft(Value::root(reading));
  }
  if (reading.failed()) loaded.value.reset();
  loaded.findings = reading.take();
  return loaded;
}

}  // namespace backfield::io
