#include "read_aerodrome.hpp"
#include "read_departure.hpp"
#include "read_ground.hpp"
#include "read_ground_file.hpp"
#include "read_loading.hpp"
#include "read_places.hpp"
#include "read_sky.hpp"
#include "read_terrain.hpp"
#include "read_weather.hpp"

#include "backfield/io/load.hpp"
#include "backfield/io/shipped_data.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::io {
namespace {

std::optional<aircraft::Aircraft> read_aircraft_of(const Fields& root, Parts& parts) {
  const std::string accepted = "the path of an aircraft file";
  const auto value = root.need("aircraft", accepted);
  const auto path = value ? value->text(accepted) : std::nullopt;
  if (!path) return std::nullopt;
  auto aircraft = load_named(*value, beside(root.map().reading().document(), *path), load_aircraft, accepted, parts);
  if (aircraft) aircraft->file = *path;
  return aircraft;
}

std::optional<decision::Policy> read_policy_of(const Fields& root, Parts& parts) {
  const std::string accepted = "default, plain or the path of a policy file";
  const auto value = root.need("policy", accepted);
  const auto name = value ? value->text(accepted) : std::nullopt;
  if (!name) return std::nullopt;
  const bool shipped = *name == "default" || *name == "plain";
  const std::string file = shipped ? (shipped_data_directory() / "cases" / "policy" / (*name + ".yaml")).string()
                                   : beside(root.map().reading().document(), *name);
  auto policy = load_named(*value, file, load_policy, accepted, parts);
  if (policy) policy->file = *name;
  return policy;
}

/// The departure end, and what a take-off needs to know about it.
void read_departure_end(const StatedDeparture& stated, const AerodromeFile& home, decision::Case& result) {
  if (!stated.runway || stated.designator.empty()) return;
  const std::vector<earth::RunwayEnd>& ends = home.aerodrome.ends;
  const auto named = [&ends](const std::string& designator) {
    return std::find_if(ends.begin(), ends.end(), [&](const auto& end) { return end.designator == designator; });
  };
  if (named(stated.designator) == ends.end()) {
    std::vector<std::string_view> names;
    names.reserve(ends.size());
    for (const earth::RunwayEnd& end : ends) names.push_back(end.designator);
    const std::string padded = "0" + stated.designator;
    stated.runway->refuse(names.empty() ? "an aerodrome with a usable runway" : Fields::listed(names),
                          named(padded) != ends.end() ? "write \"" + padded + "\"" : std::string{});
    return;
  }
  earth::RunwayEnd& departure = result.departure.end;
  departure = *named(stated.designator);
  if (!departure.tora) {
    stated.runway->refuse("a runway whose tora is stated",
                          departure.provenance == earth::Provenance::stated
                              ? "state it in the aerodrome file"
                              : "the catalogue has no declared distances: state them under \"runways\"");
    return;
  }
  for (const auto& [name, distance] : {std::pair("toda", &departure.toda), std::pair("asda", &departure.asda)}) {
    if (*distance) continue;
    *distance = departure.tora;
    stated.runway->assume("runway " + departure.designator + ": no " + name + " stated, taken as the tora");
  }
  for (const auto& [designator, mark] : home.marks) {
    if (designator == departure.designator) result.marks.push_back(mark);
  }
  read_start(stated, result.marks, result.departure);
}

/// A case may say what the aerodrome's file says too; then both must agree.
std::optional<Angle> read_variation_of(const Fields& root, const AerodromeFile* home) {
  const auto value = root.get("variation");
  const auto stated = value ? read_variation(*value) : std::nullopt;
  // Without the aerodrome that may have it the case is refused already: a stand-in, lest it be asked for as well.
  if (home == nullptr) return stated.value_or(Angle{});
  if (!stated) return home->variation;
  if (home->variation) {
    if (std::abs(in_degrees(*stated - *home->variation)) > 2.0) {
      value->warn("the variation of the aerodrome file within 2 deg", "one of the two may have the wrong sign");
    }
    return stated;
  }
  // The designators of the catalogue are judged by the catalogue's reader.
  for (const earth::RunwayEnd& end : home->aerodrome.ends) {
    if (end.provenance == earth::Provenance::stated) check_designator(*value, end.designator, end.track, stated);
  }
  return stated;
}

/// The home aerodrome; null when it is not there, which is then said.
const AerodromeFile* find_home(const StatedDeparture& stated, const Parts& parts, bool all_read) {
  const AerodromeFile* home = find_aerodrome(parts, stated.aerodrome_id);
  if (home != nullptr || !all_read || !stated.aerodrome || stated.aerodrome_id.empty()) return home;
  std::vector<std::string_view> ids;
  for (const AerodromeFile& file : parts.aerodromes) ids.push_back(file.aerodrome.id);
  stated.aerodrome->refuse(ids.empty() ? "an aerodrome that the catalogue has" : Fields::listed(ids));
  return nullptr;
}

void add(const earth::Ground& some, earth::Ground& all) {
  all.obstacles.insert(all.obstacles.end(), some.obstacles.begin(), some.obstacles.end());
  all.areas.insert(all.areas.end(), some.areas.begin(), some.areas.end());
}

void read_options(const Fields& root, const Parts& parts, const AerodromeFile& home, decision::Case& result) {
  result.origin = home.aerodrome.reference_point;
  result.elevation = home.aerodrome.elevation;
  const earth::LocalFrame frame(result.origin);
  for (const AerodromeFile& file : parts.aerodromes) {
    const Length apart = earth::geodesic(result.origin, file.aerodrome.reference_point).length;
    if (apart > metres(200'000) && root.has("aerodromes")) {
      root.get("aerodromes")
          ->refuse("aerodromes within 200 km of " + home.aerodrome.id,
                   file.aerodrome.id + " is " + plain(std::round(in_metres(apart) / 1000.0)) +
                       " km away: are latitude and longitude swapped, or is a letter wrong?");
    }
    const earth::Aerodrome here = &file == &home ? file.aerodrome : moved(file.aerodrome, frame);
    result.options.insert(result.options.end(), here.ends.begin(), here.ends.end());
    add(moved(file.ground, earth::LocalFrame(file.aerodrome.reference_point), frame), result.ground);
  }
  add(read_ground(root, &frame, result.elevation, result.options), result.ground);
}

/// Once everything else about the place is known: terrain is checked against the departure runway.
void read_terrain_of(const Fields& root, const AerodromeFile* home, Parts& parts, decision::Case& result) {
  StatedTerrain terrain = read_terrain(root, home != nullptr ? &result : nullptr, parts);
  result.terrain = terrain.basis;
  result.terrain_source = std::move(terrain.source);
  result.ground.terrain = std::move(terrain.terrain);
}

/// The plain facts at the end of a case.
/// home        null when it could not be read; then no file is opened
void read_circumstances(const Fields& root, const AerodromeFile* home, Parts& parts, decision::Case& result) {
  const auto altimeter = root.need_choice<decision::AltimeterSetting>(
      "altimeter", {{"qnh", decision::AltimeterSetting::qnh}, {"qfe", decision::AltimeterSetting::qfe}});
  result.altimeter = altimeter.value_or(decision::AltimeterSetting::qnh);
  const auto trained = root.get_choice<bool>("turnback", {{"trained", true}, {"not_trained", false}});
  result.turnback_trained = trained.value_or(false);
  if (!root.has("turnback")) {
    root.map().assume("the case does not say \"turnback: trained\", so a turnback is computed but not briefed");
  }
  if (const auto ground = root.get("ground_ahead")) {
    result.ground_ahead = read_ground_ahead(*ground);
    const auto file = ground->is_map() ? ground->child("file") : std::nullopt;
    if (file && home != nullptr) read_ground_file(*file, result, parts);
  } else {
    root.map().assume("the case says nothing about the ground ahead: taken as unknown");
  }
}

/// `departure`, the aerodromes and the variation, which depend on one another.
/// returns     the home aerodrome, or null
const AerodromeFile* read_where(const Fields& root, Parts& parts, std::optional<Angle>& variation,
                                decision::Case& result) {
  const auto value = root.need("departure", "{aerodrome, runway, from, climb, track}");
  if (!value) {
    (void)read_places(root, "", parts);
    variation = read_variation_of(root, nullptr);
    return nullptr;
  }
  const Fields departure(*value, {"aerodrome", "runway", "from", "climb", "track", "landmark", "time"});
  const StatedDeparture stated = read_departure_names(departure);
  const bool all_read = read_places(root, stated.aerodrome_id, parts);
  const AerodromeFile* home = find_home(stated, parts, all_read);
  variation = read_variation_of(root, home);
  if (home != nullptr) {
    read_departure_end(stated, *home, result);
    read_options(root, parts, *home, result);
  } else {
    (void)read_ground(root, nullptr, {}, {});
  }
  const auto climb = departure.need_choice<flight::ClimbSpeed>(
      "climb", {{"v_y", flight::ClimbSpeed::v_y}, {"v_x", flight::ClimbSpeed::v_x}});
  result.departure.climb = climb.value_or(flight::ClimbSpeed::v_y);
  if (const auto track = departure.need("track", R"("straight", or a list of {from_height, turn, track, bank})")) {
    read_track(*track, variation, result.departure.track);
  }
  if (const auto time = departure.get("time")) result.departure.time = read_time(*time);
  if (const auto landmark = departure.get("landmark")) result.landmark = read_landmark(*landmark);
  return home;
}

/// An altitude that an engine fails at, en route.
void read_drift_down(const Fields& root, decision::Case& result) {
  const auto value = root.get("drift_down_from");
  if (!value) return;
  const auto altitude = value->quantity<Length>(Dimension::length, {0, 25000, "ft"});
  if (!altitude) return;
  if (!result.aircraft.is_twin()) {
    value->refuse("an aeroplane with more than one engine", "a single has nothing to drift down with");
  } else if (*altitude < result.elevation.above_sea_level + feet(500)) {
    value->refuse("an altitude 500 ft or more above the aerodrome");
  }
  result.drift_down_from = earth::Altitude{*altitude};
}

decision::Case read_case(const Value& root_value, Asked asked, Parts& parts) {
  decision::Case result;
  const Fields root(root_value,
                    {"backfield", "title",      "invented",  "aircraft", "mass",         "loads",  "return_after",
                     "departure", "aerodromes", "catalogue", "runways",  "obstacles",    "avoid",  "terrain",
                     "variation", "weather",    "altimeter", "turnback", "ground_ahead", "policy", "drift_down_from"});
  result.file = root_value.reading().document().file;
  result.title = root.need_text("title", "a title").value_or("");
  if (const auto invented = root.need("invented", "yes or no")) {
    result.invented = invented->yes_or_no().value_or(false);
  }
  const auto aircraft = read_aircraft_of(root, parts);
  if (root.has("mass") && root.has("loads")) {
    root.get("mass")->refuse("either mass or loads", "the loads add up to a mass by themselves");
  } else if (!root.has("loads")) {
    const auto mass = root.need_quantity<Mass>("mass", Dimension::mass, {150, 10000, "kg"});
    if (mass && aircraft) check_mass(*root.get("mass"), *mass, *aircraft);
    result.mass = mass.value_or(Mass{});
  }
  if (aircraft) read_load_sheet(root, *aircraft, result);

  std::optional<Angle> variation;
  const AerodromeFile* home = read_where(root, parts, variation, result);
  read_terrain_of(root, home, parts, result);
  if (!variation) root_value.assume("no magnetic variation stated: every direction is true");
  result.magnetic_variation = variation.value_or(Angle{});

  std::optional<decision::Weather> weather;
  if (const auto value = root.need("weather", "{metar} or {wind, oat, qnh}")) {
    const std::optional<earth::Altitude> elevation = home != nullptr ? std::optional(result.elevation) : std::nullopt;
    weather = read_weather(*value, variation, elevation, home != nullptr ? home->aerodrome.id : std::string{},
                           result.departure.time);
  }
  read_circumstances(root, home, parts, result);
  const auto policy = read_policy_of(root, parts);
  if (policy && !policy->ground_ahead && !result.ground_ahead.file.empty()) {
    root.get("policy")->refuse("a policy with a group ground_ahead", "the case states a file of the ground ahead");
  }
  if (policy && aircraft && aircraft->one_engine_out && !policy->power_left.wind_counted) {
    root.get("policy")->refuse("a policy with power_left.one_engine_out.wind_counted",
                               "the aircraft has more than one engine");
  }
  if (aircraft) {
    result.aircraft = *aircraft;
    read_drift_down(root, result);
  }
  if (weather) result.weather = *weather;
  if (policy) result.policy = *policy;
  if (weather) wet_runways(*root.get("weather"), result);
  if (weather && policy) check_sky(root, result);
  result.attributions = parts.attributions;
  // Everything the figures depend on has been read by now, or something has been refused.
  if (!root_value.reading().failed() && !has_error(parts.nested)) {
    check_departure_figures(root, result);
    if (asked == Asked::stated_runway) check_departure_runway(root, result);
  }
  return result;
}

}  // namespace

Loaded<decision::Case> load_case(const std::string& path, Asked asked) {
  const Document document = read_document(path);
  Reading reading(document);
  Loaded<decision::Case> loaded;
  Parts parts;
  if (document.readable && is_kind(Value::root(reading), "case/1")) {
    loaded.value = read_case(Value::root(reading), asked, parts);
  }
  loaded.findings = reading.take();
  append(loaded.findings, std::move(parts.nested));
  if (has_error(loaded.findings)) {
    loaded.value.reset();
    drop_notes(loaded.findings);
  }
  if (loaded.value) {
    for (const Finding& f : loaded.findings) {
      if (f.severity == Severity::note) loaded.value->assumptions.push_back(f.found);
    }
  }
  return loaded;
}

}  // namespace backfield::io
