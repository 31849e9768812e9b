#include "sky_json.hpp"

#include "parts.hpp"

namespace backfield::report::as_json {
namespace {

const char* token(decision::CloudReport::Kind kind) {
  switch (kind) {
    case decision::CloudReport::Kind::not_known:
      return "not_known";
    case decision::CloudReport::Kind::none:
      return "none";
    case decision::CloudReport::Kind::base:
      return "base";
  }
  return "";
}

Json cloud(const decision::CloudAnswer& a) {
  const bool base = a.report.kind == decision::CloudReport::Kind::base;
  return {{"kind", token(a.report.kind)},
          {"base_ft", base ? ft(a.report.base) : Json(nullptr)},
          {"source", a.report.source},
          {"limit_ft", or_null(a.limit, ft)},
          {"void", list(a.parts,
                        [](const decision::VoidPart& p) {
                          return Json{{"option", p.option},
                                      {"from_height_ft", ft(p.from)},
                                      {"to_height_ft", or_null(p.to, ft)},
                                      {"whole", p.whole}};
                        })},
          {"circuit_void", a.circuit_in_cloud},
          {"runway_ahead_in_cloud", a.runway_ahead_in_cloud}};
}

Json night(const decision::NightAnswer& a) {
  return {{"departure", utc_of(a.departure)},
          {"sun_elevation_deg", deg(a.sun_at_departure)},
          {"after_take_off", a.after_take_off},
          {"on_return_with_power", a.on_return},
          {"next_change", or_null(a.change, [](earth::Instant t) { return Json(utc_of(t)); })},
          {"no_return_to", list(a.unlit, [](const decision::NightAnswer::Unlit& end) {
             return Json{{"aerodrome", end.aerodrome}, {"runway", end.runway}, {"lights_stated", end.stated}};
           })}};
}

}  // namespace

void add_sky(Json& root, const decision::Answer& answer) {
  if (answer.cloud) root["cloud"] = cloud(*answer.cloud);
  if (answer.night) root["night"] = night(*answer.night);
}

}  // namespace backfield::report::as_json
