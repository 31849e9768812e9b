#include "vetoes.hpp"

#include "words.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace backfield::decision {
namespace {

constexpr double kBend = 0.15;             // of an arc, times its angle: a little more than it is off its chord
constexpr Length kClimbsClear = feet(50);  // the first of the climb is over the runway and its strip

/// Of the thing the climb comes nearest to in a world, from 50 ft on.
flight::Clearance along_climb(const flight::Hazards& hazards, const flight::Timeline& timeline,
                              const flight::AtRunway& runway) {
  std::vector<flight::WayPoint> way;
  const flight::AirState* before = nullptr;
  for (const flight::AirState& s : timeline.nodes()) {
    if (s.height_m < kClimbsClear.si()) continue;
    double off = 0.0;
    if (before != nullptr) {
      const double length = std::hypot(s.east_m - before->east_m, s.north_m - before->north_m);
      off = kBend * length * std::abs(std::remainder(s.heading_rad - before->heading_rad, 2.0 * kPi));
    }
    way.push_back({s.east_m, s.north_m, s.height_m, off});
    before = &s;
  }
  if (way.empty()) {
    const flight::AirState last = timeline.nodes().back();
    way.push_back({last.east_m, last.north_m, last.height_m});
  }
  flight::Clearance clearance = hazards.along(way, &runway);
  hazards.explain(way, clearance, &runway);
  return clearance;
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

std::vector<Veto> vetoes_of(const Case& c, const Scans& scans, std::size_t option, std::size_t side) {
  std::map<flight::Hazard, Veto> by_thing;
  for (std::size_t w = 0; w < scans.worlds.size(); ++w) {
    for (std::size_t b = 0; b < scans.banks.size(); ++b) {
      const ScanResult& scan = scans.at(w, b);
      const auto& clearances = scan.options[option].sides[side].not_clear;
      for (std::size_t i = 0; i < clearances.size(); ++i) {
        if (!clearances[i]) continue;
        const flight::Clearance& clearance = *clearances[i];
        const auto [found, is_new] = by_thing.try_emplace(clearance.hazard);
        Veto& veto = found->second;
        if (is_new) {
          veto.what = flight::name_of(c.ground, clearance.hazard);
          veto.heights = {scan.heights[i], scan.heights[i]};
          if (clearance.below) veto.below = Length{};
        }
        veto.heights.low = std::min(veto.heights.low, scan.heights[i]);
        veto.heights.high = std::max(veto.heights.high, scan.heights[i]);
        if (is_new || (clearance.below && *clearance.below > *veto.below)) veto.place = place_of(clearance);
        if (clearance.below) veto.below = std::max(*veto.below, *clearance.below);
        veto.within = std::max(veto.within, clearance.within);
      }
    }
  }
  std::vector<Veto> all;
  all.reserve(by_thing.size());
  for (const auto& [thing, veto] : by_thing) all.push_back(veto);
  return all;
}

std::string in_words(const Veto& veto) {
  return "would be reached from failures at " + in_words_ft(veto.heights.low) + " to " +
         in_words_ft(veto.heights.high) + ", but no path found there is clear of " + veto.what +
         (veto.place && !veto.below ? ": " : ": up to ") + by_how_much(veto.below, veto.within, veto.place);
}

void add_ground(const Case& c, const Scans& scans, Answer& answer) {
  if (c.ground.empty()) return;
  const std::string unchecked =
      c.ground_ahead.file.empty() ? "the runway ahead and the ground ahead are not"
                                  : "and so are the glides to the areas ahead that are stated; the runway ahead is not";
  for (const RunwayOption& o : answer.options) {
    for (const SideAnswer& side : o.sides) {
      for (const Veto& veto : side.vetoes) {
        answer.warnings.push_back(o.end.aerodrome + " " + o.end.designator + " " + flight::name_of(side.side) + " " +
                                  in_words(veto) + ". Not counted as a window.");
      }
    }
  }
  const flight::Hazards hazards(c.ground, c.policy.clearance, c.elevation);
  for (const FlownWorld& w : scans.worlds) {
    const flight::Clearance clearance = along_climb(hazards, w.timeline, below_the_climb(c));
    if (clearance.clear()) continue;
    answer.warnings.push_back("with power, the climb itself is not clear of " +
                              flight::name_of(c.ground, clearance.hazard) + " (world " + w.world.name +
                              "): " + by_how_much(clearance.below, clearance.within, place_of(clearance)) + ".");
    break;
  }
  if (c.terrain == TerrainBasis::posts) {
    answer.assumptions.push_back(
        "terrain: " + c.terrain_source +
        "; straight between posts, and what is higher there is not known; paths to a runway and the climb are checked "
        "against it, " +
        unchecked + "; a place without data counts as not clear");
  }
  if (c.ground.obstacles.empty() && c.ground.areas.empty()) return;
  answer.assumptions.push_back("obstacles and areas to avoid: " + std::to_string(c.ground.obstacles.size()) + " and " +
                               std::to_string(c.ground.areas.size()) + " stated, nothing else is on " +
                               (c.terrain == TerrainBasis::posts ? "the" : "flat") +
                               " ground; paths to a runway and the climb are checked against them, " + unchecked);
}

}  // namespace backfield::decision
