// Mass and balance by hand.
//
// Source: FAA-H-8083-25 (Pilot's Handbook of Aeronautical Knowledge), chapter "Weight and Balance", the sample of the
// computational method; its figures are cited from memory, so the pass mark is the hand arithmetic written out here,
// and the handbook's printed centre of gravity, 84.8 in, is only what that rounds to.

#include "backfield/aircraft/loading.hpp"

#include <catch2/catch.hpp>

using namespace backfield;

namespace {

constexpr Length inches(double v) { return feet(v / 12.0); }

TEST_CASE("The handbook's sample comes to 3,320 lb at 84.77 in", "[aircraft][reference]") {
  aircraft::Loading loading;
  loading.empty_arm = inches(78.3);
  loading.stations = {{"front seats", inches(85), pounds(400), {}},
                      {"rear seats", inches(121), pounds(400), {}},
                      {"fuel", inches(75), {}, us_gallons(75)},
                      {"baggage", inches(150), pounds(100), {}}};
  const Density six_pounds = Density::from_si(pounds(6).si() / us_gallons(1).si());
  const auto sum =
      aircraft::balance(loading, pounds(2100), {pounds(340), pounds(350), us_gallons(75) * six_pounds, pounds(80)});
  // 2100 x 78.3 + 340 x 85 + 350 x 121 + 450 x 75 + 80 x 150 = 164,430 + 28,900 + 42,350 + 33,750 + 12,000 = 281,430
  CHECK(in_pounds(sum.mass) == Approx(3320.0).margin(1e-9));
  CHECK(in_feet(sum.arm) * 12.0 == Approx(281430.0 / 3320.0).margin(1e-9));
  CHECK(in_feet(sum.arm) * 12.0 == Approx(84.8).margin(0.05));
}

TEST_CASE("Weight shifted over a distance moves the centre of gravity by their product over the total",
          "[aircraft][reference]") {
  // 100 lb moved from 150 in to 30 in of an aeroplane of 3,000 lb: 100 x 120 / 3,000 = 4 in. Hand arithmetic.
  aircraft::Loading loading;
  loading.empty_arm = inches(80);
  loading.stations = {{"aft", inches(150), pounds(200), {}}, {"front", inches(30), pounds(200), {}}};
  const auto before = aircraft::balance(loading, pounds(2900), {pounds(100), pounds(0)});
  const auto after = aircraft::balance(loading, pounds(2900), {pounds(0), pounds(100)});
  CHECK(in_feet(before.arm - after.arm) * 12.0 == Approx(4.0));
}

}  // namespace
