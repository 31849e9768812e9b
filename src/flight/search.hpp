#pragma once
// All words of two turns and a straight to one goal: the best of each side, and one that ends where it should.

#include "approach.hpp"
#include "lower_bound.hpp"

#include <array>

namespace backfield::flight {

struct Best {
  Connection best;
  bool connects = false;  ///< some path of this side reaches the axis
  bool lands = false;     ///< some path ends within the aim interval, or lies between `landing` and `beyond`
  Connection landing;
  double beyond = 0.0;  ///< the parameter's value on the other side, when `landing` itself overshoots
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
};

/// What is asked for besides the best paths.
struct Wanted {
  PathFinder::Guess* guess = nullptr;  ///< tried first, and brought up to date; may be null
  std::optional<Side> only;            ///< the other side's answer does not matter
  bool far_off = false;                ///< how much is missing matters, however much it is
  bool any_will_do = false;            ///< how much is to spare does not matter: the guess, if it lands, will do
};

/// [0] left, [1] right. `bound` spares what cannot matter: its paths would neither be better than the best found so far
/// nor decide whether one ends where it should.
std::array<Best, 2> search(const Approach& approach, const Screen& screen, const PathFinder::Fan& fan,
                           const PathFinder::Target& target, const LowerBound& bound, const Wanted& wanted);

}  // namespace backfield::flight
