#pragma once
// What both readers of elevations hold to.

#include <cstddef>
#include <string>

namespace backfield::io {

// The lowest land lies at -430 m (the shore of the Dead Sea), the highest at 8,849 m; some open pits are deeper.
inline constexpr double kLowestGround_m = -600.0;
inline constexpr double kHighestGround_m = 9000.0;
inline constexpr const char* kAcceptedGround = "an elevation from -600 to 9000 m";

/// e.g. "row 3, column 17", counted from the north-west corner and from 1.
std::string post_name(std::size_t index, std::size_t columns);

/// Ends with `ending`, which is in small letters; any case.
bool ends_like(const std::string& path, const std::string& ending);

}  // namespace backfield::io
