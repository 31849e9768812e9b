#pragma once
// Ground that somebody has looked at and would land on, in the local frame.

#include "backfield/base/polygon.hpp"
#include "backfield/earth/altitude.hpp"
#include "backfield/earth/runway.hpp"

#include <string>

namespace backfield::earth {

/// Whether wires cross an area or stand around it.
enum class Wires { no, yes, unknown };
constexpr const char* name_of(Wires wires) {
  switch (wires) {
    case Wires::no:
      return "no";
    case Wires::yes:
      return "yes";
    case Wires::unknown:
      return "unknown";
  }
  return "";
}

struct LandableArea {
  std::string name;
  PlanePolygon
      outline;         ///< metres east (x) and north (y) of the frame's origin; `needed_of_polygon` finds nothing wrong
  Altitude elevation;  ///< of its ground
  Length usable;       ///< the longest stretch that can be rolled on, as stated, > 0
  Surface surface = Surface::unknown;
  double slope = 0.0;  ///< steepest rise over run on it, >= 0; which way it falls is not known
  Wires wires = Wires::unknown;
};

}  // namespace backfield::earth
