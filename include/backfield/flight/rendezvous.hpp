#pragma once
// From one steady glide to another whose place and direction are fixed: best of Dubins' six words, in any wind.
//
// Problem. Power off, wings level at best glide speed, fly to a point so that the track over the ground (or the
// heading) there is a given one. A word is three pieces, turns to the left (L) or right (R) and a straight (S): LSL RSR
// LSR RSL LRL RLR. Height is a result, and the best path is the one that ends highest, which need not be the shortest:
// a turn sinks faster than a straight.
//
// Formulation. Banks and speeds are given, so a word has two unknowns: its first turn, and the time of the straight or
// the angle of the middle turn. The last turn follows from the direction at the end; with a track, from the crab at the
// height of the end. Two equations, "the end is the goal, east and north", are solved by Newton's method with Broyden's
// updates on the word as it is flown through density and wind that change with height, rolls included. Every root of
// every word is started from a root of the same word in uniform air: with a straight by a scan over its heading, where
// all but one equation is closed, with three turns by a scan over the time, where the goal moves against the wind and
// the middle turn's centre follows from a triangle in two ways. The wind of the starting values is the mean over the
// heights flown; where a root does not converge, or a word has none, that of the upper and of the lower end is tried.
//
// Rejected: iterating on the shortest path as a whole. Its length jumps, and with it the word: 4 in 100 random cases
// then end on a word that is not the best. A scan over the time for words with a straight: it finds two close roots
// only where its step is small enough.
//
// Exact where. In air that does not change with height the end is the goal to 1e-9 m with RollRule::allowance, and
// lengths agree with published ones to 1e-9 of themselves (tests/reference/rendezvous_test.cpp). Otherwise the end is
// the goal to 1e-3 m as computed.
//
// Approximate where and by how much (tests/laws/rendezvous_laws_test.cpp). Flown again, 10,272 random paths ended
// within 0.3 m and, all but one, 2 ft; that one ended 6 m above the ground, after 300 s of a straight, 0.66 m (2.2 ft)
// off: in the lowest 10 m, where the wind changes fast, no planning should end. The track is within 0.3 degrees. Roots
// of three turns are missed now and then, in pairs that are about to vanish or with a turn of a tenth of a degree; the
// best path was never more than 1 ft lower than the highest of a grid of flights in 200 cases. best() does not fly what
// by its starting value would lose 15 % and 10 m more than the best flown so far. Below 300 m under the datum the air
// is taken to be that at 300 m under it. With RollRule::allowance the difference between the speeds of turns and
// straights is not traded for height: it comes back at the end of the turn.
//
// Measured: tests/bench/README.md. Slower than it should be in a wind profile.
//
// source      L. E. Dubins, Amer. J. Math. 79(3), 1957 for the words; T. G. McGee, S. Spry, J. K. Hedrick, AIAA GNC
// 2005,
//             for the goal that moves against the wind; C. G. Broyden, Math. Comp. 19, 1965

#include "backfield/aircraft/performance.hpp"
#include "backfield/earth/environment.hpp"
#include "backfield/flight/path.hpp"

#include <memory>
#include <optional>
#include <vector>

namespace backfield::flight {

/// Left turn, right turn, straight.
enum class Word { lsl, rsr, lsr, rsl, lrl, rlr };
constexpr const char* name_of(Word word) {
  constexpr const char* kNames[] = {"LSL", "RSR", "LSR", "RSL", "LRL", "RLR"};
  return kNames[static_cast<int>(word)];
}

/// Broken ranges throw std::logic_error.
struct RendezvousSetup {
  const aircraft::Performance* performance = nullptr;  ///< read by the constructor only; not null
  double glide_factor = 1.0;                           ///< on the book glide ratio, > 0
  Model model;                                         ///< all but EntryRule, as there is no entry
  earth::Environment environment;
  earth::Altitude datum;  ///< elevation of the departure aerodrome; heights are above it
  Angle first_bank;       ///< of the first turn, and of the middle one of three; magnitude, 3 to 85 degrees
  Angle last_bank;        ///< of the last turn; magnitude, 3 to 85 degrees
  Cas first_speed;        ///< held in the first and middle turn, > 0; rolls lead to it from best glide speed
  Cas last_speed;         ///< held in the last turn, > 0
  Length height_given{};  ///< with RollRule::allowance: height given away at the start, >= 0; else not used
  Length top{};           ///< highest start asked for, above the datum; above it the air is taken to be that at `top`
};

/// A steady wings-level glide at best glide speed.
struct GlidePose {
  earth::Position position;      ///< local frame
  earth::TrueDirection heading;  ///< of the air path, clockwise from true north
  Length height{};               ///< above the datum
};

/// A place, and a direction there, wings level at best glide speed; the height is a result.
struct RendezvousGoal {
  enum class Along { track, heading };
  earth::Position position;        ///< local frame
  earth::TrueDirection direction;  ///< clockwise from true north
  Along along = Along::track;      ///< is `direction` that of the track over the ground, or of the air path
};

struct RendezvousResult {
  Word word = Word::lsl;
  Angle first_turn{};   ///< magnitude below a full circle, right +
  Angle middle_turn{};  ///< right +; 0 in words with a straight
  Angle last_turn{};    ///< magnitude below a full circle, right +
  Duration straight{};  ///< >= 0; 0 in words of three turns
  Duration time{};      ///< of the whole path
  Length end_height{};  ///< above the datum; negative when the ground comes first
};

class Rendezvous {
 public:
  explicit Rendezvous(const RendezvousSetup& setup);
  ~Rendezvous();
  Rendezvous(Rendezvous&&) noexcept;
  Rendezvous& operator=(Rendezvous&&) noexcept;

  /// Every path found, the one that ends highest first; several of one word where it has several roots.
  /// returns     empty when none is found: the track cannot be held against the wind, or nothing converged
  [[nodiscard]] std::vector<RendezvousResult> all(const GlidePose& from, const RendezvousGoal& to) const;
  /// The first of all(), quicker; nullopt where that is empty.
  [[nodiscard]] std::optional<RendezvousResult> best(const GlidePose& from, const RendezvousGoal& to) const;
  /// The control schedule of a result from the same pose; without an entry.
  [[nodiscard]] Path path(const GlidePose& from, const RendezvousResult& result) const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace backfield::flight
