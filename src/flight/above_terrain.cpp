#include "above_terrain.hpp"

#include "terrain_requirement.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace backfield::flight {
template <class PassedOver, class Note>
void AboveTerrain::each(const std::vector<WayPoint>& way, const AtRunway& runway, const PassedOver& passed_over,
                        const Note& note) const {
  const Requirement asked{runway.aligned_by.si(), over_m_};
  const double runway_m = runway.elevation.si();
  std::vector<earth::Terrain::Piece> pieces;
  for (std::size_t i = 0; i < way.size(); ++i) {
    const WayPoint& b = way[i];
    const WayPoint& a = i > 0 && b.goes_on ? way[i - 1] : b;
    if (i > 0 && !b.goes_on) continue;  // it begins the next stretch
    if (i == 0 && way.size() > 1) continue;
    const earth::Position from{metres(a.east_m), metres(a.north_m)};
    const earth::Position to{metres(b.east_m), metres(b.north_m)};
    const double aside = kReserveAside_m + b.off_m;
    // What the ground is measured from, with what the path may be lower by.
    const double base = datum_m_ + runway_m - kReserveHeight_m - b.off_m;
    const double start = a.height_m - runway_m;
    const double change = b.height_m - a.height_m;
    const auto [lowest, highest] = std::minmax({start, start + change});
    if (passed_over(lowest, highest, terrain_->highest_m(from, to, aside) - base)) continue;
    const Part inside = around(runway, around_m_, a, b);
    pieces.clear();
    terrain_->along(from, to, aside, pieces);
    for (const auto& piece : pieces) {
      const auto ask = [&](double t) {
        const WayPoint p{a.east_m + (b.east_m - a.east_m) * t, a.north_m + (b.north_m - a.north_m) * t,
                         a.height_m + change * t};
        note(start + change * t, piece.at(t) - base, piece.known, p);
      };
      // Where the piece ends, where the requirement bends, and where the runway's surroundings begin and end.
      const auto share_at = [&](double height) { return change == 0.0 ? 0.0 : (height - start) / change; };
      std::array<double, 6> ends{piece.from,  piece.to, share_at(asked.corners()[0]), share_at(asked.corners()[1]),
                                 inside.from, inside.to};
      for (double& t : ends) t = std::clamp(t, piece.from, piece.to);
      std::sort(ends.begin(), ends.end());
      for (std::size_t k = 1; k < ends.size(); ++k) {
        const double t0 = ends[k - 1];
        const double t1 = ends[k];
        if (t1 <= t0) continue;
        const double middle = 0.5 * (t0 + t1);
        if (middle >= inside.from && middle <= inside.to) continue;
        ask(t0);
        ask(t1);
        if (piece.c2 >= 0.0) continue;
        // Between two corners the ceiling runs straight: the least is where it falls as fast as the surface.
        const double slope = (asked.ceiling(start + change * t1) - asked.ceiling(start + change * t0)) / (t1 - t0);
        const double vertex = (slope - piece.c1) / (2.0 * piece.c2);
        if (vertex > t0 && vertex < t1) ask(vertex);
      }
    }
  }
}

void AboveTerrain::look(const std::vector<WayPoint>& way, const AtRunway& runway, double& least, WayPoint& where,
                        bool& known, Of of) const {
  const Requirement asked{runway.aligned_by.si(), over_m_};
  const auto passed_over = [&](double lowest, double highest, double ground) {
    return asked.margin(asked.ceiling(lowest) - ground, highest) >= least;
  };
  each(way, runway, passed_over, [&](double height, double ground, bool is_known, const WayPoint& p) {
    const double margin = asked.margin(asked.ceiling(height) - ground, height);
    if (margin >= least || (of != Of::all && is_known != (of == Of::known))) return;
    least = margin;
    where = p;
    known = is_known;
  });
}

Length AboveTerrain::below(const std::vector<WayPoint>& way, const AtRunway& runway) const {
  const Requirement asked{runway.aligned_by.si(), over_m_};
  double most = 0.0;
  const auto passed_over = [&](double lowest, double, double ground) { return asked.height_for(ground) <= lowest; };
  each(way, runway, passed_over, [&](double height, double ground, bool is_known, const WayPoint&) {
    if (is_known) most = std::max(most, asked.height_for(ground) - height);
  });
  return metres(most);
}

}  // namespace backfield::flight
