#pragma once
// What a search has seen so far: the best path of each side, the peaks of every family, and what may end where it
// should.

#include "peaks.hpp"
#include "question.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <span>

namespace backfield::flight {

/// A path that lands, or one with height to spare and the parameter of one without: one in between lands.
struct Proposal {
  Connection landing;
  double beyond = 0.0;
  [[nodiscard]] bool lands_itself() const { return landing.value() == beyond; }
};

class Found {
 public:
  explicit Found(const Question& question);

  std::array<Best, 2> sides;  ///< [0] left, [1] right
  [[nodiscard]] Best& side_of(const Connection& c) { return sides[c.side() == Side::left ? 0 : 1]; }
  [[nodiscard]] std::size_t index(const Best& side) const { return &side == &sides[0] ? 0 : 1; }

  /// The next look belongs to another family than the last.
  void begin_family();
  /// One more look along a family. Paths change continuously from one neighbour to the next, so what lies between them
  /// is known, too.
  void take(const Connection& c);
  /// One path by itself.
  void note(Best& side, const Connection& c);
  /// What lies between two neighbours of one family.
  void between(Best& side, const Connection& a, const Connection& b);

  /// A path near which the best of its family may lie, unseen by the looks taken.
  void add_peak(const Peak& peak) { best_.add(peak); }

  [[nodiscard]] std::span<const Peak> best_peaks() const { return best_.all(); }
  [[nodiscard]] std::span<const Peak> landing_peaks() const { return landing_.all(); }
  /// The path of each word with height to spare whose straight crosses the axis most squarely: it still does when flown
  /// from another place.
  [[nodiscard]] std::span<const Connection> crossings(const Best& side) const { return crossings_[index(side)]; }

  /// A claim has to be a path, exactly: what was read from tables, or concluded to lie between two paths, is flown.
  void confirm(Best& side);

  [[nodiscard]] bool matters(const Best& side) const {
    return !q_.wanted.only || (*q_.wanted.only == Side::left) == (index(side) == 0);
  }
  /// What a longer look would not change: a path that lands and does not turn about once round, and height to spare
  /// that matters to nobody.
  [[nodiscard]] bool settled(const Best& side) const {
    return !matters(side) ||
           (side.lands && side.best.surplus > kReserve_m + refine_within() && proposals_[index(side)][0].any());
  }
  /// Height to spare and a path that lands, or neither.
  [[nodiscard]] bool agrees(const Best& side) const {
    return !matters(side) || side.lands || !side.connects || side.best.surplus < kReserve_m;
  }
  /// Height to spare, and nothing that lands on its side yet.
  [[nodiscard]] bool decides(const Connection& c) { return c.on_axis && c.surplus >= kReserve_m && !side_of(c).lands; }
  /// Where a foot more or less may decide.
  [[nodiscard]] bool near_need(const Connection& c) const;
  [[nodiscard]] double refine_within() const;
  /// Metres of height that the best between two looks may be above them.
  [[nodiscard]] double first_look() const { return first_look_; }
  /// A surplus that neither beats the best of its side nor decides whether the side has a path that lands.
  [[nodiscard]] double nobody_cares_below() const;
  /// The same as an alignment height, with room for what a first look is off by.
  [[nodiscard]] double worth_knowing() const { return q_.target.least_height + nobody_cares_below() - first_look_; }

 private:
  /// A few are kept, those that land by themselves first.
  struct Proposals {
    std::array<Proposal, 3> lands;  ///< the best of each Parameter: a flown path of one kind may fail to converge
    std::array<Proposal, 6> between;
    std::size_t count = 0;
    [[nodiscard]] bool any() const;
  };
  /// Aligned too high for any final there, and with too little height, or not at all, at its neighbour: what is aligned
  /// just not too high may land.
  void just_not_too_high(const Connection& high, const Connection& other);
  /// Aligned too soon here, where height is needed for the longer final, and not there: what is aligned just in time
  /// may be better than both.
  void just_in_time(Best& side, const Connection& a, const Connection& b);
  void propose(Best& side, const Proposal& p);
  void note_crossing(const Connection& c);
  bool confirm(Best& side, const Proposal& p) const;
  [[nodiscard]] Connection look_between(const Proposal& p, const Connection& flown) const;

  const Question& q_;
  const double first_look_;
  Peaks<Worth> best_;
  Peaks<Room> landing_;
  std::array<std::array<Connection, 4>, 2> crossings_;
  std::array<std::array<Proposals, 2>, 2> proposals_;  ///< of each side: [1] those that turn about once round
  std::optional<Connection> previous_;                 ///< look of this family
};

}  // namespace backfield::flight
