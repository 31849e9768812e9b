#pragma once
// Reads one station's line of a forecast of winds and temperatures aloft (FB, formerly FD).
//
//   FT  3000    6000    9000   12000   18000   24000  30000  34000  39000
//   ZZD 9900 2714+05 2725+00 2625-04 2531-15 2542-27 265842 256352 256762
//
//   2714      from 270 degrees true with 14 kt
//   2714+05   and 5 degrees Celsius; above 24,000 ft the sign is left out and means minus: 265842
//   7345      a direction over 50 has 50 added and stands for 100 kt more: from 230 with 145 kt
//   9900      light and variable, less than 5 kt
//
// A level within 1,500 ft of the station's elevation has no wind, one within 2,500 ft no temperature; such groups are
// blank, so that only the columns of the text tell which level a group belongs to.
//
// source      US Navy training texts P-304 and P-1246, winds-aloft forecasts; that levels to 12,000 ft are true
//             altitudes and those from 18,000 ft up pressure altitudes is from memory (AC 00-45)

#include "backfield/base/finding.hpp"
#include "backfield/base/units.hpp"
#include "backfield/earth/direction.hpp"
#include "backfield/io/metar.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace backfield::io {

struct WindsAloft {
  struct Level {
    Length altitude{};                ///< of the header, above mean sea level ...
    bool pressure_altitude = false;   ///< ... or, from 18,000 ft up, above the standard pressure of sea level
    bool light_and_variable = false;  ///< 9900: less than 5 kt from anywhere; `speed` is 0 then
    earth::TrueDirection from;        ///< whence it blows
    Speed speed{};                    ///< 0..199 kt; 199 stands for 199 or more
    std::optional<int> temperature_c;
  };
  std::string station;
  std::vector<Level> levels;  ///< rising; those without a group are left out
  /// From the line FOR USE 1400-2100Z: minutes of the day in UTC; the second is of the next day where it is the
  /// smaller.
  std::optional<std::pair<int, int>> use;
  /// From VALID 121800Z on that line: day of the month, and minute of it in UTC.
  std::optional<std::pair<int, int>> valid;
  std::string as_read;  ///< the station's line, its white space made single blanks
};

/// text        the header line that begins with FT, the station's line below it, and whatever else the bulletin has:
///             other stations' lines and lines about its validity are passed over. Columns as issued, no tabs.
/// station     the one whose line is wanted, three or four capitals or digits
/// returns     its levels, or no value and at least one error. Errors: no header, no such station, or the station
/// twice;
///             a header that does not rise; a group that is none of the forms above, each named with station and level;
///             fewer groups than levels where a group stands under no level, or more groups than levels.
///             Warnings: 199 kt, which stands for more; less than 5 kt written as a wind; a blank group above one
///             that is there, since blanks belong near the ground and lost ones would move a wind to another level.
/// accuracy    published decodings, each exactly (tests/unit/winds_aloft_test.cpp)
Loaded<WindsAloft> parse_winds_aloft(std::string_view text, std::string_view station, const TextOrigin& origin = {});

}  // namespace backfield::io
