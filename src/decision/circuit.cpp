#include "circuit.hpp"

#include "backfield/aircraft/performance.hpp"
#include "backfield/flight/rendezvous.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <vector>

namespace backfield::decision {
namespace {

constexpr Speed kLevel = metres_per_second(0.001);  // the rendezvous needs some sink; 10 minutes of it are 0.6 m
constexpr Speed kSlowest = metres_per_second(5);    // over the ground on the final; in more wind no one lands
constexpr Duration kAsLong = seconds(1);            // times so near to one another are one time

struct Way {
  Duration time;
  flight::Side side;
};

std::optional<Way> way_back(const Case& c, const FlownWorld& w, const earth::RunwayEnd& end) {
  const CircuitRule& rule = *c.policy.circuit;
  const aircraft::Performance performance(c.aircraft, c.return_mass.value_or(c.mass));
  const auto when = w.timeline.when_at_height(rule.height);
  if (!when) return std::nullopt;
  const flight::AirState out = w.timeline.at(*when);
  const earth::Air air = w.world.environment.air.with(c.policy.model.density);
  const double sigma = air.sigma(c.elevation + earth::Height{metres(out.height_m)});
  const Cas cas{performance.stall_clean().value * rule.stall_margin};
  const flight::Descending level{earth::to_tas(cas, sigma).value, kLevel};
  flight::RendezvousSetup setup;
  setup.first = setup.last = flight::circling(level, rule.bank);
  setup.straight = level;
  setup.wind = c.policy.model.wind == flight::WindRule::uniform ? earth::WindProfile::uniform(w.world.surface_wind())
                                                                : w.world.environment.wind;
  const Length final = rule.final_from / std::tan(rule.final_angle.si());
  const flight::AirPose from{
      {metres(out.east_m), metres(out.north_m)}, earth::TrueDirection(radians(out.heading_rad)), metres(out.height_m)};
  const flight::RendezvousGoal to{earth::offset(end.threshold(), end.track, -final), end.track,
                                  flight::RendezvousGoal::Along::track};
  const std::vector<flight::RendezvousResult> ways = flight::Rendezvous(setup).all(from, to);
  if (ways.empty()) return std::nullopt;
  const auto to_the_left = [](const flight::RendezvousResult& r) {
    const Angle turns[] = {r.first_turn, r.middle_turn, r.last_turn};
    const Angle largest = *std::max_element(std::begin(turns), std::end(turns),
                                            [](Angle a, Angle b) { return std::abs(a.si()) < std::abs(b.si()); });
    return largest.si() < 0.0;
  };
  // The best, or one to the left that takes no longer to speak of: the usual side of a circuit.
  const auto best = std::find_if(ways.begin(), ways.end(), [&](const flight::RendezvousResult& r) {
    return r.time - ways.front().time < kAsLong && to_the_left(r);
  });
  const flight::RendezvousResult& way = best == ways.end() ? ways.front() : *best;
  const Speed headwind = earth::components(w.world.surface_wind(), end.track).headwind;
  const Speed ground = earth::to_tas(performance.v_ref(), air.sigma(end.elevation)).value - headwind;
  if (ground < kSlowest) return std::nullopt;
  return Way{way.time + final / ground, to_the_left(way) ? flight::Side::left : flight::Side::right};
}

/// Room by the deciding margin in the world that needs most.
Length room(const RunwayOption& o) { return o.powered.worlds[o.powered.worst].deciding().left(); }

bool into_wind(const RunwayOption& o) { return o.powered.worlds.front().headwind.si() >= 0.0; }

std::string passed(const RunwayOption& o) {
  std::string text;
  for (const std::string& finding : o.powered.findings) text += (text.empty() ? "" : "; ") + finding;
  return text;
}

/// What cloud or night says of the best option that has lost its circuit to them; empty: none has.
std::string why_void(const std::vector<RunwayOption>& options) {
  const auto found =
      std::find_if(options.begin(), options.end(), [](const auto& o) { return !o.circuit_void.empty(); });
  return found == options.end() ? std::string{} : found->circuit_void;
}

ReturnChoice choose(Urgency urgency, const std::vector<RunwayOption>& options) {
  ReturnChoice choice;
  choice.urgency = urgency;
  const auto suits = [&](const RunwayOption& o) {
    return o.circuit && o.powered.fits() &&
           (urgency == Urgency::at_once || (into_wind(o) && o.powered.within_wind_limits));
  };
  const auto better = [&](const RunwayOption& a, const RunwayOption& b) {
    return urgency == Urgency::unhurried ? room(a) > room(b) : a.circuit->to_touchdown < b.circuit->to_touchdown;
  };
  for (std::size_t i = 0; i < options.size(); ++i) {
    if (!suits(options[i])) continue;
    if (!choice.option || better(options[i], options[*choice.option])) choice.option = i;
  }
  if (choice.option) {
    choice.remark = passed(options[*choice.option]);
  } else {
    choice.remark = urgency == Urgency::at_once ? "no runway end stated is long enough by the margin that decides"
                                                : "no runway end is into wind, long enough and within the limits";
    if (const std::string why = why_void(options); !why.empty()) choice.remark += "; " + why;
  }
  return choice;
}

}  // namespace

std::optional<Circuit> circuit_to(const Case& c, const std::vector<FlownWorld>& worlds, const earth::RunwayEnd& end) {
  if (!c.policy.circuit) return std::nullopt;
  Circuit circuit;
  for (const FlownWorld& w : worlds) {
    const auto way = way_back(c, w, end);
    if (!way) return std::nullopt;
    if (circuit.world.empty()) circuit.side = way->side;
    if (circuit.world.empty() || way->time > circuit.to_touchdown) {
      circuit.to_touchdown = way->time;
      circuit.world = w.world.name;
    }
  }
  return circuit;
}

ReturnWithPower return_with_power(const Case& c, const std::vector<RunwayOption>& options) {
  ReturnWithPower back;
  const auto assessed =
      std::find_if(options.begin(), options.end(), [](const auto& o) { return o.powered.not_assessed.empty(); });
  if (!c.policy.circuit) {
    back.not_assessed = "the policy has no return_with_power";
    return back;
  }
  if (assessed == options.end()) {
    back.not_assessed =
        options.empty() ? "the case names no runway to return to" : options.front().powered.not_assessed;
    return back;
  }
  if (std::none_of(options.begin(), options.end(), [](const auto& o) { return o.circuit.has_value(); })) {
    const std::string why = why_void(options);
    back.not_assessed = why.empty() ? "no way back from circuit height; does the climb reach it in every world?" : why;
    return back;
  }
  back.not_assessed.clear();
  for (const Urgency urgency : {Urgency::at_once, Urgency::soon, Urgency::unhurried}) {
    back.choices.push_back(choose(urgency, options));
  }
  if (c.mass > c.aircraft.max_landing_mass) {
    back.overweight = c.mass - c.aircraft.max_landing_mass;
    if (c.aircraft.fuel && c.aircraft.fuel->flow) {
      back.to_landing_mass = seconds(back.overweight.si() / c.aircraft.fuel->flow->si());
    }
  }
  return back;
}

}  // namespace backfield::decision
