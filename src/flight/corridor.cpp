#include "backfield/flight/corridor.hpp"

#include "terrain_requirement.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <vector>

namespace backfield::flight {

namespace {

struct Line {
  earth::Position from, to;
};
Line across(const Gate& gate) {
  const earth::TrueDirection right = gate.track.turned(degrees(90));
  return {earth::offset(gate.place, right, -gate.half_width), earth::offset(gate.place, right, gate.half_width)};
}

}  // namespace

Length at_most_across(const earth::Terrain& terrain, const Gate& gate, earth::Altitude datum) {
  const Line line = across(gate);
  return metres(terrain.highest_m(line.from, line.to, gate.along.si())) - datum.above_sea_level;
}

std::optional<Rise> highest_across(const earth::Terrain& terrain, const Gate& gate, earth::Altitude datum,
                                   const AtRunway& runway, Length around_it) {
  const auto [from, to] = across(gate);
  const auto at = [from = from, to = to](double t) {
    return earth::Position{from.east + (to.east - from.east) * t, from.north + (to.north - from.north) * t};
  };
  const Part inside = around(runway, around_it.si(), {from.east.si(), from.north.si()}, {to.east.si(), to.north.si()});
  std::vector<earth::Terrain::Piece> pieces;
  terrain.along(from, to, gate.along.si(), pieces);
  std::optional<Rise> found;
  double most = -std::numeric_limits<double>::infinity();
  for (const earth::Terrain::Piece& piece : pieces) {
    // What lies before the runway's surroundings, and what lies behind them.
    const bool apart = inside.from > inside.to;
    const std::array<Part, 2> outside{Part{piece.from, apart ? piece.to : std::min(piece.to, inside.from)},
                                      Part{apart ? piece.to : std::max(piece.from, inside.to), piece.to}};
    for (const Part& part : outside) {
      if (part.from >= part.to) continue;
      if (!piece.known) return Rise{Length{}, at(part.from), false};
      const double top = piece.c2 < 0.0 ? std::clamp(-piece.c1 / (2.0 * piece.c2), part.from, part.to) : part.from;
      for (const double t : {part.from, top, part.to}) {
        if (piece.at(t) <= most) continue;
        most = piece.at(t);
        found = Rise{metres(most) - datum.above_sea_level, at(t), true};
      }
    }
  }
  return found;
}

Length least_height_over(Length ground, Length over) {
  return metres(Requirement{0.0, over.si()}.height_for(ground.si()));
}

}  // namespace backfield::flight
