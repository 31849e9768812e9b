#include "backfield/decision/assess.hpp"

#include "backfield/base/contract.hpp"
#include "briefing.hpp"
#include "circuit.hpp"
#include "engine_out_height.hpp"
#include "ground_ahead.hpp"
#include "landings.hpp"
#include "power_left.hpp"
#include "runway_needs.hpp"
#include "sky.hpp"
#include "src/base/parallel.hpp"
#include "vetoes.hpp"
#include "way_back.hpp"
#include "words.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::decision {
namespace {

/// Flies the departure in every world; the refusal of the first that cannot be flown ends it.
std::vector<FlownWorld> fly_worlds(const Case& c, const aircraft::Performance& performance,
                                   const std::vector<World>& worlds, std::string& refusal) {
  std::vector<FlownWorld> flown;
  const earth::RunwayEnd& end = c.departure.end;
  for (const World& world : worlds) {
    const auto wind = earth::components(world.surface_wind(), end.track);
    const auto distances =
        aircraft::take_off_distances(performance, performance.conditions(world.environment.air, c.elevation),
                                     {end.surface, end.slope, wind.headwind}, c.policy.stop);
    if (!distances.usable()) {
      refusal = "take-off distance: " + distances.axis + ", " + distances.end;
      return {};
    }
    flight::DepartureRequest request;
    request.runway = end;
    request.start_from_pavement = c.departure.start;
    request.distances = distances.value;
    request.track = c.departure.track;
    request.climb = c.departure.climb;
    request.elevation = c.elevation;
    request.climb_factor = world.climb_factor;
    request.at_least = c.policy.scan_end;
    request.up_to = c.policy.scan_height;
    request.never_past = c.policy.scan_limit;
    flight::Departed departed = flight::fly_departure(performance, request, world.environment, c.policy.model);
    if (!departed.timeline) {
      refusal = departed.refusal + " (" + world.name + ")";
      return {};
    }
    flown.push_back({world, distances.value, std::move(*departed.timeline)});
  }
  return flown;
}

std::vector<ScanRequest> scan_requests(const Case& c, const aircraft::Performance& performance, const Scans& scans,
                                       const std::vector<RunwayOption>& options) {
  std::vector<ScanRequest> requests;
  for (std::size_t w = 0; w < scans.worlds.size(); ++w) {
    for (const Angle bank : scans.banks) {
      ScanRequest r;
      r.performance = &performance;
      r.the_case = &c;
      r.world = &scans.worlds[w].world;
      r.timeline = &scans.worlds[w].timeline;
      r.bank = bank;
      for (const RunwayOption& o : options) {
        r.options.push_back(&o);
        r.goals.push_back(o.landings.empty() ? std::nullopt : goal_on(o.end, o.landings[w], alignment_height(c)));
      }
      requests.push_back(std::move(r));
    }
  }
  return requests;
}

/// The plan once more with a propeller that is never feathered; nothing for other aeroplanes.
struct NeverFeathered {
  std::optional<aircraft::Aircraft> aircraft;
  std::optional<aircraft::Performance> performance;
  std::vector<ScanRequest> requests;  ///< one a bank
  std::vector<ScanResult> results;
};
void ask_unfeathered(const Case& c, const std::vector<ScanRequest>& plan, NeverFeathered& never) {
  if (!c.aircraft.feathering) return;
  never.aircraft = aircraft::unfeathered(c.aircraft);
  never.performance.emplace(*never.aircraft, c.mass);
  never.requests = plan;
  for (ScanRequest& request : never.requests) request.performance = &*never.performance;
  never.results.resize(never.requests.size());
}

std::vector<WorldReport> report_worlds(const Case& c, const Scans& scans) {
  std::vector<WorldReport> reports;
  const Length departure_end = c.departure.end.tora.value_or(c.departure.end.pavement) - c.departure.start;
  for (std::size_t i = 0; i < scans.worlds.size(); ++i) {
    const FlownWorld& w = scans.worlds[i];
    WorldReport r;
    r.name = w.world.name;
    r.surface_wind = w.world.surface_wind();
    r.climb_factor = w.world.climb_factor;
    const auto when = w.timeline.when_at_ground_distance(departure_end);
    r.height_at_departure_end = when ? metres(w.timeline.at(*when).height_m) : Length{};
    r.scanned_to = w.timeline.end();
    r.scanned_height = metres(w.timeline.nodes().back().height_m);
    r.stopped_because = w.timeline.stopped_because();
    r.lowest_speed_over_stall = 1e9;
    for (std::size_t b = 0; b < scans.banks.size(); ++b) {
      r.lowest_speed_over_stall = std::min(r.lowest_speed_over_stall, scans.at(i, b).lowest_speed_over_stall);
    }
    reports.push_back(r);
  }
  return reports;
}

std::vector<NamedSpeed> speeds_of(const Case& c, const aircraft::Performance& p) {
  const auto named = [&](std::string name, Cas cas) { return NamedSpeed{std::move(name), p.indicated(cas)}; };
  const WindReport& wind = c.weather.wind;
  const Speed spread = wind.gust ? *wind.gust - wind.mean : Speed{};
  std::vector<NamedSpeed> all{named("best glide", p.best_glide())};
  std::vector<Angle> banks = c.policy.technique.banks;
  for (const Angle bank : banks) {
    const std::string deg = whole(in_degrees(bank)) + " deg bank";
    all.push_back(named("turn, " + deg, flight::power_off_turn_speed(p, c.policy.technique, bank, spread)));
    all.push_back(named("stall, " + deg, {p.stall_clean().value / std::sqrt(std::cos(bank.si()))}));
  }
  if (c.aircraft.one_engine_out) {
    if (const auto v_1 = p.v_1()) all.push_back(named("v_1", *v_1));
    all.push_back(named("v_mca", p.v_mca()));
    const bool light = c.aircraft.kind == aircraft::AircraftClass::light_twin;
    all.push_back(named(light ? "v_yse" : "v_2", p.one_engine_out_climb_speed()));
  }
  all.push_back(named("final, landing flap", p.v_ref()));
  all.push_back(named("touchdown", p.touchdown()));
  return all;
}

void add_warnings(const Case& c, const RunwayOption& o, std::vector<std::string>& warnings) {
  if (o.landings.empty()) return;
  const std::string name = o.end.aerodrome + " " + o.end.designator;
  const Landing& plan = o.landings.front();
  if (c.aircraft.limits.tailwind && -plan.headwind > *c.aircraft.limits.tailwind) {
    warnings.push_back(name + ": landing with " + tenths_kt(-plan.headwind) + " of tailwind, more than the " +
                       in_words_kt(*c.aircraft.limits.tailwind) + " of the aircraft file");
  }
  if (c.aircraft.limits.crosswind && std::abs(plan.crosswind_from_right.si()) > c.aircraft.limits.crosswind->si()) {
    warnings.push_back(name + ": crosswind " +
                       in_words_kt(metres_per_second(std::abs(plan.crosswind_from_right.si()))) + ", more than the " +
                       in_words_kt(*c.aircraft.limits.crosswind) + " of the aircraft file");
  }
}

/// Warnings about the departure itself.
void add_warnings(const Case& c, const TakeOffRoom& room, std::vector<std::string>& warnings) {
  if (!room.worlds.empty() && !room.fits()) {
    const TakeOffInWorld& worst = room.worlds[room.worst];
    const TakeOffNeed& need = worst.deciding();
    warnings.push_back("take-off: with its factor the distance to 50 ft is " +
                       whole(std::ceil(in_metres(-need.left()))) + " m longer than the " + need.against + " (" +
                       worst.world + ")");
  }
  const Mass back = c.return_mass.value_or(c.mass);
  if (back > c.aircraft.max_landing_mass) {
    warnings.push_back("a return with power lands " +
                       whole(std::ceil(in_kilograms(back - c.aircraft.max_landing_mass) - 1e-6)) +
                       " kg over the maximum landing mass");
  }
}

}  // namespace

Length alignment_height(const Case& c) {
  const auto found = c.policy.alignment_height.find(c.aircraft.kind);
  require(found != c.policy.alignment_height.end(), "the policy has an alignment height for every class");
  return found->second;
}

Answer assess(const Case& c, unsigned threads) {
  Answer answer;
  if (threads == 0) threads = machine_threads();
  const aircraft::Performance performance(c.aircraft, c.mass);
  const earth::Air air(c.weather.qnh, c.elevation, c.weather.oat, earth::DensityRule::local);
  answer.pressure_altitude = air.pressure_altitude_at(c.elevation).in_standard_atmosphere;
  answer.density_altitude = air.density_altitude_at_aerodrome();
  answer.assumptions = c.assumptions;
  for (const SectorRule::Step& step : c.policy.sector.steps) {
    answer.sector.push_back({step.from_height, step.half_width});
  }
  answer.speeds = speeds_of(c, performance);

  Scans scans;
  const std::vector<World> worlds = bracket(c);
  scans.worlds = fly_worlds(c, performance, worlds, answer.refusal);
  if (!answer.refusal.empty()) {
    answer.cautions = cautions(c, answer);
    return answer;
  }
  scans.banks = c.policy.technique.banks;
  for (const earth::RunwayEnd& end : c.options) answer.options.push_back(make_option(c, performance, end, worlds));

  const std::vector<ScanRequest> requests = scan_requests(c, performance, scans, answer.options);
  scans.results.resize(requests.size());
  std::vector<LandAheadTrace> ahead(worlds.size());
  NeverFeathered never;
  ask_unfeathered(c, {requests.begin(), requests.begin() + static_cast<std::ptrdiff_t>(scans.banks.size())}, never);
  const std::size_t scanned = requests.size() + never.requests.size();
  const std::vector<UsableArea> areas = usable_areas(c, performance);
  std::vector<GroundTrace> ground(worlds.size());
  for_each_job(scanned + 2 * worlds.size(), threads, [&](std::size_t i) {
    if (i < requests.size()) {
      scans.results[i] = scan(requests[i]);
    } else if (i < scanned) {
      never.results[i - requests.size()] = scan(never.requests[i - requests.size()]);
    } else if (i < scanned + worlds.size()) {
      ahead[i - scanned] = land_ahead(c, performance, scans.worlds[i - scanned]);
    } else {
      const std::size_t w = i - scanned - worlds.size();
      ground[w] = ground_ahead(c, performance, scans.worlds[w], areas);
    }
  });

  answer.worlds = report_worlds(c, scans);
  answer.land_ahead = combine(c, scans.worlds, ahead);
  answer.ground_ahead = combine(c, areas, ground);
  answer.roll_out = roll_out(c, performance, scans.worlds);
  answer.power_left = power_left(c, performance, scans.worlds);
  answer.take_off = take_off_room(c, performance, scans.worlds);
  for (std::size_t k = 0; k < answer.options.size(); ++k) {
    RunwayOption& o = answer.options[k];
    if (o.landings.empty()) continue;
    for (const flight::Side side : {flight::Side::left, flight::Side::right}) {
      o.sides.push_back(combine_side(scans, k, side));
      for (const ScanResult& result : never.results) {
        const auto& windows = result.options[k].sides[side == flight::Side::left ? 0 : 1].windows;
        o.sides.back().unfeathered.insert(o.sides.back().unfeathered.end(), windows.begin(), windows.end());
      }
      o.sides.back().vetoes = vetoes_of(c, scans, k, o.sides.size() - 1);
      // How near it comes is worth knowing for the runway just left; for others the limit alone says enough.
      if (o.sides.back().windows.empty() && o.sides.back().vetoes.empty() && o.reciprocal &&
          requests.front().goals[k]) {
        o.sides.back().nearest = nearest(requests.front(), k, side);
      }
    }
    for (SideAnswer& side : o.sides) {
      if (!side.common.empty()) continue;
      for (const Veto& veto : side.vetoes) side.why_not_briefed.push_back(in_words(veto));
    }
    add_warnings(c, o, answer.warnings);
  }
  add_warnings(c, answer.take_off, answer.warnings);
  add_ground(c, scans, answer);
  add_field_ground(c, areas, answer);
  answer.night = night(c);
  choose_windows(c, scans, answer);
  add_ways_back(c, requests, scans.results, threads, answer);
  add_approach_flap(c, answer.power_left);
  for (RunwayOption& o : answer.options) set_circuit(c, scans.worlds, o);
  void_circuits(c, answer);
  rank_options(c, answer);
  answer.return_with_power = return_with_power(c, answer.options);
  report_sky(c, answer);
  set_gates(c, scans, answer);
  set_gaps(c, scans, answer);
  add_to_gaps(c, scans.worlds.front().timeline, ground, answer);
  answer.cautions = cautions(c, answer);
  return answer;
}

}  // namespace backfield::decision
