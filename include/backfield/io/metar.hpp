#pragma once
// Reads one METAR or SPECI.
//
//   const Loaded<Metar> report = parse_metar("METAR ZZDA 121650Z 24012G25KT 9999 FEW030 16/09 Q1013", {"case.yaml", 12,
//   12});
//
// Strict where a take-off depends on it: a wind, temperature or pressure group that cannot be read is an error that
// names the group, never a value that is quietly missing. Whatever else stands in the report (weather, runway state,
// colour states) is read if it follows the code and otherwise noted and passed over.
//
// source      WMO-No. 306, Manual on Codes, Vol. I.1, Part A, FM 15 METAR and FM 16 SPECI (regulations 15.x), 1995
//             edition with supplement No. 3; Federal Meteorological Handbook No. 1 (FCM-H1-1995), chapters 5, 11, 12

#include "backfield/base/finding.hpp"
#include "backfield/decision/case.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace backfield::io {

/// Where the text of a report begins, so that a finding can point into the file it stands in.
struct TextOrigin {
  std::string file;  ///< path as the user gave it
  int line = 1;      ///< 1-based line of the first character
  int column = 1;    ///< 1-based column of the first character
  int indent = 0;    ///< columns that were cut from the front of each further line (a YAML block)
  std::string key;   ///< e.g. "weather.metar"
};

struct CloudLayer {
  enum class Amount {
    few,                 ///< 1-2 oktas
    scattered,           ///< 3-4
    broken,              ///< 5-7
    overcast,            ///< 8
    vertical_visibility  ///< sky obscured: `base` is how far up one can see
  };
  Amount amount = Amount::few;
  std::optional<Length> base;  ///< above the aerodrome; none when reported as ///
};

struct Metar {
  std::string raw;  ///< as given, its white space made single blanks, without the "="
  std::string station;
  int day = 0;     ///< of the month, 1..31, UTC as the next two
  int hour = 0;    ///< 0..23
  int minute = 0;  ///< 0..59
  bool automatic = false;
  bool corrected = false;

  /// Direction is true. Calm is `variable` with a mean of zero. None when the report has no wind (/////KT, or no
  /// group).
  std::optional<decision::WindReport> wind;
  std::optional<Temperature> temperature;  ///< to 0.1 degree from a T group in the remarks when there is one
  std::optional<Temperature> dew_point;
  /// As written: both codes round down, so the true setting is up to 1 hPa (0.01 inHg) higher.
  std::optional<Pressure> qnh;
  std::optional<Length> visibility;  ///< prevailing; 9999, CAVOK: 10 km, which means "or more"
  bool cavok = false;
  std::vector<CloudLayer> clouds;  ///< empty also for CAVOK, SKC, CLR, NSC and NCD
  /// The lowest broken or overcast layer or vertical visibility, above the aerodrome; a layer of unknown amount
  /// (///012) counts as broken.
  std::optional<Length> ceiling;
  std::string ceiling_group;       ///< as written, such as "BKN009"; empty: none
  std::string ceiling_unmeasured;  ///< the last group with a ceiling but no height, such as "VV///"; empty: none
  /// A group says what clouds there are, if only that there are none, and no layer lacks its base.
  bool sky_known = false;
  std::string precipitation;  ///< the first group, recent or now, of what wets the runway, such as "-RA"; empty: none
  bool frozen = false;        ///< some of it is frozen or freezes: the runway may be worse than wet
};

/// text        one report, upper case; may span lines, end in "=", and begin with METAR or SPECI
/// returns     the report, or no value and at least one error. Absent wind, temperature or pressure is no error here:
///             whether they are needed is for the caller to say.
///             Errors: station or time unreadable, NIL, lower case, a second report, a group given twice; any group
///             that resembles a wind, temperature or pressure and is none (3600KT, 5/3, Q1O13); a value that cannot
///             be (direction 370, gust not above mean, dew point above temperature, QNH outside 870..1085 hPa, mean
///             direction outside its own sector); and, when wind, temperature or pressure is absent, any group that
///             cannot be read at all, since it may be the missing one.
///             Warnings: P99KT (100 kt or more: read as 100), a direction that is no multiple of ten, a partly
///             missing wind (read as missing), a damaged T group (left alone).
/// source      see the head of this file; each rule is named beside its check in tests/unit/metar_test.cpp
Loaded<Metar> parse_metar(std::string_view text, const TextOrigin& origin = {});

}  // namespace backfield::io
