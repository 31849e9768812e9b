#include "backfield/flight/turn.hpp"

#include "backfield/base/contract.hpp"

#include <limits>

namespace backfield::flight {
namespace {

double checked_bank(Angle bank) {
  require(std::abs(bank.si()) < kPi / 2.0, "a bank in a level turn lies below 90 degrees");
  return bank.si();
}

double checked_speed_mps(Tas tas) {
  require(std::isfinite(tas.value.si()) && tas.value.si() > 0.0, "the true airspeed of a turn is positive");
  return tas.value.si();
}

}  // namespace

double load_factor(Angle bank) { return 1.0 / std::cos(checked_bank(bank)); }

Length turn_radius(Tas tas, Angle bank) {
  const double tan_bank = std::tan(std::abs(checked_bank(bank)));
  const double v_mps = tas.value.si();
  require(std::isfinite(v_mps) && v_mps >= 0.0, "a true airspeed is not negative");
  if (tan_bank == 0.0) return metres(std::numeric_limits<double>::infinity());
  return metres(v_mps * v_mps / (kStandardGravity * tan_bank));
}

Angle turn_rate(Tas tas, Angle bank) {
  return radians(kStandardGravity * std::tan(checked_bank(bank)) / checked_speed_mps(tas));
}

Angle bank_for_rate(Tas tas, Angle rate_per_second) {
  require(std::isfinite(rate_per_second.si()), "a rate of turn is finite");
  return radians(std::atan(checked_speed_mps(tas) * rate_per_second.si() / kStandardGravity));
}

}  // namespace backfield::flight
