#include "search.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr double kRefineWithin_m = 30.0;    // of the need: farther off, a foot more or less decides nothing
constexpr double kShortestByTime_s = 16.0;  // shorter straights are well covered by their heading
constexpr double kTimeGrowth = 1.5;
constexpr double kDelayStep_s = 4.0;
constexpr int kDelays = 20;

class Search {
 public:
  Search(const Approach& approach, const PathFinder::Fan& fan, const PathFinder::Target& target,
         const LowerBound& bound)
      : approach_(approach), fan_(fan), target_(target), bound_(bound) {}

  std::array<Best, 2> run() {
    for (int first : {-1, 1}) {
      for (int last : {-1, 1}) scan_headings(first, last);
    }
    // Round and back into the departure's direction: there the straight runs parallel, and away, as a rule.
    const bool round = std::cos(target_.track - fan_.failure().heading_rad) > 0.5;
    const bool both_land = sides_[0].lands && sides_[1].lands;
    const bool wanted = wants_straights(sides_[0]) || wants_straights(sides_[1]);
    for (bool towards : {false, true}) {
      if (!wanted && (towards || !round || both_land)) continue;
      for (int first : {-1, 1}) {
        for (int last : {-1, 1}) scan_straights(first, last, towards);
      }
    }
    for (Best& side : sides_) {
      if (!side.connects || side.best.surplus == kNoSurplus) continue;
      if (std::abs(side.best.surplus - kReserve_m) < kRefineWithin_m) refine(side);
      confirm(side);
      if (!side.lands && side.best.surplus >= kReserve_m) {
        delay_turn(side);
        confirm(side);
      }
    }
    return sides_;
  }

 private:
  void begin_family() { previous_ = Connection{}; }

  struct Slot {
    Leaf leaf;
    bool spared = false;
    Connection path;
  };

  /// Every kHeadingStep first; half-way headings only where something changes between two of them, or next to the best.
  void scan_headings(int first, int last) {
    const auto fly = [&](Slot& slot) {
      slot.spared = false;
      slot.path = approach_.by_heading(slot.leaf, first, last, target_, Care::roughly);
    };
    std::array<Slot, kHeadings> slots;
    std::array<double, 2> best{kNoSurplus, kNoSurplus};
    const double floor = nobody_cares_below();
    for (std::size_t k = 0; k < slots.size(); ++k) {
      Slot& slot = slots[k];
      slot.leaf = fan_.leaves(first)[k];
      slot.spared = bound_.at(slot.leaf.p).spare() < floor;
      if (slot.spared) continue;
      fly(slot);
      if (slot.path.on_axis) {
        double& mine = best[slot.path.side() == Side::left ? 0 : 1];
        mine = std::max(mine, slot.path.surplus);
      }
    }
    begin_family();
    for (std::size_t k = 0; k < slots.size(); ++k) {
      Slot& here = slots[k];
      if (!here.spared) take(here.path);
      if (k + 1 == slots.size()) break;
      Slot& next = slots[k + 1];
      if (here.spared && next.spared) continue;
      // A path with height to spare beside one that was spared: what lies between them may land.
      if (here.spared && decides(next.path)) {
        fly(here);
        take(here.path);
      }
      if (next.spared && decides(here.path)) fly(next);
      const bool near_best = is_best(here, best) || is_best(next, best);
      if (!near_best && !changes(here, next)) continue;
      take(approach_.by_heading(fan_.leaf(first, here.leaf.change + 0.5 * kHeadingStep, nullptr), first, last, target_,
                                Care::roughly));
    }
  }

  [[nodiscard]] bool decides(const Connection& c) { return c.on_axis && c.surplus >= kReserve_m && !side_of(c).lands; }
  /// The best of its word, if it is as good as what its side has or nearly so.
  [[nodiscard]] bool is_best(const Slot& slot, const std::array<double, 2>& best) {
    if (slot.spared || !slot.path.on_axis || slot.path.surplus == kNoSurplus) return false;
    return slot.path.surplus == best[slot.path.side() == Side::left ? 0 : 1] &&
           slot.path.surplus >= side_of(slot.path).best.surplus - kRefineWithin_m;
  }
  [[nodiscard]] static bool changes(const Slot& a, const Slot& b) {
    if (a.spared || b.spared) return false;
    if (a.path.on_axis != b.path.on_axis) return true;
    if (!a.path.on_axis) return false;
    return a.path.side() != b.path.side() || (a.path.surplus == kNoSurplus) != (b.path.surplus == kNoSurplus) ||
           (a.path.surplus >= kReserve_m) != (b.path.surplus >= kReserve_m);
  }

  /// Long straights near the runway's direction: they matter where headings found too little, but not much too little,
  /// or too much and no way to lose it.
  [[nodiscard]] static bool wants_straights(const Best& side) {
    const bool too_far_down = side.connects && side.best.surplus == kNoSurplus;
    return !side.lands && (too_far_down || side.best.surplus > kReserve_m - kRefineWithin_m);
  }

  void scan_straights(int first, int last, bool towards) {
    if (bound_.at(Approach::parallel_leaf(fan_, first, towards, target_).p).spare() < nobody_cares_below()) return;
    // One step more than a straight that takes all the height: beyond it nothing is left to lose.
    const double longest = kTimeGrowth * approach_.time_to_ground(fan_.entry_ends()[0], target_);
    begin_family();
    for (double t = kShortestByTime_s; t < longest; t *= kTimeGrowth) {
      take(approach_.by_time(fan_, first, last, t, towards, target_, Care::roughly));
    }
  }

  [[nodiscard]] Best& side_of(const Connection& c) { return sides_[c.side() == Side::left ? 0 : 1]; }

  /// A surplus that neither beats the best of its side nor decides whether the side has a path that lands.
  [[nodiscard]] double nobody_cares_below() const {
    const auto of = [](const Best& side) {
      return side.lands ? side.best.surplus : std::min(side.best.surplus, kReserve_m);
    };
    return std::min(of(sides_[0]), of(sides_[1]));
  }

  void note(Best& side, const Connection& c) const {
    if (!c.on_axis) return;
    side.connects = true;
    if (c.surplus > side.best.surplus) side.best = c;
    if (within(c, target_) && (!side.lands || !within(side.landing, target_) || c.surplus > side.landing.surplus)) {
      side.lands = true;
      side.landing = c;
      side.beyond = c.value();
    }
  }

  [[nodiscard]] bool same_family(const Connection& a, const Connection& b) const {
    return a.on_axis && b.on_axis && a.side() == b.side() && a.parameter == b.parameter &&
           (a.parameter == Parameter::delay || fan_.same_entry(a.first_sense, a.first, b.first));
  }

  /// Too high with every turn begun at once: glide on before turning.
  void delay_turn(Best& side) {
    const Connection like = side.best;
    begin_family();
    for (int i = 0; i <= kDelays && !side.lands; ++i) {
      const Connection c = approach_.by_delay(fan_, target_, like, kDelayStep_s * i, Care::roughly);
      if (c.on_axis && c.side() == like.side()) take(c);
    }
  }

  /// Paths change continuously from one neighbour to the next, so what lies between them is known, too.
  void take(const Connection& c) {
    if (c.on_axis) {
      Best& side = side_of(c);
      note(side, c);
      if (!side.lands && same_family(previous_, c)) between(side, previous_, c);
    }
    previous_ = c;
  }

  void between(Best& side, const Connection& a, const Connection& b) const {
    const Connection& high = a.surplus > b.surplus ? a : b;
    const Connection& low = a.surplus > b.surplus ? b : a;
    if (low.surplus > kNoSurplus) {
      // Height to spare here and too little there: one in between ends where it should.
      if (high.surplus < kReserve_m || low.surplus >= kReserve_m) return;
      side.lands = true;
      side.landing = high;
      side.beyond = low.value();
      return;
    }
    if (high.surplus == kNoSurplus) return;
    // Aligned too far down the runway there, and not here: the best one in between is aligned just not too far.
    Connection best = high;
    double good = high.value();
    double bad = low.value();
    for (int i = 0; i < 10; ++i) {
      const double mid = 0.5 * (good + bad);
      const Connection c = approach_.again(fan_, target_, high, mid, Care::roughly);
      if (!same_family(high, c)) return;
      if (c.surplus == kNoSurplus) {
        bad = mid;
        continue;
      }
      good = mid;
      best = c;
    }
    note(side, best);
    if (!side.lands && best.surplus >= kReserve_m && high.surplus < kReserve_m) {
      side.lands = true;
      side.landing = best;
      side.beyond = high.value();
    }
  }

  /// A claim has to be a path, exactly: what was found roughly, or only concluded to lie between two paths, is flown.
  void confirm(Best& side) const {
    if (!side.lands) return;
    Connection path = approach_.again(fan_, target_, side.landing, side.landing.value());
    if (!within(path, target_)) path = settle(approach_, fan_, target_, side, Settle::anywhere);
    if (!within(path, target_)) path = approach_.again(fan_, target_, side.best, side.best.value());
    side.lands = within(path, target_);
    side.landing = path;
    side.beyond = path.value();
  }

  /// Golden section over one step to either side; a path that does not connect counts as minus infinity.
  void refine(Best& side) const {
    constexpr double kGolden = 0.6180339887498949;
    const Connection like = approach_.again(fan_, target_, side.best, side.best.value());
    if (!like.on_axis) return;
    side.best = like;
    const bool heading = like.parameter == Parameter::heading;
    double a = heading ? std::max(0.0, like.first - 0.5 * kHeadingStep) : like.straight_time / kTimeGrowth;
    double b = heading ? std::min(2.0 * kPi - 1e-9, like.first + 0.5 * kHeadingStep) : like.straight_time * kTimeGrowth;
    const auto at = [&](double x) { return approach_.again(fan_, target_, like, x); };
    double x1 = b - kGolden * (b - a);
    double x2 = a + kGolden * (b - a);
    Connection c1 = at(x1);
    Connection c2 = at(x2);
    for (int i = 0; i < 4; ++i) {
      if (c1.surplus >= c2.surplus) {
        b = x2;
        x2 = x1;
        c2 = c1;
        x1 = b - kGolden * (b - a);
        c1 = at(x1);
      } else {
        a = x1;
        x1 = x2;
        c1 = c2;
        x2 = a + kGolden * (b - a);
        c2 = at(x2);
      }
    }
    for (const Connection& c : {c1, c2}) {
      if (c.side() == like.side()) note(side, c);
    }
  }

  const Approach& approach_;
  const PathFinder::Fan& fan_;
  const PathFinder::Target& target_;
  const LowerBound& bound_;
  std::array<Best, 2> sides_;
  Connection previous_;
};

}  // namespace

bool within(const Connection& c, const PathFinder::Target& target) {
  return c.on_axis && c.surplus >= kReserve_m && c.aim <= target.aim_high;
}

std::array<Best, 2> search(const Approach& approach, const PathFinder::Fan& fan, const PathFinder::Target& target,
                           const LowerBound& bound) {
  return Search(approach, fan, target, bound).run();
}

Connection settle(const Approach& approach, const PathFinder::Fan& fan, const PathFinder::Target& target,
                  const Best& best, Settle how) {
  const double wanted =
      how == Settle::anywhere ? target.aim_high : target.aim_low + (target.aim_high - target.aim_low) / 3.0;
  const auto done = [&](const Connection& c) { return within(c, target) && c.aim <= wanted; };
  const auto same_family = [&](const Connection& c) {
    return c.on_axis && c.side() == best.landing.side() &&
           (c.parameter == Parameter::delay || fan.same_entry(c.first_sense, c.first, best.landing.first));
  };
  Connection found = approach.again(fan, target, best.landing, best.landing.value());
  if (done(found)) return found;
  double high = best.landing.value();
  double low = best.beyond;
  if (high == low) {
    // Longer paths lie on one side of the best one: look for where the surplus runs out.
    const Parameter parameter = found.parameter;
    const auto next = [&](double x, int direction) {
      switch (parameter) {
        case Parameter::heading:
          return x + direction * kHeadingStep;
        case Parameter::straight_time:
          return x * std::pow(kTimeGrowth, direction);
        case Parameter::delay:
          return x + direction * kDelayStep_s;
      }
      return x;
    };
    const double most = parameter == Parameter::heading ? 2.0 * kPi : 2000.0;
    for (int direction : {1, -1}) {
      double x = high;
      for (int i = 0; i < kHeadings / 2 && low == high; ++i) {
        x = next(x, direction);
        if (x < 0.0 || x >= most) break;
        const Connection c = approach.again(fan, target, best.landing, x);
        if (!same_family(c)) break;
        if (done(c)) return c;
        if (c.surplus < kReserve_m) low = x;
      }
      if (low != high) break;
    }
    if (low == high) return found;
  }
  for (int i = 0; i < 40; ++i) {
    const double mid = 0.5 * (high + low);
    const Connection c = approach.again(fan, target, best.landing, mid);
    if (within(c, target) && (!within(found, target) || c.aim < found.aim)) found = c;
    if (done(c)) return c;
    (c.on_axis && c.surplus >= kReserve_m ? high : low) = mid;
  }
  return found;
}

}  // namespace backfield::flight
