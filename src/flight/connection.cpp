#include "connection.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {

double turn_in_sense(double from, double to, int sense) {
  const double turns = sense * (to - from) * (0.5 / kPi);
  const double turn = (turns - std::floor(turns)) * 2.0 * kPi;
  return turn > 2.0 * kPi - 1e-7 ? 0.0 : turn;
}

namespace {

SteepFinal clean_final(const Gliders& gliders, const Goal& goal, double elevation, double top) {
  const double track = goal.track.angle().si();
  const auto glide = [&](const std::optional<Glider>& glider) -> std::optional<FinalGlide> {
    if (!glider) return std::nullopt;
    return FinalGlide(*glider, track, elevation, top);
  };
  return {std::make_shared<const FinalGlides>(FinalGlides{FinalGlide(gliders.on_final(), track, elevation, top),
                                                          glide(gliders.flap), glide(gliders.slip), gliders.flap_time,
                                                          goal.alignment_height.si()}),
          Configuration::clean};
}

}  // namespace

PathFinder::Target::Target(const Goal& goal, const Gliders& gliders, const Style& style, earth::Altitude datum,
                           double top)
    : e0(goal.threshold.east.si()),
      n0(goal.threshold.north.si()),
      track(goal.track.angle().si()),
      s(std::sin(track)),
      c(std::cos(track)),
      elevation((goal.elevation - datum).above_datum.si()),
      aim_low(goal.aim.low.si()),
      aim_high(goal.aim.high.si()),
      least_height(goal.alignment_height.si()),
      final(clean_final(gliders, goal, elevation, top)),
      least_final(final.clean().distance(least_height)),
      line_up(gliders.clean, style.line_up, track, elevation, top),
      at_runway{goal.threshold, goal.track, goal.aim.high, metres(elevation), goal.alignment_height} {
  const auto add = [this](Configuration configuration) {
    Target further = *this;
    further.steeper.clear();
    further.final = SteepFinal(final.glides(), configuration);
    steeper.push_back(std::move(further));
  };
  if (gliders.flap) add(Configuration::landing_flap);
  if (gliders.slip) add(Configuration::slip);
}

namespace {

/// From which a final reaches a point so far ahead. Where none can be flown from so high it goes on evenly, for
/// searches to climb on.
double height_for(const PathFinder::Target& target, double ahead) {
  const FinalGlide& clean = target.final.clean();
  const double limit = clean.flyable_up_to();
  const double beyond = ahead - clean.distance(limit);
  return beyond > 0.0 ? limit + kHeightPerAim * beyond : clean.height_for(ahead);
}

}  // namespace

void judge(Connection& c, double place, double height, const PathFinder::Target& target) {
  const FinalGlide& clean = target.final.clean();
  c.alignment = height;
  c.too_high = std::max(0.0, height - clean.flyable_up_to());
  c.on_axis = c.too_high == 0.0;
  if (!c.on_axis) return;
  c.too_soon = target.aim_low - place - target.least_final;
  const double need = c.too_soon > 0.0 ? height_for(target, target.aim_low - place) : target.least_height;
  c.aim = place + target.final.shortest(std::max(0.0, height));
  // With the reserve still in hand the aim may lie no farther.
  c.over = height - need;
  c.too_far = place + target.final.shortest(need + kReserve_m) - target.aim_high;
  if (c.too_far <= 1e-6) c.surplus = c.over;
}

}  // namespace backfield::flight
