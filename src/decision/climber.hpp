#pragma once

#include "ground.hpp"

#include "backfield/aircraft/power.hpp"
#include "backfield/decision/case.hpp"

#include <string>

namespace backfield::decision {

/// Asks the thrust plug in the air of one height, and remembers where a table ended.
class Climber {
 public:
  Climber(const Case& c, const aircraft::Performance& performance, const FlownWorld& w, Length height)
      : performance_(performance),
        conditions_(performance.conditions(w.world.environment.air.with(c.policy.model.density),
                                           c.elevation + earth::Height{height})) {}

  [[nodiscard]] Speed rate(const aircraft::PowerCondition& condition, Cas cas, Angle bank) {
    const auto rate = aircraft::excess_power(performance_, conditions_, condition, cas, bank);
    if (!rate.usable()) refusal_ = "rate of climb: " + rate.axis + ", " + rate.end;
    return rate.usable() ? rate.value : Speed{};
  }
  [[nodiscard]] Tas tas(Cas cas) const { return earth::to_tas(cas, conditions_.sigma); }
  [[nodiscard]] const std::string& refusal() const { return refusal_; }

 private:
  const aircraft::Performance& performance_;
  aircraft::Conditions conditions_;
  std::string refusal_;
};

}  // namespace backfield::decision
