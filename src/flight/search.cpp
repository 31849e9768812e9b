#include "search.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr double kRefineWithin_m = 30.0;  // of the need: farther off, a foot more or less decides nothing
constexpr double kShortestByTime_s = 3.0;
constexpr double kTimeGrowth = 1.5;
constexpr double kDelayStep_s = 4.0;
constexpr int kDelays = 20;
constexpr double kNudge_rad = 0.003;
constexpr double kNudge_share = 0.01;

/// A path that lands, or one with height to spare and the parameter of one without: one in between lands.
struct Proposal {
  Connection landing;
  double beyond = 0.0;
};
struct Proposals {
  std::array<Proposal, 3> lands;  ///< the best of each Parameter: a flown path of one kind may fail to converge
  std::array<Proposal, 6> between;
  std::size_t count = 0;
};

class Search {
 public:
  Search(const Approach& approach, const Screen& screen, const PathFinder::Fan& fan, const PathFinder::Target& target,
         const LowerBound& bound)
      : approach_(approach), screen_(screen), fan_(fan), target_(target), bound_(bound) {}

  std::array<Best, 2> run() {
    for (int first : {-1, 1}) {
      for (int last : {-1, 1}) scan_headings(first, last);
    }
    const bool straights = !(settled(sides_[0]) && settled(sides_[1]));
    if (straights) scan_all_straights();
    for (Best& side : sides_) finish(side);
    if (!straights && !(agrees(sides_[0]) && agrees(sides_[1]))) {
      scan_all_straights();
      for (Best& side : sides_) finish(side);
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

  /// What a longer look would not change: a path that lands, and height to spare that matters to nobody.
  [[nodiscard]] bool settled(const Best& side) const {
    return side.lands && side.best.surplus > kReserve_m + kRefineWithin_m;
  }
  /// Height to spare and a path that lands, or neither.
  [[nodiscard]] static bool agrees(const Best& side) {
    return side.lands || !side.connects || side.best.surplus < kReserve_m;
  }

  void scan_all_straights() {
    for (bool towards : {false, true}) {
      for (int first : {-1, 1}) {
        for (int last : {-1, 1}) scan_straights(first, last, towards);
      }
    }
  }

  void finish(Best& side) {
    if (!side.connects || side.best.surplus == kNoSurplus) return;
    if (std::abs(side.best.surplus - kReserve_m) < kRefineWithin_m) refine(side);
    confirm(side);
    if (!side.lands && side.best.surplus >= kReserve_m) {
      delay_turn(side);
      confirm(side);
    }
  }

  /// Every kHeadingStep first; half-way headings only where something changes between two of them, or next to the best.
  void scan_headings(int first, int last) {
    const auto fly = [&](Slot& slot) {
      slot.spared = false;
      slot.path = screen_.by_heading(slot.leaf, first, last, target_);
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
      take(screen_.by_heading(fan_.leaf_about(first, here.leaf.change + 0.5 * kHeadingStep), first, last, target_));
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

  void scan_straights(int first, int last, bool towards) {
    if (bound_.at(fan_.leaf_about(first, parallel_change(first, towards)).p).spare() < nobody_cares_below()) return;
    // One step more than a straight that takes all the height: beyond it nothing is left to lose.
    const double longest = kTimeGrowth * screen_.time_down(fan_.entry_ends()[0], target_.elevation);
    begin_family();
    for (double t = kShortestByTime_s; t < longest; t *= kTimeGrowth) {
      take(screen_.by_time(fan_, first, last, t, towards, target_));
    }
  }

  [[nodiscard]] double parallel_change(int first, bool towards) const {
    return turn_in_sense(fan_.failure().heading_rad, towards ? target_.track : target_.track + kPi, first);
  }

  [[nodiscard]] Best& side_of(const Connection& c) { return sides_[c.side() == Side::left ? 0 : 1]; }

  /// A surplus that neither beats the best of its side nor decides whether the side has a path that lands.
  [[nodiscard]] double nobody_cares_below() const {
    const auto of = [](const Best& side) {
      return side.lands ? side.best.surplus : std::min(side.best.surplus, kReserve_m);
    };
    return std::min(of(sides_[0]), of(sides_[1]));
  }

  void note(Best& side, const Connection& c) {
    if (!c.on_axis) return;
    side.connects = true;
    if (c.surplus > side.best.surplus) side.best = c;
    if (within(c, target_)) propose(side, {c, c.value()});
  }

  /// One more path that lands, or pair of paths with one in between: a few are kept, those that land by themselves
  /// first.
  void propose(Best& side, const Proposal& p) {
    side.lands = true;
    Proposals& all = proposals_[index(side)];
    const bool lands = p.landing.value() == p.beyond;
    Proposal* place = lands                            ? &all.lands[static_cast<std::size_t>(p.landing.parameter)]
                      : all.count < all.between.size() ? &all.between[all.count]
                                                       : nullptr;
    const bool worse = lands && within(place->landing, target_) && place->landing.surplus > p.landing.surplus;
    if (place == nullptr || worse) return;
    *place = p;
    if (!lands) ++all.count;
  }

  [[nodiscard]] bool same_family(const Connection& a, const Connection& b) const {
    return a.on_axis && b.on_axis && a.side() == b.side() && a.parameter == b.parameter &&
           (a.parameter == Parameter::delay || fan_.same_entry(a.first_sense, a.first, b.first));
  }

  /// Too high with every turn begun at once: glide on before turning.
  void delay_turn(Best& side) {
    const Connection like = side.best;
    Connection like_delayed = like;
    like_delayed.parameter = Parameter::delay;
    begin_family();
    for (int i = 0; i <= kDelays && !side.lands; ++i) {
      const Connection c = screen_.again(fan_, target_, like_delayed, kDelayStep_s * i);
      if (c.on_axis && c.side() == like.side()) take(c);
    }
  }

  /// Paths change continuously from one neighbour to the next, so what lies between them is known, too.
  void take(const Connection& c) {
    if (c.on_axis) {
      Best& side = side_of(c);
      note(side, c);
      if (same_family(previous_, c)) between(side, previous_, c);
    }
    previous_ = c;
  }

  void between(Best& side, const Connection& a, const Connection& b) {
    const Connection& high = a.surplus > b.surplus ? a : b;
    const Connection& low = a.surplus > b.surplus ? b : a;
    if (low.surplus > kNoSurplus) {
      // Height to spare here and too little there: one in between ends where it should.
      if (high.surplus >= kReserve_m && low.surplus < kReserve_m) propose(side, {high, low.value()});
      return;
    }
    if (high.surplus == kNoSurplus) return;
    // How much there is to spare matters near nothing only.
    if (side.lands && std::abs(side.best.surplus - kReserve_m) > kRefineWithin_m) return;
    // Aligned too far down the runway there, and not here: the best one in between is aligned just not too far.
    Connection best = high;
    double good = high.value();
    double bad = low.value();
    for (int i = 0; i < 10; ++i) {
      const double mid = 0.5 * (good + bad);
      const Connection c = screen_.again(fan_, target_, high, mid);
      if (!same_family(high, c)) return;
      if (c.surplus == kNoSurplus) {
        bad = mid;
        continue;
      }
      good = mid;
      best = c;
    }
    note(side, best);
    if (best.surplus >= kReserve_m && high.surplus < kReserve_m) propose(side, {best, high.value()});
  }

  /// A claim has to be a path, exactly: what was read from tables, or concluded to lie between two paths, is flown.
  void confirm(Best& side) {
    if (!side.lands) return;
    const Proposals& all = proposals_[index(side)];
    for (const Proposal& p : all.lands) {
      if (within(p.landing, target_) && confirm(side, p)) return;
    }
    for (std::size_t i = 0; i < all.count; ++i) {
      if (confirm(side, all.between[i])) return;
    }
    side.lands = confirm(side, {side.best, side.best.value()});
  }
  bool confirm(Best& side, const Proposal& p) const {
    side.landing = p.landing;
    side.beyond = p.beyond;
    Connection path = approach_.again(fan_, target_, p.landing, p.landing.value());
    if (!within(path, target_)) path = settle(approach_, fan_, target_, side, Settle::anywhere);
    side.landing = path;
    side.beyond = path.value();
    return within(path, target_);
  }

  /// Golden section over one step to either side, then the best is flown.
  void refine(Best& side) {
    constexpr double kGolden = 0.6180339887498949;
    const Connection like = side.best;
    const bool heading = like.parameter == Parameter::heading;
    double a = heading ? std::max(0.0, like.first - 0.5 * kHeadingStep) : like.straight_time / kTimeGrowth;
    double b = heading ? std::min(2.0 * kPi - 1e-9, like.first + 0.5 * kHeadingStep) : like.straight_time * kTimeGrowth;
    const auto at = [&](double x) { return screen_.again(fan_, target_, like, x); };
    double x1 = b - kGolden * (b - a);
    double x2 = a + kGolden * (b - a);
    Connection c1 = at(x1);
    Connection c2 = at(x2);
    for (int i = 0; i < 6; ++i) {
      const Connection& better = c1.surplus >= c2.surplus ? c1 : c2;
      if (better.side() == like.side()) note(side, better);
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
    fly_best(side);
  }

  /// The best path's surplus exactly. Where it ends just not too far down the runway, flying it may show it a little
  /// over: then a neighbour will do.
  void fly_best(Best& side) {
    const Connection like = side.best;
    const double nudge = like.parameter == Parameter::heading ? kNudge_rad : kNudge_share * like.value();
    for (const double steps : {0.0, 1.0, -1.0, 3.0, -3.0}) {
      const Connection flown = approach_.again(fan_, target_, like, std::max(0.0, like.value() + steps * nudge));
      if (!flown.on_axis || flown.surplus == kNoSurplus || flown.side() != like.side()) continue;
      side.best = flown;
      note(side, flown);
      return;
    }
  }

  const Approach& approach_;
  const Screen& screen_;
  const PathFinder::Fan& fan_;
  const PathFinder::Target& target_;
  const LowerBound& bound_;
  [[nodiscard]] std::size_t index(const Best& side) const { return &side == &sides_[0] ? 0 : 1; }

  std::array<Best, 2> sides_;
  std::array<Proposals, 2> proposals_;
  Connection previous_;
};

}  // namespace

bool within(const Connection& c, const PathFinder::Target& target) {
  return c.on_axis && c.surplus >= kReserve_m && c.aim <= target.aim_high;
}

std::array<Best, 2> search(const Approach& approach, const Screen& screen, const PathFinder::Fan& fan,
                           const PathFinder::Target& target, const LowerBound& bound) {
  return Search(approach, screen, fan, target, bound).run();
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
    Connection c = approach.again(fan, target, best.landing, mid);
    // Now and then a path does not converge: its neighbour tells as much.
    if (!c.on_axis) c = approach.again(fan, target, best.landing, mid + 0.01 * (high - low));
    if (within(c, target) && (!within(found, target) || c.aim < found.aim)) found = c;
    if (done(c)) return c;
    (c.on_axis && c.surplus >= kReserve_m ? high : low) = mid;
  }
  return found;
}

}  // namespace backfield::flight
