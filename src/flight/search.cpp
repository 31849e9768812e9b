#include "search.hpp"

#include <algorithm>
#include <cmath>
#include <span>

namespace backfield::flight {
namespace {

constexpr double kRefineWithin_m = 30.0;  // of the need: farther off, a foot more or less decides nothing
constexpr double kRunnerUp_m = 8.0;       // of height, that a family may seem to be worse than the best
constexpr int kRefinements = 20;          // of an interval: to a ten-thousandth
constexpr double kShortestByTime_s = 3.0;
constexpr double kTimeGrowth = 1.5;
constexpr double kDelayStep_s = 4.0;
constexpr int kDelays = 20;
constexpr double kInches_m = 0.3;
constexpr double kNudge_rad = 0.003;
constexpr double kNudge_share = 0.01;
constexpr double kFirstLook_m = 20.0;
constexpr double kNarrow = 2e-4;     // of an interval of headings (rad) or times (share)
constexpr double kOff_m = 0.3;       // of height, that a path from the tables may be off by ...
constexpr double kOffAlong_m = 3.0;  // ... and along the runway
constexpr double kFollow_rad = 0.05;
constexpr int kFollowedAtMost = 6;  // then all words are looked at again: another may have become the best
constexpr double kFollow_share = 0.1;

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

/// What counts as landing: height in hand, and how far down the runway the aim may lie.
struct Landing {
  double surplus, aim;
  [[nodiscard]] bool allows(const Connection& c) const { return c.on_axis && c.surplus >= surplus && c.aim <= aim; }
};

/// The paths of one word and family from `high`, which has height to spare, on; by either tier. Longer ones aim
/// shorter.
struct Between {
  const PathFinder::Fan& fan;
  const PathFinder::Target& target;
  const Connection& high;
  Landing landing;
  double wanted;  ///< aim that ends the search

  [[nodiscard]] bool done(const Connection& c) const { return landing.allows(c) && c.aim <= wanted; }

  /// Longer paths lie on one side of the best one: where does the surplus run out?
  template <class Tier>
  [[nodiscard]] std::optional<double> walk(const Tier& tier) const {
    const double most = high.parameter == Parameter::heading ? 2.0 * kPi : 2000.0;
    for (const int direction : {1, -1}) {
      double x = high.value();
      for (int i = 0; i < kHeadings / 2; ++i) {
        x = next(x, direction);
        if (x < 0.0 || x >= most) break;
        const Connection c = tier.again(fan, target, high, x);
        const bool same = c.on_axis && c.side() == high.side() &&
                          (c.parameter == Parameter::delay || fan.same_entry(c.first_sense, c.first, high.first));
        if (!same) break;
        if (c.surplus < kReserve_m || done(c)) return x;
      }
    }
    return std::nullopt;
  }

  /// Halves the interval down to where a path is worth a metre or two. `found` is what is known already.
  template <class Tier>
  [[nodiscard]] Connection halve(const Tier& tier, double low, Connection found) const {
    double good = high.value();
    const double least = kNarrow * std::max(1.0, std::abs(good));
    for (bool first = true; first || std::abs(good - low) > least; first = false) {
      // The far end may be what is looked for.
      const double mid = first ? low : 0.5 * (good + low);
      Connection c = tier.again(fan, target, high, mid);
      // Now and then a path does not converge: its neighbour tells as much.
      if (!c.on_axis && !first) c = tier.again(fan, target, high, mid + 0.01 * (good - low));
      if (landing.allows(c) && (!landing.allows(found) || c.aim < found.aim)) found = c;
      if (done(c)) return c;
      if (!first) (c.on_axis && c.surplus >= kReserve_m ? good : low) = mid;
    }
    return found;
  }

 private:
  [[nodiscard]] double next(double x, int direction) const {
    switch (high.parameter) {
      case Parameter::heading:
        return x + direction * kHeadingStep;
      case Parameter::straight_time:
        return x * std::pow(kTimeGrowth, direction);
      case Parameter::delay:
        return x + direction * kDelayStep_s;
    }
    return x;
  }
};

class Search {
 public:
  Search(const Approach& approach, const Screen& screen, const PathFinder::Fan& fan, const PathFinder::Target& target,
         const LowerBound& bound, const Wanted& wanted)
      : approach_(approach), screen_(screen), fan_(fan), target_(target), bound_(bound), wanted_(wanted) {}

  std::array<Best, 2> run() {
    if (wanted_.guess != nullptr) {
      for (std::size_t i = 0; i < 2; ++i) try_guess(sides_[i], wanted_.guess->sides[i]);
    }
    if (!(done(sides_[0]) && done(sides_[1]))) look();
    if (wanted_.guess != nullptr) {
      for (std::size_t i = 0; i < 2; ++i) {
        PathFinder::Guess::Side& guess = wanted_.guess->sides[i];
        if (done_[i]) guess.best = sides_[i].best;
        if (!done_[i] && sides_[i].lands) guess = {true, 0, sides_[i].landing, sides_[i].best};
      }
    }
    return sides_;
  }

 private:
  /// A path that still lands, with height to spare that matters to nobody, ends the search of its side before it
  /// begins.
  void try_guess(Best& side, PathFinder::Guess::Side& guess) {
    if (!guess.lands || !matters(side)) return;
    const Connection landing = approach_.again(fan_, target_, guess.landing, guess.landing.value());
    if (!within(landing, target_) || &side_of(landing) != &side) return;
    note(side, landing);
    follow(side, guess.best);
    const bool serves = wanted_.any_will_do || (settled(side) && guess.used < kFollowedAtMost);
    if (!serves) return;
    if (!settled(side)) refine(side);
    side.landing = landing;
    side.beyond = landing.value();
    done_[index(side)] = true;
    ++guess.used;
  }

  /// The best path moves little from one failure to the next: looked for where it was and to both sides of that.
  void follow(Best& side, const Connection& best) {
    const bool heading = best.parameter == Parameter::heading;
    for (const double steps : {0.0, 1.0, -1.0}) {
      const double value = heading ? best.value() + steps * kFollow_rad : best.value() * (1.0 + steps * kFollow_share);
      if (value < 0.0 || (heading && value >= 2.0 * kPi)) continue;
      const Connection c = screen_.again(fan_, target_, best, value);
      if (c.on_axis && &side_of(c) == &side) note(side, c);
    }
  }

  void look() {
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
  }

  void begin_family() { previous_ = Connection{}; }

  struct Slot {
    Leaf leaf;
    bool spared = false;
    Connection path;
  };

  /// What a longer look would not change: a path that lands, and height to spare that matters to nobody.
  [[nodiscard]] bool settled(const Best& side) const {
    if (!matters(side)) return true;
    return side.lands && side.best.surplus > kReserve_m + kRefineWithin_m;
  }
  [[nodiscard]] bool done(const Best& side) const { return done_[index(side)] || !matters(side); }
  /// Height to spare and a path that lands, or neither.
  [[nodiscard]] bool agrees(const Best& side) const {
    return !matters(side) || side.lands || !side.connects || side.best.surplus < kReserve_m;
  }

  void scan_all_straights() {
    for (bool towards : {false, true}) {
      for (int first : {-1, 1}) {
        for (int last : {-1, 1}) scan_straights(first, last, towards);
      }
    }
  }

  [[nodiscard]] bool matters(const Best& side) const {
    return !wanted_.only || (*wanted_.only == Side::left) == (index(side) == 0);
  }

  void finish(Best& side) {
    if (done_[index(side)] || !matters(side)) return;
    if (!side.connects || side.best.surplus == kNoSurplus) return;
    if (std::abs(side.best.surplus - kReserve_m) < kRefineWithin_m) refine(side);
    confirm(side);
    if (!side.lands && side.best.surplus >= kReserve_m) {
      delay_turn(side);
      confirm(side);
    }
  }

  /// Every kHeadingStep first, and where the entry changes; half-way headings only where something changes between two
  /// of them, or next to the best.
  void scan_headings(int first, int last) {
    std::array<Slot, kHeadings + 1> all;
    const std::span<Slot> slots(all.data(), fill(all, first));
    const double worth = worth_knowing();
    const auto fly = [&](Slot& slot, double least) {
      slot.path = screen_.by_heading(slot.leaf, first, last, target_, least);
      slot.spared = slot.path.sunk;
    };
    std::array<double, 2> best{kNoSurplus, kNoSurplus};
    const double floor = nobody_cares_below();
    for (Slot& slot : slots) {
      slot.spared = bound_.at(slot.leaf.p).spare() < floor;
      if (slot.spared) continue;
      fly(slot, worth);
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
      // A path with height to spare, or too far down the runway, beside one that was spared: what lies between them may
      // land.
      if (here.spared && (decides(next.path) || too_far(next.path))) {
        fly(here, Screen::kAnything);
        take(here.path);
      }
      if (next.spared && (decides(here.path) || too_far(here.path))) fly(next, Screen::kAnything);
      const bool near_best = is_best(here, best) || is_best(next, best);
      if (!near_best && !changes(here, next)) continue;
      const double half_way = 0.5 * (here.leaf.change + next.leaf.change);
      take(screen_.by_heading(fan_.leaf_about(first, half_way), first, last, target_));
    }
  }

  std::size_t fill(std::span<Slot> slots, int first) const {
    std::size_t count = 0;
    const std::vector<Leaf>& leaves = fan_.leaves(first);
    for (std::size_t k = 0; k < kHeadings; ++k) {
      const double change = fan_.banked_from(first);
      if (k > 0 && change > leaves[k - 1].change && change < leaves[k].change) {
        slots[count++].leaf = fan_.leaf(first, change, nullptr);
      }
      slots[count++].leaf = leaves[k];
    }
    return count;
  }

  [[nodiscard]] bool decides(const Connection& c) { return c.on_axis && c.surplus >= kReserve_m && !side_of(c).lands; }
  [[nodiscard]] static bool too_far(const Connection& c) { return c.on_axis && c.surplus == kNoSurplus; }
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
    // One step more than a straight that takes all the height which anybody cares for.
    const double floor = std::max(-target_.least_height, nobody_cares_below());
    const double worth = worth_knowing();
    const double longest =
        kTimeGrowth * screen_.time_down(fan_.entry_ends()[0], target_.elevation + target_.least_height + floor);
    begin_family();
    Connection near;
    for (double t = kShortestByTime_s; t < longest; t *= kTimeGrowth) {
      const Connection c = screen_.by_time(fan_, first, last, t, towards, target_, &near);
      take(c);
      if (c.on_axis && c.alignment < worth) break;
      if (c.on_axis) near = c;
    }
  }

  [[nodiscard]] double parallel_change(int first, bool towards) const {
    return turn_in_sense(fan_.failure().heading_rad, towards ? target_.track : target_.track + kPi, first);
  }

  [[nodiscard]] Best& side_of(const Connection& c) { return sides_[c.side() == Side::left ? 0 : 1]; }

  /// A surplus that neither beats the best of its side nor decides whether the side has a path that lands.
  [[nodiscard]] double nobody_cares_below() const {
    const auto of = [&](const Best& side) {
      if (!matters(side)) return std::numeric_limits<double>::infinity();
      return side.lands ? side.best.surplus : std::min(side.best.surplus, kReserve_m);
    };
    const double floor = wanted_.far_off ? kNoSurplus : kReserve_m - kRefineWithin_m;
    return std::max(floor, std::min(of(sides_[0]), of(sides_[1])));
  }
  /// The same as an alignment height, with room for what a first look is off by.
  [[nodiscard]] double worth_knowing() const { return target_.least_height + nobody_cares_below() - kFirstLook_m; }

  void note(Best& side, const Connection& c) {
    if (!c.on_axis) return;
    side.connects = true;
    Connection& runner = runners_[index(side)][family(c)];
    if (!runner.on_axis || c.surplus > runner.surplus) runner = c;
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
    Connection path = approach_.again(fan_, target_, p.landing, p.landing.value());
    if (!within(path, target_)) path = look_between(p, path);
    side.landing = path;
    side.beyond = path.value();
    return within(path, target_);
  }
  /// In the tables first, with a little in hand for what they are off by.
  [[nodiscard]] Connection look_between(const Proposal& p, const Connection& flown) const {
    const Between tabled{fan_, target_, p.landing, {kReserve_m + kOff_m, target_.aim_high - kOffAlong_m}, 1e9};
    double low = p.beyond;
    if (low == p.landing.value()) {
      const auto beyond = tabled.walk(screen_);
      if (!beyond) return flown;
      low = *beyond;
    }
    const Connection about = tabled.halve(screen_, low, p.landing);
    if (tabled.done(about)) {
      const Connection path = approach_.again(fan_, target_, about, about.value());
      if (within(path, target_)) return path;
    }
    const Between exactly{fan_, target_, p.landing, {kReserve_m, target_.aim_high}, 1e9};
    return exactly.halve(approach_, low, flown);
  }

  /// A coarse look may leave the wrong one of two families ahead: all that come near are refined, then the best is
  /// flown.
  void refine(Best& side) {
    const auto runners = runners_[index(side)];
    const double near = side.best.surplus - kRunnerUp_m;
    for (const Connection& runner : runners) {
      if (runner.on_axis && runner.surplus > near) refine(side, runner);
    }
    fly_best(side);
  }

  /// Golden section over one step to either side.
  void refine(Best& side, const Connection& like) {
    constexpr double kGolden = 0.6180339887498949;
    const bool heading = like.parameter == Parameter::heading;
    double a = heading ? std::max(0.0, like.first - 0.5 * kHeadingStep) : like.straight_time / kTimeGrowth;
    double b = heading ? std::min(2.0 * kPi - 1e-9, like.first + 0.5 * kHeadingStep) : like.straight_time * kTimeGrowth;
    const auto at = [&](double x) { return screen_.again(fan_, target_, like, x); };
    if (heading) {
      const double change = fan_.banked_from(like.first_sense);
      if (fan_.banked(like.first_sense, like.first)) {
        a = std::max(a, change);
      } else {
        b = std::min(b, change - 1e-9);
      }
    }
    double x1 = b - kGolden * (b - a);
    double x2 = a + kGolden * (b - a);
    Connection c1 = at(x1);
    Connection c2 = at(x2);
    for (int i = 0; i < kRefinements; ++i) {
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
  }

  /// The best path's surplus exactly. Where it ends just not too far down the runway, flying it may show it a little
  /// over: then a neighbour will do. Where nothing but inches decide, the neighbours are flown, too.
  void fly_best(Best& side) {
    const Connection like = side.best;
    const double nudge = like.parameter == Parameter::heading ? kNudge_rad : kNudge_share * like.value();
    bool found = false;
    for (const double steps : {0.0, 0.1, -0.1, 0.3, -0.3, 1.0, -1.0, 3.0, -3.0}) {
      if (found && std::abs(side.best.surplus - kReserve_m) > kInches_m) return;
      const Connection flown = approach_.again(fan_, target_, like, std::max(0.0, like.value() + steps * nudge));
      if (!flown.on_axis || flown.surplus == kNoSurplus || flown.side() != like.side()) continue;
      if (!found || flown.surplus > side.best.surplus) side.best = flown;
      found = true;
      note(side, flown);
    }
  }

  const Approach& approach_;
  const Screen& screen_;
  const PathFinder::Fan& fan_;
  const PathFinder::Target& target_;
  const LowerBound& bound_;
  const Wanted& wanted_;
  [[nodiscard]] std::size_t index(const Best& side) const { return &side == &sides_[0] ? 0 : 1; }

  /// The words of one kind of parameter.
  static constexpr std::size_t kFamilies = 12;
  [[nodiscard]] static std::size_t family(const Connection& c) {
    return 4 * static_cast<std::size_t>(c.parameter) + 2 * index_of(c.first_sense) + index_of(c.last_sense);
  }

  std::array<Best, 2> sides_;
  std::array<std::array<Connection, kFamilies>, 2> runners_;
  std::array<bool, 2> done_{};  ///< the guess served
  std::array<Proposals, 2> proposals_;
  Connection previous_;
};

}  // namespace

bool within(const Connection& c, const PathFinder::Target& target) {
  return c.on_axis && c.surplus >= kReserve_m && c.aim <= target.aim_high;
}

std::array<Best, 2> search(const Approach& approach, const Screen& screen, const PathFinder::Fan& fan,
                           const PathFinder::Target& target, const LowerBound& bound, const Wanted& wanted) {
  return Search(approach, screen, fan, target, bound, wanted).run();
}

Connection settle(const Approach& approach, const PathFinder::Fan& fan, const PathFinder::Target& target,
                  const Best& best) {
  const double first_third = target.aim_low + (target.aim_high - target.aim_low) / 3.0;
  const Between between{fan, target, best.landing, {kReserve_m, target.aim_high}, first_third};
  Connection found = approach.again(fan, target, best.landing, best.landing.value());
  if (between.done(found)) return found;
  double low = best.beyond;
  if (low == best.landing.value()) {
    const auto beyond = between.walk(approach);
    if (!beyond) return found;
    low = *beyond;
  }
  return between.halve(approach, low, found);
}

}  // namespace backfield::flight
