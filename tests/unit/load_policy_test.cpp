#include "backfield/io/load.hpp"
#include "backfield/io/render_finding.hpp"

#include <catch2/catch.hpp>

using namespace backfield;
using aircraft::AircraftClass;

namespace {

decision::Policy load(const std::string& name) {
  const auto loaded = io::load_policy(BACKFIELD_SOURCE_DIR "/cases/policy/" + name + ".yaml");
  INFO(io::render(loaded.findings));
  REQUIRE(loaded.ok());
  CHECK(loaded.findings.empty());
  return *loaded.value;
}

}  // namespace

TEST_CASE("The default policy reads as it is written", "[io][policy]") {
  const decision::Policy p = load("default");
  CHECK(p.name == "default");
  CHECK(p.model.density == earth::DensityRule::local);
  CHECK(p.model.angle == flight::AngleRule::exact);
  CHECK(p.model.shear == flight::ShearRule::on);
  CHECK(p.model.wind == flight::WindRule::profile);
  CHECK(p.model.roll == flight::RollRule::rate);
  CHECK(p.model.entry == flight::EntryRule::flown);
  CHECK(p.technique.reaction.si() == 4.0);
  CHECK(p.technique.glide_factor == 0.9);
  REQUIRE(p.technique.banks.size() == 2);
  CHECK(in_degrees(p.technique.banks[0]) == Approx(30.0));
  CHECK(in_degrees(p.technique.banks[1]) == Approx(45.0));
  CHECK(in_degrees(p.technique.line_up_bank.value()) == Approx(30.0));
  CHECK(p.technique.turn_stall_margin == 1.2);
  CHECK(p.technique.half_gust_on_speed);
  CHECK(p.technique.roll_allowance.si() == 0.0);
  CHECK(p.technique.briefed_reversals == 1);
  CHECK(p.technique.landing_flap_on_final);
  CHECK_FALSE(p.technique.slip_on_final);
  CHECK(in_feet(p.alignment_height.at(AircraftClass::single_piston_fixed_gear)) == Approx(100.0));
  CHECK(in_feet(p.alignment_height.at(AircraftClass::single_piston_retractable)) == Approx(150.0));
  CHECK(in_feet(p.alignment_height.at(AircraftClass::single_turboprop)) == Approx(200.0));
  CHECK(in_feet(p.alignment_height.at(AircraftClass::light_jet)) == Approx(300.0));
  CHECK(p.alignment_height.size() == 6);
  CHECK(p.stop.landing_roll_factor == 1.15);
  CHECK(in_knots(p.stop.tailwind_not_briefed_above) == Approx(20.0));
  CHECK(in_feet(p.gates.rounding) == Approx(50.0));
  CHECK(in_feet(p.gates.minimum_window) == Approx(200.0));
  CHECK(p.gates.minimum_window_time.si() == 15.0);
  CHECK(p.gates.most_gates == 4);
  CHECK(p.gates.prefer_below == decision::Preference::ground_ahead);
  CHECK(p.gates.prefer_above == decision::Preference::runway);
  CHECK(in_feet(p.gates.prefer_runway_above) == Approx(1000.0));
  REQUIRE(p.sector.steps.size() == 2);
  CHECK(in_degrees(p.sector.steps[1].half_width) == Approx(60.0));
  CHECK(p.scan_end.si() == 300.0);
  CHECK(in_feet(p.scan_height) == Approx(3000.0));
  CHECK(p.scan_limit.si() == 720.0);
  CHECK(in_feet(p.clearance.over_obstacles) == Approx(100.0));
  CHECK(p.clearance.beside_obstacles.si() == 100.0);
  CHECK(in_feet(p.clearance.over_areas.value()) == Approx(1000.0));
  CHECK(p.clearance.beside_areas.si() == 0.0);
}

TEST_CASE("Each world of the default bracket moves one thing from the plan", "[io][policy]") {
  const decision::BracketRule b = load("default").bracket;
  REQUIRE(b.worlds.size() == 7);
  for (std::size_t i = 0; i < b.worlds.size(); ++i) {
    const decision::WorldRule& w = b.worlds[i];
    CAPTURE(w.name);
    const bool wind = w.wind_factor != 1.0 || w.at_least_gust;
    const int moved = (wind ? 1 : 0) + (w.shift.si() != 0.0 ? 1 : 0) + (w.climb_factor != 1.0 ? 1 : 0);
    if (i == 0) {
      CHECK(moved == 0);
      CHECK(w.profile);
    } else if (w.name == "light") {
      // The exception: half the wind, and none more above, since light air is rarely sheared by the surface.
      CHECK(w.wind_factor == 0.5);
      CHECK_FALSE(w.profile);
      CHECK(moved == 1);
    } else {
      CHECK(moved + (w.profile ? 0 : 1) == 1);
    }
  }
  CHECK(b.worlds[3].wind_factor == 1.5);
  CHECK(b.worlds[3].at_least_gust);
  CHECK(in_degrees(b.worlds[4].shift) == Approx(-20.0));
  CHECK(in_degrees(b.worlds[5].shift) == Approx(20.0));
  CHECK(b.worlds[6].climb_factor == 0.9);
  CHECK(in_knots(b.calm_speed) == Approx(3.0));
  REQUIRE(b.calm_directions.size() == 4);
  CHECK(in_degrees(b.calm_directions[3]) == Approx(270.0));
  CHECK(b.profile_exponent == 0.143);
}

TEST_CASE("The plain policy switches everything off that a pocket calculator has not got", "[io][policy]") {
  const decision::Policy p = load("plain");
  CHECK(p.model.density == earth::DensityRule::aerodrome);
  CHECK(p.model.angle == flight::AngleRule::small);
  CHECK(p.model.shear == flight::ShearRule::off);
  CHECK(p.model.wind == flight::WindRule::uniform);
  CHECK(p.model.roll == flight::RollRule::allowance);
  CHECK(p.model.entry == flight::EntryRule::speed_kept);
  CHECK_FALSE(p.technique.line_up_bank);
  CHECK(p.clearance.over_obstacles.si() == 0.0);
  CHECK(p.clearance.beside_obstacles.si() == 0.0);
  CHECK_FALSE(p.clearance.over_areas);
  CHECK_FALSE(p.technique.half_gust_on_speed);
  CHECK_FALSE(p.technique.landing_flap_on_final);
  CHECK_FALSE(p.technique.slip_on_final);
  CHECK(in_feet(p.technique.roll_allowance) == Approx(20.0));
  for (const auto& [kind, height] : p.alignment_height) CHECK(in_feet(height) == Approx(100.0));
  REQUIRE(p.bracket.worlds.size() == 1);
  CHECK_FALSE(p.bracket.worlds[0].profile);
  CHECK(p.bracket.calm_directions.empty());
  CHECK(p.gates.rounding.si() == 0.0);
  CHECK(p.gates.minimum_window.si() == 0.0);
  CHECK(p.gates.minimum_window_time.si() == 0.0);
}

TEST_CASE("Both policies charge take-offs and landings with power by the published factors", "[io][policy]") {
  for (const char* name : {"default", "plain"}) {
    const decision::Policy p = load(name);
    REQUIRE(p.landing_assessment);
    const auto& rule = *p.landing_assessment;
    CHECK(rule.charge.headwind_credit == 0.0);
    CHECK(rule.charge.tailwind_charge == 1.0);
    CHECK(rule.charge.surface.at(earth::Surface::wet_paved).factor == 1.15);
    CHECK(rule.charge.surface.at(earth::Surface::contaminated).factor == 2.0);
    CHECK(rule.charge.surface.count(earth::Surface::gravel) == 0);
    REQUIRE(rule.margins.size() == 5);
    CHECK(rule.margins[1].factor == 1.15);
    CHECK(rule.margins[1].use == decision::MarginUse::decides);
    CHECK(rule.margins[2].factor == 1.43);
    CHECK(rule.margins[3].factor == 1.67);
    CHECK(rule.margins[3].use == decision::MarginUse::planning);
    CHECK(rule.margins[4].least_surface == 1.15);
    REQUIRE(p.take_off);
    CHECK(p.take_off->tora_alone == 1.25);
    CHECK(p.take_off->tora == 1.0);
    CHECK(p.take_off->toda == 1.15);
    CHECK(p.take_off->asda == 1.3);
  }
}
