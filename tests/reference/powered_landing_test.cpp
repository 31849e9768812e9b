// Landing distances by the factors that rules publish.
//
// Sources:
//   [A430]  UK/EU GM1 CAT.POL.A.430: dry 1.43, wet 1.15 x 1.43 = 1.64
//   [A230]  UK/EU GM2 CAT.POL.A.230 and 235: jets 1.67, wet 1.15 on top
//   [A335]  GM1 CAT.POL.A.335: very short wet grass up to 1.60
//   [SAFO]  NTSB A-07-061 on SAFO 06012: 1,400 ft and 15 % are 1,610 ft
//   [HAND]  the light jet: 960 m unfactored, v_ref 105 kt, 240/10; arithmetic written out beside each check

#include "backfield/aircraft/distances.hpp"
#include "backfield/decision/assess.hpp"
#include "backfield/io/load.hpp"
#include "src/decision/runway_needs.hpp"
#include "tests/tools/scenes.hpp"

#include <catch2/catch.hpp>

using namespace backfield;

namespace {

/// The light jet of the case about an overweight return, on a runway end of the given surface.
struct Jet {
  decision::Case c;
  Jet() {
    const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/overweight-jet-wet/case.yaml");
    REQUIRE(loaded.ok());
    c = *loaded.value;
  }
  [[nodiscard]] decision::PoweredReturn on(const std::string& designator, earth::Surface surface) const {
    for (earth::RunwayEnd end : c.options) {
      if (end.designator != designator) continue;
      end.surface = surface;
      return decision::powered_return(c, end, decision::bracket(c));
    }
    FAIL("no such runway");
    return {};
  }
};

double needed(const decision::PoweredReturn& back, std::size_t margin) {
  return in_metres(back.worlds.front().needs.at(margin).needed);
}

TEST_CASE("An overweight jet on a wet runway into the wind: fits in flight, not for dispatch",
          "[decision][reference]") {
  const Jet jet;
  const auto back = jet.on("24", earth::Surface::wet_paved);
  REQUIRE(back.not_assessed.empty());
  CHECK(in_kilograms(back.mass) == Approx(4740.0));
  CHECK(needed(back, 0) == Approx(1104.0).margin(0.5));                  // 960 x 1.15
  CHECK(needed(back, 1) == Approx(1270.0).margin(0.5));                  // x 1.15, of 1,520
  CHECK(needed(back, 2) == Approx(960.0 * 1.64).margin(960.0 * 0.005));  // [A430], rounded to two digits there
  CHECK(needed(back, 4) == Approx(1843.0).margin(1.0));                  // 960 x 1.92
  const auto& needs = back.worlds.front().needs;
  CHECK(needs[1].fits());
  CHECK(needs[1].use == decision::MarginUse::decides);
  CHECK(in_metres(needs[1].left()) == Approx(250.0).margin(0.5));
  CHECK_FALSE(needs[4].fits());
  CHECK(needs[4].use == decision::MarginUse::planning);
  REQUIRE(back.findings.size() == 1);
  CHECK(back.findings[0].find("200 kg over the maximum landing mass") != std::string::npos);
}

TEST_CASE("The same with 10 kt behind it: at the limit, and it still fits", "[decision][reference]") {
  const Jet jet;
  const auto back = jet.on("06", earth::Surface::wet_paved);
  // 960 x 1.15 x (115/105)^2 = 1,324; x 1.15 = 1,523 of 1,640. Calibrated and true airspeed are one at sea level.
  CHECK(needed(back, 0) == Approx(1324.3).margin(0.5));
  CHECK(needed(back, 1) == Approx(1523.0).margin(0.5));
  CHECK(back.fits());
  REQUIRE(!back.findings.empty());
  CHECK(back.findings[0] == "tailwind 10.0 kt, at the 10 kt of the aircraft file");
}

TEST_CASE("The same runway contaminated: no", "[decision][reference]") {
  const Jet jet;
  const auto back = jet.on("24", earth::Surface::contaminated);
  CHECK(needed(back, 0) == Approx(1920.0).margin(0.5));  // 960 x 2.0
  CHECK_FALSE(back.worlds.front().needs[0].fits());
  CHECK_FALSE(back.fits());
}

TEST_CASE("On a dry runway the margins are those the rules publish", "[decision][reference]") {
  const Jet jet;
  const auto back = jet.on("24", earth::Surface::paved);
  const auto ratio = [&](std::size_t i) { return needed(back, i) / needed(back, 0); };
  CHECK(ratio(1) == Approx(1610.0 / 1400.0));  // [SAFO]
  CHECK(ratio(2) == Approx(1.43));             // [A430]; never below 1/0.7
  CHECK(ratio(2) >= 1.0 / 0.7);
  CHECK(ratio(3) == Approx(1.67));  // [A230]; never below 1/0.6
  CHECK(ratio(3) >= 1.0 / 0.6);
  CHECK(ratio(4) == Approx(1.92).margin(0.001));  // [A230], wet
}

// Half of what a gust adds is carried over v_ref, a common practice of approaches: 105 kt and 6, on 960 m.
TEST_CASE("What is carried for gusts lengthens a landing with power", "[decision][reference]") {
  Jet jet;
  jet.c.policy.technique.half_gust_on_speed = true;
  const auto calm_of_gusts = jet.on("24", earth::Surface::paved);
  CHECK(calm_of_gusts.over_v_ref.si() == 0.0);
  jet.c.weather.wind.gust = jet.c.weather.wind.mean + knots(12);
  const auto gusty = jet.on("24", earth::Surface::paved);
  CHECK(in_knots(gusty.over_v_ref) == Approx(6.0));
  // The longer of 960 m by the square of the speed, 1,072.8 m, and of the float that the speed costs,
  // (V1^2 - V2^2) / 2g times the glide ratio with landing flap, 7: 960 and 122.5 m (CAS and TAS are one at sea level).
  const double V1 = knots(111).si(), V2 = knots(105).si();
  const double float_m = (V1 * V1 - V2 * V2) / (2.0 * 9.80665) * 7.0;
  REQUIRE(jet.c.aircraft.polar.glide_ratio_landing_flap == 7.0);
  CHECK(needed(gusty, 0) == Approx(960.0 + float_m).margin(0.01));
  CHECK(in_knots(gusty.worlds.front().threshold_ground_speed - calm_of_gusts.worlds.front().threshold_ground_speed) ==
        Approx(6.0).epsilon(0.02));
  jet.c.policy.technique.half_gust_on_speed = false;
  CHECK(needed(jet.on("24", earth::Surface::paved), 0) == Approx(960.0).margin(0.5));
}

// Flown step by step: level over the runway, drag weight / E, until v_ref is left; wind moves the ground past. Downhill
// the weight pulls, too.
TEST_CASE("What is carried for gusts floats off as far as energy has it", "[aircraft][reference]") {
  Jet jet;
  jet.c.policy.landing_assessment->charge.headwind_credit = 0.5;
  const earth::Air air(hectopascals(1013.25), {metres(0)}, celsius(15), earth::DensityRule::aerodrome);
  for (const double ratio : {3.0, 7.0, 15.0}) {
    jet.c.aircraft.polar.glide_ratio_landing_flap = ratio;
    const aircraft::Performance performance(jet.c.aircraft, kilograms(4740));
    const auto dry = [&](Speed headwind, double slope, Speed over) {
      return aircraft::powered_landing_distance(performance, performance.conditions(air, {metres(0)}),
                                                {earth::Surface::paved, slope, headwind},
                                                jet.c.policy.landing_assessment->charge, jet.c.policy.stop, over);
    };
    for (const double wind_kt : {-10.0, 0.0, 20.0}) {
      for (const double slope : {-0.05, 0.0, 0.02}) {
        for (const double over_kt : {2.0, 7.5, 15.0}) {
          CAPTURE(ratio, wind_kt, slope, over_kt);
          const auto calm = dry(knots(wind_kt), slope, {});
          const auto gusty = dry(knots(wind_kt), slope, knots(over_kt));
          REQUIRE((calm.usable() && gusty.usable()));
          const double w = knots(wind_kt > 0.0 ? 0.5 * wind_kt : wind_kt).si();
          double V = knots(105.0 + over_kt).si();
          double floated = 0.0;
          constexpr double kStep = 1e-4;  // s
          for (; V > knots(105).si(); V -= 9.80665 * (1.0 / ratio - std::max(0.0, -slope)) * kStep) {
            floated += (V - w) * kStep;
          }
          const double share = (knots(105.0 + over_kt).si() - w) / (knots(105).si() - w);
          const double braked = in_metres(calm.value.dry) * share * share;
          const double by_float = in_metres(calm.value.dry) + floated;
          const double found = in_metres(gusty.value.dry);
          CHECK(found >= std::max(braked, by_float) - 0.02);
          // Exact, but where the rule's share on slope is more than the float's own.
          if (slope >= 0.0 || ratio * 0.05 > 0.2 + 1e-9) {
            CHECK(found == Approx(std::max(braked, by_float)).margin(0.02));
          }
        }
      }
    }
  }
  jet.c.aircraft.polar.glide_ratio_landing_flap = 20.0;  // a runway that falls by 5 % falls with it
  const aircraft::Performance flat(jet.c.aircraft, kilograms(4740));
  const auto on_slope = [&](Speed over) {
    return aircraft::powered_landing_distance(flat, flat.conditions(air, {metres(0)}),
                                              {earth::Surface::paved, -0.05, {}},
                                              jet.c.policy.landing_assessment->charge, jet.c.policy.stop, over);
  };
  CHECK(on_slope({}).usable());
  CHECK(on_slope(knots(5)).axis == "slope of the landing runway");
}

TEST_CASE("A surface that neither file nor policy knows is not assessed, and said so", "[decision][reference]") {
  const Jet jet;
  const auto back = jet.on("24", earth::Surface::gravel);
  CHECK(back.worlds.empty());
  CHECK(back.not_assessed == "surface of the landing runway: neither aircraft file nor policy has a factor for it");
  CHECK_FALSE(back.fits());
  CHECK(in_metres(jet.on("24", earth::Surface::grass_wet).worlds.front().distance.of_the_day()) ==
        Approx(960.0 * 1.6));  // [A335]
}

TEST_CASE("The file's own note on a surface comes before the policy's row", "[decision][reference]") {
  Jet jet;
  jet.c.aircraft.landing_from_50ft->surface_factor.of[earth::Surface::wet_paved] = 1.3;
  const auto back = jet.on("24", earth::Surface::wet_paved);
  CHECK(needed(back, 0) == Approx(960.0 * 1.3));
  CHECK(back.worlds.front().distance.surface_source == "aircraft file");
}

TEST_CASE("Downhill lengthens a landing with power by a twentieth for each per cent, uphill is not credited",
          "[aircraft][reference]") {
  // AMC2 CAT.POL.A.430
  const Jet jet;
  const aircraft::Performance performance(jet.c.aircraft, kilograms(4740));
  const earth::Air air(hectopascals(1013.25), {metres(0)}, celsius(15), earth::DensityRule::aerodrome);
  const auto at = [&](double slope) {
    const auto found = aircraft::powered_landing_distance(performance, performance.conditions(air, {metres(0)}),
                                                          {earth::Surface::paved, slope, {}},
                                                          jet.c.policy.landing_assessment->charge, jet.c.policy.stop);
    REQUIRE(found.usable());
    return in_metres(found.value.of_the_day());
  };
  CHECK(at(-0.02) == Approx(960.0 * 1.10));
  CHECK(at(0.02) == Approx(960.0));
}

TEST_CASE("Wind above a limit is said, of the plan or else of the world that has most of it", "[decision][reference]") {
  Jet jet;
  jet.c.policy.bracket.worlds = {{"reported", 1.0, false, false, {}, 1.0}, {"strong", 1.5, false, false, {}, 1.0}};
  jet.c.aircraft.limits.tailwind = knots(12);
  CHECK(jet.on("06", earth::Surface::wet_paved).findings.front() ==
        "tailwind up to 15.0 kt (strong), more than the 12 kt of the aircraft file");
  jet.c.aircraft.limits.tailwind = knots(9);
  CHECK(jet.on("06", earth::Surface::wet_paved).findings.front() ==
        "tailwind 10.0 kt, more than the 9 kt of the aircraft file");
  jet.c.aircraft.limits.tailwind.reset();
  CHECK(jet.on("06", earth::Surface::wet_paved).findings.front() ==
        "tailwind 10.0 kt: the aircraft file states no limit");
  CHECK(jet.on("24", earth::Surface::wet_paved).findings.size() == 1);  // the overweight landing alone
}

}  // namespace
