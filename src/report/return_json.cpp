#include "return_json.hpp"

namespace backfield::report::as_json {

Json circuit(const decision::Circuit& c) {
  Json result = {{"side", flight::name_of(c.side)}, {"to_touchdown_s", s(c.to_touchdown)}, {"slowest_world", c.world}};
  if (c.ways.empty()) return result;
  const flight::RendezvousResult& turns = c.ways.front().turns;
  result["way"] = {{"first_turn_deg", tenth(in_degrees(turns.first_turn))},
                   {"middle_turn_deg", tenth(in_degrees(turns.middle_turn))},
                   {"straight_s", s(turns.straight)},
                   {"last_turn_deg", tenth(in_degrees(turns.last_turn))}};
  return result;
}

Json return_with_power(const decision::Answer& a) {
  const decision::ReturnWithPower& back = a.return_with_power;
  return {{"not_assessed", text_or_null(back.not_assessed)},
          {"choices", list(back.choices,
                           [&a](const decision::ReturnChoice& c) {
                             const decision::RunwayOption* o = c.option ? &a.options[*c.option] : nullptr;
                             return Json{{"urgency", decision::name_of(c.urgency)},
                                         {"aerodrome", o == nullptr ? Json(nullptr) : Json(o->end.aerodrome)},
                                         {"runway", o == nullptr ? Json(nullptr) : Json(o->end.designator)},
                                         {"remark", text_or_null(c.remark)}};
                           })},
          {"overweight_kg", tenth(in_kilograms(back.overweight))},
          {"to_landing_mass_s", or_null(back.to_landing_mass, [](Duration d) { return s(d); })}};
}

}  // namespace backfield::report::as_json
