#include "family_end.hpp"
#include "looks.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>
#include <vector>

namespace backfield::flight {
namespace {

constexpr int kEndSecants = 10;        // for the end of a family where it is a path without a straight ...
constexpr double kEndOff_m = 0.05;     // ... across ...
constexpr double kSlight = 0.04;       // radians: with less the straight is as good as parallel to the runway
constexpr double kBesideEnd = 0.0005;  // radians: ... and how far from it a short straight is looked for ...
constexpr double kInside = 0.02;       // ... and another
constexpr int kPastEnd = 12;           // straights ...
constexpr double kPastEndStep = 0.25;  // ... in steps of their duration
constexpr double kShortest_s = 0.1;    // of the straights of a family followed from where it has none

struct Slot {
  Leaf leaf;
  bool spared = false;
  Connection path;
};

/// What lies between a path like that and one with too little height may land.
bool too_long(const Connection& c) { return too_far(c) || c.too_high > 0.0; }

bool changes(const Slot& a, const Slot& b) {
  // Too low there, and no path here: one in between may be high enough.
  if (a.spared != b.spared && (a.spared ? a : b).path.sunk) return !(a.spared ? b : a).path.on_axis;
  if (a.spared || b.spared) return false;
  if (a.path.on_axis != b.path.on_axis) return true;
  if (!a.path.on_axis) return false;
  return a.path.side() != b.path.side() || (a.path.surplus == kNoSurplus) != (b.path.surplus == kNoSurplus) ||
         (a.path.surplus >= kReserve_m) != (b.path.surplus >= kReserve_m);
}

/// One word's headings.
class Headings {
 public:
  Headings(const Question& question, Found& found, int first, int last)
      : q_(question), found_(found), first_(first), last_(last), count_(fill()) {}

  void look() {
    look_at_each();
    for (const Connection& end : ends_) follow_past_end(end);
    for (const double begin : begins_) follow_from_begin(begin);
  }

 private:
  void look_at_each() {
    const std::span<Slot> slots(all_.data(), count_);
    look_coarsely(slots);
    found_.begin_family();
    for (std::size_t k = 0; k < slots.size(); ++k) {
      Slot& here = slots[k];
      if (!here.spared) found_.take(here.path);
      if (k + 1 == slots.size()) break;
      Slot& next = slots[k + 1];
      if (here.spared && next.spared) continue;
      // A path with height to spare, or too far down the runway, beside one that was spared: what lies between them may
      // land.
      if (here.spared && (found_.decides(next.path) || too_long(next.path))) {
        read(here, Screen::kAnything);
        found_.take(here.path);
      }
      if (next.spared && (found_.decides(here.path) || too_long(here.path))) read(next, Screen::kAnything);
      const double half_way = 0.5 * (here.leaf.change + next.leaf.change);
      Connection between;
      if (!look_at_end(here, next)) {
        if (!is_best(here) && !is_best(next) && !changes(here, next)) continue;
        between = q_.screen.by_heading(q_.fan.leaf_about(first_, half_way), first_, last_, q_.target);
        found_.take(between);
      }
      // The end found may be that of another family.
      follow_to_end(between, here);
      follow_to_end(between, next);
      if (!q_.same_family(here.path, between)) follow_to_end(here.path, next);
      if (!q_.same_family(next.path, between)) follow_to_end(next.path, here);
    }
  }
  std::size_t fill() {
    const double slight = slight_line_up();
    std::size_t count = 0;
    q_.fan.each_heading(first_, [&](const Leaf& leaf) {
      if (count > 0 && all_[count - 1].leaf.change < slight && slight < leaf.change) {
        all_[count++].leaf = q_.fan.leaf_about(first_, slight);
      }
      all_[count++].leaf = leaf;
    });
    return count;
  }
  /// The heading that leaves next to nothing to the line-up turn: beyond it that is once round, a jump which falls
  /// between two looks.
  [[nodiscard]] double slight_line_up() const {
    const auto change_to = [&](double heading) { return turn_in_sense(q_.fan.failure().heading_rad, heading, first_); };
    const double about = change_to(q_.target.track);
    const double crab = q_.target.line_up.crab(q_.fan.leaf_about(first_, about).p.h);
    return change_to(q_.target.track + crab - last_ * kSlight);
  }

  void read(Slot& slot, double least) const {
    slot.path = q_.screen.by_heading(slot.leaf, first_, last_, q_.target, least);
    slot.spared = slot.path.sunk;
  }

  void look_coarsely(std::span<Slot> slots) {
    const double worth = found_.worth_knowing();
    const double floor = found_.nobody_cares_below();
    for (Slot& slot : slots) {
      slot.spared = q_.bound.at(slot.leaf.p).spare() < floor;
      if (slot.spared) continue;
      read(slot, worth);
      if (slot.path.on_axis) {
        double& mine = best_[slot.path.side() == Side::left ? 0 : 1];
        mine = std::max(mine, slot.path.surplus);
      }
    }
  }

  /// Off the axis to one side here and to the other there with no straight at all: in between both turns alone end on
  /// the axis, and there a family of straights ends, or one begins and ends that is narrower than the looks. The path
  /// of the shortest straight is often its best. True if there is one.
  bool look_at_end(const Slot& here, const Slot& next) {
    if (here.spared || next.spared || !q_.fan.same_entry(first_, here.leaf.change, next.leaf.change)) return false;
    if (here.path.on_axis && next.path.on_axis) return false;
    double a = here.leaf.change;
    double b = next.leaf.change;
    double off_a = here.path.off_at_once;
    double off_b = next.path.off_at_once;
    if (off_a * off_b > 0.0) return false;
    if (q_.bound.at(q_.fan.leaf_about(first_, 0.5 * (a + b)).p).spare() < found_.nobody_cares_below()) return false;
    for (int i = 0; i < kEndSecants; ++i) {
      const double x = a + (b - a) * std::clamp(off_a / (off_a - off_b), 0.02, 0.98);
      const double off = Screen::off_at_once(q_.fan.leaf_about(first_, x), last_, q_.target);
      const bool same_as_a = off * off_a > 0.0;
      (same_as_a ? a : b) = x;
      (same_as_a ? off_a : off_b) = off;
      if (std::abs(off) < kEndOff_m) break;
    }
    const double end = std::abs(off_a) < std::abs(off_b) ? a : b;
    const auto at = [&](double change) {
      return q_.screen.by_heading(q_.fan.leaf_about(first_, std::max(0.0, change)), first_, last_, q_.target);
    };
    bool any = false;
    bool longer = false;  // ones may land
    for (const double beside : {-kInside, -kBesideEnd, kBesideEnd, kInside}) {
      const Connection c = at(end + beside);
      if (!c.on_axis || c.first <= here.leaf.change || c.first >= next.leaf.change) continue;
      found_.take(c);
      any = true;
      longer = longer || found_.decides(c) || too_far(c);
    }
    if (longer || !any) begins_.push_back(end);
    return any;
  }

  /// The best of its word, if it is as good as what its side has or nearly so.
  [[nodiscard]] bool is_best(const Slot& slot) const {
    if (slot.spared || !slot.path.on_axis || slot.path.surplus == kNoSurplus) return false;
    return slot.path.surplus == best_[slot.path.side() == Side::left ? 0 : 1] &&
           slot.path.surplus >= found_.side_of(slot.path).best.surplus - found_.refine_within();
  }

  /// Height to spare here, or alignment too far down the runway, and no path of its side a little further on: what
  /// lands, or the best, may lie before the paths of this family end.
  void follow_to_end(const Connection& on, const Slot& beyond) {
    const bool other_side = beyond.path.on_axis;
    const bool ends =
        !other_side || (on.side() != beyond.path.side() && q_.fan.same_entry(first_, on.first, beyond.leaf.change));
    if (!ends || (!found_.decides(on) && !too_far(on))) return;
    const auto too_low = [&](const Connection&, const Connection& c) { return c.surplus < kReserve_m && !too_far(c); };
    const Connection end = halve_to_end(q_, found_, on, beyond.leaf.change, kEndLooks, too_low);
    if (other_side || end.straight_time < kShortestByTime_s) return;
    if (!found_.side_of(end).lands && !too_low(on, end)) ends_.push_back(end);
    // So near to an end the heading may tell a flown path from none.
    if (within(end, q_.target)) found_.note(found_.side_of(end), by_its_time(end));
  }
  [[nodiscard]] Connection by_its_time(Connection path) const {
    path.parameter = Parameter::straight_time;
    const double from_track =
        std::remainder(q_.fan.failure().heading_rad + first_ * path.first - q_.target.track, 2.0 * kPi);
    path.towards = std::abs(from_track) < 0.5 * kPi;
    return path;
  }
  /// A family that ends with a straight left turns back there: two straights lead to one heading, and the longer or
  /// shorter ones are told apart by their duration.
  void follow_past_end(const Connection& end) {
    const Connection like = by_its_time(end);
    for (const double direction : {-1.0, 1.0}) {
      if (direction > 0.0 && end.over < kReserve_m) continue;  // a longer one takes more height
      found_.begin_family();
      Connection on = like;
      for (int i = 0; i < kPastEnd; ++i) {
        on = q_.read(on, beside(on.parameter, like.straight_time, direction * i * kPastEndStep));
        found_.take(on);
        if (!on.on_axis || found_.side_of(on).lands) break;
      }
    }
  }
  /// A family of straights begins there with none at all. In much shear the heading may hardly change along it, or
  /// first go on and then back: longer ones are told apart by their duration.
  void follow_from_begin(double change) {
    Connection on;
    on.first = change;
    on.first_sense = first_;
    on.last_sense = last_;
    on.on_axis = true;
    on = by_its_time(on);
    on.straight_time = kShortest_s;
    found_.begin_family();
    for (double time = kShortest_s; time < kLongest_s; time *= kTimeGrowth) {
      on = q_.read(on, time);
      found_.take(on);
      if (!on.on_axis || on.over < kReserve_m || found_.side_of(on).lands) break;
    }
  }

  const Question& q_;
  Found& found_;
  const int first_, last_;
  std::array<Slot, kHeadings + 4> all_;
  const std::size_t count_;
  std::array<double, 2> best_{kNoSurplus, kNoSurplus};
  std::vector<Connection> ends_;  ///< of families that end with a straight left and nothing that lands
  std::vector<double> begins_;    ///< of families of straights, where what is known of them does not tell all
};

}  // namespace

void look_at_headings(const Question& question, Found& found) {
  // A word with both turns one way is one side's alone: last, for both sides.
  for (const bool one_way : {false, true}) {
    for (const int first : {-1, 1}) Headings(question, found, first, one_way ? first : -first).look();
  }
}

}  // namespace backfield::flight
