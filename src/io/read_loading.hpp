#pragma once
// Mass and balance: stations, envelope and fuel of an aircraft file, and what a case loads.

#include "fields.hpp"

#include "backfield/decision/case.hpp"

namespace backfield::io {

/// `loading` and `fuel` of an aircraft file; the masses have been read.
void read_loading(const Fields& root, aircraft::Aircraft& aircraft);

/// `loads` and `return_after` of a case, and its mass where that is not stated but summed. Refuses a load that is
/// outside the envelope at brake release or at the return; warns where it is outside with empty tanks.
void read_load_sheet(const Fields& root, const aircraft::Aircraft& aircraft, decision::Case& result);

}  // namespace backfield::io
