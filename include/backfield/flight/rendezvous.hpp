#pragma once
// From one wings-level pose to another that is fixed: Dubins' six words in a wind that varies with height.
//
// Problem. Fly from a place and heading to a place and a track over the ground (or heading) there. A word is three
// pieces at constant airspeeds, turns to the left (L) or right (R) and a straight (S): LSL RSR LSR RSL LRL RLR. The
// first and the last turn may differ in radius, airspeed and sink; the middle turn of three is flown like the first.
// Every piece sinks at its own steady rate through a wind that is linear between the levels of its profile.
//
// Formulation. In the air a word is arcs of circles and a straight. Over the ground it is carried along by the integral
// of the wind over time. As a piece sinks steadily that is the integral of the wind over height, divided by the sink:
// the difference of two entries of one table, exact for a piece of any length. A word has three unknowns, its first
// turn, its straight or middle turn, and its last turn, and three equations, "the end is the goal, east and north, in
// the direction wanted"; the crab of a track is that at the height of the end. Newton's method solves them with the
// exact derivatives, each word for its own times. It starts from the roots of the same word in a uniform wind.
//
// In a uniform wind every root is found, provably, with the exception below: the equations become one in the heading of
// the straight, or two in the first and last angle of three turns. Both have bounded second derivatives, so an interval
// (or box) either holds no root, or one that Newton's method finds by Kantorovich's theorem, or is halved. Pairs of
// roots that lie close together, where a word is about to vanish, are told apart down to 1e-8 rad. One exception: three
// turns whose goal and start are one place but for a breath of wind have whole curves of near roots; there the search
// is given up after 100,000 boxes and may return fewer of them, without saying so.
//
// In a profile all() starts from the roots in six uniform winds, means over the heights that may be flown, and from
// near misses there, where another wind may show a pair of roots. What does not converge is "not found", and nothing is
// claimed; what is claimed has been integrated from its controls and ended within 1e-3 m of the goal, and one step of
// Newton's further on. best() solves the word first that is cheapest by closed forms in a mean wind. Then it takes the
// uniform wind that would drift that path as far, in which it is itself a root, and looks only for what costs less:
// intervals whose least cost is above the best are dropped unseen, and so is what the way between the circles' centres
// cannot reach in time.
//
// Side by side. What is asked of all four words with a straight (guesses, bounds, and mostly the one root) is computed
// for the four at once, in a batch for one word of four questions at once, like Newton's steps; three turns are looked
// for in four boxes at once. Every lane is plain IEEE arithmetic without fused operations, so the bytes are those of
// one by one, for any size of a batch; one processor differs from another by libm alone, one with AVX2 is quicker.
//
// Rejected: iterating on the shortest path as a whole. Its length jumps, and with it the word: 4 in 100 random cases
// then end on a word that is not the best. A scan over the time at which word and moved goal agree, or over the heading
// in fixed steps: it overlooks two roots closer than its step. Flying each word in steps of 5 degrees with rolls and
// local density at every iteration: 166 us on the machine where this took 6.5 and takes 1.6.
//
// Approximate where. There is no rolling, no density that changes on the way down, and no energy gained or lost by the
// shear: what the path finder flies (path_finder.hpp) has all three. As posed the answer is exact: 5,438 random paths
// flown again by Runge-Kutta ended within 3 micrometres and on the track to 1e-11
// rad. In a profile it is not proven that the best is found. Of 27,000 random words with many tiny turns, other ones
// than those used for tuning, all() found every one; in 5 of those questions best() was not the best that all() found,
// in one by a factor of 1.8. Of 19,500 other questions best() was the first of all() in each
// (tests/laws/rendezvous_laws_test.cpp asks 4,500 and 3,000, and tolerates none).
//
// Measured: tests/bench/README.md.
//
// source      L. E. Dubins, Amer. J. Math. 79(3), 1957, for the words; T. G. McGee, S. Spry, J. K. Hedrick, AIAA GNC
//             2005, for the goal that moves against the wind; L. V. Kantorovich, Uspekhi Mat. Nauk 3(6), 1948, for when
//             Newton's method must converge. All three from memory.

#include "backfield/earth/position.hpp"
#include "backfield/earth/wind.hpp"

#include <memory>
#include <optional>
#include <span>
#include <vector>

namespace backfield::flight {

/// Left turn, right turn, straight.
enum class Word { lsl, rsr, lsr, rsl, lrl, rlr };
constexpr const char* name_of(Word word) {
  constexpr const char* kNames[] = {"LSL", "RSR", "LSR", "RSL", "LRL", "RLR"};
  return kNames[static_cast<int>(word)];
}

/// A steady descent. Broken ranges throw std::logic_error, here and in RendezvousSetup.
struct Descending {
  Speed airspeed{};  ///< true, horizontal part; > 0
  Speed sink{};      ///< at least 0.001 m/s
};
struct Circling {
  Descending descent;
  Length radius{};  ///< in the air, > 0
};
/// Radius of a level turn: V^2 / (g tan(bank)).
/// bank        magnitude, above 0, below 90 degrees
Circling circling(Descending descent, Angle bank);

struct RendezvousSetup {
  enum class Rank {
    quickest,  ///< the least time is the best
    highest    ///< the least height lost is the best, which is not the same: a turn sinks faster than a straight
  };
  Circling first;       ///< first turn, and the middle one of three
  Descending straight;  ///< also flown where the path ends: its airspeed makes the crab
  Circling last;
  earth::WindProfile wind = earth::WindProfile::uniform({});
  Rank rank = Rank::quickest;
};

struct AirPose {
  earth::Position position;      ///< local frame
  earth::TrueDirection heading;  ///< of the air path, clockwise from true north
  Length height{};               ///< above the datum of the wind profile; below it the lowest level's wind blows
};

/// A place, and a direction there; the height is a result.
struct RendezvousGoal {
  enum class Along { track, heading };
  earth::Position position;        ///< local frame
  earth::TrueDirection direction;  ///< clockwise from true north
  Along along = Along::track;      ///< is `direction` that of the track over the ground, or of the air path
};

/// Turns are at least 0 and less than 2 pi - 1e-9 in magnitude.
struct RendezvousResult {
  Word word = Word::lsl;
  Angle first_turn{};   ///< right +
  Angle middle_turn{};  ///< right +; 0 in words with a straight
  Angle last_turn{};    ///< right +
  Duration straight{};  ///< >= 0; 0 in words of three turns
  Duration time{};      ///< of the whole path
  Length end_height{};  ///< above the wind's datum; negative when that height is passed on the way
};

/// A question of a batch, and its answer.
struct RendezvousQuery {
  AirPose from;
  RendezvousGoal to;
};

class Rendezvous {
 public:
  explicit Rendezvous(const RendezvousSetup& setup);
  ~Rendezvous();
  Rendezvous(Rendezvous&&) noexcept;
  Rendezvous& operator=(Rendezvous&&) noexcept;

  /// Every path found, the best first; several of one word where it has several roots.
  /// returns     empty when none is found: the track cannot be held against the wind, or nothing converged
  [[nodiscard]] std::vector<RendezvousResult> all(const AirPose& from, const RendezvousGoal& to) const;
  /// The best path alone, and quicker; nullopt when none is found.
  [[nodiscard]] std::optional<RendezvousResult> best(const AirPose& from, const RendezvousGoal& to) const;
  /// best() of many; `answers` is as long as `queries` (else std::logic_error). Same bytes as one by one.
  void best(std::span<const RendezvousQuery> queries, std::span<std::optional<RendezvousResult>> answers) const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace backfield::flight
