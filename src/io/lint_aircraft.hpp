#pragma once
// What `check` has to say about an aircraft file that was read without an error: figures that are more often a typing
// error than an aeroplane, and what the file estimates or leaves out. A brief does not repeat it.

#include "fields.hpp"

#include "backfield/aircraft/aircraft.hpp"

namespace backfield::io {

/// Adds warnings and notes to the reading of `root`, from which `aircraft` was read; never an error.
void lint_aircraft(const Value& root, const aircraft::Aircraft& aircraft);

}  // namespace backfield::io
