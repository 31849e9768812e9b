#pragma once
// What one search is asked: a failure, a goal, both tiers, and how much of the answer matters.

#include "approach.hpp"
#include "lower_bound.hpp"

#include <array>
#include <limits>
#include <optional>
#include <vector>

namespace backfield::flight {

struct Best {
  Connection best;
  bool connects = false;  ///< some path of this side reaches the axis
  bool lands = false;     ///< some path ends within the aim interval, or lies between `landing` and `beyond`
  Connection landing;
  double beyond = 0.0;  ///< the parameter's value on the other side, when `landing` itself overshoots
  /// By which the paths with enough height seen pass the end of the aim interval, the one that comes nearest to it.
  double past_end = std::numeric_limits<double>::infinity();
};

/// What a neighbouring failure's search found; flown before anything is searched for.
class PathFinder::Guess {
 public:
  struct Side {
    bool lands = false;
    int used = 0;  ///< how often since it was found
    Connection landing, best;
  };
  std::array<Side, 2> sides;
  std::array<std::optional<Connection>, 2> clear;  ///< with something on the ground: a path that landed and was clear
  std::vector<Guess> steeper;                      ///< the same for finals in each further configuration
};

/// What is asked for besides the best paths.
struct Wanted {
  PathFinder::Guess* guess = nullptr;  ///< tried first, and brought up to date; may be null
  std::optional<Side> only;            ///< the other side's answer does not matter
  bool far_off = false;                ///< how much is missing matters, however much it is
  bool any_will_do = false;            ///< how much is to spare does not matter: the guess, if it lands, will do
  bool to_inches = false;              ///< how much is to spare or missing is wanted exactly, wherever it is near
};

/// `bound` spares what cannot matter: its paths would neither be better than the best found so far nor decide whether
/// one ends where it should.
struct Question {
  const Approach& approach;
  const Screen& screen;
  const PathFinder::Fan& fan;
  const PathFinder::Target& target;
  const LowerBound& bound;
  const Wanted& wanted;

  /// The path of the same word and family at another value of its parameter: from the tables, and flown.
  [[nodiscard]] Connection read(const Connection& like, double value) const {
    return screen.again(fan, target, like, value);
  }
  [[nodiscard]] Connection fly(const Connection& like, double value) const {
    return approach.again(fan, target, like, value);
  }
  /// Paths of one family change continuously into one another.
  [[nodiscard]] bool same_family(const Connection& a, const Connection& b) const {
    return a.on_axis && b.on_axis && same_word(a, b);
  }
  /// The same without asking whether they are paths.
  [[nodiscard]] bool same_word(const Connection& a, const Connection& b) const { return flight::same_word(fan, a, b); }
};

}  // namespace backfield::flight
