#include "backfield/flight/clearance.hpp"

#include "above_terrain.hpp"
#include "clearance_reserves.hpp"
#include "stages.hpp"

#include "backfield/base/contract.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace backfield::flight {
namespace {

constexpr double kTolerance_m = 0.02;     // within which the least is found ...
constexpr double kToleranceShare = 0.02;  // ... and of itself, where it does not decide
constexpr double kStep_m = 5.0;           // of looking for the height that is missing
constexpr double kNoHeightWillDo = std::numeric_limits<double>::infinity();

WayPoint between(const WayPoint& a, const WayPoint& b, double share) {
  WayPoint p;
  p.east_m = a.east_m + (b.east_m - a.east_m) * share;
  p.north_m = a.north_m + (b.north_m - a.north_m) * share;
  p.height_m = a.height_m + (b.height_m - a.height_m) * share;
  return p;
}

double apart(const WayPoint& a, const WayPoint& b) {
  return std::hypot(b.east_m - a.east_m, b.north_m - a.north_m, b.height_m - a.height_m);
}

/// The middle of all corners, and how far the farthest is from it.
struct Circle {
  double east, north, radius;
};
Circle around(const std::vector<earth::Position>& ring) {
  Circle c{0.0, 0.0, 0.0};
  for (const earth::Position& p : ring) {
    c.east += p.east.si() / static_cast<double>(ring.size());
    c.north += p.north.si() / static_cast<double>(ring.size());
  }
  for (const earth::Position& p : ring) {
    c.radius = std::max(c.radius, std::hypot(p.east.si() - c.east, p.north.si() - c.north));
  }
  return c;
}

}  // namespace

std::string name_of(const earth::Ground& ground, Hazard hazard) {
  if (hazard < ground.obstacles.size()) return ground.obstacles[hazard].name;
  const std::size_t things = ground.obstacles.size() + ground.areas.size();
  if (hazard >= things) return hazard == things ? "the ground" : "ground of unknown elevation";
  const earth::AvoidArea& area = ground.areas[hazard - ground.obstacles.size()];
  return area.name + " (" + earth::name_of(area.kind) + ")";
}

/// What there is beyond the required at one place.
struct Hazards::Value {
  double height, aside;
  [[nodiscard]] double margin() const { return std::max(height, aside); }
};

Hazards::Hazards(const earth::Ground& ground, const ClearanceRule& rule, earth::Altitude datum) : ground_(ground) {
  for (const earth::Obstacle& o : ground_.obstacles) {
    things_.push_back({nullptr, o.position.east.si(), o.position.north.si(), o.half_width.si(),
                       rule.beside_obstacles.si() + kReserveAside_m,
                       (o.top - datum).above_datum.si() + rule.over_obstacles.si() + kReserveHeight_m});
  }
  for (const earth::AvoidArea& a : ground_.areas) {
    require(a.ring.size() >= 3, "an area has at least three corners");
    const Circle c = around(a.ring);
    const double floor = rule.over_areas
                             ? (a.elevation - datum).above_datum.si() + rule.over_areas->si() + kReserveHeight_m
                             : kNoHeightWillDo;
    things_.push_back({&a, c.east, c.north, c.radius, rule.beside_areas.si() + kReserveAside_m, floor});
  }
  if (ground_.terrain) terrain_ = std::make_unique<AboveTerrain>(ground_.terrain, rule, datum);
}
Hazards::~Hazards() = default;

Hazards::Value Hazards::at(const Thing& thing, const WayPoint& p) {
  const double height = p.height_m - thing.floor;
  const double outside = std::hypot(p.east_m - thing.east, p.north_m - thing.north) - thing.reach;
  if (thing.area == nullptr || outside > kClearanceOfInterest.si() + thing.beside) {
    // Far from an area its circle will do.
    return {height, outside - thing.beside};
  }
  return {height, earth::distance_to(*thing.area, {metres(p.east_m), metres(p.north_m)}).si() - thing.beside};
}

/// Nothing on a stage is nearer.
double Hazards::at_least(const Thing& thing, const Stage& s) {
  const double height = s.lowest - thing.floor;
  const double east = std::max({s.west - thing.east, thing.east - s.east, 0.0});
  const double north = std::max({s.south - thing.north, thing.north - s.north, 0.0});
  return std::max(height, std::sqrt(east * east + north * north) - thing.reach - thing.beside) - s.off;
}

/// Brings `least` down to what there is along the way, and notes where that is.
///
/// Neither the distance nor the height changes by more than the way is long. So a stretch is passed over whose ends are
/// farther off than that, and any other is halved; of the height, which runs straight, its lower end is known besides.
///
/// A stage is passed over where its box is far enough off.
void Hazards::look(const Thing& thing, const std::vector<WayPoint>& way, const std::vector<Stage>& stages,
                   double& least, WayPoint& where) {
  const auto tolerance = [&] { return kTolerance_m + kToleranceShare * std::abs(least); };
  const auto note = [&](const Value& v, double off, const WayPoint& p) {
    if (v.margin() - off >= least) return;
    least = v.margin() - off;
    where = p;
  };
  struct Stretch {
    WayPoint a, b;
    Value at_a, at_b;
    double length;
  };
  std::vector<Stretch> open;
  const auto refine = [&](Stretch whole, double off) {
    open.assign(1, whole);
    while (!open.empty()) {
      const Stretch s = open.back();
      open.pop_back();
      const double aside = 0.5 * (s.at_a.aside + s.at_b.aside - s.length);
      const double margin = 0.5 * (s.at_a.margin() + s.at_b.margin() - s.length);
      const double bound = std::max({std::min(s.at_a.height, s.at_b.height), aside, margin}) - off;
      if (bound >= least - tolerance()) continue;
      const WayPoint middle = between(s.a, s.b, 0.5);
      const Value v = at(thing, middle);
      note(v, off, middle);
      open.push_back({s.a, middle, s.at_a, v, 0.5 * s.length});
      open.push_back({middle, s.b, v, s.at_b, 0.5 * s.length});
    }
  };
  // Of a point that was passed over nothing is known but that the margin is at least `known`.
  double known = 0.0;
  bool exactly = false;
  Value here{};
  const auto step_to = [&](std::size_t i, bool first) {
    const WayPoint& p = way[i];
    const double length = i > 0 && p.goes_on ? apart(way[i - 1], p) : 0.0;
    const bool apart_before = i > 0 && !p.goes_on;
    if (!first && !apart_before && known - length - p.off_m >= least) {
      known -= length;
      exactly = false;
      return;
    }
    const Value before = exactly || i == 0 ? here : at(thing, way[i - 1]);
    here = at(thing, p);
    exactly = true;
    known = here.margin();
    note(here, 0.0, p);
    if (i > 0 && !apart_before) refine({way[i - 1], p, before, here, length}, p.off_m);
  };
  bool passed_over = true;
  for (const Stage& stage : stages) {
    const bool pass_over = at_least(thing, stage) >= least;
    if (pass_over) exactly = false;
    for (std::size_t i = stage.first; i < stage.last && !pass_over; ++i) {
      step_to(i, passed_over);
      passed_over = false;
    }
    passed_over = passed_over || pass_over;
  }
}

/// The height that is missing where the way is too near, seen from above: a look every few metres.
std::optional<Length> Hazards::below(const Thing& thing, const std::vector<WayPoint>& way) {
  if (thing.floor == kNoHeightWillDo) return std::nullopt;
  double lowest = 0.0;
  for (std::size_t i = 1; i < way.size(); ++i) {
    if (!way[i].goes_on) continue;
    const double length = apart(way[i - 1], way[i]);
    const Value begin = at(thing, way[i - 1]);
    if (begin.aside > length + way[i].off_m) continue;
    const int steps = static_cast<int>(std::ceil(length / kStep_m)) + 1;
    for (int k = 0; k <= steps; ++k) {
      const Value v = at(thing, between(way[i - 1], way[i], static_cast<double>(k) / steps));
      if (v.aside < 0.5 * kStep_m + way[i].off_m) lowest = std::min(lowest, v.height);
    }
  }
  return metres(-lowest);
}

Clearance Hazards::along(const std::vector<WayPoint>& way, const AtRunway* runway) const {
  require(!empty() && !way.empty(), "a way, and something to keep clear of");
  Clearance worst;
  double least = kClearanceOfInterest.si();
  WayPoint where = way.front();
  const std::vector<Stage> stages = stages_of(way);
  const Stage whole = all_of(stages);
  for (Hazard i = 0; i < things_.size(); ++i) {
    if (at_least(things_[i], whole) >= least) continue;
    const double before = least;
    look(things_[i], way, stages, least, where);
    if (least < before) worst.hazard = i;
  }
  if (terrain_) {
    require(runway != nullptr, "over terrain, the runway is needed");
    const double before = least;
    bool known = true;
    terrain_->look(way, *runway, least, where, known);
    worst.by_terrain = least < before;
    if (worst.by_terrain) worst.hazard = things_.size() + (known ? 0 : 1);
  }
  // Up to the tolerance the truth may be less.
  const double margin = least - (least < kClearanceOfInterest.si() ? kTolerance_m : 0.0);
  worst.margin = metres(margin);
  worst.where = {metres(where.east_m), metres(where.north_m)};
  return worst;
}

std::vector<Clearance> Hazards::all_not_clear(const std::vector<WayPoint>& way, const AtRunway* runway) const {
  require(!empty() && !way.empty(), "a way, and something to keep clear of");
  std::vector<Clearance> all;
  const auto add = [&](Hazard hazard, double least, const WayPoint& where) {
    if (least - kTolerance_m >= 0.0) return;
    Clearance c;
    c.hazard = hazard;
    c.by_terrain = hazard >= things_.size();
    c.margin = metres(least - kTolerance_m);
    c.where = {metres(where.east_m), metres(where.north_m)};
    explain(way, c, runway);
    all.push_back(c);
  };
  const std::vector<Stage> stages = stages_of(way);
  for (Hazard i = 0; i < things_.size(); ++i) {
    double least = kClearanceOfInterest.si();
    WayPoint where = way.front();
    look(things_[i], way, stages, least, where);
    add(i, least, where);
  }
  if (!terrain_) return all;
  require(runway != nullptr, "over terrain, the runway is needed");
  for (const auto of : {AboveTerrain::Of::known, AboveTerrain::Of::unknown}) {
    double least = kClearanceOfInterest.si();
    WayPoint where = way.front();
    bool known = of == AboveTerrain::Of::known;
    terrain_->look(way, *runway, least, where, known, of);
    add(things_.size() + (known ? 0 : 1), least, where);
  }
  return all;
}

void Hazards::explain(const std::vector<WayPoint>& way, Clearance& found, const AtRunway* runway) const {
  if (found.clear()) return;
  if (found.by_terrain) {
    require(terrain_ && runway != nullptr, "over terrain, the runway is needed");
    found.ground = terrain_->ground(found.where);
    if (found.hazard == things_.size()) found.below = terrain_->below(way, *runway);
    return;
  }
  const Thing& thing = things_[found.hazard];
  found.below = below(thing, way);
  const WayPoint there{found.where.east.si(), found.where.north.si()};
  found.within = metres(std::max(0.0, -at(thing, there).aside));
}

}  // namespace backfield::flight
