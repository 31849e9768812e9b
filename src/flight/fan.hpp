#pragma once
// Everything about one failure that no goal changes: entries, first turns, and where straight legs can start.

#include "backfield/flight/path_finder.hpp"
#include "entries.hpp"
#include "turns.hpp"

#include <array>
#include <mutex>
#include <vector>

namespace backfield::flight {

inline constexpr int kHeadings = 18;  ///< of the straight leg, per sense of the first turn, in the first pass
inline constexpr double kHeadingStep = 2.0 * kPi / kHeadings;

inline std::size_t index_of(int sense) { return sense < 0 ? 0 : 1; }

/// How this aeroplane turns and enters under one policy at one bank: fixed for all failures.
struct Style {
  TurnStyle first, line_up;
  EntryStyle entry;
  [[nodiscard]] bool rolls() const { return first.rolls; }
  [[nodiscard]] bool flown() const { return entry.rule == EntryRule::flown; }
  /// Airspeed at the end of a wings-level entry: where rolling is flown the turn's speed is won while rolling in.
  [[nodiscard]] double level_cas(const Glider& glider) const { return rolls() ? glider.level_cas() : first.held.cas; }
};

/// A straight leg's start.
struct Leaf {
  Point p;
  double change = 0.0;  ///< heading change since the failure, in the sense of the first turn, >= 0
};

inline constexpr double kJustBelow = 1e-9;  ///< rad: of a heading at which the entry changes, still the entry before it

class PathFinder::Fan {
 public:
  Fan(const Glider& glider, const Style& style, const AirState& failure);

  /// The straight leg's start after a heading change, with the segments flown since the entry when asked.
  [[nodiscard]] Leaf leaf(int sense, double change, std::vector<Segment>* segments) const;
  /// The same to a few decimetres, between neighbours of leaves().
  [[nodiscard]] Leaf leaf_about(int sense, double change) const;
  /// The same when the aeroplane first glides on, wings level, for `delay` seconds: the plainest way to lose height.
  [[nodiscard]] Leaf leaf_after(double delay, int sense, double change, std::vector<Segment>* segments) const;
  /// That at every kHeadingStep of heading change, none to once round, both included.
  [[nodiscard]] std::vector<Leaf> leaves_after(double delay, int sense) const;
  /// Does this change start with the banked entry (or with the wings-level one, rolling in afterwards)?
  [[nodiscard]] bool banked(int sense, double change) const { return change >= banked_from(sense); }
  /// The smallest heading change that starts with the banked entry. Surplus jumps there.
  [[nodiscard]] double banked_from(int sense) const { return banked_from_[index_of(sense)]; }
  /// Surplus is continuous between two headings only if the same entry leads to both.
  [[nodiscard]] bool same_entry(int sense, double a, double b) const { return banked(sense, a) == banked(sense, b); }

  [[nodiscard]] const AirState& failure() const { return beginning_.failure; }
  /// Starts of the straight at every kHeadingStep of heading change, to a few decimetres: none to once round, both
  /// included.
  [[nodiscard]] const std::vector<Leaf>& leaves(int sense) const { return tables().leaves[index_of(sense)]; }
  /// leaves() in order, and where the entry changes the last of the one and the first of the other.
  template <class Take>
  void each_heading(int sense, Take take) const {
    const double change = banked_from(sense);
    const Leaf* before = nullptr;
    for (const Leaf& next : leaves(sense)) {
      if (before != nullptr && change > before->change && change < next.change) {
        take(leaf(sense, change - kJustBelow, nullptr));
        take(leaf(sense, change, nullptr));
      }
      take(next);
      before = &next;
    }
  }
  /// Where the entries end: wings level, left, right.
  [[nodiscard]] std::array<Point, 3> entry_ends() const { return {level_.point, banked_[0].point, banked_[1].point}; }
  [[nodiscard]] double lowest_speed_over_stall() const { return lowest_speed_over_stall_; }

 private:
  const Glider* glider_;
  const Style* style_;
  Beginning beginning_;
  EntryEnd level_;
  std::array<EntryEnd, 2> banked_;
  std::array<double, 2> banked_gain_{};  ///< heading gained in the banked entry
  std::array<double, 2> banked_from_{};  ///< smallest heading change that starts with it
  double lowest_speed_over_stall_ = 0.0;

  struct Tables {
    std::array<std::vector<Leaf>, 2> leaves;
    std::array<Leaf, 2> slight;  ///< after a quarter of kHeadingStep
  };
  /// Built when first asked for: where a guess serves, nobody asks.
  const Tables& tables() const;
  void tabulate(int sense) const;
  [[nodiscard]] Point glide_on(double delay) const;
  class Holding;
  /// From `level`, wings level, at every kHeadingStep of heading change, while `wanted(change)`. As `leaf` does it, but
  /// in one step from each heading to the next.
  template <class Wanted>
  void turn_from(const Point& level, Holding& holding, std::vector<Leaf>& leaves, Wanted wanted) const;
  mutable std::once_flag tabulated_;
  mutable Tables tables_;
};

/// The entry a schedule starts with; `sense` 0 is wings level.
EntryEnd enter_towards(const Glider& glider, const Style& style, const Beginning& beginning, int sense, Path* path,
                       std::vector<Point>* track = nullptr);

}  // namespace backfield::flight
