// What must hold for every take-off, landing with power and load.

#include "backfield/aircraft/distances.hpp"
#include "backfield/decision/assess.hpp"
#include "backfield/io/load.hpp"
#include "src/decision/runway_needs.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <random>

using namespace backfield;

namespace {

constexpr int kTimes = 400;

decision::Case trainer_case() {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/demo/case.yaml");
  REQUIRE(loaded.ok());
  return *loaded.value;
}

/// Draws of one day.
struct Draw {
  std::mt19937 random{20260801};
  double between(double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); }
};

struct Day {
  double mass_kg, temperature_c, headwind_kt, slope;
};
/// Inside the tables: below them the lowest row serves, whose distance does not fall with the speeds any more.
Day any_day(Draw& draw) {
  return {draw.between(900, 1100), draw.between(-20, 38), draw.between(-20, 30), draw.between(-0.03, 0.03)};
}

class Trainer {
 public:
  Trainer() : c_(trainer_case()) {}
  [[nodiscard]] double landing_m(const Day& d, earth::Surface surface = earth::Surface::paved) const {
    const aircraft::Performance p(c_.aircraft, kilograms(d.mass_kg));
    const auto found = aircraft::powered_landing_distance(p, conditions(p, d), {surface, d.slope, knots(d.headwind_kt)},
                                                          c_.policy.landing_assessment->charge, c_.policy.stop);
    REQUIRE(found.usable());
    return in_metres(found.value.of_the_day());
  }
  [[nodiscard]] double take_off_m(const Day& d) const {
    const aircraft::Performance p(c_.aircraft, kilograms(d.mass_kg));
    const auto found = aircraft::take_off_distances(
        p, conditions(p, d), {earth::Surface::paved, d.slope, knots(d.headwind_kt)}, c_.policy.stop);
    REQUIRE(found.usable());
    return in_metres(found.value.to_50ft);
  }
  [[nodiscard]] const decision::Case& the_case() const { return c_; }

 private:
  static aircraft::Conditions conditions(const aircraft::Performance& p, const Day& d) {
    const earth::Altitude elevation{feet(640)};
    return p.conditions(
        earth::Air(hectopascals(1013), elevation, celsius(d.temperature_c), earth::DensityRule::aerodrome), elevation);
  }
  decision::Case c_;
};

}  // namespace

TEST_CASE("Lighter, colder or more headwind never lengthens a take-off or a landing with power", "[laws][distances]") {
  const Trainer trainer;
  Draw draw;
  int shorter = 0;
  for (int i = 0; i < kTimes; ++i) {
    const Day day = any_day(draw);
    CAPTURE(i, day.mass_kg, day.temperature_c, day.headwind_kt, day.slope);
    const double landing = trainer.landing_m(day);
    const double take_off = trainer.take_off_m(day);
    for (int what = 0; what < 3; ++what) {
      Day better = day;
      if (what == 0) better.mass_kg = draw.between(900, day.mass_kg);
      if (what == 1) better.temperature_c = draw.between(-20, day.temperature_c);
      if (what == 2) better.headwind_kt = day.headwind_kt + draw.between(0, 10);
      CHECK(trainer.landing_m(better) <= landing + 1e-9);
      CHECK(trainer.take_off_m(better) <= take_off + 1e-9);
      shorter += trainer.landing_m(better) < landing - 0.1 ? 1 : 0;
    }
  }
  CHECK(shorter > kTimes / 2);
}

TEST_CASE("No headwind is counted and all of a tailwind is", "[laws][distances]") {
  const Trainer trainer;
  Draw draw;
  for (int i = 0; i < kTimes; ++i) {
    Day day = any_day(draw);
    day.headwind_kt = 0.0;
    const double still = trainer.landing_m(day);
    Day head = day;
    head.headwind_kt = draw.between(0, 30);
    CHECK(trainer.landing_m(head) == Approx(still));
    Day tail = day;
    tail.headwind_kt = -draw.between(1, 20);
    CHECK(trainer.landing_m(tail) > still);
  }
}

TEST_CASE("The square over all of the distance is no less than physics asks of air and roll", "[laws][distances]") {
  // Air part with (V + w)/V at v_ref, roll with ((Vtd + w)/Vtd)^2, for a quarter to all of it in the air.
  Draw draw;
  for (int i = 0; i < 10 * kTimes; ++i) {
    const double v_ref = draw.between(50, 120);
    const double v_td = v_ref / draw.between(1.0, 1.15);
    const double tail = draw.between(0, 20);
    const double in_air = draw.between(0.25, 1.0);
    const double physics = in_air * (v_ref + tail) / v_ref + (1.0 - in_air) * std::pow((v_td + tail) / v_td, 2.0);
    CHECK(std::pow((v_ref + tail) / v_ref, 2.0) >= physics - 1e-12);
  }
}

TEST_CASE("Margins and surfaces are needed in the order of their factors", "[laws][distances]") {
  const Trainer trainer;
  const decision::Case& c = trainer.the_case();
  const auto worlds = decision::bracket(c);
  for (const earth::RunwayEnd& stated : c.options) {
    double before = 0.0;
    for (const auto surface :
         {earth::Surface::paved, earth::Surface::wet_paved, earth::Surface::grass_wet, earth::Surface::contaminated}) {
      earth::RunwayEnd end = stated;
      end.surface = surface;
      const auto back = decision::powered_return(c, end, worlds);
      REQUIRE(back.worlds.size() == worlds.size());
      for (const decision::PoweredLanding& landing : back.worlds) {
        for (std::size_t i = 1; i < landing.needs.size(); ++i) {
          CHECK(landing.needs[i].needed >= landing.needs[i - 1].needed);
        }
      }
      CHECK(in_metres(back.worlds.front().needs.front().needed) > before);
      before = in_metres(back.worlds.front().needs.front().needed);
      for (const decision::PoweredLanding& landing : back.worlds) {
        CHECK(landing.distance.dry <= back.worlds[back.worst].distance.dry);
      }
    }
  }
}

TEST_CASE("A longer runway never worsens a landing or a take-off", "[laws][distances]") {
  decision::Case c = trainer_case();
  const auto worlds = decision::bracket(c);
  c.options.resize(1);
  c.policy.scan_end = c.policy.scan_limit = seconds(15);
  Draw draw;
  for (int i = 0; i < 30; ++i) {
    earth::RunwayEnd& end = c.departure.end;
    end.tora = metres(draw.between(300, 600));
    end.toda = *end.tora + metres(draw.between(0, 200));
    end.asda = *end.tora + metres(draw.between(0, 200));
    end.lda = metres(draw.between(300, 600));
    const auto landing = decision::powered_return(c, end, worlds);
    const auto take_off = decision::assess(c, 1).take_off;
    const Length more = metres(draw.between(0, 300));
    const int which = i % 4;
    if (which == 0) end.tora = *end.tora + more;
    if (which == 0 || which == 1) end.toda = std::max(*end.toda + more, *end.tora);
    if (which == 0 || which == 2) end.asda = std::max(*end.asda + more, *end.tora);
    if (which == 3) end.lda = *end.lda + more;
    const auto longer_landing = decision::powered_return(c, end, worlds);
    const auto longer_take_off = decision::assess(c, 1).take_off;
    REQUIRE(take_off.worlds.size() == worlds.size());
    for (std::size_t w = 0; w < worlds.size(); ++w) {
      CHECK(longer_take_off.worlds[w].deciding().left() >= take_off.worlds[w].deciding().left());
      CHECK(longer_landing.worlds[w].deciding().left() >= landing.worlds[w].deciding().left());
    }
    CHECK((longer_take_off.fits() || !take_off.fits()));
  }
}

TEST_CASE("Moving the datum moves every arm and no verdict", "[laws][loading]") {
  Draw draw;
  const auto loaded = io::load_aircraft(BACKFIELD_SOURCE_DIR "/aircraft/trainer.yaml");
  REQUIRE(loaded.ok());
  const aircraft::Loading& loading = *loaded.value->loading;
  int inside = 0;
  for (int i = 0; i < kTimes; ++i) {
    std::vector<Mass> at;
    for (const aircraft::Station& station : loading.stations) {
      at.push_back(kilograms(draw.between(0, station.is_tank() ? 108 : 1.2 * in_kilograms(*station.maximum))));
    }
    const Length shift = metres(draw.between(-5, 5));
    aircraft::Loading moved = loading;
    moved.empty_arm += shift;
    for (auto& station : moved.stations) station.arm += shift;
    for (auto& corner : moved.envelope) corner.arm += shift;
    const auto here = aircraft::balance(loading, kilograms(700), at);
    const auto there = aircraft::balance(moved, kilograms(700), at);
    CHECK(in_kilograms(here.mass) == Approx(in_kilograms(there.mass)));
    CHECK(in_metres(there.arm - here.arm) == Approx(in_metres(shift)).margin(1e-9));
    const auto standing = aircraft::standing_in_envelope(loading.envelope, here);
    CHECK(standing.inside() == aircraft::standing_in_envelope(moved.envelope, there).inside());
    inside += standing.inside() ? 1 : 0;
  }
  CHECK(inside > kTimes / 10);
  CHECK(inside < kTimes * 9 / 10);
}

TEST_CASE("Inside the envelope is what a ray through its edges says, and what is missed mends it", "[laws][loading]") {
  Draw draw;
  int inside = 0;
  int outside = 0;
  for (int i = 0; i < 4 * kTimes; ++i) {
    // Starlike about (900 kg, 1 m), with some corners drawn in.
    std::vector<aircraft::MassAndArm> envelope;
    const int corners = 3 + i % 6;
    for (int k = 0; k < corners; ++k) {
      const double angle = 2.0 * kPi * (k + draw.between(0.1, 0.9)) / corners;
      const double out = draw.between(0.3, 1.0);
      envelope.push_back({kilograms(900 + 200 * out * std::sin(angle)), metres(1.0 + 0.2 * out * std::cos(angle))});
    }
    const aircraft::MassAndArm what{kilograms(draw.between(680, 1120)), metres(draw.between(0.75, 1.25))};
    bool odd = false;
    bool at_edge = false;
    for (std::size_t a = 0; a < envelope.size(); ++a) {
      const auto& p = envelope[a];
      const auto& q = envelope[(a + 1) % envelope.size()];
      if ((p.mass > what.mass) == (q.mass > what.mass)) continue;
      const double share = (what.mass - p.mass) / (q.mass - p.mass);
      const Length edge = p.arm + (q.arm - p.arm) * share;
      at_edge = at_edge || std::abs((what.arm - edge).si()) < 1e-4;  // taken as rounding
      if (what.arm < edge) odd = !odd;
    }
    if (at_edge) continue;
    const auto standing = aircraft::standing_in_envelope(envelope, what);
    CAPTURE(i, in_kilograms(what.mass), in_metres(what.arm), aircraft::in_words(standing));
    CHECK(standing.inside() == odd);
    CHECK(aircraft::in_words(standing).empty() == standing.inside());
    (odd ? inside : outside) += 1;
    if (standing.too_heavy.si() > 0.0 || standing.too_light.si() > 0.0) continue;
    const aircraft::MassAndArm mended{what.mass, what.arm + standing.forward_by - standing.aft_by};
    CHECK(aircraft::standing_in_envelope(envelope, mended).inside());
  }
  CHECK(inside > kTimes / 2);
  CHECK(outside > kTimes / 2);
}
