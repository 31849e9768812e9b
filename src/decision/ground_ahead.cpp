#include "ground_ahead.hpp"

#include "backfield/decision/assess.hpp"
#include "backfield/decision/windows.hpp"
#include "backfield/flight/glide_reach.hpp"
#include "words.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace backfield::decision {
namespace {

constexpr double kTrackStep_deg = 3.0;  // between glides; a field that none of them meets is not reached
constexpr Length kReserve = feet(2);    // as every path to a runway keeps
constexpr double kNotReached_m = -1e9;

/// Over the ground, by what is flown in a second about the moment.
earth::TrueDirection track_flown(const flight::Timeline& timeline, Duration t) {
  const flight::AirState a = timeline.at(t - seconds(0.5));
  const flight::AirState b = timeline.at(t + seconds(0.5));
  return earth::TrueDirection(radians(std::atan2(b.east_m - a.east_m, b.north_m - a.north_m)));
}

Angle between(earth::TrueDirection from, earth::TrueDirection to) {
  return radians(std::remainder((to.angle() - from.angle()).si(), 2.0 * kPi));
}

/// Tracks that may lie in the sector at any time, the departure track in the middle.
std::vector<earth::TrueDirection> tracks_about(const Case& c) {
  Angle widest{};
  for (const SectorRule::Step& step : c.policy.sector.steps) widest = std::max(widest, step.half_width);
  if (!c.departure.track.legs.empty()) widest = degrees(180.0 - 0.5 * kTrackStep_deg);
  const int steps = static_cast<int>(std::floor(in_degrees(widest) / kTrackStep_deg + 1e-9));
  std::vector<earth::TrueDirection> tracks;
  for (int i = -steps; i <= steps; ++i) {
    tracks.emplace_back(c.departure.end.track.angle() + degrees(kTrackStep_deg * i));
  }
  return tracks;
}

/// Of a line through a place, seen from there: intervals of the distance along it that lie in a polygon.
/// aside       of the line from the place, right + (m)
std::vector<Interval<double>> chords_along(const PlanePolygon& polygon, earth::Position from,
                                           earth::TrueDirection track, double aside = 0.0) {
  const double s = std::sin(track.angle().si());
  const double c = std::cos(track.angle().si());
  const auto turned = [&](const Ring& ring) {
    Ring result;
    result.reserve(ring.size());
    for (const PlanePoint& p : ring) {
      const double e = p.x - from.east.si();
      const double n = p.y - from.north.si();
      result.push_back({e * s + n * c, e * c - n * s});
    }
    return result;
  };
  PlanePolygon seen{turned(polygon.outline), {}};
  const auto [least, most] = std::minmax_element(seen.outline.begin(), seen.outline.end(),
                                                 [](const auto& a, const auto& b) { return a.y < b.y; });
  if (least->y > aside || most->y < aside) return {};
  for (const Ring& hole : polygon.holes) seen.holes.push_back(turned(hole));
  return chords(seen, Along::x, aside);
}

/// The same for a strip along the line: what lies in the polygon in its middle and on both edges.
std::vector<Interval<double>> strip_along(const PlanePolygon& polygon, earth::Position from, earth::TrueDirection track,
                                          double width) {
  std::vector<Interval<double>> strip = chords_along(polygon, from, track);
  for (const double aside : {-0.5 * width, 0.5 * width}) {
    if (strip.empty()) return strip;
    const std::vector<Interval<double>> edge = chords_along(polygon, from, track, aside);
    std::vector<Interval<double>> both;
    for (const Interval<double>& a : strip) {
      for (const Interval<double>& b : edge) {
        if (const auto part = intersect(a, b)) both.push_back(*part);
      }
    }
    strip = std::move(both);
  }
  return strip;
}

/// The part of a stretch that intervals cover, each counted once.
double covered(std::vector<Interval<double>> parts, double length) {
  std::sort(parts.begin(), parts.end(), [](const auto& a, const auto& b) { return a.low < b.low; });
  double sum = 0.0;
  double at = 0.0;
  for (const Interval<double>& part : parts) {
    const double from = std::max(at, part.low);
    const double to = std::min(length, part.high);
    if (to > from) sum += to - from;
    at = std::max(at, std::min(length, part.high));
  }
  return sum;
}

template <class List, class Item>
bool holds(const List& list, const Item& item) {
  return std::find(list.begin(), list.end(), item) != list.end();
}

std::vector<Ring> rings_of(const std::vector<earth::AvoidArea>& areas) {
  std::vector<Ring> rings;
  for (const earth::AvoidArea& area : areas) {
    Ring& ring = rings.emplace_back();
    for (const earth::Position& p : area.ring) ring.push_back({p.east.si(), p.north.si()});
  }
  return rings;
}

/// One world's glides to the areas.
class Looking {
 public:
  Looking(const Case& c, const aircraft::Performance& performance, const FlownWorld& flown,
          const std::vector<UsableArea>& areas)
      : case_(c),
        flown_(flown),
        areas_(areas),
        tracks_(tracks_about(c)),
        hazards_(c.ground, c.policy.clearance, c.elevation),
        avoid_(rings_of(c.ground.areas)) {
    const flight::Technique& technique = c.policy.technique;
    const WindReport& wind = c.weather.wind;
    Length lowest{};
    for (const UsableArea& area : areas) lowest = std::min(lowest, area.ground.heights.low);
    reach_.emplace(flight::GlideReachSetup{.performance = &performance,
                                           .technique = technique,
                                           .model = c.policy.model,
                                           .environment = flown.world.environment,
                                           .datum = c.elevation,
                                           .bank = technique.line_up_bank.value_or(technique.banks.front()),
                                           .gust_spread = wind.gust ? *wind.gust - wind.mean : Speed{},
                                           .top = metres(flown.timeline.nodes().back().height_m + 100.0),
                                           .lowest = lowest,
                                           .tracks = tracks_});
    for (const UsableArea& area : areas) needed_.push_back(needed(performance, area));
  }

  struct Found {
    GroundTrace::Reach reach;
    Verdict verdict{false, kNotReached_m, Limit::reach};
  };
  /// Of one area.
  [[nodiscard]] Found look(Duration t, std::size_t area) const { return look(glides(t), area); }
  /// Of all of them, from one set of glides.
  [[nodiscard]] std::vector<Found> look(Duration t) const {
    const Glides all = glides(t);
    std::vector<Found> found;
    for (std::size_t i = 0; i < areas_.size(); ++i) found.push_back(look(all, i));
    return found;
  }

  /// Straight ahead, from the failure to where the glide meets the ground.
  [[nodiscard]] std::optional<GroundShares> under(Duration t) const {
    const flight::AirState state = flown_.timeline.at(t);
    if (state.height_m < kClimbing_m) return std::nullopt;
    const earth::TrueDirection ahead = track_flown(flown_.timeline, t);
    std::size_t nearest = 0;
    for (std::size_t i = 0; i < tracks_.size(); ++i) {
      if (std::abs(between(ahead, tracks_[i]).si()) < std::abs(between(ahead, tracks_[nearest]).si())) nearest = i;
    }
    const auto ray = reach_->ray(*reach_->failure(state), nearest);
    const auto distances = ray ? reach_->distances(*ray, Length{}) : std::nullopt;
    if (!distances) return std::nullopt;
    const earth::Position from{metres(state.east_m), metres(state.north_m)};
    const double length = earth::distance(from, earth::offset(ray->from, ray->track, distances->longest)).si();
    std::vector<Interval<double>> landable, avoid;
    const auto add = [&](const PlanePolygon& polygon, std::vector<Interval<double>>& to) {
      for (const Interval<double>& part : chords_along(polygon, from, ray->track)) to.push_back(part);
    };
    for (const UsableArea& area : areas_) {
      for (const PlanePolygon& piece : area.pieces) add(piece, landable);
    }
    for (const Ring& ring : avoid_) add({ring, {}}, avoid);
    GroundShares shares;
    shares.landable = covered(std::move(landable), length) / length;
    shares.avoid = covered(std::move(avoid), length) / length;
    shares.unknown = std::max(0.0, 1.0 - shares.landable - shares.avoid);
    return shares;
  }

 private:
  struct Glides {
    std::shared_ptr<const flight::GlideReach::Failure> failure;
    std::vector<flight::GlideRay> rays;
  };

  /// By track: float and roll with the policy's factor; none where the tailwind is more than the policy's.
  [[nodiscard]] std::vector<std::optional<Length>> needed(const aircraft::Performance& performance,
                                                          const UsableArea& area) const {
    std::vector<std::optional<Length>> all(tracks_.size());
    if (area.pieces.empty()) return all;
    const Policy& policy = case_.policy;
    const aircraft::Conditions conditions =
        performance.conditions(flown_.world.environment.air, area.stated->elevation);
    for (std::size_t i = 0; i < tracks_.size(); ++i) {
      const Speed headwind = earth::components(flown_.world.surface_wind(), tracks_[i]).headwind;
      if (-headwind > policy.stop.tailwind_not_briefed_above) continue;
      const auto distances = aircraft::landing_distances(
          performance, conditions, {area.stated->surface, -area.stated->slope, headwind}, policy.stop);
      if (!distances.usable()) continue;
      all[i] = (distances.value.air + distances.value.roll) * policy.ground_ahead->length_factor;
    }
    return all;
  }

  [[nodiscard]] Glides glides(Duration t) const {
    const flight::AirState state = flown_.timeline.at(t);
    Glides all;
    if (state.height_m < kClimbing_m) return all;
    Angle half_width{};
    for (const SectorRule::Step& step : case_.policy.sector.steps) {
      if (metres(state.height_m) >= step.from_height) half_width = step.half_width;
    }
    const earth::TrueDirection ahead = track_flown(flown_.timeline, t);
    all.failure = reach_->failure(state);
    for (std::size_t i = 0; i < tracks_.size(); ++i) {
      if (std::abs(between(ahead, tracks_[i]).si()) > half_width.si() + 1e-6) continue;
      if (const auto ray = reach_->ray(*all.failure, i)) all.rays.push_back(*ray);
    }
    return all;
  }

  /// Where along a ray the glide may meet the ground.
  struct Landing {
    const flight::GlideRay* ray = nullptr;
    double from = 0.0, to = 0.0;
    [[nodiscard]] double margin() const { return to - from; }
  };

  void add_landings(const flight::GlideRay& ray, std::size_t index, std::vector<Landing>& all) const {
    const UsableArea& area = areas_[index];
    const std::optional<Length>& need = needed_[index][ray.index];
    if (!need) return;
    // Both ends with what a path flown again may miss in height.
    flight::GlideRay lower = ray;
    flight::GlideRay higher = ray;
    lower.height = ray.height - kReserve;
    higher.height = ray.height + kReserve;
    const auto longest = reach_->distances(lower, area.ground.heights.high);
    const auto shortest = reach_->distances(higher, area.ground.heights.low);
    if (!longest || !shortest) return;
    const double narrowest = case_.policy.ground_ahead->narrowest.si();
    const double too_short = (area.stated->usable - *need).si();
    for (const PlanePolygon& piece : area.pieces) {
      for (const Interval<double>& chord : strip_along(piece, ray.from, ray.track, narrowest)) {
        Landing landing{&ray, std::max(chord.low, shortest->shortest.si()),
                        std::min(chord.high - need->si(), longest->longest.si())};
        if (too_short < 0.0) landing.to = std::min(landing.to, landing.from + too_short);
        all.push_back(landing);
      }
    }
  }

  [[nodiscard]] Found look(const Glides& glides, std::size_t index) const {
    Found found;
    std::vector<Landing> all;
    for (const flight::GlideRay& ray : glides.rays) add_landings(ray, index, all);
    std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.margin() > b.margin(); });
    if (all.empty()) return found;
    found.verdict.margin = all.front().margin();
    for (const Landing& landing : all) {
      if (landing.margin() <= 0.0) return found;
      if (clear(glides, landing, index)) {
        found.reach = {landing.margin(), between(case_.departure.end.track, landing.ray->track)};
        found.verdict = {true, landing.margin(), Limit::reach};
        return found;
      }
      found.verdict = {false, std::numeric_limits<double>::quiet_NaN(), Limit::clearance};
    }
    return found;
  }

  [[nodiscard]] bool clear(const Glides& glides, const Landing& landing, std::size_t index) const {
    if (hazards_.empty()) return true;
    const Length on_ground = areas_[index].ground.heights.high;
    const Length middle = metres(0.5 * (landing.from + landing.to));
    const flight::GlideRay& ray = *landing.ray;
    const flight::AtRunway there{earth::offset(ray.from, ray.track, middle), ray.track, *needed_[index][ray.index],
                                 on_ground, alignment_height(case_)};
    return hazards_.along(reach_->way(*glides.failure, ray, middle, on_ground), &there).clear();
  }

  const Case& case_;
  const FlownWorld& flown_;
  const std::vector<UsableArea>& areas_;
  std::vector<earth::TrueDirection> tracks_;
  flight::Hazards hazards_;
  std::vector<Ring> avoid_;
  std::optional<flight::GlideReach> reach_;
  std::vector<std::vector<std::optional<Length>>> needed_;  ///< [area][track]
};

}  // namespace

std::vector<UsableArea> usable_areas(const Case& c, const aircraft::Performance& performance) {
  std::vector<UsableArea> areas;
  if (!c.policy.ground_ahead) return areas;
  const GroundAheadRule& rule = *c.policy.ground_ahead;
  const std::vector<Ring> avoid = rings_of(c.ground.areas);
  const earth::Air air(c.weather.qnh, c.elevation, c.weather.oat, earth::DensityRule::local);
  for (const earth::LandableArea& stated : c.ground_ahead.areas) {
    UsableArea& area = areas.emplace_back();
    area.stated = &stated;
    area.ground = ground_of(c, stated);
    const auto distances = aircraft::landing_distances(performance, performance.conditions(air, stated.elevation),
                                                       {stated.surface, -stated.slope, Speed{}}, c.policy.stop);
    if (!holds(rule.surfaces, stated.surface)) {
      area.not_counted = "the policy does not count its surface";
    } else if (!holds(rule.wires, stated.wires)) {
      area.not_counted = std::string("the policy does not count it, wires: ") + earth::name_of(stated.wires);
    } else if (stated.slope > rule.steepest) {
      area.not_counted = "steeper than the policy counts";
    } else if (!distances.usable()) {
      area.not_counted = "landing distance: " + distances.axis + ", " + distances.end;
    } else {
      area.pieces = without(stated.outline, avoid, rule.beside_avoid.si());
      if (area.pieces.empty()) area.not_counted = "all of it lies too near to what is to be avoided";
    }
  }
  return areas;
}

GroundTrace ground_ahead(const Case& c, const aircraft::Performance& performance, const FlownWorld& flown,
                         const std::vector<UsableArea>& areas) {
  GroundTrace trace;
  trace.areas.resize(areas.size());
  if (c.ground_ahead.file.empty()) return trace;
  const Looking looking(c, performance, flown, areas);
  trace.times = moments(flown.timeline);
  std::vector<std::vector<Verdict>> verdicts(areas.size());
  for (const Duration t : trace.times) {
    trace.heights.push_back(metres(flown.timeline.at(t).height_m));
    trace.under.push_back(looking.under(t));
    const auto found = looking.look(t);
    for (std::size_t i = 0; i < areas.size(); ++i) {
      trace.areas[i].at.push_back(found[i].reach);
      verdicts[i].push_back(found[i].verdict);
    }
  }
  for (std::size_t i = 0; i < areas.size(); ++i) {
    const Judge judge = [&looking, i](Duration t) { return looking.look(t, i).verdict; };
    for (const Span& span : windows(flown.timeline, trace.times, verdicts[i], judge, 0.0)) {
      trace.areas[i].heights.push_back(
          {metres(flown.timeline.at(span.times.low).height_m), metres(flown.timeline.at(span.times.high).height_m)});
    }
  }
  return trace;
}

}  // namespace backfield::decision
