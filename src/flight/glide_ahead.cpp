#include "backfield/flight/glide_ahead.hpp"

#include "backfield/base/contract.hpp"
#include "entries.hpp"
#include "final_glide.hpp"

#include <cmath>

namespace backfield::flight {

struct GlideAhead::Impl {
  explicit Impl(const GlideAheadSetup& s)
      : setup(s),
        medium(s.environment, s.datum, s.model, s.top.si() + 200.0),
        clean(medium, best_glide(), s.performance->aircraft().polar.glide_ratio * s.technique.glide_factor, s.model),
        flapped(medium, best_glide(), s.performance->aircraft().polar.glide_ratio, s.model,
                s.performance->landing_flap_parasite_factor()),
        final(flapped, s.track.angle().si(), 0.0, s.top.si() + 200.0) {}

  [[nodiscard]] double best_glide() const { return setup.performance->best_glide().value.si(); }

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
  const aircraft::Performance& performance = *im.setup.performance;
  const EntryStyle style{im.setup.model.entry, im.setup.technique.reaction.si(),
                         performance.aircraft().roll_rate_per_second.si(), performance.stall_clean().value.si(), 0.0};
  Point p = enter(begin_entry(failure, style, im.clean), 0.0, im.best_glide(), style, im.clean, nullptr).point;
  if (im.setup.model.entry == EntryRule::flown) {
    im.clean.straight(p, im.clean.level(), performance.aircraft().flap_time.si());
  }
  const double s = std::sin(im.setup.track.angle().si());
  const double c = std::cos(im.setup.track.angle().si());
  const double along = (p.e - failure.east_m) * s + (p.n - failure.north_m) * c;
  const double below = ground_below.si() * im.final.distance(1.0);
  return metres(along + (p.h > 0.0 ? im.final.distance(p.h) : 0.0) + below);
}

}  // namespace backfield::flight
