#include "return_json.hpp"

namespace backfield::report::as_json {

Json circuit(const decision::Circuit& c) {
  return {{"side", flight::name_of(c.side)}, {"to_touchdown_s", s(c.to_touchdown)}, {"slowest_world", c.world}};
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
