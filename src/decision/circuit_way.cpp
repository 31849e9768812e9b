#include "circuit_way.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::decision {
namespace {

constexpr double kChord_rad = kPi / 36.0;
constexpr double kPiece_m = 100.0;

/// Where the aeroplane is in the wind, piece by piece.
class Line {
 public:
  Line(const flight::AirPose& from, earth::WindVector wind)
      : wind_(wind), psi_(from.heading.angle().si()), way_{{from.position.east.si(), from.position.north.si()}} {}

  /// angle       right +
  void turn(const flight::Circling& circling, Angle angle) {
    const int parts = std::max(1, static_cast<int>(std::ceil(std::abs(angle.si()) / kChord_rad)));
    const double step = angle.si() / parts;
    const double radius = std::copysign(circling.radius.si(), step);
    const double time = std::abs(step) * circling.radius.si() / circling.descent.airspeed.si();
    for (int i = 0; i < parts && step != 0.0; ++i) {
      const double next = psi_ + step;
      on(radius * (std::cos(psi_) - std::cos(next)), radius * (std::sin(next) - std::sin(psi_)), time,
         flight::off_the_chord(std::abs(radius * step), step));
      psi_ = next;
    }
  }

  void straight(Speed airspeed, Duration duration) {
    const int parts = std::max(1, static_cast<int>(std::ceil((airspeed * duration).si() / kPiece_m)));
    const double time = duration.si() / parts;
    for (int i = 0; i < parts && time > 0.0; ++i) {
      on(airspeed.si() * time * std::sin(psi_), airspeed.si() * time * std::cos(psi_), time, 0.0);
    }
  }

  void straight_to(earth::Position place) {
    const flight::WayPoint from = way_.back();
    const double east = place.east.si() - from.east_m;
    const double north = place.north.si() - from.north_m;
    const int parts = std::max(1, static_cast<int>(std::ceil(std::hypot(east, north) / kPiece_m)));
    for (int i = 0; i < parts; ++i) on(east / parts, north / parts, 0.0, 0.0);
  }

  [[nodiscard]] std::vector<flight::WayPoint> way() const { return way_; }

 private:
  void on(double east, double north, double time, double off) {
    const flight::WayPoint& p = way_.back();
    way_.push_back({p.east_m + east + wind_.towards_east.si() * time,
                    p.north_m + north + wind_.towards_north.si() * time, 0.0, off});
  }

  earth::WindVector wind_;
  double psi_;
  std::vector<flight::WayPoint> way_;
};

}  // namespace

std::vector<flight::WayPoint> circuit_way(const flight::RendezvousSetup& setup, const flight::AirPose& from,
                                          const flight::RendezvousResult& way, const DownTo& down) {
  Line line(from, setup.wind.at({from.height}));
  line.turn(setup.first, way.first_turn);
  line.turn(setup.first, way.middle_turn);
  line.straight(setup.straight.airspeed, way.straight);
  line.turn(setup.last, way.last_turn);
  line.straight_to(down.threshold);
  std::vector<flight::WayPoint> points = line.way();
  const double slope = std::tan(down.angle.si());
  double to_go = 0.0;
  for (std::size_t i = points.size(); i-- > 0;) {
    points[i].height_m = std::min(from.height.si(), down.elevation.si() + to_go * slope);
    if (i > 0) to_go += std::hypot(points[i].east_m - points[i - 1].east_m, points[i].north_m - points[i - 1].north_m);
  }
  return points;
}

}  // namespace backfield::decision
