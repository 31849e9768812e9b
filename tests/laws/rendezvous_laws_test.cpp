// From one pose to another fixed one: every path is flown again, every path there is in a uniform wind is found, and
// what must not matter does not.

#include "tests/tools/amount.hpp"
#include "tests/tools/word_flight.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <cstring>

using namespace backfield;
using namespace backfield::test;
using flight::AirPose;
using flight::RendezvousGoal;
using flight::RendezvousResult;
using flight::RendezvousSetup;
using flight::Word;
using Along = flight::RendezvousGoal::Along;

namespace {

/// In tenths of what is asked ordinarily.
const int kTenths = static_cast<int>(amount("BACKFIELD_RENDEZVOUS", {.sanitized = 1, .ordinary = 10, .all = 50}));
int some_of(int ordinary) { return ordinary * kTenths / 10; }

/// An aeroplane and a wind of the maker's, and a place to go to. Stays where it is made: the performance points into
/// it.
struct Question {
  explicit Question(SceneMaker& maker)
      : scene(maker.scene()),
        pilot(word_pilot(scene, maker.chance(0.5) ? scene.bank : degrees(maker.between(20, 50)))),
        setup(pilot.setup) {
    const double reach = maker.chance(0.5) ? 700.0 : 3000.0;
    const auto place = [&] {
      return earth::Position{metres(maker.between(-reach, reach)), metres(maker.between(-reach, reach))};
    };
    const auto direction = [&] { return earth::TrueDirection(radians(maker.between(0, 2 * kPi))); };
    from = {place(), direction(), feet(maker.between(300, 5000))};
    to = {place(), direction(), maker.chance(0.7) ? Along::track : Along::heading};
    if (maker.chance(0.3)) setup.rank = RendezvousSetup::Rank::highest;
  }
  Question(const Question&) = delete;
  void make_uniform() { setup.wind = earth::WindProfile::uniform(setup.wind.surface()); }

  RandomScene scene;
  WordPilot pilot;
  RendezvousSetup setup;
  AirPose from;
  RendezvousGoal to;
};

double wrapped(double angle) { return angle - 2 * kPi * std::round(angle / (2 * kPi)); }

bool same(const RendezvousResult& a, const RendezvousResult& b, double within) {
  return a.word == b.word && std::abs(a.first_turn.si() - b.first_turn.si()) < within &&
         std::abs(a.middle_turn.si() - b.middle_turn.si()) < within &&
         std::abs(a.last_turn.si() - b.last_turn.si()) < within && std::abs(a.straight.si() - b.straight.si()) < within;
}

bool same_bytes(const RendezvousResult& a, const RendezvousResult& b) {
  const auto bytes = [](const auto& x, const auto& y) { return std::memcmp(&x, &y, sizeof(x)) == 0; };
  return a.word == b.word && bytes(a.first_turn, b.first_turn) && bytes(a.middle_turn, b.middle_turn) &&
         bytes(a.last_turn, b.last_turn) && bytes(a.straight, b.straight) && bytes(a.time, b.time) &&
         bytes(a.end_height, b.end_height);
}

/// What is to be least.
double price(const RendezvousSetup& setup, const AirPose& from, const RendezvousResult& r) {
  return setup.rank == RendezvousSetup::Rank::quickest ? r.time.si() : (from.height - r.end_height).si();
}

/// Any word with any controls. Three in ten turns are small, one in ten straights short: where words end.
RendezvousResult any_word(SceneMaker& maker) {
  RendezvousResult r;
  r.word = static_cast<Word>(std::min(5, static_cast<int>(maker.between(0, 6))));
  const auto turn = [&] { return maker.chance(0.3) ? maker.between(1e-6, 0.05) : maker.between(0.05, 2 * kPi - 1e-6); };
  const int first = r.word == Word::rsr || r.word == Word::rsl || r.word == Word::rlr ? 1 : -1;
  const int last = r.word == Word::rsr || r.word == Word::lsr || r.word == Word::rlr ? 1 : -1;
  r.first_turn = radians(first * turn());
  r.last_turn = radians(last * turn());
  if (r.word == Word::lrl || r.word == Word::rlr) {
    r.middle_turn = radians(-first * turn());
  } else {
    r.straight = seconds(maker.chance(0.1) ? maker.between(1e-4, 1) : maker.between(0, 80));
  }
  return r;
}

}  // namespace

TEST_CASE("A rendezvous flown again ends where, as high and on the track it was claimed", "[flight][law]") {
  // What is flown again shares neither tables nor sums: Runge-Kutta in steps of 0.2 s, the wind from its own class.
  constexpr double kOff_m = 1e-3;
  constexpr double kTurned_rad = 1e-6;
  SceneMaker maker(8'311);
  const int scenes = some_of(1000);
  int paths = 0;
  int none = 0;
  double worst_off = 0.0;
  double worst_high = 0.0;
  double worst_turned = 0.0;
  for (int i = 0; i < scenes; ++i) {
    const Question q(maker);
    const auto results = flight::Rendezvous(q.setup).all(q.from, q.to);
    if (results.empty()) ++none;
    const Flyer flyer{q.scene.performance.get(),
                      q.scene.technique.glide_factor,
                      rendezvous_model(),
                      *q.scene.environment,
                      q.scene.datum,
                      0.2};
    for (const RendezvousResult& r : results) {
      if (r.time > seconds(600)) continue;  // against the wind without end
      ++paths;
      const Flown end = fly_again(schedule(q.pilot, q.from, r), flyer);
      const double off = std::hypot(end.east_m - q.to.position.east.si(), end.north_m - q.to.position.north.si());
      const double high = end.height_m - r.end_height.si();
      // Wings level where the last turn ends, the track is that of airspeed and wind there.
      const double V = q.setup.straight.airspeed.si();
      const auto wind = q.setup.wind.at({metres(end.height_m)});
      const double track = std::atan2(V * std::sin(end.heading_rad) + wind.towards_east.si(),
                                      V * std::cos(end.heading_rad) + wind.towards_north.si());
      const double turned =
          wrapped((q.to.along == Along::track ? track : end.heading_rad) - q.to.direction.angle().si());
      worst_off = std::max(worst_off, off);
      worst_high = std::max(worst_high, std::abs(high));
      worst_turned = std::max(worst_turned, std::abs(turned));
      CAPTURE(i, flight::name_of(r.word), r.first_turn.si(), r.middle_turn.si(), r.last_turn.si(), r.straight.si());
      CAPTURE(in_feet(q.from.height), r.end_height.si(), off, high, turned);
      CHECK(off < kOff_m);
      CHECK(std::abs(high) < kOff_m);
      CHECK(std::abs(turned) < kTurned_rad);
    }
  }
  WARN("scenes " << scenes << ", without a path " << none << ", paths " << paths << ", worst off " << worst_off
                 << " m, height " << worst_high << " m, direction " << worst_turned << " rad");
  CHECK(paths > 3 * scenes);
}

TEST_CASE("In a uniform wind every word flown is found by the place where it ends", "[flight][law]") {
  // Any controls are a root for the goal they lead to, so a root overlooked is a failure here; none is allowed.
  SceneMaker maker(25);
  int words[6] = {};
  for (int i = 0; i < some_of(4000); ++i) {
    Question q(maker);
    q.make_uniform();
    const flight::Rendezvous solver(q.setup);
    for (int k = 0; k < 3; ++k) {
      const RendezvousResult flown = any_word(maker);
      const AirPose end = fly_word(q.setup, q.from, flown);
      const auto all = solver.all(q.from, {end.position, end.heading, Along::heading});
      // Simpson's rule is off by some micrometres; nearly equal roots feel that by the square root of it.
      const bool found = std::any_of(all.begin(), all.end(), [&](const auto& r) { return same(r, flown, 2e-3); });
      CAPTURE(i, k, flight::name_of(flown.word), flown.first_turn.si(), flown.middle_turn.si(), flown.last_turn.si(),
              flown.straight.si(), all.size());
      CHECK(found);
      ++words[static_cast<int>(flown.word)];
    }
  }
  for (const int n : words) CHECK(n > some_of(1000));
}

TEST_CASE("A uniform wind only carries the goal along: the same flight, as high", "[flight][law]") {
  // Galileo: with a wind added and the goal moved down it by the time of the path, controls and height are the same.
  SceneMaker maker(97);
  int compared = 0;
  for (int i = 0; i < some_of(400); ++i) {
    Question q(maker);
    q.make_uniform();
    q.to.along = Along::heading;
    const auto results = flight::Rendezvous(q.setup).all(q.from, q.to);
    const earth::WindVector more{metres_per_second(maker.between(-8, 8)), metres_per_second(maker.between(-8, 8))};
    auto setup = q.setup;
    const auto surface = q.setup.wind.surface();
    setup.wind = earth::WindProfile::uniform(
        {surface.towards_east + more.towards_east, surface.towards_north + more.towards_north});
    const flight::Rendezvous carried(setup);
    for (const RendezvousResult& r : results) {
      RendezvousGoal to = q.to;
      to.position.east = to.position.east + metres(more.towards_east.si() * r.time.si());
      to.position.north = to.position.north + metres(more.towards_north.si() * r.time.si());
      const auto there = carried.all(q.from, to);
      const bool found = std::any_of(there.begin(), there.end(), [&](const auto& o) { return same(o, r, 1e-6); });
      CAPTURE(i, flight::name_of(r.word), r.first_turn.si(), r.middle_turn.si(), r.last_turn.si(), r.straight.si());
      CHECK(found);
      ++compared;
    }
  }
  WARN("roots " << compared);
  CHECK(compared > some_of(1500));
}

TEST_CASE("In a profile every word flown is found by where it ends, and none beats the best one found",
          "[flight][law]") {
  SceneMaker maker(26);
  for (int i = 0; i < some_of(1500); ++i) {
    const Question q(maker);
    const flight::Rendezvous solver(q.setup);
    for (int k = 0; k < 3; ++k) {
      const RendezvousResult flown = any_word(maker);
      const AirPose end = fly_word(q.setup, q.from, flown);
      const RendezvousGoal to{end.position, end.heading, Along::heading};
      const auto best = solver.best(q.from, to);
      CAPTURE(i, k, flight::name_of(flown.word), flown.first_turn.si(), flown.middle_turn.si(), flown.last_turn.si(),
              flown.straight.si());
      REQUIRE(best);
      RendezvousResult claimed = flown;
      const double V1 = q.setup.first.descent.airspeed.si() / q.setup.first.radius.si();
      const double V3 = q.setup.last.descent.airspeed.si() / q.setup.last.radius.si();
      claimed.time = seconds((std::abs(flown.first_turn.si()) + std::abs(flown.middle_turn.si())) / V1 +
                             flown.straight.si() + std::abs(flown.last_turn.si()) / V3);
      claimed.end_height = end.height;
      CHECK(price(q.setup, q.from, *best) < price(q.setup, q.from, claimed) + 1e-3);
      const auto all = solver.all(q.from, to);
      CHECK(std::any_of(all.begin(), all.end(), [&](const auto& r) { return same(r, flown, 1e-2); }));
    }
  }
}

TEST_CASE("The best is the first of all, and a batch gives the same bytes", "[flight][law]") {
  SceneMaker maker(3);
  for (int i = 0; i < some_of(600); ++i) {
    const Question q(maker);
    const flight::Rendezvous solver(q.setup);
    std::vector<flight::RendezvousQuery> queries{{q.from, q.to}};
    for (int k = 0; k < 4; ++k) {
      const Question other(maker);
      queries.push_back({other.from, other.to});
    }
    std::vector<std::optional<RendezvousResult>> answers(queries.size());
    solver.best(queries, answers);
    for (std::size_t k = 0; k < queries.size(); ++k) {
      const auto all = solver.all(queries[k].from, queries[k].to);
      const auto best = solver.best(queries[k].from, queries[k].to);
      CAPTURE(i, k);
      REQUIRE(best.has_value() == !all.empty());
      REQUIRE(answers[k].has_value() == best.has_value());
      if (!best) continue;
      CAPTURE(flight::name_of(best->word), flight::name_of(all.front().word), best->time.si(), all.front().time.si());
      CHECK(price(q.setup, queries[k].from, *best) ==
            Approx(price(q.setup, queries[k].from, all.front())).epsilon(1e-9));
      CHECK(same_bytes(*answers[k], *best));
    }
  }
}

TEST_CASE("A batch of any size gives the bytes of one by one", "[flight][law]") {
  // What cannot be answered, and what is answered late, among what can.
  SceneMaker maker(1812);
  for (int i = 0; i < some_of(20); ++i) {
    Question q(maker);
    if (i % 4 == 0) q.make_uniform();
    if (i % 4 == 1) q.setup.wind = earth::WindProfile::uniform({metres_per_second(30), metres_per_second(20)});
    const flight::Rendezvous solver(q.setup);
    std::vector<flight::RendezvousQuery> queries{{q.from, q.to}};
    while (queries.size() < 257) {
      const Question other(maker);
      queries.push_back({other.from, other.to});
      if (queries.size() % 7 == 0) queries.back().to.position = queries.back().from.position;
    }
    std::vector<std::optional<RendezvousResult>> alone;
    for (const auto& query : queries) alone.push_back(solver.best(query.from, query.to));
    for (const std::size_t size : {1U, 2U, 3U, 4U, 5U, 64U, 257U}) {
      std::vector<std::optional<RendezvousResult>> answers(queries.size());
      for (std::size_t k = 0; k < queries.size(); k += size) {
        const std::size_t n = std::min(size, queries.size() - k);
        solver.best(std::span(queries).subspan(k, n), std::span(answers).subspan(k, n));
      }
      for (std::size_t k = 0; k < queries.size(); ++k) {
        CAPTURE(i, size, k);
        REQUIRE(answers[k].has_value() == alone[k].has_value());
        if (alone[k]) REQUIRE(same_bytes(*answers[k], *alone[k]));
      }
    }
  }
}

TEST_CASE("A rendezvous' mirror image is as good, and so is one asked for a full circle on", "[flight][law]") {
  SceneMaker maker(411);
  for (int i = 0; i < some_of(1000); ++i) {
    const Question q(maker);
    const auto results = flight::Rendezvous(q.setup).all(q.from, q.to);

    // East and west exchanged.
    auto setup = q.setup;
    std::vector<earth::WindProfile::Level> levels = q.setup.wind.data();
    for (auto& level : levels) level.wind.towards_east = -level.wind.towards_east;
    setup.wind = earth::WindProfile::levels(levels);
    const auto flipped = [](earth::Position p) { return earth::Position{-p.east, p.north}; };
    const auto turned = [](earth::TrueDirection d) { return earth::TrueDirection(-d.angle()); };
    const AirPose from{flipped(q.from.position), turned(q.from.heading), q.from.height};
    const RendezvousGoal to{flipped(q.to.position), turned(q.to.direction), q.to.along};
    const auto mirrored = flight::Rendezvous(setup).all(from, to);
    CAPTURE(i);
    REQUIRE(mirrored.size() == results.size());
    for (std::size_t k = 0; k < results.size(); ++k) {
      CHECK(mirrored[k].end_height.si() == Approx(results[k].end_height.si()).margin(1e-6));
      CHECK(mirrored[k].time.si() == Approx(results[k].time.si()).margin(1e-6));
    }
    if (results.empty()) continue;
    const RendezvousGoal on{q.to.position, earth::TrueDirection(q.to.direction.angle() + radians(2 * kPi)), q.to.along};
    const auto again = flight::Rendezvous(q.setup).best(q.from, on);
    REQUIRE(again);
    CHECK(again->word == results.front().word);
    CHECK(again->end_height.si() == Approx(results.front().end_height.si()).margin(1e-6));
  }
}

TEST_CASE("No wind at all is the limit of a faint one", "[flight][law]") {
  SceneMaker maker(5);
  for (int i = 0; i < some_of(500); ++i) {
    Question q(maker);
    const auto at = [&](double wind) {
      q.setup.wind = earth::WindProfile::uniform({metres_per_second(wind), metres_per_second(wind)});
      return flight::Rendezvous(q.setup).all(q.from, q.to);
    };
    const auto calm = at(0.0);
    const auto faint = at(1e-7);
    CAPTURE(i);
    REQUIRE(calm.size() == faint.size());
    for (std::size_t k = 0; k < calm.size(); ++k) {
      CHECK(faint[k].end_height.si() == Approx(calm[k].end_height.si()).margin(1e-3));
    }
  }
}
