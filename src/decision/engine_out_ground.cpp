// What the path on one engine has to pass over or beside: obstacles, and the ground itself.

#include "engine_out_path.hpp"
#include "vetoes.hpp"

#include "backfield/flight/corridor.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace backfield::decision {
namespace {

// Before and behind each look across the track ground counts: so far, but no more than a share of the posts' spacing.
constexpr Length kDepth = metres(3);
constexpr double kDepthShare = 0.45;

/// Every track of it, in every world. A departure that does not turn has one a world.
std::vector<EngineOutPath> paths_of(const Case& c, const std::vector<EngineOutClimb>& climbs) {
  std::vector<EngineOutPath> paths;
  for (const EngineOutClimb& climb : climbs) {
    paths.emplace_back(c, climb, false);
    if (!c.departure.track.legs.empty()) paths.emplace_back(c, climb, true);
  }
  return paths;
}

/// D begins at the end of the take-off distance available.
Length departure_end(const Case& c) {
  const earth::RunwayEnd& end = c.departure.end;
  return end.toda.value_or(end.tora.value_or(end.pavement)) - c.departure.start;
}

/// Where a path is nearest to an obstacle, or in a turn within the way that is looked at.
struct Pass {
  Length flown, off, beside;
  bool right = false;
  EngineOutPath::Heights heights;
  [[nodiscard]] bool looked_at() const { return off <= beside; }
};

/// One for each time that the path comes nearer and goes away again, and one for a turn that has the obstacle within
/// its way without being nearest there: D, and with it the way, grows all along.
std::vector<Pass> passes(const Case& c, const EngineOutPath& path, const earth::Obstacle& o) {
  const ObstacleRule& rule = c.policy.power_left.obstacles;
  const Length end = departure_end(c);
  std::vector<Pass> along;
  std::vector<bool> turning;
  for (const EngineOutPath::Stretch& stretch : path.stretches()) {
    const double s = std::sin(stretch.track.angle().si());
    const double k = std::cos(stretch.track.angle().si());
    const double east = (o.position.east - stretch.from.east).si();
    const double north = (o.position.north - stretch.from.north).si();
    // Seen from its nearest place; the first stretch has no beginning.
    const bool first = &stretch == &path.stretches().front();
    const double ahead = std::min(east * s + north * k, stretch.length.si());
    const double on = first ? ahead : std::max(0.0, ahead);
    const double right = east * k - north * s;
    Pass pass;
    pass.flown = stretch.flown + metres(on);
    const double beyond = east * s + north * k - on;
    const double from_track = beyond == 0.0 ? std::abs(right) : std::hypot(right, beyond);
    pass.off = metres(std::max(0.0, from_track - o.half_width.si()));
    pass.beside = rule.beside_at(std::max(Length{}, pass.flown - end));
    pass.right = right > 0.0;
    pass.heights = path.at(stretch, pass.flown);
    along.push_back(pass);
    turning.push_back(stretch.curvature != 0.0);
  }
  std::vector<Pass> nearest;
  for (std::size_t i = 0; i < along.size(); ++i) {
    const bool comes = i == 0 || along[i].off < along[i - 1].off;
    const bool goes = i + 1 == along.size() || along[i].off <= along[i + 1].off;
    const bool enters = turning[i] && along[i].looked_at() && !along[i - 1].looked_at();
    if ((comes && goes) || enters) nearest.push_back(along[i]);
  }
  return nearest;
}

void add_obstacles(const Case& c, const std::vector<EngineOutPath>& paths, OneEngineOut& out) {
  const ObstacleRule& rule = c.policy.power_left.obstacles;
  const Length end = departure_end(c);
  for (const earth::Obstacle& o : c.ground.obstacles) {
    std::optional<ObstacleAhead> ahead;
    std::optional<ObstacleAside> aside;
    for (const EngineOutPath& path : paths) {
      for (const Pass& pass : passes(c, path, o)) {
        const bool before = pass.flown < std::min(out.path_begins, end);
        if (before || !pass.looked_at()) {
          const ObstacleAside a{o.name, pass.flown, pass.off, pass.right, pass.beside, before};
          const auto rank = [](const ObstacleAside& x) { return std::pair(x.before, x.off - x.looked_at); };
          if (!aside || rank(a) < rank(*aside)) aside = a;
          continue;
        }
        ObstacleAhead a;
        a.name = o.name;
        a.distance = pass.flown;
        a.top = (o.top - c.elevation).above_datum;
        a.required = a.top + rule.over_at(std::max(Length{}, pass.flown - end));
        a.gross = pass.heights.gross;
        a.net = pass.heights.net;
        if (!ahead || a.net - a.required < ahead->net - ahead->required) {
          if (ahead) a.gross = std::min(a.gross, ahead->gross);
          ahead = a;
        } else {
          ahead->gross = std::min(a.gross, ahead->gross);
        }
      }
    }
    if (ahead) {
      out.obstacles.push_back(*ahead);
    } else if (aside) {
      out.aside.push_back(*aside);
    }
  }
  std::sort(out.obstacles.begin(), out.obstacles.end(),
            [](const ObstacleAhead& a, const ObstacleAhead& b) { return a.distance < b.distance; });
  // What lies before counts last: it is the less of a surprise.
  std::stable_sort(out.aside.begin(), out.aside.end(), [](const ObstacleAside& a, const ObstacleAside& b) {
    return std::pair(a.before, a.off - a.looked_at) < std::pair(b.before, b.off - b.looked_at);
  });
}

/// The ground across the way of one path, until the net path is as high as is looked at.
class GroundBelow {
 public:
  GroundBelow(const Case& c, const EngineOutPath& path, TerrainUnder& under)
      : case_(c), path_(path), under_(under), runway_(below_the_climb(c)) {}

  void look() {
    for (const EngineOutPath::Stretch& stretch : path_.stretches()) {
      Length on = &stretch == &path_.stretches().front() ? path_.begins() : Length{};
      while (on < stretch.length) {
        const Length flown = stretch.flown + on;
        if (path_.at(stretch, flown).net >= under_.up_to || !within_reach(stretch, on)) {
          under_.to = std::max(under_.to, flown);
          return;
        }
        on = on + across(stretch, on);
      }
    }
  }

 private:
  [[nodiscard]] static bool within_reach(const EngineOutPath::Stretch& stretch, Length on) {
    return earth::distance(earth::offset(stretch.from, stretch.track, on), {}) <= earth::kTerrainReach;
  }

  /// Looks across the track at a place; how far on the next look has to be.
  Length across(const EngineOutPath::Stretch& stretch, Length on) {
    const ObstacleRule& rule = case_.policy.power_left.obstacles;
    const Length flown = stretch.flown + on;
    const Length beyond = std::max(Length{}, flown - departure_end(case_));
    const Length depth = std::min(kDepth, case_.ground.terrain->spacing() * kDepthShare);
    const flight::Gate gate{earth::offset(stretch.from, stretch.track, on), stretch.track, rule.beside_at(beyond),
                            depth};
    // On the outside of a turn the looks spread.
    const Length step = depth * (2.0 / (1.0 + gate.half_width.si() * stretch.curvature));
    const EngineOutPath::Heights heights = path_.at(stretch, flown);
    const Length over = rule.over_at(beyond);
    // Passed over where even the highest ground nearby leaves more than has been found, and is cleared.
    const double spare = (heights.net - flight::least_height_over(
                                            flight::at_most_across(*case_.ground.terrain, gate, case_.elevation), over))
                             .si();
    if (spare >= 0.0 && under_.nearest && metres(spare) >= under_.nearest->net - under_.nearest->required) return step;
    const auto rise = flight::highest_across(*case_.ground.terrain, gate, case_.elevation, runway_,
                                             case_.policy.clearance.around_runway);
    if (!rise) return step;
    if (!rise->known) {
      if (!under_.unknown_from || flown < *under_.unknown_from) under_.unknown_from = flown;
      return step;
    }
    const Length required = flight::least_height_over(rise->height, over);
    if (heights.net < required && (!under_.too_low_from || flown < *under_.too_low_from)) under_.too_low_from = flown;
    if (under_.nearest && heights.net - required >= under_.nearest->net - under_.nearest->required) return step;
    under_.nearest = ObstacleAhead{"the ground", flown, rise->height, required, heights.gross, heights.net};
    return step;
  }

  const Case& case_;
  const EngineOutPath& path_;
  TerrainUnder& under_;
  flight::AtRunway runway_;
};

}  // namespace

void look_at_ground(const Case& c, const std::vector<EngineOutClimb>& climbs, OneEngineOut& out) {
  const std::vector<EngineOutPath> paths = paths_of(c, climbs);
  out.obstacles_assessed =
      std::all_of(paths.begin(), paths.end(), [](const EngineOutPath& p) { return p.flies_all_turns(); });
  if (out.obstacles_assessed) add_obstacles(c, paths, out);
  if (!c.ground.terrain) return;
  out.terrain.emplace();
  out.terrain->up_to = c.policy.circuit ? c.policy.circuit->height : c.policy.power_left.straight_until;
  out.terrain->assessed = out.obstacles_assessed && std::all_of(climbs.begin(), climbs.end(), [](const auto& climb) {
                            return climb.level.si() > climb.net_decrement * climb.airspeed.si();
                          });
  if (!out.terrain->assessed) return;
  for (const EngineOutPath& path : paths) GroundBelow(c, path, *out.terrain).look();
}

}  // namespace backfield::decision
