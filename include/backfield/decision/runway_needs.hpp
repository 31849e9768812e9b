#pragma once
// What a take-off and a landing with power need of a runway, by the policy's factors, against what is declared.

#include "backfield/aircraft/landing.hpp"
#include "backfield/aircraft/loading.hpp"
#include "backfield/decision/marks.hpp"
#include "backfield/earth/wind.hpp"

#include <optional>
#include <string>
#include <vector>

namespace backfield::decision {

// --- Rules: part of a policy
// ------------------------------------------------------------------------------------------

/// What a margin is there for.
enum class MarginUse {
  information,  ///< shown, decides nothing
  decides,      ///< the margin a return is judged by; a policy has just one
  planning      ///< what some operators must show before departure; decides nothing once airborne
};

constexpr const char* name_of(MarginUse use) {
  switch (use) {
    case MarginUse::information:
      return "information";
    case MarginUse::decides:
      return "decides";
    case MarginUse::planning:
      return "planning";
  }
  return "";
}

struct LandingMargin {
  std::string name;            ///< short, e.g. "in flight"
  double factor = 1.0;         ///< on the distance of the day, >= 1
  double least_surface = 1.0;  ///< the surface counts as no better than this factor, e.g. 1.15: as if it were wet
  MarginUse use = MarginUse::information;
  std::string meaning;  ///< in words, with its source
};

struct LandingAssessmentRule {
  aircraft::LandingCharge charge;
  std::vector<LandingMargin> margins;  ///< factor x least_surface never falls
};

/// Factors on the distance to 50 ft. Where stopway or clearway is declared, meeting either set will do.
struct TakeOffRule {
  double tora_alone = 0.0;                    ///< within TORA, whatever else there is
  double tora = 0.0, toda = 0.0, asda = 0.0;  ///< all three, where stopway or clearway is declared
  std::string source;
};

// --- Answers
// ----------------------------------------------------------------------------------------------------------

struct LandingNeed {
  std::string name;
  MarginUse use = MarginUse::information;
  double factor = 1.0;   ///< on the distance of the day
  double surface = 1.0;  ///< the surface factor counted
  Length needed, available;
  [[nodiscard]] Length left() const { return available - needed; }  ///< negative: so much too short
  [[nodiscard]] bool fits() const { return left().si() >= 0.0; }
};

/// One landing with power, in one world of the bracket.
struct PoweredLanding {
  std::string world;
  aircraft::PoweredDistance distance;
  Speed headwind;  ///< at 10 m, tailwind negative; all of it
  Speed crosswind_from_right;
  Speed threshold_ground_speed;    ///< at v_ref and what is carried over it
  std::vector<LandingNeed> needs;  ///< in the order of the policy
  [[nodiscard]] const LandingNeed& deciding() const;
};

struct PoweredReturn {
  std::string not_assessed = "not computed";  ///< why; empty: it is
  Mass mass;                                  ///< at the return
  Speed over_v_ref;                           ///< carried for gusts, calibrated; none where the policy carries none
  std::vector<PoweredLanding> worlds;         ///< the plan first; empty when not assessed
  std::size_t worst = 0;                      ///< index of the world that needs most
  std::optional<LandingExit> exit;            ///< after the worst landing, by the deciding margin; none known
  std::vector<std::string> findings;          ///< limits of the aircraft reached or passed, in plain words
  bool within_wind_limits = false;            ///< of tailwind and crosswind, in every world; where they are stated
  [[nodiscard]] bool fits() const;            ///< by the deciding margin, in every world
};

struct TakeOffNeed {
  const char* against = "";  ///< "TORA", "TODA" or "ASDA"
  bool alone = false;        ///< the factor for TORA without stopway and clearway
  double factor = 1.0;
  Length needed, available;
  [[nodiscard]] Length left() const { return available - needed; }
  [[nodiscard]] bool fits() const { return left().si() >= 0.0; }
};

struct TakeOffInWorld {
  std::string world;
  Length roll, to_50ft;
  std::optional<Length> accelerate_stop;  ///< to lift-off, then a stop; none: no figure for the surface
  std::vector<TakeOffNeed> needs;         ///< TORA alone first; then the three, where stopway or clearway is declared
  /// The need that decides: of TORA alone and of the worst of the three the one with more left.
  [[nodiscard]] const TakeOffNeed& deciding() const;
  [[nodiscard]] bool fits() const { return deciding().fits(); }
};

/// Room for the take-off.
struct TakeOffRoom {
  std::string not_assessed = "not computed";  ///< why; empty: it is
  std::vector<TakeOffInWorld> worlds;         ///< the plan first
  std::size_t worst = 0;                      ///< index of the world with least left
  [[nodiscard]] bool fits() const;            ///< in every world
};

struct Case;

/// Why the departure cannot lift off on the take-off run available: in the reported wind its roll, without any factor,
/// is longer. Empty: it can, or the figures do not cover the day.
std::string no_take_off(const Case& the_case);

}  // namespace backfield::decision
