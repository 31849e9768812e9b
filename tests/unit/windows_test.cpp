#include "backfield/decision/windows.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace backfield;
using namespace backfield::decision;

namespace {

/// A straight climb for 300 s.
flight::Timeline climb(double feet_per_second = 12.0) {
  std::vector<flight::AirState> nodes;
  for (int i = 0; i <= 600; ++i) {
    flight::AirState s;
    s.time_s = 0.5 * i;
    s.height_m = feet(feet_per_second * s.time_s).si();
    nodes.push_back(s);
  }
  return {{}, nodes, "scan complete"};
}

double height_ft(const flight::Timeline& t, Duration time) { return in_feet(metres(t.at(time).height_m)); }

std::vector<Span> ask(const flight::Timeline& t, const Judge& judge) {
  const auto times = moments(t);
  std::vector<Verdict> at;
  for (const Duration time : times) at.push_back(judge(time));
  return windows(t, times, at, judge, feet(50).si());
}

}  // namespace

TEST_CASE("Moments are close enough that a window of 50 ft always holds one", "[decision][windows]") {
  const auto t = climb();
  const auto times = moments(t);
  CHECK(times.front() == t.begin());
  CHECK(times.back() == t.end());
  for (std::size_t i = 1; i < times.size(); ++i) {
    CHECK(height_ft(t, times[i]) - height_ft(t, times[i - 1]) < 50.0);
    CHECK((times[i] - times[i - 1]).si() <= 4.5);
  }
}

TEST_CASE("Edges are found to a foot and a tenth of a second, on the working side", "[decision][windows]") {
  const auto t = climb();
  for (const double low : {603.3, 1210.7}) {
    const double high = low + 555.5;
    const auto spans = ask(t, [&](Duration time) {
      const double h = height_ft(t, time);
      const double margin = std::min(h - low, high - h);
      return Verdict{margin >= 0.0, margin * kMetresPerFoot, h > high ? Limit::too_high : Limit::reach};
    });
    REQUIRE(spans.size() == 1);
    const double found_low = height_ft(t, spans[0].times.low);
    const double found_high = height_ft(t, spans[0].times.high);
    CHECK(found_low >= low);
    CHECK(found_low < low + 1.3);
    CHECK(found_high <= high);
    CHECK(found_high > high - 1.3);
    CHECK(spans[0].lower == Limit::reach);
    CHECK(spans[0].upper == Limit::too_high);
  }
}

TEST_CASE("Every window of 50 ft is found, wherever it lies", "[decision][windows]") {
  const auto t = climb();
  for (double low = 200.0; low < 3000.0; low += 37.7) {
    const auto spans = ask(t, [&](Duration time) {
      const double h = height_ft(t, time);
      return Verdict{h >= low && h <= low + 50.0, h >= low && h <= low + 50.0 ? 1.0 : -1e9, Limit::reach};
    });
    CAPTURE(low);
    CHECK(spans.size() == 1);
  }
}

TEST_CASE("In a steep climb a window of 50 ft is kept, too, and one of 20 ft never listed", "[decision][windows]") {
  const auto t = climb(40.0);
  for (const double width : {20.0, 50.0}) {
    for (double low = 200.0; low < 3000.0; low += 37.7) {
      const auto spans = ask(t, [&](Duration time) {
        const double h = height_ft(t, time);
        const bool works = h >= low && h <= low + width;
        return Verdict{works, works ? 1.0 : -1e9, Limit::reach};
      });
      CAPTURE(width, low);
      CHECK(spans.size() == (width < 48.0 ? 0 : 1));
    }
  }
}

TEST_CASE("A narrow hole under a margin that nearly reaches zero is found", "[decision][windows]") {
  const auto t = climb();
  for (double hole = 500.0; hole < 2500.0; hole += 61.3) {
    const auto spans = ask(t, [&](Duration time) {
      const double margin = std::abs(height_ft(t, time) - hole) - 8.0;  // 16 ft wide
      return Verdict{margin >= 0.0, margin * kMetresPerFoot, Limit::reach};
    });
    CAPTURE(hole);
    CHECK(spans.size() == 2);
  }
}

TEST_CASE("All is one window from lift-off to the end of the scan, nothing is none", "[decision][windows]") {
  const auto t = climb();
  const auto all = ask(t, [](Duration) { return Verdict{true, 100.0, Limit::reach}; });
  REQUIRE(all.size() == 1);
  CHECK(all[0].lower == Limit::lift_off);
  CHECK(all[0].upper == Limit::scan_end);
  CHECK(ask(t, [](Duration) { return Verdict{false, -100.0, Limit::reach}; }).empty());
}
