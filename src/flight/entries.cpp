#include "entries.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

// Through air whose wind changes with height what feathering costs depends a little on the heading.
constexpr double kAnyHeading = 1.1;

EntryGlide glide_of(const EntryStyle& style, const Glider& glider) {
  return {&glider, style.unfeathered, style.feathered_after};
}

/// Height that a propeller costs which is feathered only after the entry: at the speed and bank, of the straight and
/// of the first turn, where it costs more.
double late_feathering(const EntryEnd& end, const EntryStyle& style, const Glider& glider) {
  const double late = style.unfeathered == nullptr ? 0.0 : style.feathered_after - end.duration;
  if (late <= 0.0) return 0.0;
  const auto sink = [&](const Glider& g, double bank, double cas) {
    const double sec = 1.0 / std::cos(bank);
    const auto r = g.rates(end.point.h, end.point.s, end.point.c, g.trim(cas, sec * sec));
    return r.V * r.sin_gamma;
  };
  const auto costs = [&](double bank, double cas) {
    return sink(*style.unfeathered, bank, cas) - sink(glider, bank, cas);
  };
  return kAnyHeading * late * std::max(costs(0.0, glider.best_glide_cas()), costs(style.turn_bank, style.turn_cas));
}

/// Reaction at the climb's airspeed and bank, then the speeds are exchanged at once.
EntryEnd keep_speed(const AirState& start, double cas_target, const EntryStyle& style, const Glider& glider,
                    Path* path) {
  const EntryGlide glide = glide_of(style, glider);
  const double cas = start.tas_mps / glider.medium().at(start.height_m).tas_per_cas;
  Point p = make_point({.e = start.east_m, .n = start.north_m, .h = start.height_m}, start.heading_rad);
  const auto react_for = [&](double time, const Glider& with) {
    const double begin = p.t;
    if (start.bank_rad == 0.0) {
      with.straight(p, with.trim(cas, 1.0), time);
    } else {
      const HeldBank held = with.hold(std::abs(start.bank_rad), cas);
      const double sense = start.bank_rad > 0.0 ? 1.0 : -1.0;
      with.turn(p, held, sense * time / (held.radius_per_V2 * start.tas_mps));
    }
    if (path == nullptr) return;
    Segment s;
    s.hold = start.bank_rad == 0.0 ? Hold::heading : Hold::bank;
    s.duration_s = p.t - begin;
    s.bank_from_rad = s.bank_to_rad = start.bank_rad;
    s.cas_from_mps = s.cas_to_mps = cas;
    s.propeller = &with == glide.feathered ? Propeller::at_rest : Propeller::unfeathered;
    path->segments.push_back(s);
  };
  const double unfeathered = glide.until == nullptr ? 0.0 : std::min(style.reaction_s, glide.feathered_after);
  if (unfeathered > 0.0) react_for(unfeathered, *glide.until);
  if (unfeathered < style.reaction_s || unfeathered == 0.0) react_for(style.reaction_s - unfeathered, glider);
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
    beginning.reacted = react(failure, style.reaction_s, style.stall_cas, glide_of(style, glider), track);
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
    end =
        fly_entry(beginning.reacted, request, glide_of(style, glider), path == nullptr ? nullptr : &path->entry, track);
  }
  end.height_given = style.height_given + late_feathering(end, style, glider);
  end.point.h -= end.height_given;
  return end;
}

}  // namespace backfield::flight
