#include "read_power.hpp"

#include "read_figure.hpp"

#include "backfield/aircraft/by_engines.hpp"

#include <cmath>
#include <string>

namespace backfield::io {
namespace {

using aircraft::Aircraft;
using aircraft::AircraftClass;

constexpr Range kAirspeed{15, 300, "kt"};
constexpr Range kLost{0, 1500, "ft/min", 0, 700};
constexpr Range kTime{0, 60, "s", 0, 20};
constexpr FigureKind kClimbFigure{Dimension::vertical_speed, {-1500, 4000, "ft/min"}, Trend::falls};
constexpr FigureKind kDistanceFigure{Dimension::length, {1, 6500, "m"}, Trend::grows};

aircraft::Figure figure_of(const Fields& fields, std::string_view key, const FigureKind& kind) {
  const auto value = fields.get(key);
  return value ? read_figure(*value, kind).value_or(aircraft::Figure{}) : aircraft::Figure{};
}

void read_propeller(const Fields& root, Aircraft& result) {
  const auto value = root.get("propeller");
  if (!value) {
    if (result.kind == AircraftClass::single_turboprop) {
      root.missing("propeller", "{unfeathered, feather_time, source}",
                   "glide.ratio is the one with the propeller feathered; until then it glides far worse");
    }
    return;
  }
  if (result.is_jet()) {
    value->refuse("no propeller in an aircraft of class light_jet");
    return;
  }
  const Fields fields(*value, {"unfeathered", "feather_time", "source"});
  aircraft::Feathering feathering;
  feathering.time_source = need_source(fields);
  const auto time = fields.need_quantity<Duration>("feather_time", Dimension::duration, kTime);
  const auto state = fields.need("unfeathered", "{ratio, best_glide, source}");
  if (!state) return;
  const Fields glide(*state, {"ratio", "best_glide", "source"});
  const auto ratio = glide.need_number("ratio", {2, 30, "", 4, 15});
  const auto speed = glide.need_quantity<Speed>("best_glide", Dimension::speed, kAirspeed);
  feathering.source = need_source(glide);
  if (!time || !ratio || !speed) return;
  if (*ratio >= result.polar.glide_ratio) {
    glide.get("ratio")->refuse("a ratio below glide.ratio, which is the one with the propeller feathered");
  }
  if (*speed <= result.speeds.stall_clean.value) glide.get("best_glide")->refuse("a speed above stall_clean");
  feathering.glide_ratio_unfeathered = *ratio;
  feathering.best_glide_unfeathered = {*speed};
  feathering.time = *time;
  result.feathering = feathering;
}

void check_engine_out_speeds(const Fields& fields, const aircraft::Speeds& speeds,
                             const aircraft::OneEngineOut& engine_out, const std::string& climb_speed) {
  if (engine_out.v_mca >= engine_out.climb_speed) {
    fields.get("v_mca")->refuse("below " + climb_speed + ", which is " + fields.get(climb_speed)->raw());
  }
  if (speeds.stall_clean >= engine_out.climb_speed) { fields.get(climb_speed)->refuse("a speed above stall_clean"); }
  if (speeds.v_r < engine_out.v_mca) {
    fields.get("v_mca")->warn("usually at most v_r", "an engine that fails after rotation could not be held");
  }
  if (engine_out.final_speed && *engine_out.final_speed < engine_out.climb_speed) {
    fields.get("final")->refuse("a speed no lower than " + climb_speed);
  }
  if (engine_out.v_1 && *engine_out.v_1 > speeds.v_r) fields.get("v_1")->refuse("at most v_r");
}

/// What the file has of the take-off path beyond v_2; all of it may be missing.
void read_final_segment(const Fields& fields, aircraft::OneEngineOut& engine_out) {
  if (const auto height = fields.get("acceleration_height")) {
    engine_out.acceleration_height = height->quantity<Length>(Dimension::length, {400, 1500, "ft"});
  }
  const auto value = fields.get("final");
  if (!value) return;
  const Fields last(*value, {"speed", "climb"});
  if (const auto speed = last.need_quantity<Speed>("speed", Dimension::speed, kAirspeed)) {
    engine_out.final_speed = Cas{*speed};
  }
  engine_out.final_rate = figure_of(last, "climb", kClimbFigure);
}

void read_one_engine_out(const Fields& root, Aircraft& result) {
  const auto value = root.get("one_engine_out");
  if (!value) {
    if (result.is_twin()) {
      root.missing("one_engine_out", "{v_mca, climb, source, ...}", "what the aeroplane does on one of its engines");
    }
    return;
  }
  if (!result.is_twin()) {
    value->refuse("no one_engine_out in an aircraft with a single engine", "check the class");
    return;
  }
  // The speed of the climb has the name that goes with the class.
  const std::string climb_speed = result.kind == AircraftClass::light_twin ? "v_yse" : "v_2";
  const bool has_v_1 = result.kind != AircraftClass::light_twin;
  std::vector<std::string_view> keys{"v_mca",    climb_speed,       "climb",         "gear_down",     "unfeathered",
                                     "clean_up", "accelerate_stop", "accelerate_go", "approach_flap", "source"};
  if (has_v_1) keys.insert(keys.end(), {"v_1", "acceleration_height", "final"});
  if (result.is_jet()) keys.emplace_back("engines");
  if (!has_v_1) keys.emplace_back("v_mca_falls_with_density");
  const Fields fields(*value, keys);
  aircraft::OneEngineOut engine_out;
  // The class says two; a jet may have more.
  if (const auto engines = result.is_jet() ? fields.get("engines") : std::nullopt) {
    constexpr Range kEngines{aircraft::kFewestEngines, aircraft::kMostEngines, ""};
    const double number = engines->si(Dimension::number, kEngines).value_or(aircraft::kFewestEngines);
    engine_out.engines = static_cast<int>(number);
    if (number != std::floor(number)) engines->refuse("a whole number");
  }
  const auto v_mca = fields.need_quantity<Speed>("v_mca", Dimension::speed, kAirspeed);
  const auto speed = fields.need_quantity<Speed>(climb_speed, Dimension::speed, kAirspeed);
  if (has_v_1) {
    if (const auto v_1 = fields.need_quantity<Speed>("v_1", Dimension::speed, kAirspeed)) engine_out.v_1 = Cas{*v_1};
  }
  if (fields.need("climb", "a figure: {value, law, valid, source} or {table, source}")) {
    engine_out.climb_rate = figure_of(fields, "climb", kClimbFigure);
  }
  const auto gear = fields.need_quantity<Speed>("gear_down", Dimension::vertical_speed, kLost);
  const auto clean_up = fields.need_quantity<Duration>("clean_up", Dimension::duration, kTime);
  std::optional<Speed> propeller;
  if (result.is_jet()) {
    if (const auto wrong = fields.get("unfeathered")) wrong->refuse("no propeller in an aircraft of class light_jet");
    propeller = Speed{};
  } else {
    propeller = fields.need_quantity<Speed>("unfeathered", Dimension::vertical_speed, kLost);
  }
  engine_out.accelerate_stop = figure_of(fields, "accelerate_stop", kDistanceFigure);
  engine_out.accelerate_go = figure_of(fields, "accelerate_go", kDistanceFigure);
  engine_out.lost_approach_flap = fields.get_quantity<Speed>("approach_flap", Dimension::vertical_speed, kLost);
  if (const auto falls = has_v_1 ? std::nullopt : fields.get("v_mca_falls_with_density")) {
    engine_out.v_mca_falls_with_density = falls->yes_or_no().value_or(false);
  }
  if (has_v_1) read_final_segment(fields, engine_out);
  engine_out.source = need_source(fields);
  if (!v_mca || !speed || !gear || !clean_up || !propeller) return;
  engine_out.v_mca = {*v_mca};
  engine_out.climb_speed = {*speed};
  engine_out.lost_gear_down = *gear;
  engine_out.lost_unfeathered = *propeller;
  engine_out.clean_up = *clean_up;
  check_engine_out_speeds(fields, result.speeds, engine_out, climb_speed);
  result.one_engine_out = engine_out;
}

}  // namespace

void read_power(const Fields& root, Aircraft& result) {
  read_propeller(root, result);
  read_one_engine_out(root, result);
}

void check_power(const Fields& root, const Aircraft& aircraft) {
  const auto value = root.get("one_engine_out");
  if (!value || !aircraft.one_engine_out) return;
  const aircraft::OneEngineOut& engine_out = *aircraft.one_engine_out;
  const auto above = [&](std::string_view key, const aircraft::Figure& less, const aircraft::Figure& more,
                         std::string_view unit, const std::string& why) {
    if (less.stated() && more.stated()) check_above(*value->child(key), less, more, unit, why);
  };
  above("climb", engine_out.climb_rate, aircraft.climb_rate_v_y, "ft/min",
        "a rate of climb below climb.v_y, the one with all engines");
  above("accelerate_stop", aircraft.distances.take_off_roll, engine_out.accelerate_stop, "m",
        "a distance longer than take_off.roll");
  above("accelerate_go", aircraft.distances.take_off_to_50ft, engine_out.accelerate_go, "m",
        "a distance longer than take_off.to_50_ft, the one with all engines");
}

}  // namespace backfield::io
