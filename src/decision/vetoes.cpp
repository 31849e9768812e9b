#include "vetoes.hpp"

#include "words.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace backfield::decision {
namespace {

constexpr Length kClimbsClear = feet(50);  // the first of the climb is over the runway and its strip

/// The climb over the ground, from 50 ft on.
std::vector<flight::WayPoint> way_of(const flight::Timeline& timeline) {
  std::vector<flight::WayPoint> way;
  const flight::AirState* before = nullptr;
  for (const flight::AirState& s : timeline.nodes()) {
    if (s.height_m < kClimbsClear.si()) continue;
    double off = 0.0;
    if (before != nullptr) {
      const double length = std::hypot(s.east_m - before->east_m, s.north_m - before->north_m);
      off = flight::off_the_chord(length, std::remainder(s.heading_rad - before->heading_rad, 2.0 * kPi));
    }
    way.push_back({s.east_m, s.north_m, s.height_m, off});
    before = &s;
  }
  if (way.empty()) {
    const flight::AirState last = timeline.nodes().back();
    way.push_back({last.east_m, last.north_m, last.height_m});
  }
  return way;
}

/// How far from brake release the climb is nearest to a place, seen from above.
Length flown_to(const flight::Timeline& timeline, earth::Position place) {
  const auto off = [&](const flight::AirState& s) {
    return std::hypot(s.east_m - place.east.si(), s.north_m - place.north.si());
  };
  const auto& nodes = timeline.nodes();
  const auto nearest =
      std::min_element(nodes.begin(), nodes.end(), [&](const auto& a, const auto& b) { return off(a) < off(b); });
  return metres(nearest->ground_distance_m);
}

std::optional<Veto::Place> place_of(const flight::Clearance& clearance) {
  if (!clearance.by_terrain) return std::nullopt;
  const earth::Position& p = clearance.where;
  return Veto::Place{earth::distance(p, {}), earth::TrueDirection(radians(std::atan2(p.east.si(), p.north.si()))),
                     clearance.ground};
}

std::string in_words(const Veto::Place& place) {
  std::string bearing = whole(place.bearing.deg());
  bearing.insert(0, 3 - std::min<std::size_t>(3, bearing.size()), '0');
  return tenths(in_metres(place.distance) / 1000.0) + " km from the aerodrome on " + bearing + " true" +
         (place.elevation ? ", where it is " + in_words_ft(place.elevation->above_sea_level) + " high" : "");
}

std::string by_how_much(const std::optional<Length>& below, Length within, const std::optional<Veto::Place>& place) {
  if (!place) {
    return below ? in_words_ft(*below) + " too low" : in_words_m(within) + " inside of what is to be left free";
  }
  if (!below) return "not assessed, first " + in_words(*place);
  return in_words_ft(*below) + " too low, " + in_words(*place);
}

}  // namespace

flight::AtRunway below_the_climb(const Case& c) {
  const earth::RunwayEnd& end = c.departure.end;
  return {end.pavement_start, end.track, end.pavement, Length{}, kClimbsClear};
}

void VetoGathering::add(Length height, const flight::Clearance& clearance) {
  const auto [found, is_new] = by_thing_.try_emplace(clearance.hazard);
  Veto& veto = found->second;
  if (is_new) {
    veto.what = flight::name_of(*ground_, clearance.hazard);
    veto.heights = {height, height};
    if (clearance.below) veto.below = Length{};
  }
  veto.heights.low = std::min(veto.heights.low, height);
  veto.heights.high = std::max(veto.heights.high, height);
  if (is_new || (clearance.below && *clearance.below > *veto.below)) veto.place = place_of(clearance);
  if (clearance.below) veto.below = std::max(*veto.below, *clearance.below);
  veto.within = std::max(veto.within, clearance.within);
}

std::vector<Veto> VetoGathering::all() const {
  std::vector<Veto> all;
  all.reserve(by_thing_.size());
  for (const auto& [thing, veto] : by_thing_) all.push_back(veto);
  return all;
}

std::vector<Veto> vetoes_of(const Case& c, const Scans& scans, std::size_t option, std::size_t side) {
  VetoGathering gathering(c.ground);
  for (std::size_t w = 0; w < scans.worlds.size(); ++w) {
    for (std::size_t b = 0; b < scans.banks.size(); ++b) {
      const ScanResult& scan = scans.at(w, b);
      const auto& clearances = scan.options[option].sides[side].not_clear;
      for (std::size_t i = 0; i < clearances.size(); ++i) {
        if (clearances[i]) gathering.add(scan.heights[i], *clearances[i]);
      }
    }
  }
  return gathering.all();
}

namespace {

std::string not_clear_of(const Veto& veto) {
  return " clear of " + veto.what + (veto.place && !veto.below ? ": " : ": up to ") +
         by_how_much(veto.below, veto.within, veto.place);
}

std::string in_words(const std::string& verb, const Veto& veto, const std::string& but) {
  return verb + " from failures at " + in_words_ft(veto.heights.low) + " to " + in_words_ft(veto.heights.high) + ", " +
         but + not_clear_of(veto);
}

}  // namespace

std::string in_words(const Veto& veto) { return in_words("would be reached", veto, "but no path found there is"); }

std::string runway_ahead_in_words(const Veto& veto) {
  return in_words("would be long enough", veto, "but the way down to it is not");
}

std::string way_back_in_words(const Veto& veto) {
  return "no way found at " + in_words_ft(veto.heights.low) + " is" + not_clear_of(veto);
}

/// One warning for each thing that the climb is not clear of in any world, of the world that is the farthest from it.
void add_climb(const Case& c, const std::vector<FlownWorld>& worlds, Answer& answer) {
  struct Worst {
    flight::Clearance clearance;
    const FlownWorld* world;
  };
  std::map<flight::Hazard, Worst> by_thing;
  const flight::Hazards hazards(c.ground, c.policy.clearance, c.elevation);
  const flight::AtRunway runway = below_the_climb(c);
  for (const FlownWorld& w : worlds) {
    for (const flight::Clearance& clearance : hazards.all_not_clear(way_of(w.timeline), &runway)) {
      const auto [found, is_new] = by_thing.try_emplace(clearance.hazard, Worst{clearance, &w});
      if (!is_new && clearance.margin < found->second.clearance.margin) found->second = {clearance, &w};
    }
  }
  for (const auto& [thing, worst] : by_thing) {
    const bool unknown = worst.clearance.by_terrain && !worst.clearance.ground;
    answer.warnings.push_back(
        "with power, the climb itself is " + std::string(unknown ? "over " : "not clear of ") +
        flight::name_of(c.ground, thing) + " " + in_words_m(flown_to(worst.world->timeline, worst.clearance.where)) +
        " from brake release (world " + worst.world->world.name +
        "): " + by_how_much(worst.clearance.below, worst.clearance.within, place_of(worst.clearance)) + ".");
  }
}

void add_ground(const Case& c, const Scans& scans, Answer& answer) {
  if (c.ground.empty()) return;
  const std::string unchecked =
      c.ground_ahead.file.empty()
          ? "the ground ahead is not"
          : "and so are the glides to the areas ahead that are stated; other ground ahead is not";
  for (const RunwayOption& o : answer.options) {
    for (const SideAnswer& side : o.sides) {
      for (const Veto& veto : side.vetoes) {
        answer.warnings.push_back(o.end.aerodrome + " " + o.end.designator + " " + flight::name_of(side.side) + " " +
                                  in_words(veto) + ". Not counted as a window.");
      }
    }
  }
  for (const Veto& veto : answer.land_ahead.vetoes) {
    answer.warnings.push_back("runway " + c.departure.end.designator + " ahead " + runway_ahead_in_words(veto) +
                              ". Not briefed there.");
  }
  for (const Veto& veto : answer.land_ahead.passed) {
    answer.warnings.push_back("runway " + c.departure.end.designator + " ahead: the way down passes beside " +
                              veto.what + ", nearer than " + in_words_m(c.policy.clearance.beside_obstacles) +
                              ". Land on the runway all the same; keep to its centre line.");
  }
  add_climb(c, scans.worlds, answer);
  if (c.terrain == TerrainBasis::posts) {
    answer.assumptions.push_back("terrain: " + c.terrain_source +
                                 "; straight between posts, and what is higher there is not known; the climb, the "
                                 "runway ahead and the ways to a runway "
                                 "are checked against it, " +
                                 unchecked + "; a place without data counts as not clear");
  }
  if (c.ground.obstacles.empty() && c.ground.areas.empty()) return;
  answer.assumptions.push_back(
      "obstacles and areas to avoid: " + std::to_string(c.ground.obstacles.size()) + " and " +
      std::to_string(c.ground.areas.size()) + " stated, nothing else is on " +
      (c.terrain == TerrainBasis::posts ? "the" : "flat") +
      " ground; the climb, the runway ahead and the ways to a runway are checked against them, " + unchecked);
}

}  // namespace backfield::decision
