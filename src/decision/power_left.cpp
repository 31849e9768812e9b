#include "power_left.hpp"

#include "climber.hpp"
#include "engine_out_height.hpp"
#include "engine_out_take_off.hpp"

#include "backfield/flight/path_finder.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::decision {
namespace {

using aircraft::PowerCondition;
using aircraft::PowerLeft;

constexpr Length kCeilingStep = feet(100);
constexpr Length kHighestCeiling = feet(20000);
const Angle kNearest = degrees(0.1);

/// The same air, the weakest climb: every factor of the bracket moves the same rate.
const FlownWorld& weakest(const std::vector<FlownWorld>& worlds) {
  return *std::min_element(worlds.begin(), worlds.end(), [](const FlownWorld& a, const FlownWorld& b) {
    return a.world.climb_factor < b.world.climb_factor;
  });
}

PartialPower partial(const Case& c, const aircraft::Performance& performance, double fraction, double climb_factor,
                     Climber& climber) {
  const PowerLeftRule& rule = c.policy.power_left;
  const auto rate = [&](Angle bank) {
    const Cas cas = flight::power_off_turn_speed(performance, c.policy.technique, bank, {});
    return climber.rate({PowerLeft::fraction, fraction, climb_factor}, cas, bank);
  };
  PartialPower p;
  p.fraction = fraction;
  for (const Angle bank : rule.banks) p.climb.push_back({bank, rate(bank)});
  const Speed level = rate(Angle{});
  if (level.si() >= 0.0) {
    double low = 0.0;
    double high = degrees(60).si();
    while (high - low > kNearest.si()) {
      const double mid = 0.5 * (low + high);
      (rate(radians(mid)).si() >= 0.0 ? low : high) = mid;
    }
    p.level_bank = radians(low);
  }
  const bool climbs = level >= rule.circuit_needs && rate(rule.circuit_bank).si() > 0.0;
  p.verdict = climbs ? PartialVerdict::circuit : level.si() >= 0.0 ? PartialVerdict::holds : PartialVerdict::sinks;
  return p;
}

std::optional<Length> ceiling(const Case& c, const aircraft::Performance& performance, const FlownWorld& w) {
  const auto rate = [&](Length height) -> std::optional<Speed> {
    Climber climber(c, performance, w, height);
    const Speed r = climber.rate({PowerLeft::one_engine_out, 0.0, 1.0}, performance.one_engine_out_climb_speed(), {});
    return climber.refusal().empty() ? std::optional(r) : std::nullopt;
  };
  std::optional<Speed> below = rate(Length{});
  if (!below || below->si() < 0.0) return std::nullopt;
  for (Length h = kCeilingStep; h <= kHighestCeiling; h = h + kCeilingStep) {
    const auto here = rate(h);
    if (!here) return std::nullopt;
    if (here->si() < 0.0) {
      const double share = below->si() / (below->si() - here->si());
      return h - kCeilingStep + kCeilingStep * share;
    }
    below = here;
  }
  return std::nullopt;
}

OneEngineOut one_engine_out(const Case& c, const aircraft::Performance& performance,
                            const std::vector<FlownWorld>& worlds, std::string& refusal) {
  const PowerLeftRule& rule = c.policy.power_left;
  const aircraft::OneEngineOut& file = *c.aircraft.one_engine_out;
  const double decrement = rule.net_decrement.take_off.at(file.engines);
  const Cas cas = performance.one_engine_out_climb_speed();
  const FlownWorld& weak = weakest(worlds);
  Climber climber(c, performance, weak, rule.evaluated_at);
  const auto condition = [](const FlownWorld& w) {
    return PowerCondition{PowerLeft::one_engine_out, 0.0, w.world.climb_factor};
  };
  OneEngineOut out;
  out.decided_in = weak.world.name;
  for (const Angle bank : rule.banks) out.climb.push_back({bank, climber.rate(condition(weak), cas, bank)});
  const Speed level = climber.rate(condition(weak), cas, {});
  const Tas tas = climber.tas(cas);
  out.gross = aircraft::still_air_gradient(level, tas);
  out.net = out.gross - decrement;
  out.gear_down = level - file.lost_gear_down;
  out.unfeathered = level - file.lost_unfeathered;
  const double V = tas.value.si();
  const double radius = V * V / (kStandardGravity * std::tan(rule.one_engine_bank.si()));
  out.half_circle_radius = metres(radius);
  const Speed turning = climber.rate(condition(weak), cas, rule.one_engine_bank);
  out.half_circle_height = metres(kPi * radius / V * turning.si());

  if (refusal.empty()) refusal = climber.refusal();
  add_engine_out_take_off(c, performance, worlds, weak, out, refusal);
  out.ceiling = ceiling(c, performance, weak);

  const bool clears = !out.obstacles.empty() && out.in_the_way() == nullptr && (!out.terrain || out.terrain->clear());
  out.verdict = level.si() < 0.0                       ? EngineOutVerdict::sinks
                : out.net <= 0.0 || !out.reaches_v_2() ? EngineOutVerdict::holds
                : clears                               ? EngineOutVerdict::clears
                                                       : EngineOutVerdict::climbs;
  add_engine_out_height(c, performance, weak, out);
  return out;
}

}  // namespace

PowerLeftAnswer power_left(const Case& c, const aircraft::Performance& performance,
                           const std::vector<FlownWorld>& worlds) {
  PowerLeftAnswer answer;
  answer.evaluated_at = c.policy.power_left.evaluated_at;
  if (c.aircraft.is_twin()) {
    answer.one_engine_out = one_engine_out(c, performance, worlds, answer.not_assessed);
  } else {
    const FlownWorld& weak = weakest(worlds);
    Climber climber(c, performance, weak, answer.evaluated_at);
    for (const double fraction : c.policy.power_left.fractions) {
      answer.partial.push_back(partial(c, performance, fraction, weak.world.climb_factor, climber));
    }
    answer.not_assessed = climber.refusal();
  }
  if (!answer.not_assessed.empty()) {
    answer.partial.clear();
    answer.one_engine_out.reset();
  }
  return answer;
}

}  // namespace backfield::decision
