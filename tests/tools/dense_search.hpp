#pragma once
// An exhaustive search for a way to a runway without power: what the path solver is compared with in tests.
//
// For each word (sense of the first turn, sense of the line-up turn) a grid is laid over the two things that are free:
// the heading of the straight, every 2 degrees, and where the straight ends, every 8 m of height (50 to 120 m of
// ground, about two seconds). At each node the line-up turn is flown, and what counts is how far off the runway's axis
// it ends. A change of sign along an edge of the grid is a path; of the paths on the edges of one cell the line that
// joins them consists of paths, too. Nothing is iterated, refined or rejected early, so nothing can be missed for a
// reason that the solver might share; what is finer than the grid is not seen.
//
// accuracy    edges known from outside the project, and the solver's best surplus where it is exact:
//             tests/laws/dense_search_test.cpp

#include "backfield/flight/timeline.hpp"
#include "tests/tools/dense_tables.hpp"

#include <array>
#include <limits>

namespace backfield::test {

/// The best of one side of a return (the direction of its larger turn), as height left over the need: the alignment
/// height, or that of a final to the near end of the aim interval, whichever is more. Minus infinity: no path.
struct DenseSide {
  static constexpr double kNone = -std::numeric_limits<double>::infinity();
  double surplus_m = kNone;                        ///< of any path that is aligned in time to end inside the interval
  double landing_m = kNone;                        ///< of those whose glide, flown as it is, ends inside the interval
  double first = 0.0, last = 0.0;                  ///< turns of that landing path, right +
  double surplus_first = 0.0, surplus_last = 0.0;  ///< turns of the path with the surplus
};

class DenseSearch {
 public:
  /// top         of the setup: nothing is asked from higher; the tables grow with it
  explicit DenseSearch(const flight::PathFinderSetup& setup);

  [[nodiscard]] DenseTables prepare(const flight::Goal& goal) const;

  /// [0] left, [1] right.
  [[nodiscard]] std::array<DenseSide, 2> search(const flight::AirState& failure, const DenseTables& goal) const;
  /// Height to spare of the path `best` is about, the best of its neighbours by tenths of a degree, each flown from the
  /// failure to alignment: the grid reads between nodes and is feet off beside kinks of the wind. Minus infinity: no
  /// such path.
  [[nodiscard]] double surplus_flown(const flight::AirState& failure, const DenseTables& goal, const DenseSide& best,
                                     const InHand& in_hand) const;
  /// The same with the first turn put off by up to 80 s of straight glide: the plainest way to lose height. For sides
  /// where every path overshoots.
  [[nodiscard]] std::array<DenseSide, 2> search_with_delays(const flight::AirState& failure,
                                                            const DenseTables& goal) const;

 private:
  struct Leaf;
  struct Node;
  struct Found;
  using Family = std::vector<Leaf>;
  [[nodiscard]] std::vector<Family> families(const flight::AirState& failure, int sense) const;
  [[nodiscard]] Family family(const Spot& start, double start_heading, int sense, double from, double to,
                              bool held) const;
  [[nodiscard]] Spot begin_straight(const DenseFlight& flight, const flight::AirState& failure, int sense,
                                    double change) const;
  [[nodiscard]] std::vector<Node> trace(const Leaf& leaf, std::size_t last, const DenseTables& goal) const;
  void scan(const Family& family, int sense, const DenseTables& goal, std::array<DenseSide, 2>& best) const;

  DenseFlight flight_;
  DenseFlight finely_;  ///< for single paths
  double datum_m_, top_m_;
};

/// Windows of a departure on one side, delays included, asked every 25 ft of `heights`, which the timeline covers;
/// edges to 1 ft, on the inner side.
std::vector<Interval<Length>> dense_windows(const flight::Timeline& timeline, const DenseSearch& dense,
                                            const DenseTables& goal, flight::Side side, Interval<Length> heights);

}  // namespace backfield::test
