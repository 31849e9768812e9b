#include "entries.hpp"

#include <cmath>

namespace backfield::flight {
namespace {

/// Reaction at the climb's airspeed and bank, then the speeds are exchanged at once.
EntryEnd keep_speed(const AirState& start, double cas_target, const EntryStyle& style, const Glider& glider,
                    Path* path) {
  const double cas = start.tas_mps / glider.medium().at(start.height_m).tas_per_cas;
  Point p = make_point({.e = start.east_m, .n = start.north_m, .h = start.height_m}, start.heading_rad);
  if (start.bank_rad == 0.0) {
    glider.straight(p, glider.trim(cas, 1.0), style.reaction_s);
  } else {
    const HeldBank held = glider.hold(std::abs(start.bank_rad), cas);
    const double sense = start.bank_rad > 0.0 ? 1.0 : -1.0;
    glider.turn(p, held, sense * style.reaction_s / (held.radius_per_V2 * start.tas_mps));
  }
  if (path != nullptr) {
    Segment s;
    s.hold = start.bank_rad == 0.0 ? Hold::heading : Hold::bank;
    s.duration_s = p.t;
    s.bank_from_rad = s.bank_to_rad = start.bank_rad;
    s.cas_from_mps = s.cas_to_mps = cas;
    path->segments.push_back(s);
  }
  const double q = glider.medium().at(p.h).tas_per_cas;
  p.h += (cas * cas - cas_target * cas_target) * q * q / (2.0 * kStandardGravity);
  EntryEnd end;
  end.point = p;
  end.duration = p.t;
  end.cas_flown = cas;
  end.lowest_speed_over_stall = cas / style.stall_cas;
  return end;
}

}  // namespace

Beginning begin_entry(const AirState& failure, const EntryStyle& style, const Glider& glider,
                      std::vector<Point>* track) {
  Beginning beginning;
  beginning.failure = failure;
  if (style.rule == EntryRule::flown) {
    beginning.reacted = react(failure, style.reaction_s, style.stall_cas, glider, track);
  }
  return beginning;
}

EntryEnd enter(const Beginning& beginning, double bank_target, double cas_target, const EntryStyle& style,
               const Glider& glider, Path* path, std::vector<Point>* track) {
  EntryEnd end;
  if (style.rule == EntryRule::speed_kept) {
    end = keep_speed(beginning.failure, cas_target, style, glider, path);
  } else {
    const EntryRequest request{bank_target, cas_target, style.roll_rate, style.stall_cas};
    end = fly_entry(beginning.reacted, request, glider, path == nullptr ? nullptr : &path->entry, track);
  }
  end.point.h -= style.height_given;
  return end;
}

}  // namespace backfield::flight
