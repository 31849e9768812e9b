#include "json_values.hpp"
#include "nearby_cautions.hpp"

#include "backfield/base/version.hpp"
#include "backfield/report/nearby.hpp"

namespace backfield::report {

using namespace as_json;

namespace {

Json degrees_of(Angle v) { return rounded(in_degrees(v), 1e5); }  // 1e-5 degree is 1 m

Json runway_end(const earth::RunwayEnd& end) {
  return {{"designator", end.designator},
          {"bearing_deg_true", direction_deg(end.track)},
          {"elevation_ft", ft(end.elevation.above_sea_level)},
          {"displaced_threshold_m", m(end.displaced)},
          {"behind_threshold_m", m(earth::NearbyRunway::to_land_on(end))},
          {"lda_m", or_null(end.lda, m)}};
}

Json runway(const earth::NearbyRunway& r) {
  return {{"pavement_m", m(r.ends[0].pavement)},
          {"width_m", or_null(r.width, m)},
          {"surface", r.surface},
          {"surface_as_written", text_or_null(r.surface_as_written)},
          {"lit", r.ends[0].lit},
          {"ends", Json::array({runway_end(r.ends[0]), runway_end(r.ends[1])})}};
}

Json aerodrome(const earth::NearbyAerodrome& a) {
  Json frequencies = Json::array();
  for (const auto& [service, frequency] : a.frequencies) {
    frequencies.push_back({{"service", service}, {"frequency", frequency}});
  }
  return {{"id", a.id},
          {"name", a.name},
          {"country", text_or_null(a.country)},
          {"latitude_deg", degrees_of(a.reference.latitude)},
          {"longitude_deg", degrees_of(a.reference.longitude)},
          {"elevation_ft", ft(a.elevation.above_sea_level)},
          {"distance_m", m(a.distance)},
          {"bearing_deg_true", or_null(a.bearing, direction_deg)},
          {"frequency", text_or_null(a.frequency)},
          {"frequencies", std::move(frequencies)},
          {"runways", list(a.runways, runway)},
          {"runways_left_out", a.left_out},
          {"from_own_file", a.from_own_file},
          {"source", text_or_null(a.source)},
          {"remarks", a.remarks}};
}

}  // namespace

std::string nearby_json(const earth::Nearby& n) {
  Json left_out = Json::array();
  for (const auto& [reason, runways] : n.left_out) left_out.push_back({{"reason", reason}, {"runways", runways}});
  Json root = {{"backfield", "nearby/1"},
               {"version", version()},
               {"place", n.place},
               {"centre", text_or_null(n.centre)},
               {"latitude_deg", degrees_of(n.centre_at.latitude)},
               {"longitude_deg", degrees_of(n.centre_at.longitude)},
               {"within_m", m(n.within)}};
  root["catalogue"] = {{"path", n.catalogue},
                       {"attribution", n.attribution},
                       {"stamped", n.stamped},
                       {"stamped_by_file", n.stamped_by_file},
                       {"age_days", or_null(n.age_days, [](int days) { return Json(days); })}};
  root["aerodromes"] = list(n.aerodromes, aerodrome);
  root["nearest_beyond"] = or_null(n.nearest_beyond, aerodrome);
  root["left_out"] = std::move(left_out);
  root["warnings"] = n.warnings;
  root["cautions"] = nearby_cautions(n);
  return root.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace backfield::report
