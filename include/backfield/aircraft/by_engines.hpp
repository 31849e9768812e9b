#pragma once
// Numbers that a rule states apart for aeroplanes with two, three and four engines.

#include "backfield/base/contract.hpp"

#include <array>
#include <cstddef>

namespace backfield::aircraft {

constexpr int kFewestEngines = 2;
constexpr int kMostEngines = 4;

struct ByEngines {
  std::array<double, 3> of{};  ///< two, three, four

  /// engines     2..4, or std::logic_error
  [[nodiscard]] double at(int engines) const {
    require(engines >= kFewestEngines && engines <= kMostEngines, "two to four engines");
    return of.at(static_cast<std::size_t>(engines - kFewestEngines));
  }
};

/// "both engines", or "all engines" where there are more than two.
constexpr const char* every_engine(int engines) { return engines > 2 ? "all engines" : "both engines"; }

/// What a net gradient is below the gross one with one engine out.
/// source      take-off: 14 CFR 25.115(b), CS 25.115(b), 0.8/0.9/1.0 %; en route: CAT.POL.A.215(c), 1.1/1.4/1.6 %
/// test        tests/reference/net_decrement_test.cpp
struct NetDecrement {
  ByEngines take_off, en_route;
};

}  // namespace backfield::aircraft
