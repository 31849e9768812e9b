#include "backfield/flight/glide_ahead.hpp"

#include "backfield/base/contract.hpp"
#include "entries.hpp"
#include "final_glide.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr double kStraight_m = 5;  // of height: between points of the way down a straight

}  // namespace

struct GlideAhead::Impl {
  explicit Impl(const GlideAheadSetup& s)
      : setup(s),
        medium(s.environment, s.datum, s.model, s.top.si() + 200.0),
        clean(medium, best_glide(), s.performance->aircraft().polar.glide_ratio * s.technique.glide_factor, s.model),
        flapped(medium, best_glide(), s.performance->aircraft().polar.glide_ratio, s.model,
                s.performance->landing_flap_parasite_factor()),
        final(flapped, s.track.angle().si(), 0.0, s.top.si() + 200.0) {}

  [[nodiscard]] double best_glide() const { return setup.performance->best_glide().value.si(); }

  /// The glide with flap begins at the end of this. `track`, when given, receives where the aeroplane is on the way.
  [[nodiscard]] Point flap_is_out(const AirState& failure, std::vector<Point>* track) const {
    const aircraft::Performance& performance = *setup.performance;
    const EntryStyle style{setup.model.entry, setup.technique.reaction.si(),
                           performance.aircraft().roll_rate_per_second.si(), performance.stall_clean().value.si(), 0.0};
    const Beginning beginning = begin_entry(failure, style, clean, track);
    Point p = enter(beginning, 0.0, best_glide(), style, clean, nullptr, track).point;
    if (track != nullptr) track->push_back(p);
    if (setup.model.entry == EntryRule::flown) {
      clean.straight(p, clean.level(), performance.aircraft().flap_time.si());
    }
    return p;
  }

  GlideAheadSetup setup;
  Medium medium;
  Glider clean, flapped;
  FinalGlide final;
};

GlideAhead::GlideAhead(const GlideAheadSetup& setup) {
  require(setup.performance != nullptr, "a glide ahead needs an aircraft");
  impl_ = std::make_unique<Impl>(setup);
}
GlideAhead::~GlideAhead() = default;
GlideAhead::GlideAhead(GlideAhead&&) noexcept = default;
GlideAhead& GlideAhead::operator=(GlideAhead&&) noexcept = default;

Length GlideAhead::distance(const AirState& failure, Length ground_below) const {
  const Impl& im = *impl_;
  const Point p = im.flap_is_out(failure, nullptr);
  const double s = std::sin(im.setup.track.angle().si());
  const double c = std::cos(im.setup.track.angle().si());
  const double along = (p.e - failure.east_m) * s + (p.n - failure.north_m) * c;
  const double below = ground_below.si() * im.final.distance(1.0);
  return metres(along + (p.h > 0.0 ? im.final.distance(p.h) : 0.0) + below);
}

std::vector<WayPoint> GlideAhead::way(const AirState& failure, Length ground_below) const {
  const Impl& im = *impl_;
  const double ground = -ground_below.si();
  std::vector<WayPoint> way{{failure.east_m, failure.north_m, failure.height_m}};
  std::vector<Point> track;
  const Point p = im.flap_is_out(failure, &track);
  track.push_back(p);
  for (const Point& on_track : track) way.push_back({on_track.e, on_track.n, std::max(on_track.h, ground)});
  const auto along = [&](double distance, double height) {
    way.push_back({p.e + distance * std::sin(im.setup.track.angle().si()),
                   p.n + distance * std::cos(im.setup.track.angle().si()), height});
  };
  if (p.h > 0.0) {
    const double all = im.final.distance(p.h);
    const int parts = static_cast<int>(std::ceil(p.h / kStraight_m));
    for (int i = 1; i <= parts; ++i) {
      const double height = p.h * (1.0 - static_cast<double>(i) / parts);
      along(all - im.final.distance(height), height);
    }
  }
  if (ground < 0.0) along((p.h > 0.0 ? im.final.distance(p.h) : 0.0) - ground * im.final.distance(1.0), ground);
  return way;
}

}  // namespace backfield::flight
