#pragma once
// What is asked of a path, and what a path is: a control schedule that can be flown again.

#include "backfield/base/interval.hpp"
#include "backfield/earth/position.hpp"
#include "backfield/flight/clearance.hpp"
#include "backfield/flight/timeline.hpp"

#include <optional>
#include <vector>

namespace backfield::flight {

/// Where a glide has to end. Flight knows nothing of stopping: whoever makes the goal has taken float and roll off it.
struct Goal {
  earth::Position threshold;   ///< of the runway end, local frame
  earth::TrueDirection track;  ///< of the landing, local frame
  earth::Altitude elevation;   ///< of the runway
  Interval<Length> aim;        ///< along `track` from the threshold: where the glide may meet the ground
  Length alignment_height{};   ///< wings level on the track by this height above `elevation`
};

enum class Side { left, right };  ///< of a return: the direction of its larger turn
constexpr const char* name_of(Side side) { return side == Side::left ? "left" : "right"; }

enum class Hold {
  bank,     ///< the bank runs linearly from bank_from to bank_to
  heading,  ///< wings level, heading as it is
  track     ///< wings level, heading such that the ground track is `track_rad`
};

/// What the air sees of the aeroplane, in the order in which excess height is lost by it.
enum class Configuration {
  clean,
  landing_flap,  ///< fully out
  slip           ///< a steady slip with landing flap out
};
constexpr const char* name_of(Configuration configuration) {
  switch (configuration) {
    case Configuration::clean:
      return "clean";
    case Configuration::landing_flap:
      return "landing flap";
    case Configuration::slip:
      return "slip";
  }
  return "";
}

enum class Propeller {
  at_rest,     ///< as for the glide ratio of the aircraft's file: feathered, if it can be
  unfeathered  ///< not feathered yet
};

/// One piece of a control schedule in a steady descent. Calibrated airspeed runs linearly from cas_from to cas_to.
struct Segment {
  Hold hold = Hold::heading;
  Configuration configuration = Configuration::clean;
  Propeller propeller = Propeller::at_rest;
  double duration_s = 0.0;
  double bank_from_rad = 0.0, bank_to_rad = 0.0;  ///< right +
  double cas_from_mps = 0.0, cas_to_mps = 0.0;
  double track_rad = 0.0;
  /// At the start of the segment: is the difference between the calibrated airspeed flown so far and cas_from traded
  /// for height, and how much height is given away besides.
  bool trade_speed = false;
  double height_given_m = 0.0;
};

/// Entry after the failure, flown: from each sample on, the load factor is constant and the bank runs linearly to the
/// next sample's. The last sample only marks the end.
struct EntrySample {
  double time_s = 0.0;  ///< since the failure
  double load_factor = 1.0;
  double bank_rad = 0.0;
  Propeller propeller = Propeller::at_rest;
};

struct Path {
  AirState start;                  ///< at the failure
  std::vector<EntrySample> entry;  ///< empty when the policy keeps the speed (EntryRule::speed_kept)
  std::vector<Segment> segments;
  /// Everything before the final (Hold::track) is flown with the power left, throttled where it would be more than
  /// leaves a descent at equations::kShallowest; power off otherwise.
  bool power_until_final = false;
  [[nodiscard]] double duration_s() const;
};

/// Why a search ended as it did.
enum class ReachStatus {
  reached,        ///< `path` ends within the goal
  too_short,      ///< the best path found lacks -surplus of height
  too_high,       ///< every path found passes the far end of the aim interval, in every configuration allowed
  not_found,      ///< no path of this side connects
  not_clear,      ///< some land, but none found is clear of what is on the ground: `clearance` says by how much
  certainly_none  ///< a lower bound already exceeds the height; nothing was searched
};

/// Turned one way by more, a path goes about once round: no turnback and its line-up come near it.
inline constexpr Angle kAboutOnceRound = degrees(300);

struct PathResult {
  ReachStatus status = ReachStatus::not_found;
  Side side = Side::left;
  Length surplus{};                 ///< height left at the aim interval by the best path; negative when short
  Length lower_bound{};             ///< no path needs less height than this, above the goal's elevation
  Angle first_turn{}, last_turn{};  ///< of the best path, right +; with a schedule of `path`
  /// With `reached`, of the path found to land: the larger of its turns, or both together if they go the same way;
  /// magnitude. Not told by `keep_height`.
  Angle one_way_turn{};
  Length alignment_height{};  ///< of `path`, above the goal's elevation
  Length aim{};               ///< of `path`, from the threshold
  /// What the path cannot do without: clean where a clean path serves, else landing flap, else a slip.
  Configuration configuration = Configuration::clean;
  /// With `too_high`: by how much the aim interval is passed by the shortest final looked at that has enough height,
  /// in the configuration that loses most; rough, and never too little. None: nothing had enough height.
  std::optional<Length> past_end;
  double lowest_speed_over_stall = 0.0;  ///< in the entry, at the load factor of the moment
  /// Of `path`, or of the one that comes nearest to being clear; none where nothing is on the ground or nothing lands.
  std::optional<Clearance> clearance;
  Path path;  ///< only with `reached`
};

}  // namespace backfield::flight
