// From one gliding pose to another fixed one: every path is flown again, and what must not matter does not.

#include "backfield/flight/rendezvous.hpp"
#include "src/flight/rendezvous_flight.hpp"
#include "tests/tools/random_scene.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace backfield;
using namespace backfield::test;
using flight::GlidePose;
using flight::RendezvousGoal;
using flight::RendezvousResult;
using Along = flight::RendezvousGoal::Along;

namespace {

constexpr double kOff_m = 2.0;
constexpr double kLow_m = 2.0 * kMetresPerFoot;
constexpr double kTurned_rad = 0.01;

#ifdef __SANITIZE_ADDRESS__
constexpr int kShare = 20;  // the sanitized build looks for other faults, twenty times slower
#else
constexpr int kShare = 1;
#endif

/// A scene of the maker's with two banks and a place to go to. Stays where it is made: the performance points into it.
struct Question {
  explicit Question(SceneMaker& maker) : scene(maker.scene()), setup(make_setup(maker)) {
    const double reach = maker.chance(0.5) ? 700.0 : 3000.0;
    const auto place = [&] {
      return earth::Position{metres(maker.between(-reach, reach)), metres(maker.between(-reach, reach))};
    };
    const auto direction = [&] { return earth::TrueDirection(radians(maker.between(0, 2 * kPi))); };
    from = {place(), direction(), feet(maker.between(300, 5000))};
    to = {place(), direction(), maker.chance(0.7) ? Along::track : Along::heading};
  }
  Question(const Question&) = delete;

  RandomScene scene;
  flight::RendezvousSetup setup;
  GlidePose from;
  RendezvousGoal to;

 private:
  [[nodiscard]] flight::RendezvousSetup make_setup(SceneMaker& maker) const {
    const auto turn_speed = [&](Angle bank) {
      return flight::power_off_turn_speed(*scene.performance, scene.technique, bank, scene.gust_spread);
    };
    const Angle last_bank = maker.chance(0.5) ? scene.bank : degrees(maker.between(20, 50));
    return {.performance = scene.performance.get(),
            .glide_factor = scene.technique.glide_factor,
            .model = scene.model,
            .environment = *scene.environment,
            .datum = scene.datum,
            .first_bank = scene.bank,
            .last_bank = last_bank,
            .first_speed = turn_speed(scene.bank),
            .last_speed = turn_speed(last_bank),
            .height_given = scene.technique.roll_allowance,
            .top = feet(5000)};
  }
};

double wrapped(double angle) { return angle - 2 * kPi * std::round(angle / (2 * kPi)); }

}  // namespace

TEST_CASE("A rendezvous flown again ends where, as high and on the track it was claimed", "[flight][law]") {
  SceneMaker maker(8'311);
  const int scenes = 3000 / kShare;
  int paths = 0;
  int none = 0;
  double worst_off = 0.0;
  double worst_high = 0.0;
  double worst_turned = 0.0;
  for (int i = 0; i < scenes; ++i) {
    const Question q(maker);
    const flight::Rendezvous solver(q.setup);
    const auto results = solver.all(q.from, q.to);
    if (results.empty()) ++none;
    for (const RendezvousResult& r : results) {
      if (r.end_height < metres(0)) continue;  // nobody flies below the ground
      ++paths;
      const Flown end = fly_again(solver.path(q.from, r), q.scene.flyer());
      const double off = std::hypot(end.east_m - q.to.position.east.si(), end.north_m - q.to.position.north.si());
      const double high = end.height_m - r.end_height.si();
      // Half a second straight on shows the track.
      flight::Path longer = solver.path(q.from, r);
      flight::Segment on;
      on.duration_s = 0.5;
      on.cas_from_mps = on.cas_to_mps = q.scene.performance->best_glide().value.si();
      longer.segments.push_back(on);
      const Flown further = fly_again(longer, q.scene.flyer());
      const double track = std::atan2(further.east_m - end.east_m, further.north_m - end.north_m);
      const double turned =
          wrapped((q.to.along == Along::track ? track : end.heading_rad) - q.to.direction.angle().si());
      worst_off = std::max(worst_off, off);
      worst_high = std::max(worst_high, std::abs(high));
      worst_turned = std::max(worst_turned, std::abs(turned));
      CAPTURE(i, flight::name_of(r.word), r.first_turn.si(), r.middle_turn.si(), r.last_turn.si(), r.straight.si());
      CAPTURE(in_feet(q.from.height), r.end_height.si(), off, high, in_degrees(radians(turned)));
      CHECK(off < kOff_m);
      // Below 10 m, the lowest level of a profile, the last rolls and steps cross a kink of the wind: a third more.
      CHECK(std::abs(high) < (r.end_height < metres(10) ? 1.34 * kLow_m : kLow_m));
      CHECK(std::abs(turned) < kTurned_rad);
    }
  }
  WARN("scenes " << scenes << ", without a path " << none << ", paths " << paths << ", worst off " << worst_off
                 << " m, height " << worst_high << " m, heading " << worst_turned << " rad");
  CHECK(paths > 2 * scenes);
}

TEST_CASE("A rendezvous' mirror image is as high, and so is one asked for a full circle on", "[flight][law]") {
  SceneMaker maker(411);
  for (int i = 0; i < 300 / kShare; ++i) {
    const Question q(maker);
    const auto results = flight::Rendezvous(q.setup).all(q.from, q.to);

    // East and west exchanged.
    auto setup = q.setup;
    std::vector<earth::WindProfile::Level> levels = q.scene.environment->wind.data();
    for (auto& level : levels) level.wind.towards_east = -level.wind.towards_east;
    setup.environment.wind = earth::WindProfile::levels(levels);
    const auto flipped = [](earth::Position p) { return earth::Position{-p.east, p.north}; };
    const auto turned = [](earth::TrueDirection d) { return earth::TrueDirection(-d.angle()); };
    const GlidePose from{flipped(q.from.position), turned(q.from.heading), q.from.height};
    const RendezvousGoal to{flipped(q.to.position), turned(q.to.direction), q.to.along};
    const auto mirrored = flight::Rendezvous(setup).all(from, to);
    CAPTURE(i, results.size(), mirrored.size());
    REQUIRE(mirrored.empty() == results.empty());
    if (results.empty()) continue;
    CHECK(mirrored.front().end_height.si() == Approx(results.front().end_height.si()).margin(1e-3));

    const RendezvousGoal on{q.to.position, earth::TrueDirection(q.to.direction.angle() + radians(2 * kPi)), q.to.along};
    const auto again = flight::Rendezvous(q.setup).best(q.from, on);
    REQUIRE(again);
    CHECK(again->word == results.front().word);
    CHECK(again->end_height.si() == Approx(results.front().end_height.si()).margin(1e-3));
  }
}

TEST_CASE("A uniform wind only carries the goal along: the same flight, as high", "[flight][law]") {
  // Galileo: with a wind added and the goal moved down it by the time of the path, controls and height are the same.
  SceneMaker maker(97);
  int compared = 0;
  int missed = 0;
  for (int i = 0; i < 400 / kShare; ++i) {
    Question q(maker);
    q.setup.environment.wind = earth::WindProfile::uniform(q.scene.environment->wind.surface());
    q.to.along = Along::heading;
    const auto results = flight::Rendezvous(q.setup).all(q.from, q.to);
    const earth::WindVector more{metres_per_second(maker.between(-8, 8)), metres_per_second(maker.between(-8, 8))};
    auto setup = q.setup;
    const auto surface = q.scene.environment->wind.surface();
    setup.environment.wind = earth::WindProfile::uniform(
        {surface.towards_east + more.towards_east, surface.towards_north + more.towards_north});
    const flight::Rendezvous carried(setup);
    for (const RendezvousResult& r : results) {
      RendezvousGoal to = q.to;
      to.position.east = to.position.east + metres(more.towards_east.si() * r.time.si());
      to.position.north = to.position.north + metres(more.towards_north.si() * r.time.si());
      const auto there = carried.all(q.from, to);
      const bool found = std::any_of(there.begin(), there.end(), [&](const RendezvousResult& o) {
        return o.word == r.word && std::abs(o.time.si() - r.time.si()) < 1e-3 &&
               std::abs(o.end_height.si() - r.end_height.si()) < 1e-3;
      });
      CAPTURE(i, flight::name_of(r.word), r.first_turn.si(), r.middle_turn.si(), r.last_turn.si(), r.straight.si());
      // Roots of three turns come and go in pairs, and some are missed: known, and counted.
      if (flight::has_straight(r.word)) CHECK(found);
      if (!found) ++missed;
      ++compared;
    }
  }
  WARN("roots " << compared << ", not found again " << missed);
  CHECK(compared > 1000 / kShare);
  CHECK(missed * 200 < compared);
}

TEST_CASE("No wind at all is the limit of a faint one", "[flight][law]") {
  SceneMaker maker(5);
  for (int i = 0; i < 300 / kShare; ++i) {
    Question q(maker);
    const auto at = [&](double wind) {
      q.setup.environment.wind = earth::WindProfile::uniform({metres_per_second(wind), metres_per_second(wind)});
      return flight::Rendezvous(q.setup).best(q.from, q.to);
    };
    const auto calm = at(0.0);
    const auto faint = at(1e-7);
    CAPTURE(i);
    REQUIRE(calm);
    REQUIRE(faint);
    CHECK(faint->end_height.si() == Approx(calm->end_height.si()).margin(2e-3));
  }
}

namespace {

/// The same words, flown without a solver: whoever asks gives the first turn and what is in the middle.
class Trial {
 public:
  explicit Trial(const Question& q)
      : q_(q),
        medium_(q.setup.environment, q.setup.datum, q.setup.model, q.setup.top.si() + 200.0),
        glider_(medium_, q.setup.performance->best_glide().value.si(),
                q.setup.performance->aircraft().polar.glide_ratio * q.setup.glide_factor, q.setup.model),
        craft_{style(q.setup.first_bank, q.setup.first_speed), style(q.setup.last_bank, q.setup.last_speed)},
        flight_(glider_, craft_) {
    from_.e = q.from.position.east.si();
    from_.n = q.from.position.north.si();
    from_.h = q.from.height.si();
    if (q.setup.model.roll == flight::RollRule::allowance) from_.h -= q.setup.height_given.si();
    from_ = flight::make_point(from_, q.from.heading.angle().si());
  }
  struct End {
    double east, north, height, last;
    [[nodiscard]] double off() const { return std::hypot(east, north); }
  };
  /// Where the word ends, from the goal, when its last turn ends in the direction asked for.
  [[nodiscard]] End fly(flight::Word word, double first, double middle) const {
    const flight::Meeting to{q_.to.position.east.si(), q_.to.position.north.si(), q_.to.direction.angle().si(),
                             q_.to.along == Along::track};
    flight::WordFlight::Controls c{first, middle, 0.0};
    const flight::Point before = flight_.fly(word, c, from_);
    double height = before.h;
    flight::Point end;
    for (int i = 0; i < 3; ++i) {
      c.last = flight::wrap(flight::last_sense(word) * (flight_.end_heading(to, height) - before.psi));
      end = flight_.fly(word, c, from_);
      height = end.h;
    }
    return {end.e - to.east, end.n - to.north, end.h, c.last};
  }
  [[nodiscard]] double V() const { return glider_.best_glide_cas(); }

 private:
  [[nodiscard]] flight::TurnStyle style(Angle bank, Cas speed) const {
    return flight::make_turn_style(
        glider_, {bank.si(), speed.value.si(), q_.setup.performance->aircraft().roll_rate_per_second.si()},
        q_.setup.model.roll);
  }
  const Question& q_;
  flight::Medium medium_;
  flight::Glider glider_;
  flight::Craft craft_;
  flight::WordFlight flight_;
  flight::Point from_;
};

/// From a point of the grid to the goal, by differences; the height there, or far down when it is not reached.
double settle(const Trial& trial, flight::Word word, double first, double middle) {
  constexpr double kNone = -1e9;
  const double limit = flight::has_straight(word) ? 1e9 : 2 * kPi;
  for (int i = 0; i < 25; ++i) {
    const auto at = trial.fly(word, first, middle);
    if (at.off() < 1e-3) return at.height;
    constexpr double kStep = 1e-5;
    const auto a = trial.fly(word, first + kStep, middle);
    const auto b = trial.fly(word, first, middle + kStep);
    const double ea = (a.east - at.east) / kStep;
    const double na = (a.north - at.north) / kStep;
    const double eb = (b.east - at.east) / kStep;
    const double nb = (b.north - at.north) / kStep;
    const double det = ea * nb - eb * na;
    if (std::abs(det) < 1e-6) return kNone;
    const double da = -(at.east * nb - at.north * eb) / det;
    const double db = -(at.north * ea - at.east * na) / det;
    const double most = std::max({1.0, std::abs(da) / 0.2, std::abs(db) / (flight::has_straight(word) ? 5.0 : 0.2)});
    first += da / most;
    middle += db / most;
    if (first < 0.0 || first >= 2 * kPi || middle < 0.0 || middle >= limit) return kNone;
  }
  return kNone;
}

}  // namespace

TEST_CASE("No path of a grid of turns and straights ends higher than the best one found", "[flight][law]") {
  SceneMaker maker(2'024);
  constexpr int kTurns = 36;
  constexpr int kMiddles = 48;
  constexpr double kFoot_m = 0.3048;
  int cases = 0;
  int reached = 0;
  double most = -1e9;
  while (cases < 200 / kShare) {
    const Question q(maker);
    const Trial trial(q);
    const double way = std::hypot((q.to.position.east - q.from.position.east).si(),
                                  (q.to.position.north - q.from.position.north).si());
    if (way > 1500.0) continue;  // a finer grid would be needed
    ++cases;
    double highest = -1e9;
    flight::Word which{};
    for (int w = 0; w < 6; ++w) {
      const auto word = static_cast<flight::Word>(w);
      const double range = flight::has_straight(word) ? 2.0 * (way + 1000.0) / trial.V() : 2 * kPi;
      std::vector<double> off;
      for (int i = 0; i < kTurns; ++i) {
        for (int j = 0; j < kMiddles; ++j)
          off.push_back(trial.fly(word, 2 * kPi * i / kTurns, range * j / kMiddles).off());
      }
      for (int i = 0; i < kTurns; ++i) {
        for (int j = 0; j < kMiddles; ++j) {
          const double here = off[static_cast<std::size_t>(i * kMiddles + j)];
          bool least = here < 400.0;
          for (int di = -1; di <= 1 && least; ++di) {
            for (int dj = -1; dj <= 1 && least; ++dj) {
              const int jj = j + dj;
              if (jj < 0 || jj >= kMiddles) continue;
              least = here <= off[static_cast<std::size_t>((i + di + kTurns) % kTurns * kMiddles + jj)];
            }
          }
          if (!least) continue;
          const double height = settle(trial, word, 2 * kPi * i / kTurns, range * j / kMiddles);
          if (height > highest) {
            highest = height;
            which = word;
          }
        }
      }
    }
    if (highest < -1e8) continue;
    ++reached;
    const auto best = flight::Rendezvous(q.setup).best(q.from, q.to);
    const double lacks = highest - (best ? best->end_height.si() : -1e9);
    most = std::max(most, lacks);
    CAPTURE(cases, flight::name_of(which), highest, best.has_value());
    CHECK(lacks < kFoot_m);
  }
  WARN("cases " << cases << ", reached by the grid " << reached << ", ended higher by at most " << most << " m");
  CHECK(reached * 10 > cases * 8);
}
