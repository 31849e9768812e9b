#pragma once
// Values as they stand in the JSON for programs: rounded, and null where there is none.

#include "backfield/base/contract.hpp"
#include "backfield/base/units.hpp"
#include "backfield/earth/direction.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

#include <optional>
#include <string>
#include <vector>

/// A namespace of its own, since the words for paper have the same names.
namespace backfield::report::as_json {

using Json = nlohmann::ordered_json;

inline Json rounded(double value, double steps_per_unit) {
  require(std::isfinite(value), "a number in JSON is finite");
  const double result = std::round(value * steps_per_unit) / steps_per_unit;
  return result == 0.0 ? 0.0 : result;  // no minus before a zero
}
inline Json tenth(double value) { return rounded(value, 10.0); }
inline Json ratio(double value) { return rounded(value, 1000.0); }
inline Json ft(Length v) { return tenth(in_feet(v)); }
inline Json m(Length v) { return tenth(in_metres(v)); }
inline Json kt(Speed v) { return tenth(in_knots(v)); }
inline Json s(Duration v) { return tenth(in_seconds(v)); }
inline Json deg(Angle v) { return tenth(in_degrees(v)); }
/// A direction in [0, 360), also after rounding.
inline Json direction_deg(earth::TrueDirection v) {
  const double rounded_deg = std::round(v.deg() * 10.0) / 10.0;
  return rounded_deg >= 360.0 ? 0.0 : rounded_deg;
}

template <class T, class Convert>
Json or_null(const std::optional<T>& value, Convert convert) {
  return value ? convert(*value) : Json(nullptr);
}

inline Json text_or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

template <class T, class Convert>
Json list(const std::vector<T>& items, Convert convert) {
  Json all = Json::array();
  for (const T& item : items) all.push_back(convert(item));
  return all;
}

}  // namespace backfield::report::as_json
