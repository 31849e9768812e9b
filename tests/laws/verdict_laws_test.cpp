// What must hold of the verdict on a return without power, for every shipped aircraft: in still air, at the same height
// of failure, it is never worse with less mass, in colder air or with more power; a longer runway takes no return away.
// A path that is too high is neither better nor worse, and is counted apart. In wind less mass and colder air may lose
// a return: both glide slower, and what is slower gets less far against the wind; such losses are counted.

#include "tests/tools/case_flights.hpp"
#include "tests/tools/fleet.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <functional>
#include <optional>
#include <vector>

using namespace backfield;
using namespace backfield::test;

namespace {

/// Edges of windows are found to within 15 ft (tests/laws/case_edges_test.cpp).
constexpr double kFound_ft = 15.0;
constexpr double kStep_ft = 100.0;
constexpr double kHighest_ft = 2500.0;

enum class Verdict { none, too_high, reached };

/// A calm day, one world, the aeroplane at its greatest mass.
decision::Case day(const std::string& aircraft) {
  decision::Case c = load_case("cases/long-runway-calm/case.yaml");
  c.aircraft = load_aircraft(aircraft);
  c.mass = c.aircraft.max_take_off_mass;
  c.return_mass.reset();
  c.load_sheet.reset();
  c.policy.bracket.worlds.resize(1);
  c.policy.bracket.calm_directions.clear();
  return c;
}

/// Of one runway end, bank and side, by height of failure; nothing where the climb does not get.
class Verdicts {
 public:
  explicit Verdicts(const decision::Case& c) : flights_(c) {}

  /// Called with a name, and what is said at a height and `more_ft` above it.
  using Each = std::function<void(const std::string&, double, const std::function<std::optional<Verdict>(double)>&)>;
  void each(const Each& call) const {
    const CaseFlights::Flight& flown = flights_.flights().front();
    for (const Angle bank : flights_.the_case().policy.technique.banks) {
      const flight::PathFinder finder(flights_.setup(flown, bank));
      for (const earth::RunwayEnd& end : flights_.the_case().options) {
        const auto goal = flights_.goal(end, flown.world);
        const auto target = goal ? finder.target(*goal) : nullptr;
        for (const int side : {0, 1}) {
          const auto said = [&](double h_ft) -> std::optional<Verdict> {
            const auto t = flown.timeline.when_at_height(feet(h_ft));
            if (!t) return std::nullopt;
            const auto fan = target ? finder.fan(flown.timeline.at(*t)) : nullptr;
            if (!fan) return Verdict::none;
            const auto status = finder.reach(*fan, *target)[static_cast<std::size_t>(side)].status;
            return status == flight::ReachStatus::reached    ? Verdict::reached
                   : status == flight::ReachStatus::too_high ? Verdict::too_high
                                                             : Verdict::none;
          };
          const std::string name = end.designator + (side == 0 ? " left, " : " right, ") +
                                   std::to_string(static_cast<int>(in_degrees(bank))) + " deg";
          for (double h = 200.0; h <= kHighest_ft; h += kStep_ft) call(name, h, said);
        }
      }
    }
  }

 private:
  CaseFlights flights_;
};

struct Tally {
  int compared = 0, too_high = 0, lost = 0;
  std::string text;
};

/// Every return of the worse day has to be there on the better one.
void compare(const decision::Case& worse, const decision::Case& better, Tally& tally) {
  std::vector<std::optional<Verdict>> of_the_worse;
  Verdicts(worse).each([&](const std::string&, double h, const auto& said) { of_the_worse.push_back(said(h)); });
  std::size_t i = 0;
  Verdicts(better).each([&](const std::string& name, double h, const auto& said) {
    const auto before = of_the_worse.at(i++);
    if (before != Verdict::reached) return;
    const auto now = said(h);
    if (!now) return;
    ++tally.compared;
    if (now == Verdict::too_high) ++tally.too_high;
    if (now != Verdict::none) return;
    // An edge between the two, found less exactly.
    if (said(h + kFound_ft) != Verdict::none) return;
    ++tally.lost;
    tally.text += better.aircraft.name + ", " + name + " at " + std::to_string(static_cast<int>(h)) + " ft\n";
  });
}

decision::Case lighter(decision::Case c) {
  c.mass = c.mass * 0.9;
  return c;
}
decision::Case colder(decision::Case c) {
  c.weather.oat = celsius(in_celsius(c.weather.oat) - 20.0);
  return c;
}
decision::Case stronger(decision::Case c) {
  c.policy.bracket.worlds.front().climb_factor *= 1.1;
  return c;
}

}  // namespace

TEST_CASE("In still air less mass, colder air and more power take no return away", "[decision][law]") {
  for (const std::string& file : fleet()) {
    const decision::Case c = day(file);
    Tally tally;
    compare(c, lighter(c), tally);
    compare(c, colder(c), tally);
    compare(c, stronger(c), tally);
    CAPTURE(file, tally.text);
    WARN(file << ": compared " << tally.compared << ", too high instead " << tally.too_high);
    CHECK(tally.compared > 20);
    CHECK(tally.lost == 0);
  }
}

TEST_CASE("In wind what is lost by less mass or colder air is reach into it, and is counted", "[decision][law]") {
  for (const std::string& file : fleet()) {
    decision::Case c = day(file);
    c.weather.wind.variable = false;
    c.weather.wind.mean = knots(15);
    Tally slower, power;
    for (const double from_deg : {0.0, 180.0}) {
      c.weather.wind.from = c.departure.end.track.turned(degrees(from_deg));
      compare(c, lighter(c), slower);
      compare(c, colder(c), slower);
      compare(c, stronger(c), power);
    }
    CAPTURE(file, slower.text, power.text);
    WARN(file << ": compared " << slower.compared << ", too high instead " << slower.too_high << ", lost "
              << slower.lost << "; with more power " << power.compared << ", " << power.too_high << ", " << power.lost);
    CHECK(slower.compared > 20);
    CHECK(slower.lost * 20 <= slower.compared);
    CHECK(power.lost == 0);
  }
}

TEST_CASE("A longer runway takes no return away", "[decision][law]") {
  for (const std::string& file : fleet()) {
    decision::Case c = day(file);
    Tally tally;
    for (const double wind_kt : {0.0, 12.0}) {
      c.weather.wind.mean = knots(wind_kt);
      c.weather.wind.from = c.departure.end.track;
      // At the far end, and at the end where the roll begins, which lies behind it then.
      for (const bool far_end : {true, false}) {
        decision::Case longer = c;
        const Length more = metres(300);
        for (earth::RunwayEnd& end : longer.options) {
          const bool same_way = std::cos(earth::turn_between(c.departure.end.track, end.track).si()) > 0.0;
          if (same_way != far_end) end.pavement_start = earth::offset(end.pavement_start, end.track, -more);
          end.pavement = end.pavement + more;
          if (end.lda) end.lda = *end.lda + more;
        }
        compare(c, longer, tally);
      }
    }
    CAPTURE(file, tally.text);
    WARN(file << ": compared " << tally.compared << ", too high instead " << tally.too_high);
    CHECK(tally.compared > 20);
    CHECK(tally.lost == 0);
  }
}
