#include "power_left_json.hpp"

#include "no_distance.hpp"

#include <utility>

namespace backfield::report::as_json {
namespace {

Json fpm(Speed v) { return tenth(in_feet_per_minute(v)); }
Json percent(double share) { return rounded(100.0 * share, 1000.0); }

Json climb(const decision::ClimbAtBank& c) { return {{"bank_deg", deg(c.bank)}, {"rate_fpm", fpm(c.rate)}}; }

Json partial(const decision::PartialPower& p) {
  return {{"fraction", ratio(p.fraction)},
          {"climb", list(p.climb, climb)},
          {"level_up_to_bank_deg", or_null(p.level_bank, deg)},
          {"verdict", decision::name_of(p.verdict)}};
}

Json against(const decision::DistanceAgainst& d) {
  Json json{{"needed_m", m(d.needed)}, {"available_m", m(d.available)}, {"fits", d.fits()}};
  if (d.estimated) json["estimated"] = true;
  return json;
}

Json obstacle(const decision::ObstacleAhead& o) {
  return {
      {"name", o.name},          {"distance_m", m(o.distance)}, {"top_ft", ft(o.top)}, {"required_ft", ft(o.required)},
      {"gross_ft", ft(o.gross)}, {"net_ft", ft(o.net)},         {"clear", o.clear()}};
}

Json aside(const decision::ObstacleAside& o) {
  return {{"name", o.name},
          {"distance_m", m(o.distance)},
          {"off_track_m", m(o.off)},
          {"side", o.right ? "right" : "left"},
          {"looked_at_m", m(o.looked_at)},
          {"why", o.before ? "before" : "beside"}};
}

Json rule(const decision::ObstacleRule& r) {
  return {{"name", r.name},
          {"over_ft", ft(r.over)},
          {"over_growth", ratio(r.over_growth)},
          {"beside_m", m(r.beside)},
          {"beside_growth", ratio(r.beside_growth)}};
}

Json terrain(const decision::TerrainUnder& t) {
  const auto ground = [](const decision::ObstacleAhead& x) {
    return Json{{"distance_m", m(x.distance)}, {"ground_ft", ft(x.top)}, {"required_ft", ft(x.required)},
                {"gross_ft", ft(x.gross)},     {"net_ft", ft(x.net)},    {"clear", x.clear()}};
  };
  return {{"assessed", t.assessed},
          {"up_to_ft", ft(t.up_to)},
          {"looked_at_to_m", m(t.to)},
          {"least_to_spare", or_null(t.nearest, ground)},
          {"too_low_from_m", or_null(t.too_low_from, m)},
          {"not_known_from_m", or_null(t.unknown_from, m)}};
}

Json point(const aircraft::TakeOffPoint& p) {
  return {{"to", aircraft::name_of(p.what)}, {"speed_kcas", tenth(in_knots(p.speed.value))},
          {"height_ft", ft(p.height)},       {"net_height_ft", ft(p.net_height)},
          {"distance_m", m(p.distance)},     {"time_s", tenth(in_seconds(p.time))},
          {"estimated", p.estimated}};
}

Json gradient(const aircraft::SegmentGradient& g) {
  return {{"gross_percent", percent(g.gross)}, {"net_percent", percent(g.net)}};
}

Json take_off(const decision::EngineOutTakeOff& t) {
  return {{"points", list(t.path.points, point)},
          {"why_not", text_or_null(t.path.why_not)},
          {"not_in_world", text_or_null(t.not_in)},
          {"second_segment", or_null(t.path.second, gradient)},
          {"second_segment_least_percent", percent(t.second_least)},
          {"final_segment", or_null(t.path.last, gradient)},
          {"final_segment_least_percent", percent(t.last_least)},
          {"acceleration_height_ft", ft(t.path.acceleration_height)},
          {"final_speed_stated", t.path.final_speed_stated},
          {"final_rate_stated", t.path.final_rate_stated},
          {"take_off_thrust_in_time", t.in_time}};
}

Json drift_point(const decision::DriftDownPoint& p) {
  return {{"time_s", tenth(in_seconds(p.time))},
          {"height_ft", ft(p.height)},
          {"net_height_ft", ft(p.net_height)},
          {"flown_m", m(p.distance)}};
}

Json drift_down(const decision::DriftDown& d) {
  return {{"from_ft", ft(d.from)},
          {"stated", d.stated},
          {"points", list(d.points, drift_point)},
          {"levels_at_ft", or_null(d.levels_at, ft)},
          {"net_levels_at_ft", or_null(d.net_levels_at, ft)},
          {"why_not", text_or_null(d.why_not)}};
}

Json controls(const decision::ControlSpeeds& c) {
  const auto kt = [](Cas cas) { return tenth(in_knots(cas.value)); };
  return {{"v_mca_used_kcas", kt(c.v_mca)},
          {"v_mca_in_that_air_kcas", kt(c.v_mca_in_that_air)},
          {"stall_clean_kcas", kt(c.stall)},
          {"stall_first_here", c.stall_first},
          {"stall_first_from_ft", or_null(c.meet, ft)}};
}

Json one_engine_out(const decision::OneEngineOut& o) {
  Json json{{"verdict", decision::name_of(o.verdict)},
            {"decided_in", o.decided_in},
            {"climb", list(o.climb, climb)},
            {"gross_gradient_percent", percent(o.gross)},
            {"net_gradient_percent", percent(o.net)},
            {"rate_gear_down_fpm", fpm(o.gear_down)},
            {"rate_unfeathered_fpm", fpm(o.unfeathered)},
            {"half_circle_radius_m", m(o.half_circle_radius)},
            {"half_circle_height_ft", ft(o.half_circle_height)},
            {"accelerate_stop", or_null(o.stop, against)},
            {"accelerate_go", or_null(o.go, against)},
            {"path_begins_m", m(o.path_begins)},
            {"path_begins_estimated", o.path_estimated || o.go_estimated},
            {"obstacle_rule", rule(o.obstacle_rule)},
            {"obstacles_assessed", o.obstacles_assessed},
            {"obstacles", list(o.obstacles, obstacle)},
            {"obstacles_not_considered", list(o.aside, aside)},
            {"holds_height_up_to_ft", or_null(o.ceiling, ft)}};
  if (!o.stop) json["accelerate_stop_why_not"] = why_no_stop(o);
  if (!o.go) json["accelerate_go_why_not"] = why_no_go(o);
  if (o.terrain) json["terrain"] = terrain(*o.terrain);
  if (o.drift_down) json["drift_down"] = drift_down(*o.drift_down);
  if (o.controls) json["controls"] = controls(*o.controls);
  if (o.take_off) json["take_off_path"] = take_off(*o.take_off);
  return json;
}

Json shares(const decision::GroundShares& g) {
  return {{"landable", ratio(g.landable)}, {"avoid", ratio(g.avoid)}, {"not_known", ratio(g.unknown)}};
}

Json way_back(const decision::WayBack& w) {
  const bool flown = w.found && !w.at_once;
  const auto if_flown = [&](Json value) { return flown ? std::move(value) : Json(nullptr); };
  return {{"power_left", w.fraction > 0.0 ? Json(ratio(w.fraction)) : Json("one engine")},
          {"flown_with", w.fraction > 0.0 ? Json(ratio(w.flown_with)) : Json(nullptr)},
          {"fails_at_ft", ft(w.fails_at)},
          {"found", w.found},
          {"why_not", text_or_null(w.why_not)},
          {"glide_at_once", w.at_once},
          {"aerodrome", if_flown(w.aerodrome)},
          {"runway", if_flown(w.runway)},
          {"side", if_flown(flight::name_of(w.side))},
          {"glide_side", if_flown(flight::name_of(w.glide_side))},
          {"turn_at_ft", if_flown(ft(w.turn_at))},
          {"turns_before_home", if_flown(w.turns_before_home)},
          {"decided_in", if_flown(w.decided_in)},
          {"exposed_s", w.found ? tenth(in_seconds(w.exposed)) : Json(nullptr)},
          {"glide_from_ft", if_flown(ft(w.home))},
          {"below", or_null(w.below, shares)},
          {"to_touchdown_s", if_flown(tenth(in_seconds(w.to_touchdown)))}};
}

Json committal(const decision::Committal& c) {
  Json json{{"height_ft", ft(c.policy)}, {"lost_ft", ft(c.lost)}, {"enough", c.enough()}};
  if (c.flap_counted) json["flap_counted"] = true;
  return json;
}

}  // namespace

Json power_left(const decision::PowerLeftAnswer& a) {
  return {{"evaluated_at_ft", ft(a.evaluated_at)},
          {"partial", list(a.partial, partial)},
          {"one_engine_out", or_null(a.one_engine_out, one_engine_out)},
          {"ways_back", list(a.ways_back, way_back)},
          {"committal", or_null(a.committal, committal)},
          {"not_assessed", text_or_null(a.not_assessed)}};
}

}  // namespace backfield::report::as_json
