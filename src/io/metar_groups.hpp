#pragma once
// The shapes of the groups of FM 15, each by itself. What a value may be is for the reader of the report to judge.

#include "backfield/io/metar.hpp"

#include <optional>
#include <string_view>
#include <utility>
#include <vector>

namespace backfield::io::metar_groups {

struct Group {
  std::string_view text;
  std::size_t at = 0;  ///< byte offset in the report
};
std::vector<Group> split(std::string_view text);

bool all_digits(std::string_view s);   ///< and at least one
bool all_slashes(std::string_view s);  ///< and at least one
/// Value of digits only, at most nine of them.
int number(std::string_view digits);

struct SpeedText {
  std::string_view digits;
  bool beyond = false;   ///< P: beyond what two (KMH: three) digits hold, reg. 15.5.6
  bool missing = false;  ///< //
};

struct WindText {
  std::string_view direction;  ///< three digits, "VRB" or "///"
  SpeedText mean;
  std::optional<SpeedText> gust;
  std::string_view unit;  ///< "KT", "MPS" or "KMH"
};
std::optional<WindText> match_wind(std::string_view group);
/// P99 stands for "100 or more"; there is one such figure per unit (reg. 15.5.6: P99KT, P49MPS, P199KMH).
bool is_allowed_beyond(const SpeedText& text, std::string_view unit);
/// Beyond 99 means at least one more than the digits say.
Speed speed_of(const SpeedText& text, std::string_view unit);
/// Three digits, V, three digits.
bool is_sector(std::string_view group);

struct TemperatureText {
  std::optional<int> air_c, dew_c;
};
/// "16/09", "M05/M08", "05/", "05///": the air temperature is always there.
std::optional<TemperatureText> match_temperature(std::string_view group);

struct TenthsText {
  double air_c = 0.0;
  std::optional<double> dew_c;
};
/// "T02220100" or "T0222" of FMH-1 12.7.2; first digit 1 means below zero.
std::optional<TenthsText> match_tenths(std::string_view group);

/// "0800", "9999", "3000SW", "9999NDV" in the steps of reg. 15.6.4. A number that is no step is not a visibility:
/// "2401 2KT" is a torn wind group.
struct VisibilityText {
  Length prevailing_or_least;
  bool directional = false;
};
std::optional<VisibilityText> match_visibility_m(std::string_view group);
/// Statute miles: "10SM", "P6SM", "M1/4SM"; `whole` is a preceding group as in "2 1/2SM", else 0.
std::optional<Length> match_visibility_sm(std::string_view group, int whole);

struct CloudText {
  bool nothing = false;         ///< SKC, CLR, NSC, NCD, or a layer of unknown amount
  bool unknown_amount = false;  ///< "///012"; "//////" lacks the base as well
  CloudLayer layer;
};
std::optional<CloudText> match_cloud(std::string_view group);

/// Weather of code table 4678, recent weather included.
bool is_weather(std::string_view group);
/// What a weather group makes of a runway; nothing for what falls in the vicinity only.
enum class Wetting { none, wet, frozen };
Wetting wetting(std::string_view weather);
/// Runway visual range, runway state, wind shear and sea groups: nothing in them is used, so only their shape is told.
bool is_runway_or_sea(std::string_view group);

/// Groups that are none of the above but resemble one that a take-off depends on.
bool resembles_wind(std::string_view group);
bool resembles_sector(std::string_view group);
bool resembles_temperature(std::string_view group);
bool resembles_pressure(std::string_view group);

}  // namespace backfield::io::metar_groups
