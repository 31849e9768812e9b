#include "fan.hpp"

#include "cubic.hpp"

#include <algorithm>

namespace backfield::flight {
namespace {

constexpr double kNever = 1e9;

}  // namespace

EntryEnd enter_towards(const Glider& glider, const Style& style, const Beginning& beginning, int sense, Path* path,
                       std::vector<Point>* track) {
  const double bank = sense * style.first.held.bank;
  const double cas = sense == 0 ? style.level_cas(glider) : style.first.held.cas;
  return enter(beginning, bank, cas, style.entry, glider, path, track);
}

PathFinder::Fan::Fan(const Glider& glider, const Style& style, const AirState& failure)
    : glider_(&glider),
      style_(&style),
      beginning_(begin_entry(failure, style.entry, glider)),
      level_(enter_towards(glider, style, beginning_, 0, nullptr)) {
  lowest_speed_over_stall_ = level_.lowest_speed_over_stall;
  for (int sense : {-1, 1}) {
    const std::size_t i = index_of(sense);
    if (style.flown()) {
      banked_[i] = enter_towards(glider, style, beginning_, sense, nullptr);
      banked_gain_[i] = sense * (banked_[i].point.psi - failure.heading_rad);
      const double rolling_out = style.rolls() ? glider.ramp_gain(style.first.out, banked_[i].point.h) : 0.0;
      banked_from_[i] = banked_gain_[i] + rolling_out;
      lowest_speed_over_stall_ = std::min(lowest_speed_over_stall_, banked_[i].lowest_speed_over_stall);
    } else {
      // No entry is flown: the turn starts from the wings-level state, at once or by rolling in.
      banked_[i] = level_;
      banked_from_[i] = style.rolls() ? kNever : 0.0;
    }
  }
}

const PathFinder::Fan::Tables& PathFinder::Fan::tables() const {
  std::call_once(tabulated_, [this] {
    for (int sense : {-1, 1}) tabulate(sense);
  });
  return tables_;
}

/// A turn at the held bank, on from where it is: how fast it sinks hardly changes from one arc to the next.
class PathFinder::Fan::Holding {
 public:
  Holding(const Glider& glider, const HeldBank& held, int sense)
      : glider_(&glider),
        held_(&held),
        sense_(sense),
        sink_(held.cas * held.cas * held.radius_per_V2 * (held.trim.parasite + held.trim.induced)) {}
  [[nodiscard]] int sense() const { return sense_; }
  void on(Point& p, double angle) {
    if (angle <= 0.0) return;
    sink_ = sense_ * glider_->arc(p, *held_, sense_, sense_ * angle, glider_->medium().at(p.h - 0.5 * sink_ * angle));
  }

 private:
  const Glider* glider_;
  const HeldBank* held_;
  int sense_;
  double sink_;  ///< metres for each radian
};

template <class Wanted>
void PathFinder::Fan::turn_from(const Point& level, Holding& holding, std::vector<Leaf>& leaves, Wanted wanted) const {
  const TurnStyle& turn = style_->first;
  const int sense = holding.sense();
  bool rolled_in = false;
  Point p = level;
  for (int k = 0; k <= kHeadings && wanted(kHeadingStep * k); ++k) {
    const double change = kHeadingStep * k;
    const double rolling_out = glider_->ramp_gain(turn.out, p.h);
    if (!rolled_in) {
      const TurnPlan plan = plan_turn(*glider_, turn, change, level.h);
      if (turn.rolls && plan.hold <= 0.0) {
        Point small = p;
        fly_turn(*glider_, plan, sense, small, nullptr);
        leaves.push_back({small, change});
        continue;
      }
      glider_->roll(p, turn.in, sense);
      rolled_in = true;
    }
    holding.on(p, change - sense * (p.psi - level.psi) - rolling_out);
    Point out = p;
    if (turn.rolls) glider_->roll(out, turn.out, sense);
    leaves.push_back({out, change});
  }
}

/// As `leaf` does it, but in one step from each heading to the next.
void PathFinder::Fan::tabulate(int sense) const {
  const std::size_t i = index_of(sense);
  const TurnStyle& turn = style_->first;
  std::vector<Leaf>& leaves = tables_.leaves[i];
  leaves.reserve(kHeadings + 1);
  // From wings level, as far as that is the way, then from the banked entry.
  Holding holding(*glider_, turn.held, sense);
  turn_from(level_.point, holding, leaves, [&](double change) { return !banked(sense, change); });
  Point p = banked_[i].point;
  double held = 0.0;
  const double rolling_out = turn.rolls ? glider_->ramp_gain(turn.out, p.h) : 0.0;
  for (auto k = static_cast<int>(leaves.size()); k <= kHeadings; ++k) {
    const double change = kHeadingStep * k;
    const double wanted = std::max(0.0, change - banked_gain_[i] - rolling_out);
    holding.on(p, wanted - held);
    held = wanted;
    Point out = p;
    if (turn.rolls) glider_->roll(out, turn.out, sense);
    leaves.push_back({out, change});
  }
  tables_.slight[i] = leaf(sense, 0.25 * kHeadingStep, nullptr);
}

Point PathFinder::Fan::glide_on(double delay) const {
  Point p = level_.point;
  glider_->straight(p, glider_->trim(style_->level_cas(*glider_), 1.0), delay);
  return p;
}

std::vector<Leaf> PathFinder::Fan::leaves_after(double delay, int sense) const {
  std::vector<Leaf> leaves;
  leaves.reserve(kHeadings + 1);
  Holding holding(*glider_, style_->first.held, sense);
  turn_from(glide_on(delay), holding, leaves, [](double) { return true; });
  return leaves;
}

Leaf PathFinder::Fan::leaf_after(double delay, int sense, double change, std::vector<Segment>* segments) const {
  Leaf result;
  result.change = change;
  result.p = glide_on(delay);
  if (segments != nullptr) {
    Segment s;
    s.hold = Hold::heading;
    s.duration_s = delay;
    s.cas_from_mps = s.cas_to_mps = style_->level_cas(*glider_);
    segments->push_back(s);
  }
  fly_turn(*glider_, plan_turn(*glider_, style_->first, change, result.p.h), sense, result.p, segments);
  return result;
}

Leaf PathFinder::Fan::leaf(int sense, double change, std::vector<Segment>* segments) const {
  Leaf result;
  result.change = change;
  if (!banked(sense, change)) {
    result.p = level_.point;
    fly_turn(*glider_, plan_turn(*glider_, style_->first, change, result.p.h), sense, result.p, segments);
    return result;
  }
  const std::size_t i = index_of(sense);
  const TurnStyle& turn = style_->first;
  const double rolling_out = turn.rolls ? glider_->ramp_gain(turn.out, banked_[i].point.h) : 0.0;
  const double hold = std::max(0.0, change - banked_gain_[i] - rolling_out);
  Point p = banked_[i].point;
  glider_->turn(p, turn.held, sense * hold);
  append_hold(segments, turn.held, sense, p.t - banked_[i].point.t);
  if (turn.rolls) {
    glider_->roll(p, turn.out, sense);
    append_ramp(segments, turn.out, sense);
  }
  result.p = p;
  return result;
}

Leaf PathFinder::Fan::leaf_about(int sense, double change) const {
  const std::vector<Leaf>& leaves = tables().leaves[index_of(sense)];
  const double x = change * (1.0 / kHeadingStep);
  const auto k = static_cast<std::size_t>(x);
  const auto blend = [&](auto mix) {
    Leaf result;
    result.change = change;
    result.p = make_point({.t = mix(&Point::t), .e = mix(&Point::e), .n = mix(&Point::n), .h = mix(&Point::h)},
                          mix(&Point::psi));
    return result;
  };
  // Rolled into from wings level a turn grows with the root of its angle at first, which is no matter for cubics.
  const bool near_jump = k + 1 >= leaves.size() || !same_entry(sense, leaves[k].change, leaves[k + 1].change);
  if (near_jump || (k > 0 && !banked(sense, change))) return leaf(sense, change, nullptr);
  if (k == 0 && !banked(sense, 0.0)) {
    // The time a slight turn takes goes with the root of its heading change: a parabola in that, through three leaves.
    const double u = std::sqrt(x);
    const Point& slight = tables().slight[index_of(sense)].p;
    return blend([&](double Point::*value) {
      const double at0 = leaves[0].p.*value;
      const double half = slight.*value - at0;
      const double all = leaves[1].p.*value - at0;
      return at0 + u * (4.0 * half - all) + u * u * (2.0 * all - 4.0 * half);
    });
  }
  const bool before = k > 0 && same_entry(sense, leaves[k - 1].change, change);
  const bool after = k + 2 < leaves.size() && same_entry(sense, leaves[k + 2].change, change);
  const Cubic cubic(x - static_cast<double>(k));
  return blend([&](double Point::*value) {
    const double b = leaves[k].p.*value;
    const double c = leaves[k + 1].p.*value;
    if (!before && !after) return b + (c - b) * (x - static_cast<double>(k));
    const double a = before ? leaves[k - 1].p.*value : third(b, c, leaves[k + 2].p.*value);
    return cubic(a, b, c, after ? leaves[k + 2].p.*value : third(c, b, a));
  });
}

}  // namespace backfield::flight
