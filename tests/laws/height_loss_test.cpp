// Whole cases with and without landing flap and slips against excess height: more means of losing height take no window
// away, and what needs them is said.

#include "backfield/decision/assess.hpp"
#include "backfield/io/load.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <string>

using namespace backfield;

namespace {

constexpr double kEdge_ft = 1.0;  // edges are found to 0.2 ft and lie as much inside

bool covers(const decision::Window& outer, const decision::Window& inner) {
  const bool same = outer.aerodrome == inner.aerodrome && outer.runway == inner.runway && outer.side == inner.side &&
                    outer.world == inner.world && outer.bank.si() == inner.bank.si();
  return same && outer.heights.low <= inner.heights.low + feet(kEdge_ft) &&
         (outer.open_above() || outer.heights.high >= inner.heights.high - feet(kEdge_ft));
}

std::vector<decision::Window> windows_of(const decision::Answer& answer) {
  std::vector<decision::Window> all;
  for (const decision::RunwayOption& option : answer.options) {
    for (const decision::SideAnswer& side : option.sides) {
      all.insert(all.end(), side.windows.begin(), side.windows.end());
    }
  }
  return all;
}

}  // namespace

TEST_CASE("More means of losing height take no window away, and what needs them is said", "[decision][law]") {
  unsigned with_flap = 0;
  unsigned windows = 0;
  for (const char* name : {"demo", "short-strip-strong-wind", "long-runway-headwind"}) {
    CAPTURE(name);
    auto loaded = io::load_case(std::string(BACKFIELD_SOURCE_DIR "/cases/") + name + "/case.yaml");
    REQUIRE(loaded.value);
    decision::Case c = *loaded.value;
    auto policy = io::load_policy(BACKFIELD_SOURCE_DIR "/cases/policy/default.yaml");
    REQUIRE(policy.value);
    c.policy = *policy.value;
    const auto answer = [&](bool flap, bool slip) {
      c.policy.technique.landing_flap_on_final = flap;
      c.policy.technique.slip_on_final = slip;
      c.aircraft.limits.slip_allowed = true;
      c.aircraft.polar.glide_ratio_slip = 4.5;
      return windows_of(decision::assess(c));
    };
    const auto clean = answer(false, false);
    const auto flap = answer(true, false);
    const auto slip = answer(true, true);
    const auto each_covered = [](const std::vector<decision::Window>& inner,
                                 const std::vector<decision::Window>& outer) {
      for (const decision::Window& w : inner) {
        CAPTURE(w.runway, flight::name_of(w.side), w.world, in_degrees(w.bank), in_feet(w.heights.low),
                in_feet(w.heights.high));
        CHECK(std::any_of(outer.begin(), outer.end(), [&](const auto& o) { return covers(o, w); }));
      }
    };
    each_covered(clean, flap);
    each_covered(flap, slip);
    windows += static_cast<unsigned>(clean.size());
    for (const decision::Window& w : clean) {
      CHECK_FALSE(w.height_loss.landing_flap);
      CHECK_FALSE(w.height_loss.slip);
    }
    for (const decision::Window& w : flap) {
      CHECK_FALSE(w.height_loss.slip);
      // What reaches farther than without flap says that it needs it.
      const bool known = std::any_of(clean.begin(), clean.end(), [&](const auto& o) { return covers(o, w); });
      CAPTURE(w.runway, flight::name_of(w.side), w.world, in_degrees(w.bank), in_feet(w.heights.low),
              in_feet(w.heights.high));
      CHECK(known != w.height_loss.landing_flap.has_value());
      if (w.height_loss.landing_flap) {
        ++with_flap;
        CHECK(w.heights.contains(w.height_loss.landing_flap->low));
        CHECK(w.heights.contains(w.height_loss.landing_flap->high));
      }
    }
  }
  CHECK(windows > 50);
  CHECK(with_flap >= 3);
}
