#include "circuit.hpp"

#include "backfield/aircraft/performance.hpp"
#include "backfield/decision/assess.hpp"
#include "circuit_way.hpp"
#include "vetoes.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>
#include <vector>

namespace backfield::decision {
namespace {

constexpr Speed kLevel = metres_per_second(0.001);  // the rendezvous needs some sink; 10 minutes of it are 0.6 m
constexpr Speed kSlowest = metres_per_second(5);    // over the ground on the final; in more wind no one lands
constexpr Angle kAlike = radians(1e-6);             // turns so nearly as large are as large
constexpr Duration kAsLong = seconds(1);            // times so near to one another are one time

struct Way {
  Duration time;
  flight::Side side;
};

/// All ways back in one world, the quickest first.
struct Ways {
  flight::RendezvousSetup setup;
  flight::AirPose from;
  std::vector<flight::RendezvousResult> all;
  Duration final;  ///< comes on top
  Cas speed;
};

std::optional<Ways> ways_back(const Case& c, const FlownWorld& w, const earth::RunwayEnd& end) {
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
  std::vector<flight::RendezvousResult> all = flight::Rendezvous(setup).all(from, to);
  const Speed headwind = earth::components(w.world.surface_wind(), end.track).headwind;
  const Speed ground = earth::to_tas(performance.v_ref(), air.sigma(end.elevation)).value - headwind;
  if (all.empty() || ground < kSlowest) return std::nullopt;
  return Ways{setup, from, std::move(all), final / ground, cas};
}

flight::Side side_of(const flight::RendezvousResult& r) {
  const Angle turns[] = {r.first_turn, r.middle_turn, r.last_turn};
  const Angle largest = *std::max_element(std::begin(turns), std::end(turns), [](Angle a, Angle b) {
    return std::abs(a.si()) < std::abs(b.si()) - kAlike.si();
  });
  return largest.si() < 0.0 ? flight::Side::left : flight::Side::right;
}

/// The best, or one to the left that takes no longer to speak of: the usual side of a circuit.
Way best_of(const Ways& ways) {
  const auto best = std::find_if(ways.all.begin(), ways.all.end(), [&](const flight::RendezvousResult& r) {
    return r.time - ways.all.front().time < kAsLong && side_of(r) == flight::Side::left;
  });
  const flight::RendezvousResult& way = best == ways.all.end() ? ways.all.front() : *best;
  return {way.time + ways.final, side_of(way)};
}

/// The slower of the two counts.
void add(Circuit& circuit, Duration time, const std::string& world) {
  if (!circuit.world.empty() && time <= circuit.to_touchdown) return;
  circuit.to_touchdown = time;
  circuit.world = world;
}

/// To one side the quickest way in each world that is clear of the ground; none where a world has none, and of the
/// quickest there what it is not clear of.
std::optional<Circuit> clear_to(flight::Side side, const Case& c, const std::vector<FlownWorld>& worlds,
                                const std::vector<Ways>& ways, const earth::RunwayEnd& end,
                                const flight::Hazards& hazards, std::optional<Veto>& veto) {
  const Length elevation = (end.elevation - c.elevation).above_datum;
  const flight::AtRunway runway{end.threshold(), end.track, end.pavement - end.displaced, elevation,
                                alignment_height(c)};
  const DownTo down{end.threshold(), elevation, c.policy.circuit->final_angle};
  Circuit circuit;
  circuit.side = side;
  for (std::size_t w = 0; w < worlds.size(); ++w) {
    const auto found = std::find_if(ways[w].all.begin(), ways[w].all.end(), [&](const flight::RendezvousResult& r) {
      if (side_of(r) != side) return false;
      const std::vector<flight::WayPoint> way = circuit_way(ways[w].setup, ways[w].from, r, down);
      flight::Clearance clearance = hazards.along(way, &runway);
      if (clearance.clear()) return true;
      if (!veto) {
        hazards.explain(way, clearance, &runway);
        VetoGathering gathering(c.ground);
        gathering.add(ways[w].from.height, clearance);
        veto = gathering.all().front();
      }
      return false;
    });
    if (found == ways[w].all.end()) return std::nullopt;
    add(circuit, found->time + ways[w].final, worlds[w].world.name);
    circuit.ways.push_back(
        {worlds[w].world.name, *found, circuit_way(ways[w].setup, ways[w].from, *found, down), ways[w].speed});
  }
  return circuit;
}

/// Room by the deciding margin in the world that needs most.
Length room(const RunwayOption& o) { return o.powered.worlds[o.powered.worst].deciding().left(); }

bool into_wind(const RunwayOption& o) { return o.powered.worlds.front().headwind.si() >= 0.0; }

std::string name_of(const RunwayOption& o) { return o.end.aerodrome + " " + o.end.designator; }

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
  const auto would_suit = [&](const RunwayOption& o) {
    return o.powered.fits() && (urgency == Urgency::at_once || (into_wind(o) && o.powered.within_wind_limits));
  };
  const auto suits = [&](const RunwayOption& o) { return o.circuit && would_suit(o); };
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
    const auto lost = std::find_if(options.begin(), options.end(),
                                   [&](const RunwayOption& o) { return !o.circuit_void.empty() && would_suit(o); });
    if (lost != options.end()) choice.remark = name_of(*lost) + ": " + lost->circuit_void;
  }
  return choice;
}

}  // namespace

void set_circuit(const Case& c, const std::vector<FlownWorld>& worlds, RunwayOption& option) {
  if (!c.policy.circuit) return;
  std::vector<Ways> ways;
  for (const FlownWorld& w : worlds) {
    std::optional<Ways> these = ways_back(c, w, option.end);
    if (!these) return;
    ways.push_back(std::move(*these));
  }
  if (c.ground.empty()) {
    Circuit& circuit = option.circuit.emplace();
    circuit.side = best_of(ways.front()).side;
    for (std::size_t w = 0; w < worlds.size(); ++w) add(circuit, best_of(ways[w]).time, worlds[w].world.name);
    return;
  }
  const flight::Hazards hazards(c.ground, c.policy.clearance, c.elevation);
  std::optional<Veto> veto;
  const auto clear = [&](flight::Side side) { return clear_to(side, c, worlds, ways, option.end, hazards, veto); };
  const std::optional<Circuit> left = clear(flight::Side::left);
  const std::optional<Circuit> right = clear(flight::Side::right);
  const bool to_the_left = left && (!right || left->to_touchdown - right->to_touchdown < kAsLong);
  option.circuit = to_the_left ? left : right;
  if (!option.circuit) option.circuit_void = veto ? way_back_in_words(*veto) : "no way to one side in every world";
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
