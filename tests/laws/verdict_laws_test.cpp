// What must hold of the verdict on a return without power, for every shipped aircraft: in still air, at the same height
// of failure, it is never worse with less mass, in colder air or with more power; a longer runway takes no return away.
// A return lost is lost, also where every path is too high instead; none is. No grace is given for the edges of
// windows, which are found to within 15 ft (tests/laws/case_edges_test.cpp): in still air none was needed at any height
// asked.
//
// In wind such a day may lose a return, and those are counted. What is lighter or in colder air glides slower, and gets
// less far against the wind. And what climbs better fails nearer to the runway, where a wind that carries it there
// while it turns leaves too little room for the turns: gliding on first mends it or, with little to spare, does not.
// The search puts a turn off only where there is height to spare (DEVELOPERS.md, known gaps).

#include "tests/tools/case_flights.hpp"
#include "tests/tools/fleet.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <functional>
#include <optional>
#include <vector>

using namespace backfield;
using namespace backfield::test;

namespace {

constexpr double kStep_ft = 100.0;
constexpr double kHighest_ft = 2500.0;

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

  /// One runway end, bank and side; asked at a height, and with the turn begun so much later.
  struct Question {
    std::string name;
    std::function<std::optional<bool>(double, Duration)> reached;
  };
  void each(const std::function<void(const Question&, double)>& call) const {
    const CaseFlights::Flight& flown = flights_.flights().front();
    for (const Angle bank : flights_.the_case().policy.technique.banks) {
      const flight::PathFinder at_once(flights_.setup(flown, bank));
      for (const earth::RunwayEnd& end : flights_.the_case().options) {
        const auto goal = flights_.goal(end, flown.world);
        const auto target = goal ? at_once.target(*goal) : nullptr;
        for (const std::size_t side : {0U, 1U}) {
          const auto of = [&](const flight::PathFinder& finder, const flight::PathFinder::Target& to, double h_ft) {
            const auto t = flown.timeline.when_at_height(feet(h_ft));
            if (!t) return std::optional<bool>{};
            const auto fan = finder.fan(flown.timeline.at(*t));
            return std::optional(fan && finder.reach(*fan, to)[side].status == flight::ReachStatus::reached);
          };
          const auto reached = [&](double h_ft, Duration later) -> std::optional<bool> {
            if (!target) return false;
            if (later.si() == 0.0) return of(at_once, *target, h_ft);
            flight::PathFinderSetup setup = flights_.setup(flown, bank);
            setup.technique.reaction = setup.technique.reaction + later;
            const flight::PathFinder late(setup);
            const auto to = late.target(*goal);
            return to ? of(late, *to, h_ft) : std::optional(false);
          };
          const Question question{end.designator + (side == 0 ? " left, " : " right, ") +
                                      std::to_string(std::lround(in_degrees(bank))) + " deg",
                                  reached};
          for (double h = 200.0; h <= kHighest_ft; h += kStep_ft) call(question, h);
        }
      }
    }
  }

 private:
  CaseFlights flights_;
};

struct Tally {
  int compared = 0;
  int late_turn = 0;  ///< no return by a turn at once, but by one begun up to 20 s later
  int lost = 0;
  std::string text;
};

/// Every return of the worse day has to be there on the better one.
void compare(const decision::Case& worse, const decision::Case& better, Tally& tally) {
  std::vector<bool> of_the_worse;
  Verdicts(worse).each([&](const auto& q, double h) { of_the_worse.push_back(q.reached(h, {}).value_or(false)); });
  std::size_t i = 0;
  Verdicts(better).each([&](const auto& q, double h) {
    if (!of_the_worse.at(i++)) { return; }
    const auto now = q.reached(h, {});
    if (!now) { return; }
    ++tally.compared;
    if (*now) { return; }
    tally.text += better.aircraft.name + ", " + q.name + " at " + std::to_string(std::lround(h)) + " ft\n";
    for (double later = 1.0; later <= 20.0; later += 1.0) {
      if (!q.reached(h, seconds(later)).value_or(false)) { continue; }
      ++tally.late_turn;
      return;
    }
    ++tally.lost;
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
    WARN(file << ": compared " << tally.compared);
    CHECK(tally.compared > 20);
    CHECK(tally.lost + tally.late_turn == 0);
  }
}

TEST_CASE("In wind less mass, colder air and more power may lose a return; that is rare, and counted",
          "[decision][law]") {
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
    for (const Tally* t : {&slower, &power}) {
      WARN(file << (t == &power ? ", more power" : ", lighter or colder") << ": compared " << t->compared
                << ", by a later turn only " << t->late_turn << ", lost " << t->lost);
      CHECK(t->compared > 20);
    }
    // What remains is explained at the head of this file. The bounds are the worst found: 4 late of 196 and 2 lost of
    // 98 (twin turboprop), 6 late of 72 (light jet, more power).
    CHECK(slower.late_turn * 49 <= slower.compared);
    CHECK(slower.lost == 0);
    CHECK(power.late_turn * 12 <= power.compared);
    CHECK(power.lost * 49 <= power.compared);
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
    WARN(file << ": compared " << tally.compared);
    CHECK(tally.compared > 20);
    CHECK(tally.lost + tally.late_turn == 0);
  }
}
