#include "search.hpp"

#include "peaks.hpp"
#include "settle.hpp"

#include <algorithm>
#include <cmath>
#include <span>
#include <vector>

namespace backfield::flight {
namespace {

constexpr double kRefineWithin_m = 30.0;  // of the need: farther off, a foot more or less decides nothing
constexpr int kRefinements = 20;          // of an interval: to a ten-thousandth
constexpr double kShortestByTime_s = 3.0;
constexpr int kDelays = 20;
constexpr double kInches_m = 0.3;       // within them the neighbours of the best are flown, too
constexpr double kNudge = 0.01;         // steps along a family
constexpr double kFirstLook_m = 20.0;   // of height, that the best between two looks is above them, at least ...
constexpr double kFirstLook_rad = 0.8;  // ... and more for an aeroplane that turns wide: what a turn by so much costs
constexpr double kInchesStep = 0.05;    // steps along a family, climbed when flying
constexpr int kInchesLooks = 8;
constexpr double kNearCorner_m = 30.0;  // along the runway
constexpr double kCorner_m = 0.02;
constexpr int kCornerLooks = 4;
constexpr int kEndLooks = 10;        // for the end of a family
constexpr double kJustBelow = 1e-9;  // rad
constexpr double kOff_m = 0.3;       // of height, that a path from the tables may be off by ...
constexpr double kOffAlong_m = 3.0;  // ... and along the runway
constexpr double kFollow = 0.15;     // steps along a family, to either side of where the best was
constexpr int kFollowedAtMost = 6;   // then all words are looked at again: another may have become the best

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
         const LowerBound& bound, const Wanted& wanted)
      : approach_(approach),
        screen_(screen),
        fan_(fan),
        target_(target),
        bound_(bound),
        wanted_(wanted),
        first_look_(std::max(kFirstLook_m, kFirstLook_rad * target.line_up.loss_per_radian())),
        best_{Worth{}},
        landing_{Room{target.aim_high}} {}

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
    for (const double steps : {0.0, kFollow, -kFollow}) {
      const double value = beside(best.parameter, best.value(), steps);
      if (!exists(best.parameter, value)) continue;
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

  void begin_family() {
    best_.begin();
    landing_.begin();
    previous_ = Connection{};
  }

  struct Slot {
    Leaf leaf;
    bool spared = false;
    Connection path;
  };

  /// What a longer look would not change: a path that lands, and height to spare that matters to nobody.
  [[nodiscard]] bool settled(const Best& side) const {
    if (!matters(side)) return true;
    return side.lands && side.best.surplus > kReserve_m + refine_within();
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
    if (!side.connects) return;
    begin_family();
    if (near_need(side.best)) refine(side);
    if (side.best.surplus == kNoSurplus) return;
    confirm(side);
    if (!side.lands && side.best.surplus >= kReserve_m) make_room(side);
    if (!side.lands && side.best.surplus >= kReserve_m) delay_turn(side);
  }

  [[nodiscard]] double refine_within() const { return kRefineWithin_m - kFirstLook_m + first_look_; }
  [[nodiscard]] bool near_need(const Connection& c) const {
    if (c.surplus == kNoSurplus) return c.too_far * kHeightPerAim < refine_within();
    return std::abs(c.surplus - kReserve_m) < refine_within();
  }

  /// Every kHeadingStep first, and where the entry changes; half-way headings only where something changes between two
  /// of them, or next to the best.
  void scan_headings(int first, int last) {
    std::array<Slot, kHeadings + 3> all;
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
      if (here.path.on_axis != next.path.on_axis) follow_to_end(here.path.on_axis ? here : next, half_way);
    }
  }

  /// Height to spare here, or alignment too far down the runway, and no path a little further on: what lands, or the
  /// best, may lie before the paths of this family end.
  void follow_to_end(const Slot& last_path, double half_way) {
    Connection on = last_path.path;
    if (!decides(on) && !too_far(on)) return;
    double off = 2.0 * half_way - on.value();
    for (int i = 0; i < kEndLooks; ++i) {
      const double mid = 0.5 * (on.value() + off);
      const Connection c = screen_.again(fan_, target_, on, mid);
      if (!same_family(on, c)) {
        off = mid;
        continue;
      }
      Best& side = side_of(c);
      note(side, c);
      between(side, on, c);
      if (side.lands || (c.surplus < kReserve_m && !too_far(c))) return;
      on = c;
    }
  }

  std::size_t fill(std::span<Slot> slots, int first) const {
    std::size_t count = 0;
    const std::vector<Leaf>& leaves = fan_.leaves(first);
    const double change = fan_.banked_from(first);
    for (std::size_t k = 0; k <= kHeadings; ++k) {
      if (k > 0 && change > leaves[k - 1].change && change < leaves[k].change) {
        slots[count++].leaf = fan_.leaf(first, change - kJustBelow, nullptr);
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
           slot.path.surplus >= side_of(slot.path).best.surplus - refine_within();
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
    const double floor = wanted_.far_off ? kNoSurplus : kReserve_m - refine_within();
    return std::max(floor, std::min(of(sides_[0]), of(sides_[1])));
  }
  /// The same as an alignment height, with room for what a first look is off by.
  [[nodiscard]] double worth_knowing() const { return target_.least_height + nobody_cares_below() - first_look_; }

  void note(Best& side, const Connection& c) {
    if (!c.on_axis) return;
    side.connects = true;
    if (Worth{}(c) > Worth{}(side.best)) side.best = c;
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
    delay_turn(side, side.best);
    for (const Connection& crossing : crossings_[index(side)]) {
      if (!side.lands && crossing.on_axis) delay_turn(side, crossing);
    }
  }
  void delay_turn(Best& side, const Connection& like) {
    Connection like_delayed = like;
    like_delayed.parameter = Parameter::delay;
    begin_family();
    for (int i = 0; i <= kDelays && !side.lands; ++i) {
      const Connection c = screen_.again(fan_, target_, like_delayed, kDelayStep_s * i);
      if (c.on_axis && c.side() == like.side()) take(c);
    }
    confirm(side);
  }
  /// The path of each word with height to spare whose straight crosses the axis most squarely: it still does from
  /// another place.
  void note_crossing(Best& side, const Connection& c) {
    if (c.parameter != Parameter::heading || c.over < kReserve_m) return;
    Connection& squarest = crossings_[index(side)][2 * index_of(c.first_sense) + index_of(c.last_sense)];
    if (!squarest.on_axis || std::abs(std::sin(c.last)) > std::abs(std::sin(squarest.last))) squarest = c;
  }

  /// Paths change continuously from one neighbour to the next, so what lies between them is known, too.
  void take(const Connection& c) {
    const bool joined = same_family(previous_, c);
    best_.look(c, joined);
    landing_.look(c, joined);
    if (c.on_axis) {
      Best& side = side_of(c);
      note(side, c);
      note_crossing(side, c);
      if (joined) between(side, previous_, c);
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
    if (side.lands && std::abs(side.best.surplus - kReserve_m) > refine_within()) return;
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

  /// A coarse look may leave the wrong one of two peaks ahead: all that come near are climbed, then the best is flown.
  void refine(Best& side) {
    const double near = Worth{}(side.best) - first_look_;
    std::vector<Connection> tops;
    for (const Peak& peak : best_.all()) {
      if (&side_of(peak.at) != &side || Worth{}(peak.at) < near) continue;
      const auto hopeless = [&](double value, double slack) {
        return value < Worth{}(side.best) - slack * first_look_;
      };
      tops.push_back(climb(screen_, peak, Worth{}, kRefinements, hopeless));
      note(side, tops.back());
    }
    fly_best(side);
    fly_to_corner(side);
    if (std::abs(side.best.surplus - kReserve_m) > kInches_m) return;
    // Where nothing but inches decide, all that come as near are climbed once more, flying.
    for (const Connection& top : tops) {
      if (Worth{}(top) < side.best.surplus - 2.0 * kOff_m) continue;
      const Connection flown = climb_inches(top, Worth{});
      if (flown.surplus > side.best.surplus) note(side, flown);
    }
  }

  /// Height to spare, and yet nothing that lands: what comes nearest to it is climbed.
  void make_room(Best& side) {
    const Room room{target_.aim_high};
    const auto serves = [&](const Connection& about) {
      if (room(about) < -kOff_m) return false;
      side.landing = climb_inches(about, room);
      side.beyond = side.landing.value();
      side.lands = within(side.landing, target_);
      return side.lands;
    };
    // Next to the farthest place to be aligned at, a little less height may do.
    const auto take_landing = [&](const Connection& c) {
      if (side.lands || !within(c, target_)) return;
      side.lands = true;
      side.landing = c;
      side.beyond = c.value();
    };
    if (room(side.best) > -kOff_m) {
      fly_to_just_below(
          side.best, [&](const Connection& c) { return c.aim - target_.aim_high; }, take_landing);
    }
    if (side.lands || serves(side.best)) return;
    for (const Peak& peak : landing_.all()) {
      if (&side_of(peak.at) != &side || room(peak.at) < -first_look_) continue;
      const auto hopeless = [&](double value, double slack) { return value < -slack * first_look_; };
      if (serves(climb(screen_, peak, room, kRefinements, hopeless))) return;
    }
  }

  /// Golden section between a peak's neighbours. Given up where `hopeless(best so far, share of what a first look may
  /// be off by)`.
  template <class Tier, class Value, class Hopeless>
  [[nodiscard]] Connection climb(const Tier& tier, const Peak& peak, Value value, int looks, Hopeless hopeless) const {
    constexpr double kGolden = 0.6180339887498949;
    const Connection& like = peak.at;
    double a = std::max(0.0, peak.from);
    double b = peak.to;
    if (like.parameter == Parameter::heading) {
      b = std::min(b, 2.0 * kPi);
      const double change = fan_.banked_from(like.first_sense);
      if (fan_.banked(like.first_sense, like.first)) {
        a = std::max(a, change);
      } else {
        b = std::min(b, change - kJustBelow);
      }
    }
    Connection best = like;
    const auto at = [&](double x) {
      Connection c = tier.again(fan_, target_, like, x);
      if (c.side() != like.side()) c.on_axis = false;
      if (value(c) > value(best)) best = c;
      return value(c);
    };
    double x1 = b - kGolden * (b - a);
    double x2 = a + kGolden * (b - a);
    double v1 = at(x1);
    double v2 = at(x2);
    for (int i = 0; i < looks; ++i) {
      if ((i == 5 && hopeless(value(best), 0.3)) || (i == 9 && hopeless(value(best), 0.05))) break;
      // Towards the peak where neither is a path.
      if (v1 == v2 ? like.value() < x2 : v1 > v2) {
        b = x2;
        x2 = x1;
        v2 = v1;
        x1 = b - kGolden * (b - a);
        v1 = at(x1);
      } else {
        a = x1;
        x1 = x2;
        v1 = v2;
        x2 = a + kGolden * (b - a);
        v2 = at(x2);
      }
    }
    return best;
  }

  /// The best path's surplus exactly. Where it ends just not too far down the runway, flying it may show it a little
  /// over: then a neighbour will do.
  void fly_best(Best& side) {
    const Connection like = side.best;
    bool found = false;
    for (const double steps : {0.0, 0.1, -0.1, 0.3, -0.3, 1.0, -1.0, 3.0, -3.0}) {
      if (found && std::abs(side.best.surplus - kReserve_m) > kInches_m) return;
      const double value = beside(like.parameter, like.value(), steps * kNudge);
      if (!exists(like.parameter, value)) continue;
      const Connection flown = approach_.again(fan_, target_, like, value);
      if (!flown.on_axis || flown.surplus == kNoSurplus || flown.side() != like.side()) continue;
      if (!found || flown.surplus > side.best.surplus) side.best = flown;
      found = true;
      note(side, flown);
    }
  }
  /// Often more surplus is to be had up to where alignment comes just not too far down the runway: flown there.
  void fly_to_corner(Best& side) {
    if (side.best.surplus == kNoSurplus || side.best.too_far < -kNearCorner_m) return;
    fly_to_just_below(
        side.best, [](const Connection& c) { return c.too_far; }, [&](const Connection& c) { note(side, c); });
  }
  /// Flies along the family of `from` until `excess`, metres along the runway, is nothing or hardly less: by its slope
  /// in the tables. `seen` gets each path.
  template <class Excess, class Seen>
  void fly_to_just_below(const Connection& from, Excess excess, Seen seen) const {
    const double step = beside(from.parameter, from.value(), kNudge) - from.value();
    const Connection here = screen_.again(fan_, target_, from, from.value());
    const Connection there = screen_.again(fan_, target_, from, from.value() + step);
    const double slope = (excess(there) - excess(here)) / step;
    if (!here.on_axis || !there.on_axis || slope == 0.0) return;
    Connection on = from;
    for (int i = 0; i < kCornerLooks && (excess(on) > 0.0 || excess(on) < -kCorner_m); ++i) {
      const double value = on.value() - (excess(on) + 0.5 * kCorner_m) / slope;
      if (!exists(on.parameter, value)) return;
      on = approach_.again(fan_, target_, on, value);
      if (!on.on_axis || on.side() != from.side()) return;
      seen(on);
    }
  }
  /// The best of flown paths near one read from tables; `like` itself where none is better.
  template <class Value>
  [[nodiscard]] Connection climb_inches(const Connection& like, Value value) const {
    const Connection flown = approach_.again(fan_, target_, like, like.value());
    Peak peak{flown, 0.0, 0.0};
    if (!flown.on_axis || flown.side() != like.side()) {
      peak.at = like;
      peak.at.on_axis = false;
    }
    peak.from = beside(like.parameter, like.value(), -kInchesStep);
    peak.to = beside(like.parameter, like.value(), kInchesStep);
    return climb(approach_, peak, value, kInchesLooks, [](double, double) { return false; });
  }

  const Approach& approach_;
  const Screen& screen_;
  const PathFinder::Fan& fan_;
  const PathFinder::Target& target_;
  const LowerBound& bound_;
  const Wanted& wanted_;
  [[nodiscard]] std::size_t index(const Best& side) const { return &side == &sides_[0] ? 0 : 1; }

  const double first_look_;  ///< metres of height, that the best between two looks may be above them
  Peaks<Worth> best_;
  Peaks<Room> landing_;

  std::array<Best, 2> sides_;
  std::array<std::array<Connection, 4>, 2> crossings_;
  std::array<bool, 2> done_{};  ///< the guess served
  std::array<Proposals, 2> proposals_;
  Connection previous_;
};

}  // namespace

std::array<Best, 2> search(const Approach& approach, const Screen& screen, const PathFinder::Fan& fan,
                           const PathFinder::Target& target, const LowerBound& bound, const Wanted& wanted) {
  return Search(approach, screen, fan, target, bound, wanted).run();
}

}  // namespace backfield::flight
