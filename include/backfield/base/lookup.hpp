#pragma once
// The answer of a performance table: a value together with whether the table really covers it.

#include <string>

namespace backfield {

enum class Coverage {
  inside,   ///< interpolated between tabulated rows, or a constant within its declared validity
  clamped,  ///< beyond the end of an axis whose safe direction is declared; the end row is used
  outside   ///< beyond the table: the value must not be used. Nothing is ever extrapolated.
};

/// A value looked up; `axis` and `end` name the end that was passed when it is not inside.
template <class T>
struct Lookup {
  T value{};
  Coverage coverage = Coverage::outside;
  std::string axis;  ///< e.g. "outside air temperature"
  std::string end;   ///< e.g. "ends at 30 C"

  [[nodiscard]] bool usable() const { return coverage != Coverage::outside; }
};

}  // namespace backfield
