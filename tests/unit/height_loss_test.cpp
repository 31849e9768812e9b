#include "backfield/decision/height_loss.hpp"

#include <catch2/catch.hpp>

using namespace backfield;
using namespace backfield::decision;
using flight::Configuration;

namespace {

void check(const std::optional<Interval<Length>>& heights, double low_ft, double high_ft) {
  REQUIRE(heights);
  CHECK(in_feet(heights->low) == Approx(low_ft));
  CHECK(in_feet(heights->high) == Approx(high_ft));
}

}  // namespace

TEST_CASE("What a window needs reaches to the next moments that do without it", "[decision]") {
  const HeightLoss loss = height_loss({{feet(500), Configuration::clean},
                                       {feet(550), Configuration::clean},
                                       {feet(600), Configuration::landing_flap},
                                       {feet(650), Configuration::slip},
                                       {feet(700), Configuration::landing_flap},
                                       {feet(750), Configuration::clean},
                                       {feet(800), Configuration::clean}});
  check(loss.landing_flap, 550, 750);
  check(loss.slip, 600, 700);
}

TEST_CASE("A need at the edge of a window ends with the window", "[decision]") {
  const HeightLoss loss = height_loss({{feet(500), Configuration::landing_flap},
                                       {feet(550), Configuration::clean},
                                       {feet(600), Configuration::clean},
                                       {feet(640), Configuration::landing_flap}});
  check(loss.landing_flap, 500, 640);  // both stretches and what lies between
  CHECK_FALSE(loss.slip);
  const HeightLoss only = height_loss({{feet(500), Configuration::slip}});
  check(only.landing_flap, 500, 500);
  check(only.slip, 500, 500);
  const HeightLoss none = height_loss({{feet(500), Configuration::clean}, {feet(550), Configuration::clean}});
  CHECK_FALSE(none.landing_flap);
  CHECK_FALSE(none.slip);
}

TEST_CASE("What either of two windows needs, and what of it lies within others", "[decision]") {
  const HeightLoss a{Interval<Length>{feet(500), feet(600)}, std::nullopt};
  const HeightLoss b{Interval<Length>{feet(700), feet(900)}, Interval<Length>{feet(800), feet(900)}};
  const HeightLoss both = either(a, b);
  check(both.landing_flap, 500, 900);
  check(both.slip, 800, 900);
  check(either(b, a).landing_flap, 500, 900);
  const HeightLoss part = clipped(both, {feet(550), feet(750)});
  check(part.landing_flap, 550, 750);
  CHECK_FALSE(part.slip);
}
