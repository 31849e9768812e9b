#include "read_policy.hpp"

#include "read_ground_rule.hpp"
#include "read_margins.hpp"
#include "read_power_left.hpp"
#include "read_runway_choice.hpp"
#include "read_sky.hpp"

#include "backfield/io/load.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::io {
namespace {

using aircraft::AircraftClass;
using decision::Policy;

void read_model(const Fields& root, flight::Model& model) {
  const auto value = root.need("model", "{density, angle, shear, wind, roll, entry}");
  if (!value) return;
  const Fields fields(*value, {"density", "angle", "shear", "wind", "roll", "entry"});
  const auto set = [&fields](std::string_view key, auto& target, const auto& words) {
    if (const auto choice = fields.need_choice(key, words)) target = *choice;
  };
  set("density", model.density,
      Words<earth::DensityRule>{{"aerodrome", earth::DensityRule::aerodrome}, {"local", earth::DensityRule::local}});
  set("angle", model.angle,
      Words<flight::AngleRule>{{"small", flight::AngleRule::small}, {"exact", flight::AngleRule::exact}});
  set("shear", model.shear, Words<flight::ShearRule>{{"off", flight::ShearRule::off}, {"on", flight::ShearRule::on}});
  set("wind", model.wind,
      Words<flight::WindRule>{{"uniform", flight::WindRule::uniform}, {"profile", flight::WindRule::profile}});
  set("roll", model.roll,
      Words<flight::RollRule>{{"allowance", flight::RollRule::allowance}, {"rate", flight::RollRule::rate}});
  set("entry", model.entry,
      Words<flight::EntryRule>{{"speed_kept", flight::EntryRule::speed_kept}, {"flown", flight::EntryRule::flown}});
}

constexpr Range kBank{5, 60, "deg", 20, 45};
constexpr Range kHeight{0, 10000, "ft"};

void read_alignment(const Fields& fields, Policy& policy) {
  const auto value = fields.need("aligned_by", "a height for each class of aircraft");
  if (!value) return;
  const Words<AircraftClass> classes{{"single_piston_fixed_gear", AircraftClass::single_piston_fixed_gear},
                                     {"single_piston_retractable", AircraftClass::single_piston_retractable},
                                     {"single_turboprop", AircraftClass::single_turboprop},
                                     {"light_twin", AircraftClass::light_twin},
                                     {"twin_turboprop", AircraftClass::twin_turboprop},
                                     {"light_jet", AircraftClass::light_jet}};
  std::vector<std::string_view> names;
  for (const auto& known : classes) names.push_back(known.first);
  const Fields heights(*value, names);
  for (const auto& [name, kind] : classes) {
    const auto height = heights.need_quantity<Length>(name, Dimension::length, {0, 2000, "ft", 50, 500});
    if (height) policy.alignment_height[kind] = *height;
  }
}

/// How height is lost that is too much for every clean path.
void read_excess_height(const Fields& technique, flight::Technique& t) {
  const auto value = technique.need("excess_height", "{landing_flap, slip}, yes or no each");
  if (!value) return;
  const Fields fields(*value, {"landing_flap", "slip"});
  if (const auto flap = fields.need("landing_flap", "yes or no")) {
    t.landing_flap_on_final = flap->yes_or_no().value_or(false);
  }
  const auto slip = fields.need("slip", "yes or no");
  if (!slip) return;
  t.slip_on_final = slip->yes_or_no().value_or(false);
  if (t.slip_on_final && !t.landing_flap_on_final) {
    slip->refuse("no", "a slip is the last resort after landing flap, and landing_flap is no");
  }
}

void read_technique(const Fields& root, Policy& policy) {
  const auto value = root.need("technique", "how the aeroplane is flown after the failure");
  if (!value) return;
  const Fields fields(*value, {"reaction", "glide_factor", "banks", "line_up_bank", "turn_stall_margin", "half_gust",
                               "roll_allowance", "aligned_by", "reversals", "excess_height"});
  flight::Technique& t = policy.technique;
  t.reaction =
      fields.need_quantity<Duration>("reaction", Dimension::duration, {0.1, 30, "s", 3, 8}).value_or(Duration{});
  t.glide_factor = fields.need_number("glide_factor", {0.3, 1, "", 0.5, 1}).value_or(0.0);
  t.banks =
      fields.need_rising<Angle>("banks", Dimension::angle, kBank, "a list of angles, rising, such as [30 deg, 45 deg]");
  if (const auto bank = fields.need("line_up_bank", R"(an angle, or "as_turn")")) {
    if (!bank->is_text() || bank->raw() != "as_turn") t.line_up_bank = bank->quantity<Angle>(Dimension::angle, kBank);
  }
  t.turn_stall_margin = fields.need_number("turn_stall_margin", {1, 2, "", 1.1, 1.5}).value_or(0.0);
  if (const auto half = fields.need("half_gust", "yes or no")) {
    t.half_gust_on_speed = half->yes_or_no().value_or(false);
  }
  const auto allowance = fields.get("roll_allowance");
  if (policy.model.roll == flight::RollRule::allowance && !allowance) {
    fields.missing("roll_allowance", accepted_quantity(Dimension::length), "model.roll is allowance");
  }
  if (policy.model.roll == flight::RollRule::rate && allowance) {
    allowance->refuse("no allowance", "model.roll is rate: rolling is integrated, and would count twice");
  }
  if (allowance) t.roll_allowance = allowance->quantity<Length>(Dimension::length, {0, 500, "ft"}).value_or(Length{});
  read_alignment(fields, policy);
  if (const auto reversals = fields.need_number("reversals", {0, 2, ""})) {
    if (*reversals != std::floor(*reversals)) fields.get("reversals")->refuse("a whole number, 0 to 2");
    t.briefed_reversals = static_cast<int>(*reversals);
  }
  read_excess_height(fields, t);
}

void read_clearance(const Fields& root, flight::ClearanceRule& rule) {
  const auto value = root.need(
      "clearance", "{over_obstacles, beside_obstacles, over_areas, beside_areas, over_terrain, around_runway}");
  if (!value) return;
  const Fields fields(
      *value, {"over_obstacles", "beside_obstacles", "over_areas", "beside_areas", "over_terrain", "around_runway"});
  const Range over{0, 5000, "ft", 0, 2000};
  const Range beside{0, 5000, "m", 0, 1000};
  rule.over_obstacles = fields.need_quantity<Length>("over_obstacles", Dimension::length, over).value_or(Length{});
  rule.beside_obstacles =
      fields.need_quantity<Length>("beside_obstacles", Dimension::length, beside).value_or(Length{});
  if (const auto areas = fields.need("over_areas", R"(a height above the ground, or "never")")) {
    if (!areas->is_text() || areas->raw() != "never") {
      rule.over_areas = areas->quantity<Length>(Dimension::length, over);
    }
  }
  rule.beside_areas = fields.need_quantity<Length>("beside_areas", Dimension::length, beside).value_or(Length{});
  rule.over_terrain = fields.need_quantity<Length>("over_terrain", Dimension::length, over).value_or(Length{});
  const Range around{0, 300, "m", 30, 150};
  rule.around_runway = fields.need_quantity<Length>("around_runway", Dimension::length, around).value_or(Length{});
}

decision::WorldRule read_world(const Value& value) {
  const Fields fields(value, {"name", "profile", "wind_factor", "at_least_gust", "shift", "climb_factor"});
  decision::WorldRule world;
  world.name = fields.need_text("name", "a short name").value_or("");
  if (const auto profile = fields.need("profile", "yes or no")) world.profile = profile->yes_or_no().value_or(true);
  if (const auto factor = fields.get("wind_factor")) {
    world.wind_factor = factor->si(Dimension::number, {0, 3, ""}).value_or(1.0);
  }
  if (const auto gust = fields.get("at_least_gust")) world.at_least_gust = gust->yes_or_no().value_or(false);
  world.shift = fields.get_quantity<Angle>("shift", Dimension::angle, {-180, 180, "deg", -90, 90}).value_or(Angle{});
  if (const auto factor = fields.get("climb_factor")) {
    world.climb_factor = factor->si(Dimension::number, {0.1, 1.2, "", 0.5, 1}).value_or(1.0);
  }
  return world;
}

void read_bracket(const Fields& root, decision::BracketRule& bracket) {
  const auto value = root.need("bracket", "{profile, calm, worlds}");
  if (!value) return;
  const Fields fields(*value, {"profile", "calm", "worlds"});
  if (const auto profile = fields.need("profile", "{law: power, exponent: ...}")) {
    const Fields law(*profile, {"law", "exponent"});
    (void)law.need_choice<bool>("law", {{"power", true}});
    bracket.profile_exponent = law.need_number("exponent", {0, 0.6, "", 0, 0.4}).value_or(0.0);
  }
  if (const auto calm = fields.need("calm", R"({at_least, from}, or "as_reported")")) {
    if (!calm->is_text() || calm->raw() != "as_reported") {
      const Fields rule(*calm, {"at_least", "from"});
      bracket.calm_speed = rule.need_quantity<Speed>("at_least", Dimension::speed, {0, 15, "kt"}).value_or(Speed{});
      if (const auto from = rule.need("from", "angles from the departure runway's track")) {
        for (const Value& item : from->items("angles from the departure runway's track, such as [0 deg, 180 deg]")) {
          const auto angle = item.quantity<Angle>(Dimension::angle, {-180, 360, "deg"});
          if (angle) bracket.calm_directions.push_back(*angle);
        }
      }
    }
  }
  if (const auto worlds = fields.need("worlds", "a list of worlds, the first of which is the plan")) {
    for (const Value& item : worlds->items("a list of worlds, the first of which is the plan")) {
      decision::WorldRule world = read_world(item);
      const bool again = std::any_of(bracket.worlds.begin(), bracket.worlds.end(),
                                     [&world](const auto& other) { return other.name == world.name; });
      if (again) item.refuse("a name of its own for each world", "\"" + world.name + "\" is there already");
      bracket.worlds.push_back(std::move(world));
    }
  }
}

void read_gates(const Fields& root, decision::GateRule& gates) {
  const auto value = root.need("gates", "how windows become gates");
  if (!value) return;
  const Fields fields(
      *value, {"rounding", "minimum_window", "minimum_window_time", "most", "small_turn", "full_circle", "prefer"});
  gates.rounding = fields.need_quantity<Length>("rounding", Dimension::length, {0, 500, "ft"}).value_or(Length{});
  gates.minimum_window =
      fields.need_quantity<Length>("minimum_window", Dimension::length, {0, 5000, "ft"}).value_or(Length{});
  gates.minimum_window_time =
      fields.need_quantity<Duration>("minimum_window_time", Dimension::duration, {0, 600, "s"}).value_or(Duration{});
  gates.most_gates = static_cast<int>(fields.need_number("most", {1, 20, ""}).value_or(1));
  gates.small_turn =
      fields.need_quantity<Angle>("small_turn", Dimension::angle, {0, 180, "deg", 30, 120}).value_or(Angle{});
  gates.full_circle =
      fields.need_quantity<Length>("full_circle", Dimension::length, {0, 10000, "ft"}).value_or(Length{});
  if (const auto prefer = fields.need("prefer", "{below, above, from}")) {
    const Fields rule(*prefer, {"below", "from", "above"});
    const Words<decision::Preference> words{{"ground_ahead", decision::Preference::ground_ahead},
                                            {"runway", decision::Preference::runway}};
    gates.prefer_below = rule.need_choice("below", words).value_or(decision::Preference::ground_ahead);
    gates.prefer_above = rule.need_choice("above", words).value_or(decision::Preference::ground_ahead);
    gates.prefer_runway_above = rule.need_quantity<Length>("from", Dimension::length, kHeight).value_or(Length{});
  }
}

void read_sector(const Fields& root, decision::SectorRule& sector) {
  const auto value = root.need("sector", "a list of {from, half_width}, rising");
  if (!value) return;
  for (const Value& item : value->items("a list of {from, half_width}, rising")) {
    const Fields step(item, {"from", "half_width"});
    const auto from = step.need_quantity<Length>("from", Dimension::length, kHeight);
    const auto width = step.need_quantity<Angle>("half_width", Dimension::angle, {1, 180, "deg", 10, 90});
    if (!from || !width) continue;
    if (sector.steps.empty() ? from->si() != 0.0 : *from <= sector.steps.back().from_height) {
      step.get("from")->refuse(sector.steps.empty() ? "0 ft in the first step" : "a height above the one before it");
    }
    sector.steps.push_back({*from, *width});
  }
}

void read_scan(const Fields& root, Policy& policy) {
  const auto value = root.need("scan", "{at_least, to_height, never_past}");
  if (!value) return;
  const Fields fields(*value, {"at_least", "to_height", "never_past"});
  const auto least = fields.need_quantity<Duration>("at_least", Dimension::duration, {10, 3600, "s"});
  const auto height = fields.need_quantity<Length>("to_height", Dimension::length, {100, 20000, "ft"});
  const auto limit = fields.need_quantity<Duration>("never_past", Dimension::duration, {10, 7200, "s"});
  if (!least || !height || !limit) return;
  if (*limit < *least) fields.get("never_past")->refuse("a time not below at_least");
  policy.scan_end = *least;
  policy.scan_height = *height;
  policy.scan_limit = *limit;
}

}  // namespace

Policy read_policy(const Value& root) {
  Policy policy;
  const Fields fields(root, {"backfield", "name", "model", "technique", "stop", "clearance", "bracket", "gates",
                             "sector", "ground_ahead", "power_left", "scan", "landing_assessment", "take_off",
                             "return_with_power", "runway_choice", "cloud", "night"});
  policy.name = fields.need_text("name", "a name").value_or("");
  read_model(fields, policy.model);
  read_technique(fields, policy);
  if (const auto value = fields.need("stop", "what a landing and a stop are charged")) {
    const Fields stop(*value, {"landing_roll_factor", "adverse_slope_per_percent", "rejected_take_off_delay",
                               "tailwind_not_briefed_above"});
    policy.stop.landing_roll_factor = stop.need_number("landing_roll_factor", {1, 5, "", 1, 2.5}).value_or(0.0);
    policy.stop.slope_factor_per_percent =
        stop.need_number("adverse_slope_per_percent", {0, 0.3, "", 0, 0.15}).value_or(0.0);
    policy.stop.rejected_take_off_delay =
        stop.need_quantity<Duration>("rejected_take_off_delay", Dimension::duration, {0, 15, "s", 1, 6})
            .value_or(Duration{});
    policy.stop.tailwind_not_briefed_above =
        stop.need_quantity<Speed>("tailwind_not_briefed_above", Dimension::speed, {0, 100, "kt"}).value_or(Speed{});
  }
  read_margins(fields, policy);
  read_sky_rules(fields, policy);
  read_runway_choice(fields, policy);
  read_clearance(fields, policy.clearance);
  read_bracket(fields, policy.bracket);
  read_gates(fields, policy.gates);
  read_sector(fields, policy.sector);
  policy.ground_ahead = read_ground_rule(fields);
  read_power_left(fields, policy.power_left);
  read_scan(fields, policy);
  policy.file = root.reading().document().file;
  policy.checksum = checksum(root.reading().document().bytes);
  return policy;
}

Loaded<Policy> load_policy(const std::string& path) {
  const Document document = read_document(path);
  Reading reading(document);
  Loaded<Policy> loaded;
  if (document.readable && is_kind(Value::root(reading), "policy/1")) loaded.value = read_policy(Value::root(reading));
  if (reading.failed()) loaded.value.reset();
  loaded.findings = reading.take();
  return loaded;
}

}  // namespace backfield::io
