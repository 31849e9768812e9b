#pragma once
// Why there is no accelerate-stop or accelerate-go distance: the same words in the text and in JSON.

#include "backfield/decision/power_left.hpp"

#include <string>

namespace backfield::report {

inline std::string why_no_stop(const decision::OneEngineOut& o) {
  if (!o.stop_beyond.empty()) return "not assessed, " + o.stop_beyond;
  return "not stated by the aircraft file, or ASDA not declared";
}

inline std::string why_no_go(const decision::OneEngineOut& o) {
  if (o.go_impossible) return "NONE, no distance is enough: " + o.go_beyond;
  if (!o.go_beyond.empty()) return "not assessed, " + o.go_beyond;
  return "not stated by the aircraft file, or TODA not declared";
}

}  // namespace backfield::report
