#include "backfield/flight/equations.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace backfield;
using namespace backfield::flight;

TEST_CASE("Drag over weight is least, 1/E, at best glide speed", "[flight]") {
  for (const double E : {7.0, 9.0, 14.0}) {
    CHECK(equations::drag_over_weight(1.0, 1.0, 1.0, E) == Approx(1.0 / E));
    CHECK(equations::drag_over_weight(1.02, 1.0, 1.0, E) > 1.0 / E);
    CHECK(equations::drag_over_weight(0.98, 1.0, 1.0, E) > 1.0 / E);
  }
}

TEST_CASE("A steady descent satisfies its own equation", "[flight]") {
  for (const double E : {7.0, 9.0, 14.0}) {
    for (const double v : {0.9, 1.0, 1.3}) {
      for (const double bank : {0.0, 0.5, 0.8}) {
        for (const double shear : {-0.1, -0.02, 0.0, 0.05, 0.1}) {
          const double V = 36.0;
          const double sec2 = 1.0 / (std::cos(bank) * std::cos(bank));
          const auto trim = equations::trim(v, 1.0, sec2, 1.0, E);
          const auto d = equations::steady_descent(V, trim, 1e-3, shear, AngleRule::exact);
          const double n = d.cos_gamma / std::cos(bank);
          const double left = d.sin_gamma * (1.0 + V / kStandardGravity * (1e-3 + d.cos_gamma * shear));
          CAPTURE(E, v, bank, shear);
          const double within = 1e-2 * std::pow(std::abs(shear) / 0.1, 1.5) + 1e-9;
          CHECK(left == Approx(equations::drag_over_weight(v, n, 1.0, E)).epsilon(within));
        }
      }
    }
  }
}

TEST_CASE("A wind that dies away faster than the aeroplane can sink leaves the steepest path", "[flight]") {
  const auto trim = equations::trim(1.0, 1.0, 1.0, 1.0, 9.0);
  const auto d = equations::steady_descent(36.0, trim, 0.0, -0.5, AngleRule::exact);
  CHECK(d.sin_gamma == Approx(equations::kSteepest));
}
