#pragma once
// Mass and balance: what is where, how heavy that is, and where its centre of gravity lies.
//
// Arms are measured along the aeroplane from the datum of its file, rearward positive; a station before the datum has a
// negative arm. Moments are mass times arm.

#include "backfield/aircraft/figure.hpp"

#include <optional>
#include <string>
#include <vector>

namespace backfield::aircraft {

/// A place for load: people and baggage up to a mass, or a tank up to a volume. Just one of the two is stated.
struct Station {
  std::string name;
  Length arm;
  std::optional<Mass> maximum;
  std::optional<Volume> capacity;  ///< usable
  [[nodiscard]] bool is_tank() const { return capacity.has_value(); }
};

struct Fuel {
  Density density;
  std::optional<MassFlow> flow;  ///< burnt at least, so that a return is not taken for lighter than it is
  Source source;
};

/// A corner of the envelope.
struct MassAndArm {
  Mass mass;
  Length arm;
};

struct Loading {
  Source source;
  Length empty_arm;  ///< of the empty mass
  std::vector<Station> stations;
  std::vector<MassAndArm> envelope;  ///< a valid ring, see base/polygon.hpp
};

/// Sum of the empty aeroplane and its load.
///
/// empty       mass with nothing at the stations
/// at          mass at each station, in the order of `loading.stations`
/// returns     total mass and the arm of its centre of gravity
/// accuracy    rounding (tests/reference/loading_test.cpp)
/// source      arm of the sum = sum of mass x arm over sum of mass
MassAndArm balance(const Loading& loading, Mass empty, const std::vector<Mass>& at);

/// The load after fuel is burnt, from the tanks in the order of the file; no tank falls below empty.
std::vector<Mass> after_burn(const Loading& loading, std::vector<Mass> at, Mass burnt);

/// Where a mass and its arm lie against the envelope. What is not missed is zero.
struct EnvelopeStanding {
  Mass too_heavy, too_light;             ///< beyond every corner of the envelope
  Length forward_by, aft_by;             ///< before or behind the limits at this mass
  std::optional<Mass> heavy_for_arm;     ///< outside only because of the mass: less by this would be inside at this arm
  std::optional<Interval<Length>> arms;  ///< the limits at this mass, where it has any
  [[nodiscard]] bool inside() const {
    return too_heavy.si() <= 0.0 && too_light.si() <= 0.0 && forward_by.si() <= 0.0 && aft_by.si() <= 0.0;
  }
};

/// An edge belongs to the envelope; 0.05 kg and 0.05 mm beyond it are taken as rounding.
EnvelopeStanding standing_in_envelope(const std::vector<MassAndArm>& envelope, MassAndArm what);

/// "too heavy by 35 kg", "aft by 2 cm (limits 2.05 to 2.31 m)"; empty: inside. Whole kilograms and centimetres, rounded
/// up.
std::string in_words(const EnvelopeStanding& standing);

/// One line of the load sheet.
struct LoadLine {
  std::string station;
  Mass mass;
  Length arm;
};

/// What a case loads, summed.
struct LoadSheet {
  std::vector<LoadLine> lines;  ///< the empty aeroplane first, then the stations in the order of the file
  MassAndArm take_off, tanks_empty;
  std::optional<MassAndArm> at_return;  ///< none: no burn is counted
};

}  // namespace backfield::aircraft
