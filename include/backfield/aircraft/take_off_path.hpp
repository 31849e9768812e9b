#pragma once
// The take-off path of an aeroplane that states v_1 and v_2, an engine failing at v_1: the rest of the roll, the climb
// to the screen at v_2, the second segment, the level acceleration, the final segment. Gross, and net below it.
//
// Up to the screen the file's accelerate-go distance serves where it covers the day; what is left of the time to clean
// up after it is flown with gear and propeller as they are. A file without one has the path estimated from its roll,
// which gives the acceleration on all engines, less the share of the thrust that is lost, by the two tables of the rate
// of climb: an estimate, and marked. The ground roll grows with wind, slope and surface as the roll of the day does.
//
// source      14 CFR 25.111, 25.115 and 25.121: v_2 by 35 ft and kept to 400 ft, level acceleration no lower, the path
//             ends at 1,500 ft; the net path is lower by the decrement of the gradient, and in the level acceleration
//             it is the acceleration that is less by so much (25.115(c))
// accuracy    still air between the knots, the thrust of two heights; the integration is within 0.1 % of the closed
//             forms for constant thrust and constant power (tests/reference/take_off_path_test.cpp)

#include "backfield/aircraft/by_engines.hpp"
#include "backfield/aircraft/distances.hpp"
#include "backfield/aircraft/height_profile.hpp"
#include "backfield/aircraft/performance.hpp"

#include <optional>
#include <string>
#include <vector>

namespace backfield::aircraft {

/// What a policy says of it.
struct TakeOffPathRule {
  Length screen{};               ///< by which v_2 is reached where the path is estimated; > 0
  Duration rotation{};           ///< from v_r to lift-off, at v_r, where the path is estimated
  Length acceleration_height{};  ///< above the aerodrome, where the aircraft file states none; above screen
  Length ends_at{};              ///< above the aerodrome; no lower than acceleration_height
  double continuous_thrust = 1;  ///< of what is left at take-off thrust, in the final segment, where the file has no
                                 ///< figure for it; 0..1
  Duration take_off_thrust{};    ///< allowed for so long from brake release
  ByEngines second_segment_least, final_segment_least;  ///< gross gradients asked for
};

/// The day, as one world has it.
struct TakeOffPathDay {
  TakeOffDistances all_engines;           ///< brake release to lift-off, wind, slope and surface in it
  std::optional<Length> accelerate_go;    ///< to 50 ft, likewise; none: the path to the screen is estimated
  Conditions ground, accelerating, ends;  ///< the air of the aerodrome, of the acceleration height, of the end
  Speed headwind{};                       ///< along the track, tailwind negative; the same at every height
  double climb_factor = 1.0;              ///< on the rates with one engine out; > 0
  double net_decrement = 0.0;             ///< of the gradient
};

enum class TakeOffMark { v_1, v_r, lift_off, screen, clean, level_off, final_speed, end };
constexpr const char* name_of(TakeOffMark mark) {
  switch (mark) {
    case TakeOffMark::v_1:
      return "v_1, engine fails";
    case TakeOffMark::v_r:
      return "v_r";
    case TakeOffMark::lift_off:
      return "lift-off";
    case TakeOffMark::screen:
      return "v_2";
    case TakeOffMark::clean:
      return "gear up";
    case TakeOffMark::level_off:
      return "level off";
    case TakeOffMark::final_speed:
      return "final speed";
    case TakeOffMark::end:
      return "end";
  }
  return "";
}

struct TakeOffPoint {
  TakeOffMark what = TakeOffMark::v_1;
  Cas speed;
  Length height, net_height;  ///< above the aerodrome; the net one where the gross path is there
  Length distance;            ///< from brake release, over the ground
  Duration time;              ///< from brake release
  bool estimated = false;     ///< else all of it follows from figures of the file
};

struct SegmentGradient {
  double gross = 0.0, net = 0.0;  ///< in still air, climbing +
};

struct TakeOffPath {
  std::vector<TakeOffPoint> points;       ///< as far as it goes
  HeightProfile gross, net;               ///< empty where not even the screen is reached
  std::optional<SegmentGradient> second;  ///< at v_2, in the air of the acceleration height; none: not got so far
  std::optional<SegmentGradient> last;    ///< at the final speed, in the air of the end; none: not got so far
  Length acceleration_height;
  Cas final_speed;
  bool final_speed_stated = false;  ///< else best glide speed, or v_2 where that is more
  bool final_rate_stated = false;   ///< else from take-off thrust and the rule's share
  std::string why_not;              ///< why it ends before its end; empty: it does not
  [[nodiscard]] bool reaches_screen() const { return !gross.knots.empty(); }
};

/// Brake release to 50 ft, an engine failing at v_1 or, where the file has none, at v_r: where the file has no such
/// figure. Made up as the path to the screen is.
/// test        tests/reference/take_off_path_test.cpp
struct EstimatedGo {
  std::optional<Length> distance;  ///< none: see why_not
  Length lost;                     ///< height that gear and propeller still cost after 50 ft
  std::string why_not;             ///< which table does not cover the day, or that there is no climb until it is clean
  bool climbs = true;              ///< false: the latter, and no distance is enough
};
EstimatedGo estimated_accelerate_go(const Performance& performance, const TakeOffPathDay& day, TakeOffPathRule rule);

/// What is left of the time to clean up at the end of an accelerate-go distance, flown no faster than at climb speed
/// from where the engine fails.
Duration clean_up_left(const Performance& performance, const TakeOffPathDay& day, Length accelerate_go);

/// Never better with less climb, more headwind lost, or another engine less; with a longer accelerate-go never shorter.
///
/// performance  of an aircraft with v_1
/// returns      `why_not` names the table that does not cover the day, or the segment in which nothing is left to
///              accelerate or climb with
TakeOffPath take_off_path(const Performance& performance, const TakeOffPathDay& day, const TakeOffPathRule& rule);

}  // namespace backfield::aircraft
