#pragma once

#include "fields.hpp"

#include "backfield/aircraft/aircraft.hpp"

namespace backfield::io {

/// Reads the root of an aircraft file; the value is complete only when the reading has no error.
aircraft::Aircraft read_aircraft(const Value& root);

}  // namespace backfield::io
