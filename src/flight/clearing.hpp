#pragma once
// Of the paths of one side that land, one that is clear of what is on the ground.
//
// The search knows the best path, and it alone is looked at first: mostly it is clear. Where it is not, other paths are
// asked for: the four words of its side, all headings; then the same after gliding on before the first turn, as long as
// there is height for it; then straights nearly parallel to the runway by their duration. Along each family both
// "lands" and "clear" are continuous, and the lesser of the two is climbed until it is no longer negative. Last, of a
// path nearly clear heading and delay are climbed in turn.

#include "assembly.hpp"
#include "peaks.hpp"
#include "search.hpp"

#include <array>
#include <optional>
#include <vector>

namespace backfield::flight {

/// A path that lands, with where it goes.
struct Cleared {
  Connection connection;
  Path path;
  Clearance clearance;
};

class Clearing {
 public:
  Clearing(const Assembly& assembly, const Approach& approach, const Screen& screen, const Hazards& hazards,
           const PathFinder::Fan& fan, const PathFinder::Target& target)
      : assembly_(assembly), approach_(approach), screen_(screen), hazards_(hazards), fan_(fan), target_(target) {}

  /// How clear a flown path is; none when it does not land.
  [[nodiscard]] std::optional<Cleared> look_at(const Connection& flown);
  /// Says how much is missing of one that is not clear.
  void explain(Cleared& cleared);
  /// The one nearest to being clear of the family of `like`, about it.
  [[nodiscard]] std::optional<Cleared> look_beside(const Connection& like);
  /// The first path found that is clear, else the one that comes nearest to it. `known` lands.
  [[nodiscard]] Cleared look_around(const Cleared& known);

 private:
  struct Look {
    Connection path;
    double value = 0.0;  ///< >= 0: lands and is clear
  };
  void scan_headings(int first, int last);
  void scan_delays(const Connection& at_once);
  void scan_straights(int first, int last, bool towards);
  void scan(const std::vector<Connection>& family);
  void climb(const Look& before, const Look& top, const Look& after);
  void climb_in_turn();
  [[nodiscard]] Look look(const Connection& tabled);
  [[nodiscard]] Connection between(const Connection& like, double value) const;
  [[nodiscard]] bool joined(const Connection& a, const Connection& b) const;
  [[nodiscard]] const Assembly::Entry& entry_of(const Connection& c);
  [[nodiscard]] bool found() const { return best_.clearance.clear(); }

  const Assembly& assembly_;
  const Approach& approach_;
  const Screen& screen_;
  const Hazards& hazards_;
  const PathFinder::Fan& fan_;
  const PathFinder::Target& target_;
  Side side_ = Side::left;
  Cleared best_;
  std::vector<Connection> spare_;
  std::array<std::optional<Assembly::Entry>, 3> entries_;  ///< left, wings level, right; made when first needed
};

}  // namespace backfield::flight
