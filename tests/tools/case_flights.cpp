#include "tests/tools/case_flights.hpp"

#include "backfield/aircraft/distances.hpp"
#include "backfield/io/load.hpp"
#include "backfield/io/render_finding.hpp"

#include <algorithm>
#include <filesystem>
#include <stdexcept>

namespace backfield::test {

decision::Case load_case(const std::string& path) {
  const auto loaded = io::load_case((std::filesystem::path(BACKFIELD_SOURCE_DIR) / path).string());
  if (!loaded.ok()) throw std::runtime_error(io::render(loaded.findings));
  return *loaded.value;
}

std::vector<std::string> all_cases() {
  namespace fs = std::filesystem;
  const fs::path root = BACKFIELD_SOURCE_DIR;
  std::vector<std::string> found;
  for (const auto& folder : fs::directory_iterator(root / "cases")) {
    if (!folder.is_directory() || !fs::exists(folder.path() / "case.yaml")) continue;
    for (const char* name : {"case.yaml", "default.yaml"}) {
      if (fs::exists(folder.path() / name)) found.push_back(fs::relative(folder.path() / name, root).string());
    }
  }
  std::sort(found.begin(), found.end());
  return found;
}

CaseFlights::CaseFlights(decision::Case the_case)
    : case_(std::move(the_case)), performance_(case_.aircraft, case_.mass) {
  const decision::Case& c = case_;
  for (const decision::World& world : decision::bracket(c)) {
    const Speed headwind = earth::components(world.surface_wind(), c.departure.end.track).headwind;
    const auto distances =
        aircraft::take_off_distances(performance_, performance_.conditions(world.environment.air, c.elevation),
                                     {c.departure.end.surface, c.departure.end.slope, headwind}, c.policy.stop);
    if (!distances.usable()) throw std::runtime_error(distances.axis + ": " + distances.end);
    flight::DepartureRequest request;
    request.runway = c.departure.end;
    request.start_from_pavement = c.departure.start;
    request.distances = distances.value;
    request.track = c.departure.track;
    request.climb = c.departure.climb;
    request.elevation = c.elevation;
    request.climb_factor = world.climb_factor;
    request.at_least = c.policy.scan_end;
    request.up_to = c.policy.scan_height;
    request.never_past = c.policy.scan_limit;
    auto departed = flight::fly_departure(performance_, request, world.environment, c.policy.model);
    if (!departed.timeline) throw std::runtime_error(departed.refusal);
    flights_.push_back({world, std::move(*departed.timeline)});
  }
}

const CaseFlights::Flight& CaseFlights::flight(const std::string& world) const {
  const auto found =
      std::find_if(flights_.begin(), flights_.end(), [&](const Flight& f) { return f.world.name == world; });
  if (found == flights_.end()) throw std::runtime_error("no world named " + world);
  return *found;
}

std::optional<flight::Goal> CaseFlights::goal(const earth::RunwayEnd& end, const decision::World& world) const {
  if (!end.lda || end.surface == earth::Surface::unknown) return std::nullopt;
  const Speed headwind = earth::components(world.surface_wind(), end.track).headwind;
  const auto needed =
      aircraft::landing_distances(performance_, performance_.conditions(world.environment.air, end.elevation),
                                  {end.surface, end.slope, headwind}, case_.policy.stop);
  if (!needed.usable()) return std::nullopt;
  decision::Landing landing;
  landing.air = needed.value.air;
  landing.roll = needed.value.roll;
  landing.available = *end.lda;
  return decision::goal_on(end, landing, decision::alignment_height(case_));
}

flight::PathFinderSetup CaseFlights::setup(const Flight& flight, Angle bank) const {
  const decision::WindReport& wind = case_.weather.wind;
  return {.performance = &performance_,
          .technique = case_.policy.technique,
          .model = case_.policy.model,
          .environment = flight.world.environment,
          .datum = case_.elevation,
          .bank = bank,
          .gust_spread = wind.gust ? *wind.gust - wind.mean : Speed{},
          .top = metres(flight.timeline.nodes().back().height_m + 100.0),
          .clearance = case_.policy.clearance,
          .search_hopeless = false};
}

Flyer CaseFlights::flyer(const Flight& flight) const {
  return {&performance_,      case_.policy.technique.glide_factor,
          case_.policy.model, flight.world.environment,
          case_.elevation,    0.1};
}

}  // namespace backfield::test
