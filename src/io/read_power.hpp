#pragma once
// The parts of an aircraft file that say what an engine or its propeller leaves when it fails.

#include "fields.hpp"

#include "backfield/aircraft/aircraft.hpp"

namespace backfield::io {

/// `propeller` and `one_engine_out`: which of them a class must have, and neither where it makes no sense. Masses,
/// speeds and glide are read already.
void read_power(const Fields& root, aircraft::Aircraft& result);

/// Refuses figures of one engine that are better than those of all: climb, and accelerate-stop and -go against the
/// distances of a take-off. All of them are read already.
void check_power(const Fields& root, const aircraft::Aircraft& aircraft);

}  // namespace backfield::io
