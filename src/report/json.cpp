#include "backfield/report/json.hpp"

#include "ground_ahead_json.hpp"
#include "json_values.hpp"
#include "power_left_json.hpp"
#include "return_json.hpp"
#include "runway_needs_json.hpp"
#include "sky_json.hpp"

#include "backfield/base/version.hpp"

namespace backfield::report {

using namespace as_json;

namespace {

constexpr double kAnyEntry = 100.0;  // of speed over stall: more stands where no entry was flown

/// The upper edge of something that may go on beyond the scan.
Json upper_ft(const Interval<Length>& heights, bool open_above) {
  return open_above ? Json(nullptr) : ft(heights.high);
}

const char* token(decision::Limit limit) {
  switch (limit) {
    case decision::Limit::reach:
      return "reach";
    case decision::Limit::stop:
      return "stop";
    case decision::Limit::too_high:
      return "too_high";
    case decision::Limit::clearance:
      return "clearance";
    case decision::Limit::lift_off:
      return "lift_off";
    case decision::Limit::scan_end:
      return "scan_end";
    case decision::Limit::cloud:
      return "cloud";
    case decision::Limit::preference:
      return "preference";
  }
  return "";
}

const char* token(decision::Standing standing) {
  switch (standing) {
    case decision::Standing::briefed:
      return "briefed";
    case decision::Standing::computed_only:
      return "computed_only";
    case decision::Standing::some_worlds_only:
      return "some_worlds_only";
    case decision::Standing::none:
      return "none";
  }
  return "";
}

const char* token(decision::GroundAhead::Landable landable) {
  switch (landable) {
    case decision::GroundAhead::Landable::yes:
      return "yes";
    case decision::GroundAhead::Landable::no:
      return "no";
    case decision::GroundAhead::Landable::unknown:
      return "unknown";
  }
  return "";
}

/// The words of the files, so that one list serves both.
const char* token(earth::Surface surface) {
  switch (surface) {
    case earth::Surface::unknown:
      return "unknown";
    case earth::Surface::paved:
      return "paved";
    case earth::Surface::grass_dry:
      return "grass_dry";
    case earth::Surface::grass_wet:
      return "grass_wet";
    case earth::Surface::gravel:
      return "gravel";
    case earth::Surface::dirt:
      return "dirt";
    case earth::Surface::water:
      return "water";
    case earth::Surface::wet_paved:
      return "wet_paved";
    case earth::Surface::contaminated:
      return "contaminated";
  }
  return "";
}

const char* token(earth::Provenance provenance) {
  switch (provenance) {
    case earth::Provenance::stated:
      return "stated";
    case earth::Provenance::catalogue:
      return "catalogue";
    case earth::Provenance::catalogue_and_case:
      return "catalogue_and_case";
  }
  return "";
}

Json the_case_of(const decision::Case& c) {
  return {{"title", c.title},
          {"file", c.file},
          {"invented", c.invented || c.aircraft.invented},
          {"aerodrome", c.departure.end.aerodrome},
          {"runway", c.departure.end.designator},
          {"start", c.departure.start_name},
          {"start_from_runway_begin_m", m(c.departure.start)},
          {"aircraft", c.aircraft.name},
          {"aircraft_file", c.aircraft.file},
          {"aircraft_checksum", c.aircraft.checksum},
          {"policy", c.policy.name},
          {"policy_file", c.policy.file},
          {"policy_checksum", c.policy.checksum},
          {"mass_kg", tenth(in_kilograms(c.mass))},
          {"elevation_ft", ft(c.elevation.above_sea_level)},
          {"weather_as_read", c.weather.as_read},
          {"qnh_hpa", tenth(in_hectopascals(c.weather.qnh))},
          {"oat_c", tenth(in_celsius(c.weather.oat))},
          {"altimeter", c.altimeter == decision::AltimeterSetting::qnh ? "qnh" : "qfe"},
          {"turnback_trained", c.turnback_trained},
          {"ground_ahead_landable", token(c.ground_ahead.landable)},
          {"ground_ahead_note", text_or_null(c.ground_ahead.note)}};
}

Json between_heights(const Interval<Length>& heights) {
  return {{"from_height_ft", ft(heights.low)}, {"to_height_ft", ft(heights.high)}};
}

Json window(const decision::Window& w, const char* power) {
  return {{"aerodrome", w.aerodrome},
          {"runway", w.runway},
          {"side", flight::name_of(w.side)},
          {"bank_deg", deg(w.bank)},
          {"world", w.world},
          {"power", power},
          {"lower_height_ft", ft(w.heights.low)},
          {"upper_height_ft", upper_ft(w.heights, w.open_above())},
          {"open_above", w.open_above()},
          {"limit_lower", token(w.lower)},
          {"limit_upper", token(w.upper)},
          {"from_s", s(w.times.low)},
          {"to_s", s(w.times.high)},
          {"needs_landing_flap", or_null(w.height_loss.landing_flap, between_heights)},
          {"needs_slip", or_null(w.height_loss.slip, between_heights)}};
}

Json common_window(const decision::CommonWindow& w) {
  return {{"lower_height_ft", ft(w.heights.low)},
          {"upper_height_ft", upper_ft(w.heights, w.open_above())},
          {"open_above", w.open_above()},
          {"limit_lower", token(w.lower)},
          {"limit_upper", token(w.upper)},
          {"lower_set_by", text_or_null(w.lower_world)},
          {"upper_set_by", text_or_null(w.upper_world)},
          {"from_s", s(w.times.low)},
          {"to_s", s(w.times.high)},
          {"larger_turn_deg", deg(w.larger_turn)},
          {"best_surplus_ft", ft(w.best_surplus)},
          {"needs_landing_flap", or_null(w.height_loss.landing_flap, between_heights)},
          {"needs_slip", or_null(w.height_loss.slip, between_heights)}};
}

Json landing(const decision::Landing& l) {
  return {{"world", l.world},
          {"air_m", m(l.air)},
          {"roll_m", m(l.roll)},
          {"needed_m", m(l.needed())},
          {"available_m", m(l.available)},
          {"left_m", m(l.left())},
          {"fits", l.fits()},
          {"headwind_kt", kt(l.headwind)},
          {"crosswind_from_right_kt", kt(l.crosswind_from_right)},
          {"touchdown_ground_speed_kt", kt(l.touchdown_ground_speed)}};
}

Json nearest(const decision::Nearest& n) {
  return {{"surplus_ft", ft(n.surplus)},
          {"at_height_ft", ft(n.at_height)},
          {"past_end_m", or_null(n.past_end, m)},
          {"bound_only", n.bound_only}};
}

Json veto(const decision::Veto& v) {
  Json result = {{"what", v.what},
                 {"from_height_ft", ft(v.heights.low)},
                 {"to_height_ft", ft(v.heights.high)},
                 {"below_ft", or_null(v.below, ft)},
                 {"within_m", m(v.within)}};
  if (v.place) {
    const auto elevation = [](earth::Altitude a) { return ft(a.above_sea_level); };
    result["place"] = {{"distance_m", m(v.place->distance)},
                       {"bearing_deg_true", direction_deg(v.place->bearing)},
                       {"elevation_ft", or_null(v.place->elevation, elevation)}};
  }
  return result;
}

Json side(const decision::SideAnswer& answer) {
  Json result = {{"side", flight::name_of(answer.side)},
                 {"standing", token(answer.standing)},
                 {"common_windows", list(answer.common, common_window)},
                 {"why_not_briefed", answer.why_not_briefed},
                 {"nearest", or_null(answer.nearest, nearest)}};
  if (!answer.vetoes.empty()) result["vetoes"] = list(answer.vetoes, veto);
  return result;
}

Json option(const decision::RunwayOption& o) {
  return {{"aerodrome", o.end.aerodrome},
          {"runway", o.end.designator},
          {"reciprocal", o.reciprocal},
          {"distance_m", m(o.distance)},
          {"track_deg_true", direction_deg(o.end.track)},
          {"lda_m", or_null(o.end.lda, m)},
          {"surface", token(o.end.surface)},
          {"provenance", token(o.end.provenance)},
          {"frequency", text_or_null(o.end.frequency)},
          {"not_assessed", text_or_null(o.not_assessed)},
          {"landings", list(o.landings, landing)},
          {"powered_landing", powered_landing(o.powered)},
          {"circuit", or_null(o.circuit, circuit)},
          {"sides", list(o.sides, side)},
          {"reasons", o.reasons}};
}

Json briefed_window(const decision::Answer& answer, const decision::BriefedWindow& b) {
  const earth::RunwayEnd& end = answer.options.at(b.option).end;
  Json result = {{"aerodrome", end.aerodrome}, {"runway", end.designator}, {"side", flight::name_of(b.side)}};
  result.update(common_window(b.window));
  result.update({{"opens_reading_ft", ft(b.opens_reading)},
                 {"closes_reading_ft", or_null(b.closes_reading, ft)},
                 {"tailwind_plan_kt", kt(b.tailwind_plan)},
                 {"tailwind_worst_kt", kt(b.tailwind_worst)},
                 {"needed_worst_m", m(b.needed_worst)},
                 {"available_m", m(b.available)},
                 {"touchdown_ground_speed_worst_kt", kt(b.touchdown_ground_speed_worst)}});
  return result;
}

Json land_ahead(const decision::LandAhead& ahead) {
  const bool open = ahead.upper == decision::Limit::scan_end;
  Json by_world = Json::array();
  for (const auto& [world, heights] : ahead.by_world) {
    by_world.push_back({{"world", world},
                        {"lower_height_ft", or_null(heights, [](const Interval<Length>& h) { return ft(h.low); })},
                        {"upper_height_ft", or_null(heights, [](const Interval<Length>& h) { return ft(h.high); })}});
  }
  Json result = {{"possible", ahead.heights.has_value()}};
  result["lower_height_ft"] = ahead.heights ? ft(ahead.heights->low) : Json(nullptr);
  result["upper_height_ft"] = ahead.heights ? upper_ft(*ahead.heights, open) : Json(nullptr);
  result["open_above"] = ahead.heights && open;
  result["limit_lower"] = ahead.heights ? Json(token(ahead.lower)) : Json(nullptr);
  result["limit_upper"] = ahead.heights ? Json(token(ahead.upper)) : Json(nullptr);
  result["upper_set_by"] = text_or_null(ahead.upper_world);
  result["from_s"] = ahead.heights ? s(ahead.times.low) : Json(nullptr);
  result["to_s"] = ahead.heights ? s(ahead.times.high) : Json(nullptr);
  result["upper_with_stopway_ft"] = or_null(ahead.upper_with_stopway, ft);
  result["not_assessed"] = text_or_null(ahead.not_assessed);
  result["by_world"] = std::move(by_world);
  if (!ahead.vetoes.empty()) result["vetoes"] = list(ahead.vetoes, veto);
  if (!ahead.passed.empty()) result["passed"] = list(ahead.passed, veto);
  return result;
}

Json roll_out(const decision::RollOut& r) {
  Json result{{"available_m", m(r.available)},
              {"roll_m", m(r.roll)},
              {"to_50ft_m", m(r.to_50ft)},
              {"roll_worst_m", m(r.roll_worst)},
              {"to_50ft_worst_m", m(r.to_50ft_worst)},
              {"last_stop_m", or_null(r.last_stop, m)},
              {"stop_fits_to_lift_off", r.stop_fits_to_lift_off},
              {"last_stop_mark", text_or_null(r.last_stop_mark)},
              {"half_way_m", m(r.half_way)},
              {"speed_half_way_kcas", or_null(r.speed_half_way, [](Cas v) { return kt(v.value); })},
              {"least_speed_half_way_kcas", kt(r.least_speed_half_way.value)},
              {"speed_at_last_stop_kcas", or_null(r.speed_at_last_stop, [](Cas v) { return kt(v.value); })},
              {"note", text_or_null(r.note)}};
  if (r.marks.stated) result["marks"] = marks(r.marks);
  return result;
}

Json world(const decision::WorldReport& w) {
  return {{"name", w.name},
          {"wind_from_deg_true", direction_deg(w.surface_wind.from())},
          {"wind_kt", kt(w.surface_wind.speed())},
          {"climb_factor", ratio(w.climb_factor)},
          {"height_at_departure_end_ft", ft(w.height_at_departure_end)},
          {"scanned_to_s", s(w.scanned_to)},
          {"scanned_height_ft", ft(w.scanned_height)},
          {"stopped_because", w.stopped_because},
          {"lowest_speed_over_stall",
           w.lowest_speed_over_stall < kAnyEntry ? ratio(w.lowest_speed_over_stall) : Json(nullptr)}};
}

Json gap(const decision::Gap& g) {
  return {{"from_height_ft", ft(g.from_height)},
          {"to_height_ft", or_null(g.to_height, ft)},
          {"from_s", s(g.from)},
          {"to_s", s(g.to)},
          {"seconds", s(g.duration())},
          {"below", g.below}};
}

Json gate(const decision::Gate& g) {
  return {{"kind", g.kind == decision::GateKind::opens ? "opens" : "closes"},
          {"reading_ft", ft(g.reading)},
          {"height_ft", ft(g.height)},
          {"action", g.action},
          {"option", g.option}};
}

Json cancel_line(const decision::CancelLine& c) {
  return {{"reading_ft", ft(c.reading)}, {"place", c.place}, {"distance_m", m(c.distance)}};
}

Json windows(const decision::Answer& answer) {
  Json all = Json::array();
  for (const decision::RunwayOption& o : answer.options) {
    for (const decision::SideAnswer& a : o.sides) {
      for (const decision::Window& w : a.windows) all.push_back(window(w, "none"));
      for (const decision::Window& w : a.unfeathered) all.push_back(window(w, "none_unfeathered"));
    }
  }
  return all;
}

void add_answer(Json& root, const decision::Case& c, const decision::Answer& a) {
  root["pressure_altitude_ft"] = ft(a.pressure_altitude);
  root["density_altitude_ft"] = ft(a.density_altitude);
  root["temperature_correction_used"] = a.temperature_correction_used;
  root["roll_out"] = roll_out(a.roll_out);
  root["take_off"] = take_off(a.take_off);
  root["load_sheet"] = load_sheet(c.load_sheet);
  root["land_ahead"] = land_ahead(a.land_ahead);
  root["sector"] = list(a.sector, [](const decision::SectorStep& step) {
    return Json{{"from_height_ft", ft(step.from_height)}, {"half_width_deg", deg(step.half_width)}};
  });
  root["gates"] = list(a.gates, gate);
  root["cancel_line"] = or_null(a.cancel, cancel_line);
  root["briefed_windows"] = list(a.briefed, [&a](const auto& b) { return briefed_window(a, b); });
  root["gaps"] = list(a.gaps, gap);
  add_sky(root, a);
  if (a.ground_ahead) root["ground_ahead"] = ground_ahead(*a.ground_ahead);
  root["power_left"] = power_left(a.power_left);
  root["return_with_power"] = return_with_power(a);
  root["speeds"] = list(a.speeds, [](const decision::NamedSpeed& speed) {
    return Json{{"name", speed.name}, {"kias", kt(speed.indicated)}};
  });
  root["options"] = list(a.options, option);
  root["windows"] = windows(a);
  root["worlds"] = list(a.worlds, world);
}

}  // namespace

std::string json(const decision::Case& the_case, const decision::Answer& answer) {
  Json root = {{"backfield", "brief/1"}, {"version", version()}, {"case", the_case_of(the_case)}};
  if (answer.refusal.empty()) {
    add_answer(root, the_case, answer);
    root["assumptions"] = answer.assumptions;
    root["attributions"] = the_case.attributions;
  } else {
    root["refusal"] = answer.refusal;
  }
  root["warnings"] = answer.warnings;
  root["cautions"] = answer.cautions;
  return root.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace backfield::report
