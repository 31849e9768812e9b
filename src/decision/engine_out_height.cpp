#include "engine_out_height.hpp"

#include "climber.hpp"

#include "backfield/aircraft/control_speed.hpp"
#include "backfield/aircraft/drift_down.hpp"

#include <algorithm>
#include <array>
#include <utility>
#include <vector>

namespace backfield::decision {
namespace {

constexpr Length kLayer = feet(500);
constexpr Length kHighest = feet(25000);
constexpr std::array kShownAfter{0, 2, 5, 10, 20, 30, 60};  // minutes

DriftDown drift_down(const Case& c, const aircraft::Performance& performance, const FlownWorld& w) {
  DriftDown result;
  result.stated = c.drift_down_from.has_value();
  result.from = result.stated ? (*c.drift_down_from - c.elevation).above_datum : c.policy.scan_height;
  const Cas cas = performance.one_engine_out_climb_speed();
  const double decrement = c.policy.power_left.net_decrement.en_route.at(c.aircraft.one_engine_out->engines);
  std::vector<aircraft::RateAtHeight> gross;
  std::vector<aircraft::RateAtHeight> net;
  for (Length h{};; h = std::min(result.from, h + kLayer)) {
    Climber climber(c, performance, w, h);
    const Speed rate = climber.rate({aircraft::PowerLeft::one_engine_out, 0.0, w.world.climb_factor}, cas, {});
    if (!climber.refusal().empty()) {
      result.why_not = climber.refusal();
      return result;
    }
    const Speed tas = climber.tas(cas).value;
    gross.push_back({h, rate, tas});
    net.push_back({h, rate - tas * decrement, tas});
    if (h >= result.from) break;
  }
  if (net.back().rate.si() >= 0.0) {
    result.why_not = "it still climbs there, net of the en-route decrement";
    return result;
  }
  const aircraft::DriftDown down(std::move(gross));
  const aircraft::DriftDown net_down(std::move(net));
  result.levels_at = down.levels_at(result.from);
  result.net_levels_at = net_down.levels_at(result.from);
  for (const int after : kShownAfter) {
    const auto here = down.after(result.from, minutes(after));
    result.points.push_back(
        {minutes(after), here.height, net_down.after(result.from, minutes(after)).height, here.distance});
    if (here.ended) break;
  }
  return result;
}

ControlSpeeds control_speeds(const Case& c, const aircraft::Performance& performance, const FlownWorld& w) {
  const auto sigma = [&](Length h) {
    return performance.conditions(w.world.environment.air.with(c.policy.model.density), c.elevation + earth::Height{h})
        .sigma;
  };
  ControlSpeeds speeds;
  const Cas file = performance.v_mca();
  speeds.v_mca_in_that_air = aircraft::v_mca_at_most(file, sigma({}));
  speeds.v_mca = c.aircraft.one_engine_out->v_mca_falls_with_density ? speeds.v_mca_in_that_air : file;
  speeds.stall = performance.stall_clean();
  const auto stalls_first = [&](Length h) { return aircraft::v_mca_at_least(file, sigma(h)) <= speeds.stall; };
  speeds.stall_first = stalls_first({});
  for (Length h{}; h <= kHighest && !speeds.meet; h = h + kLayer * 0.2) {
    if (stalls_first(h)) speeds.meet = h;
  }
  return speeds;
}

}  // namespace

void add_engine_out_height(const Case& c, const aircraft::Performance& performance, const FlownWorld& weakest,
                           OneEngineOut& out) {
  const bool climbs = out.verdict == EngineOutVerdict::climbs || out.verdict == EngineOutVerdict::clears;
  if (c.drift_down_from || !climbs) out.drift_down = drift_down(c, performance, weakest);
  if (c.aircraft.kind == aircraft::AircraftClass::light_twin) out.controls = control_speeds(c, performance, weakest);
}

void add_approach_flap(const Case& c, PowerLeftAnswer& answer) {
  if (!answer.committal || !c.aircraft.one_engine_out->lost_approach_flap) return;
  // It is down until it is up, as gear and propeller are until they are.
  const Speed gear_and_propeller = c.aircraft.one_engine_out->lost_unfeathered - answer.one_engine_out->gear_down;
  const Speed rate = gear_and_propeller + *c.aircraft.one_engine_out->lost_approach_flap;
  answer.committal->lost = std::max(Length{}, rate * c.aircraft.one_engine_out->clean_up);
  answer.committal->flap_counted = true;
}

}  // namespace backfield::decision
