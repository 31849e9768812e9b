#pragma once
// What cloud and darkness take away from the plan.
//
// A way back without power is flown by sight: a window ends below the cloud base, and at night a runway without lights
// is nothing to turn to. What is not stated takes nothing away.

#include "backfield/base/units.hpp"
#include "backfield/earth/sun.hpp"

#include <optional>
#include <string>
#include <vector>

namespace backfield::decision {

/// Parts of a policy.
struct CloudRule {
  Length below_base{};  ///< failures this far below the base, or lower, are still in sight of the runway; >= 0
};
struct NightRule {
  Angle sun_below{};  ///< it is night while the sun's centre is at least this far below the horizon; 0..18 degrees
};

/// What the case says about the cloud base, above the departure aerodrome.
struct CloudReport {
  enum class Kind { not_known, none, base } kind = Kind::not_known;
  Length base{};       ///< with Kind::base: the lowest broken or overcast layer, or how far up one can see
  std::string source;  ///< "BKN009 of the METAR", "stated in the case", or why it is not known
};

/// A part of a window that works and is not flown because of cloud.
struct VoidPart {
  std::string option;        ///< "ZZDA 18 left"
  Length from;               ///< above the departure elevation
  std::optional<Length> to;  ///< none: as far as scanned
  bool whole = false;        ///< nothing of the window is left
};

struct CloudAnswer {
  CloudReport report;
  std::optional<Length> limit;         ///< highest failure from which a return is planned; none: no limit
  std::vector<VoidPart> parts;         ///< in the order of the options
  bool circuit_in_cloud = false;       ///< the circuit of a return with power is above the limit
  bool runway_ahead_in_cloud = false;  ///< the runway ahead is long enough from heights above the limit
};

struct NightAnswer {
  struct Unlit {
    std::string aerodrome, runway;
    bool stated = false;  ///< that it has no lights; false: nothing is stated, which counts as none
  };
  earth::Instant departure;
  Angle sun_at_departure{};              ///< elevation of its centre
  bool after_take_off = false;           ///< night at some moment of the climb that is scanned
  bool on_return = false;                ///< night at the return with power
  std::optional<earth::Instant> change;  ///< when night next begins or ends, within a day; none: polar day or night
  std::vector<Unlit> unlit;              ///< runway ends that drop out, in the order of the options
};

}  // namespace backfield::decision
