#include "backfield/earth/ground.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace backfield::earth {

Length distance_to(const AvoidArea& area, Position place) {
  const double e = place.east.si();
  const double n = place.north.si();
  double nearest2 = std::numeric_limits<double>::infinity();
  bool inside = false;
  const Position* a = &area.ring.back();
  for (const Position& b : area.ring) {
    const double ae = a->east.si() - e;
    const double an = a->north.si() - n;
    const double be = b.east.si() - e;
    const double bn = b.north.si() - n;
    const double de = be - ae;
    const double dn = bn - an;
    // A ray to the east crosses each edge that has one end above it and one not: an odd number of times from inside.
    if ((an > 0.0) != (bn > 0.0) && ae - an * de / dn > 0.0) inside = !inside;
    const double t = std::clamp(-(ae * de + an * dn) / (de * de + dn * dn), 0.0, 1.0);
    const double ce = ae + t * de;
    const double cn = an + t * dn;
    nearest2 = std::min(nearest2, ce * ce + cn * cn);
    a = &b;
  }
  const double distance = std::sqrt(nearest2);
  return metres(inside ? -distance : distance);
}

}  // namespace backfield::earth
