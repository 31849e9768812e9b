#include "backfield/flight/glide_reach.hpp"

#include "backfield/base/contract.hpp"
#include "final_glide.hpp"
#include "style.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr double kStraight_m = 30;  // of height: between points of the way down a straight

PathFinderSetup finder_setup(const GlideReachSetup& s) {
  require(s.performance != nullptr, "a glide needs an aircraft");
  return {.performance = s.performance,
          .technique = s.technique,
          .model = s.model,
          .environment = s.environment,
          .datum = s.datum,
          .bank = s.bank,
          .gust_spread = s.gust_spread,
          .top = s.top};
}

}  // namespace

class GlideReach::Failure {
 public:
  Failure(const Glider& glider, const Style& style, const AirState& state) : fan(glider, style, state) {}
  PathFinder::Fan fan;
};

struct GlideReach::Impl {
  explicit Impl(const GlideReachSetup& s)
      : setup(s),
        medium(s.environment, s.datum, s.model, s.top.si() + 200.0),
        gliders(make_gliders(finder_setup(s), medium)),
        style(make_style(finder_setup(s), gliders)),
        flapped(medium, gliders.clean.best_glide_cas(), s.performance->aircraft().polar.glide_ratio, s.model,
                s.performance->landing_flap_parasite_factor()) {
    const double top = s.top.si() + 200.0 - s.lowest.si();
    for (const earth::TrueDirection& track : s.tracks) {
      clean_finals.emplace_back(gliders.clean, track.angle().si(), s.lowest.si(), top);
      flap_finals.emplace_back(flapped, track.angle().si(), s.lowest.si(), top);
    }
  }

  GlideReachSetup setup;
  Medium medium;
  Gliders gliders;
  Style style;
  Glider flapped;
  std::vector<FinalGlide> clean_finals, flap_finals;  ///< heights above the lowest ground
};

GlideReach::GlideReach(const GlideReachSetup& setup) : impl_(std::make_unique<Impl>(setup)) {}
GlideReach::~GlideReach() = default;
GlideReach::GlideReach(GlideReach&&) noexcept = default;
GlideReach& GlideReach::operator=(GlideReach&&) noexcept = default;

std::shared_ptr<const GlideReach::Failure> GlideReach::failure(const AirState& state) const {
  return std::make_shared<const Failure>(impl_->gliders.clean, impl_->style, state);
}

std::optional<GlideRay> GlideReach::ray(const Failure& failure, std::size_t track) const {
  const Impl& im = *impl_;
  const AirState& state = failure.fan.failure();
  const earth::TrueDirection along = im.setup.tracks[track];
  const double psi = along.angle().si();
  const double crab = crab_on(im.gliders.clean, std::sin(psi), std::cos(psi), state.height_m);
  const double change = std::remainder(psi + crab - state.heading_rad, 2.0 * kPi);
  const Point p = failure.fan.leaf(change < 0.0 ? -1 : 1, std::abs(change), nullptr).p;
  const double left = p.h - im.setup.lowest.si();
  if (left <= 0.0 || left > im.clean_finals[track].flyable_up_to() || left > im.flap_finals[track].flyable_up_to()) {
    return std::nullopt;
  }
  return GlideRay{{metres(p.e), metres(p.n)}, metres(p.h), along, track, seconds(p.t - state.time_s)};
}

std::optional<GlideReach::Distances> GlideReach::distances(const GlideRay& ray, Length elevation) const {
  const Impl& im = *impl_;
  const FinalGlide& clean = im.clean_finals[ray.index];
  const FinalGlide& flap = im.flap_finals[ray.index];
  const double from = (ray.height - im.setup.lowest).si();
  const double to = (elevation - im.setup.lowest).si();
  require(to >= -1e-6, "ground lower than the lowest that was announced");
  if (from <= to) return std::nullopt;
  const double ground = std::max(to, 0.0);
  const double longest = clean.distance(from) - clean.distance(ground);
  // The flap comes out over its time, counted as clean glide.
  const double flapped = std::max(ground, clean.height_left(from, im.gliders.flap_time));
  const double shortest =
      clean.distance(from) - clean.distance(flapped) + flap.distance(flapped) - flap.distance(ground);
  return Distances{metres(longest), metres(std::min(longest, shortest)),
                   seconds(clean.time(from) - clean.time(ground))};
}

std::vector<WayPoint> GlideReach::way(const Failure& failure, const GlideRay& ray, Length distance,
                                      Length elevation) const {
  const Impl& im = *impl_;
  const AirState& state = failure.fan.failure();
  const Point entered = failure.fan.entry_ends()[0];
  std::vector<WayPoint> way{{state.east_m, state.north_m, state.height_m}};
  const auto to = [&way](double east, double north, double height, double angle) {
    const double length = std::hypot(east - way.back().east_m, north - way.back().north_m);
    way.push_back({east, north, height, off_the_chord(length, angle)});
  };
  to(entered.e, entered.n, entered.h, 0.0);
  const double turned = std::remainder(ray.track.angle().si() - entered.psi, 2.0 * kPi);
  to(ray.from.east.si(), ray.from.north.si(), ray.height.si(), turned);
  // Straight down to where it meets the ground, and no higher than the glide with nothing lost.
  const int parts = std::max(1, static_cast<int>(std::ceil((ray.height - elevation).si() / kStraight_m)));
  const FinalGlide& clean = im.clean_finals[ray.index];
  const double all = clean.distance((ray.height - im.setup.lowest).si());
  for (int i = 1; i <= parts; ++i) {
    const double share = static_cast<double>(i) / parts;
    const earth::Position p = earth::offset(ray.from, ray.track, distance * share);
    const double straight = ray.height.si() + (elevation - ray.height).si() * share;
    const double glide = im.setup.lowest.si() + clean.height_for(all - distance.si() * share);
    way.push_back({p.east.si(), p.north.si(), std::min(straight, glide), 0.0});
  }
  return way;
}

}  // namespace backfield::flight
