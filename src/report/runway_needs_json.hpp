#pragma once
// Take-off and landing with power, and the load sheet, as they stand in the JSON.

#include "json_values.hpp"

#include "backfield/decision/answer.hpp"

namespace backfield::report::as_json {

Json take_off(const decision::TakeOffRoom& room);
Json marks(const decision::MarksOnRoll& marks);
Json powered_landing(const decision::PoweredReturn& back);
Json load_sheet(const std::optional<aircraft::LoadSheet>& sheet);

}  // namespace backfield::report::as_json
