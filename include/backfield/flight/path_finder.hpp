#pragma once
// Can the aeroplane get there? The path solver: power off, or with what the engines left give.
//
// Problem. From the state at a failure, reach a runway's track at or above an alignment height and glide along it to
// a point within a given interval. A path is: entry, first turn, straight, line-up turn, final. In a wind that varies
// with height every piece drifts by its own time at its own heights.
//
// Formulation. Banks and speeds are given, and both the touchdown point and the length of the final are free, so the
// family of paths of one word (sense of first turn, sense of line-up turn) has a single parameter: the heading of the
// straight leg. The first turn does not depend on the goal at all; the straight's length follows from one equation in
// one unknown, "the line-up turn ends on the axis", whose slope is the cross-track speed of the straight; where on the
// axis and how high that happens is then a result. So nothing is iterated on a shortest path, each
// word keeps its own roots, and uniform wind, wind profiles and density that changes with height are one and the same
// code. The four words of two turns and a straight are scanned over the whole circle of headings. Nearly parallel to
// the runway the heading tells paths badly apart; there the duration of the straight is the parameter.
//
// Choice. By height: the surplus of a path is what is left over the need, which is the alignment height or the height
// of a final to the near end of the interval, whichever is more. Surplus beyond need is lost by flying the same word
// with a longer straight; where no such path exists, with landing flap on the final, then in a slip, as far as
// technique and aircraft allow (PathResult::configuration); "too high" is said where even that does not serve. Clean
// paths are looked for first, so those means never change a path that does without (tests/laws/steep_final_test.cpp).
//
// Approximate where and by how much. Paths are searched for in tables (headings every 20 degrees, the one that leaves
// next to nothing to the line-up turn, halved where something changes; straights near the runway's direction by their
// duration). A family with height to spare is followed to where it ends, goes on to the other side, or turns back with
// a straight left, and by the duration of its straights from where it begins with none. Too high with every turn begun
// at once, any turn by 20 degrees is begun up to 80 s later. What turns about once round one way is taken only where
// nothing else that lands was met. Every peak that comes near the best is climbed when the best is within 100 ft of
// mattering (more for an aeroplane that turns wide), and flown where the tables are off; farther from the need the
// surplus is a rough figure, which is mostly tens of feet low, at times hundreds. The best often lies in a corner:
// alignment just not too far down the runway, just not too soon, just not too high, or nothing left of the straight; it
// is flown there. So it is beside a level at which the shear jumps, which the tables place a degree of heading
// elsewhere. Within a metre of the need, or where that is asked for (reach_with_path), the climb goes on with flown
// paths. A path that is handed out is flown in fine steps, turns and rolls from layer to layer of the wind; finer steps
// must end there and as high, and what begins 10 cm higher or lower within 75 cm of that, for a roll-out that just
// meets a level where the shear jumps may be held there or fall through. A plain claim is held to that where the shear
// jumps by enough. A path ends within 2 ft and 2 m of its re-flight for 20,000 random paths in every run of the tests
// (tests/laws/reflight_test.cpp) and for all 722,339 asked for in a million questions (tests/bench/README.md). Wind
// that shears by up to 6 kt in 100 ft from level to level, 20 of them, is asked for, too: one of 22,892 paths ends 2.04
// m off, none by more than 0.46 m of height. Against an exhaustive search of 2,000 random cases the best surplus within
// 100 ft of the need is at most 0.52 ft low on 1,635 sides, and no "none" is false (tests/laws/exhaustive_test.cpp,
// which allows 1 ft). Those are cases it was mended by; of 38,416 sides that no mending had seen one is a false "none",
// in 1.7 ft of a window, and 0.07 % of those near the need are more than 1 ft low, two of them by 16 ft
// (tests/bench/README.md). Words of three turns are not flown here; they pay only for a fixed touchdown point closer
// than two radii. How far the lower bound and two banks are from the best possible: tests/reference/turnback_test.cpp.
//
// Tried and left. Refining only the best look of each word: the wrong peak was climbed, and the best surplus came out
// up to 500 ft low. Climbing on the surplus alone: it ends abruptly where alignment comes too far down the runway,
// which is where the best path often is; the distance beyond is climbed on instead.
//
// source      the trochoidal kinematics of a constant-bank turn in uniform wind are classical: L. Techy and
//             C. A. Woolsey, Minimum-time path planning for unmanned aerial vehicles in steady uniform winds,
//             J. Guidance, Control, and Dynamics 32(6), 2009; L. E. Dubins, Amer. J. Math. 79(3), 1957 for the words

#include "backfield/aircraft/performance.hpp"
#include "backfield/aircraft/power.hpp"
#include "backfield/earth/environment.hpp"
#include "backfield/flight/path.hpp"

#include <array>
#include <memory>
#include <optional>
#include <vector>

namespace backfield::flight {

struct PathFinderSetup {
  const aircraft::Performance* performance = nullptr;  ///< must outlive the finder
  Technique technique;
  Model model;
  earth::Environment environment;
  earth::Altitude datum;      ///< elevation of the departure aerodrome
  Angle bank;                 ///< of the first turn, 5..60 degrees
  Speed gust_spread{};        ///< gust minus mean, >= 0
  Length top{};               ///< highest failure asked for, above the datum
  ClearanceRule clearance{};  ///< from what is on the ground of the environment; nothing there: nothing is asked
  /// What the engines left give until the final, which is always flown power off: from alignment on no engine is
  /// needed. None: power off from the failure. Where the aircraft's tables end, nothing is counted.
  std::optional<aircraft::PowerCondition> power{};
  std::optional<Cas> least_speed{};  ///< flown with power at no less than this; none: best glide speed
  bool search_hopeless = false;  ///< also search where the lower bound exceeds the height, to say how much is missing
};

/// How far an aeroplane goes straight on with the power that is left.
struct StraightOn {
  Length up_to{};       ///< a height above the datum
  Duration longest{};   ///< but no longer than this after the reaction
  Speed lost{};         ///< off the rate of climb at first: gear down, propeller not feathered; >= 0 ...
  Duration lost_for{};  ///< ... for so long after the reaction
};

class PathFinder {
 public:
  explicit PathFinder(const PathFinderSetup& setup);
  ~PathFinder();
  PathFinder(PathFinder&&) noexcept;
  PathFinder& operator=(PathFinder&&) noexcept;

  /// Everything about a failure that no goal changes: entries, first turns, starts of the straights.
  class Fan;
  [[nodiscard]] std::shared_ptr<const Fan> fan(const AirState& failure) const;

  /// Everything about a goal that no failure changes: the final.
  class Target;
  [[nodiscard]] std::shared_ptr<const Target> target(const Goal& goal) const;

  /// Best path of each side: [0] left, [1] right; without the path itself. Where something is on the ground, and the
  /// best does not clear it, another one that lands and does: `surplus` is that one's then.
  [[nodiscard]] std::array<PathResult, 2> reach(const Fan& fan, const Target& target) const;
  /// The same with the path filled in where one is reached: touchdown in the first third of the aim interval if a path
  /// allows it. Near the need the best surplus is exact to 2 ft. Slower; for what is printed, and for tests.
  [[nodiscard]] std::array<PathResult, 2> reach_with_path(const Fan& fan, const Target& target) const;

  /// What was found for one goal and a failure nearby. Asked in the order of a flight, most answers are the last one's,
  /// and cost one flown path instead of a search. A guess never makes a claim by itself: its path is flown.
  class Guess;
  /// Knows nothing yet, or what another one knows.
  [[nodiscard]] static std::shared_ptr<Guess> guess();
  [[nodiscard]] static std::shared_ptr<Guess> guess(const Guess& like);
  /// The same with a guess, which is brought up to date.
  [[nodiscard]] std::array<PathResult, 2> reach(const Fan& fan, const Target& target, Guess& guess) const;
  [[nodiscard]] std::array<PathResult, 2> reach_with_path(const Fan& fan, const Target& target, Guess& guess) const;
  /// One side only, and where it is reached the surplus is that of a path, not of the best.
  [[nodiscard]] PathResult reach_side(const Fan& fan, const Target& target, Guess& guess, Side side) const;

  /// With power left: of each side the path that keeps most height up to alignment, wherever its final would end. An
  /// aeroplane that can throttle back has no height too much; what to do with it is the caller's business. `reached`
  /// with its path, `surplus` and `alignment_height`; `not_clear` with its clearance; else the path is missing.
  [[nodiscard]] std::array<PathResult, 2> keep_height(const Fan& fan, const Target& target) const;

  /// With power left: the reaction, then straight on at the climb that is left, wings level on the heading held; a
  /// state a second, the failure first. Ends at the height asked for, after the longest time, or where there is no
  /// climb (10 ft/min). A headwind that grows with height is not counted as help. accuracy    0.5 m over five minutes
  /// (tests/laws/power_path_test.cpp)
  [[nodiscard]] std::vector<AirState> straight_on(const AirState& failure, const StraightOn& asked) const;
  /// Where the aeroplane is on a path of this finder, up to its final: at least one state a second.
  /// Airspeed in the entry is the lower of those it begins and ends with.
  [[nodiscard]] std::vector<AirState> states(const Path& path) const;
  /// The least clearance along states that follow one another in straight lines; none where nothing is on the ground.
  [[nodiscard]] std::optional<Clearance> clearance(const std::vector<AirState>& states, const AtRunway& runway) const;

  /// Lowest airspeed over stalling speed (at the load factor of the moment) in any entry of the fan.
  [[nodiscard]] double lowest_speed_over_stall(const Fan& fan) const;

  [[nodiscard]] Cas turn_speed() const;
  [[nodiscard]] Cas line_up_speed() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

/// Calibrated airspeed flown in a power-off turn: the larger of best glide and margin * stall * sqrt(1/cos(bank)), plus
/// half the gust spread where the technique says so.
Cas power_off_turn_speed(const aircraft::Performance& performance, const Technique& technique, Angle bank,
                         Speed gust_spread);

/// One question, asked once: all paths to a goal, best first. For a scan use a PathFinder.
std::vector<PathResult> find_paths(const AirState& failure, const Goal& goal, const PathFinderSetup& setup);

}  // namespace backfield::flight
