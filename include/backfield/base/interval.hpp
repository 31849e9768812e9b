#pragma once
// A closed interval of any ordered type.

#include <algorithm>
#include <optional>

namespace backfield {

/// All values from `low` to `high`, both included; `low <= high`.
template <class T>
struct Interval {
  T low{};
  T high{};

  [[nodiscard]] constexpr bool contains(const T& value) const { return low <= value && value <= high; }
  [[nodiscard]] constexpr auto width() const { return high - low; }
};

/// The values in both, or nullopt when there are none.
template <class T>
constexpr std::optional<Interval<T>> intersect(const Interval<T>& a, const Interval<T>& b) {
  const T low = std::max(a.low, b.low);
  const T high = std::min(a.high, b.high);
  if (high < low) return std::nullopt;
  return Interval<T>{low, high};
}

}  // namespace backfield
