#include "connection.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {

double turn_in_sense(double from, double to, int sense) {
  const double turns = sense * (to - from) * (0.5 / kPi);
  const double turn = (turns - std::floor(turns)) * 2.0 * kPi;
  return turn > 2.0 * kPi - 1e-7 ? 0.0 : turn;
}

PathFinder::Target::Target(const Goal& goal, const Glider& glider, const Style& style, earth::Altitude datum,
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
      final(glider, track, elevation, top),
      line_up(glider, style.line_up, track, elevation, top) {}

void judge(Connection& c, double place, double height, const PathFinder::Target& target) {
  if (height > target.final.flyable_up_to()) return;
  c.on_axis = true;
  c.alignment = height;
  double need = target.least_height;
  if (place < target.aim_low) need = std::max(need, target.final.height_for(target.aim_low - place));
  c.aim = place + target.final.distance(std::max(0.0, height));
  // With the reserve still in hand the aim may lie no farther.
  c.over = height - need;
  c.too_far = place + target.final.distance(need + kReserve_m) - target.aim_high;
  if (c.too_far <= 1e-6) c.surplus = c.over;
}

}  // namespace backfield::flight
