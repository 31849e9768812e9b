#include "tests/tools/case_transforms.hpp"

#include <algorithm>

namespace backfield::test {
namespace {

template <class Place, class Heading, class Wind>
void change(decision::Case& c, Place place, Heading heading, Wind wind) {
  const auto move = [&](earth::RunwayEnd& end) {
    end.pavement_start = place(end.pavement_start);
    end.track = heading(end.track);
  };
  move(c.departure.end);
  for (earth::RunwayEnd& end : c.options) move(end);
  for (earth::Obstacle& o : c.ground.obstacles) o.position = place(o.position);
  for (earth::AvoidArea& a : c.ground.areas) {
    for (earth::Position& corner : a.ring) corner = place(corner);
  }
  const auto move_ring = [&](Ring& ring) {
    for (PlanePoint& p : ring) {
      const earth::Position moved = place({metres(p.x), metres(p.y)});
      p = {moved.east.si(), moved.north.si()};
    }
  };
  for (earth::LandableArea& a : c.ground_ahead.areas) {
    move_ring(a.outline.outline);
    for (Ring& hole : a.outline.holes) move_ring(hole);
  }
  for (flight::DepartureLeg& leg : c.departure.track.legs) leg.track = heading(leg.track);
  decision::WindReport& report = c.weather.wind;
  report.from = heading(report.from);
  if (report.sector) report.sector = {heading(report.sector->first), heading(report.sector->second)};
  for (earth::WindProfile::Level& level : c.weather.aloft) level.wind = wind(level.wind);
}

}  // namespace

decision::Case rotated(decision::Case c, Angle right) {
  const double s = std::sin(right.si());
  const double k = std::cos(right.si());
  change(
      c,
      [&](earth::Position p) {
        return earth::Position{p.east * k + p.north * s, p.north * k - p.east * s};
      },
      [&](earth::TrueDirection d) { return d.turned(right); },
      [&](earth::WindVector w) {
        return earth::WindVector{w.towards_east * k + w.towards_north * s, w.towards_north * k - w.towards_east * s};
      });
  return c;
}

decision::Case mirrored(decision::Case c) {
  change(
      c,
      [](earth::Position p) {
        return earth::Position{-p.east, p.north};
      },
      [](earth::TrueDirection d) { return earth::TrueDirection(-d.angle()); },
      [](earth::WindVector w) {
        return earth::WindVector{-w.towards_east, w.towards_north};
      });
  for (flight::DepartureLeg& leg : c.departure.track.legs) leg.turn_right = !leg.turn_right;
  // A sector runs clockwise: its ends change places.
  if (c.weather.wind.sector) std::swap(c.weather.wind.sector->first, c.weather.wind.sector->second);
  return c;
}

decision::Case relisted(decision::Case c) {
  std::reverse(c.options.begin(), c.options.end());
  return c;
}

}  // namespace backfield::test
