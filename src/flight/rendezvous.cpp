#include "backfield/flight/rendezvous.hpp"

#include "backfield/base/contract.hpp"
#include "rendezvous_solve.hpp"
#include "rendezvous_uniform.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace backfield::flight {
namespace {

constexpr double kNoLimit = std::numeric_limits<double>::infinity();
// In a profile: see UniformErrand. With 0, 0.05, 0.1 and 0.2 of the spread of the winds 20, 9, 3 and none of 12,000
// words flown were not found again.
constexpr double kSlack_rad = 0.25;
constexpr double kStrayShare = 0.25;
// The heights whose mean winds are tried, in units of those probably flown; besides the wind at the upper and lower
// end.
constexpr double kSpans[] = {0.5, 2.0, 4.0};
constexpr std::array kWords{Word::lsl, Word::rsr, Word::lsr, Word::rsl, Word::lrl, Word::rlr};

Gait gait(const Descending& d, double radius, RendezvousSetup::Rank rank) {
  const double V = d.airspeed.si();
  const double sink = d.sink.si();
  return {V, sink, radius, radius / V, rank == RendezvousSetup::Rank::quickest ? 1.0 : sink};
}

Errand make_errand(const AirPose& from, const RendezvousGoal& to) {
  Errand e;
  e.height = from.height.si();
  e.heading = from.heading.angle().si();
  e.begin = ahead(e.heading);
  e.goal = {(to.position.east - from.position.east).si(), (to.position.north - from.position.north).si()};
  e.direction = to.direction.angle().si();
  e.along = ahead(e.direction);
  e.track = to.along == RendezvousGoal::Along::track;
  return e;
}

struct Candidate {
  Controls controls;
  double cost;
};
bool cheaper(const Candidate& a, const Candidate& b) { return a.cost < b.cost; }

}  // namespace

struct Rendezvous::Impl {
  explicit Impl(const RendezvousSetup& s)
      : craft{gait(s.first.descent, s.first.radius.si(), s.rank), gait(s.straight, 0.0, s.rank),
              gait(s.last.descent, s.last.radius.si(), s.rank)},
        drift(s.wind) {}

  /// Roots of all words in a uniform wind; those of three turns only while they may cost less than the limit.
  void starts(const Errand& errand, const Drift::At& air, double stray, std::vector<Controls>& roots) const {
    double end = errand.direction;
    if (errand.track) {
      const auto held = crab(errand, craft.straight.speed, air);
      if (!held) return;
      end += held->angle;
    }
    const UniformErrand u{errand.heading,
                          end,
                          errand.begin,
                          ahead(end),
                          errand.goal,
                          air.wind,
                          drift.uniform() ? 1e-9 : kSlack_rad,
                          drift.uniform() ? 0.0 : stray};
    for (const Word word : kWords) {
      if (has_straight(word)) {
        find_two_turns(craft, u, word, kNoLimit, roots);
      } else {
        find_three_turns(craft, u, word, kNoLimit, roots);
      }
    }
  }

  /// What an end at about this height is below the start.
  [[nodiscard]] double span(const Errand& errand) const {
    const double turns = 4.0 * craft.first.radius;
    return craft.straight.sink / craft.straight.speed * (std::max(norm(errand.goal), turns) + turns);
  }
  [[nodiscard]] Drift::At mean(const Errand& errand, double below) const {
    Drift::At air = drift.at(errand.height);
    if (!drift.uniform()) air.wind = (air.sum - drift.at(errand.height - below).sum) * (1.0 / below);
    return air;
  }

  [[nodiscard]] std::vector<Candidate> all(const Errand& errand) const {
    std::vector<Controls> roots;
    const double below = span(errand);
    std::vector<Drift::At> airs{mean(errand, below)};
    double spread = 0.0;
    if (!drift.uniform()) {
      airs.push_back(drift.at(errand.height));
      airs.push_back(drift.at(errand.height - below));
      for (const double k : kSpans) airs.push_back(mean(errand, k * below));
      for (const Drift::At& air : airs) spread = std::max(spread, norm(air.wind - airs.front().wind));
    }
    for (const Drift::At& air : airs) starts(errand, air, kStrayShare * spread, roots);
    std::vector<Candidate> found;
    for (const Controls& root : roots) {
      const auto c = solve(craft, drift, errand, root);
      if (!c || known(found, *c)) continue;
      found.push_back({*c, cost(craft, *c)});
    }
    std::stable_sort(found.begin(), found.end(), cheaper);
    return found;
  }
  static bool known(const std::vector<Candidate>& found, const Controls& c) {
    constexpr double kSame = 1e-8;
    return std::any_of(found.begin(), found.end(), [&](const Candidate& other) {
      const Controls& o = other.controls;
      return o.word == c.word && std::abs(o.first - c.first) < kSame && std::abs(o.middle - c.middle) < kSame &&
             std::abs(o.last - c.last) < kSame;
    });
  }

  [[nodiscard]] RendezvousResult result(const Errand& errand, const Controls& c) const {
    const bool straight = has_straight(c.word);
    const Durations t = durations(craft, c);
    RendezvousResult r;
    r.word = c.word;
    r.first_turn = radians(first_sense(c.word) * c.first);
    r.last_turn = radians(last_sense(c.word) * c.last);
    if (straight) {
      r.straight = seconds(c.middle);
    } else {
      r.middle_turn = radians(-first_sense(c.word) * c.middle);
    }
    r.time = seconds(t.sum());
    const double lost = t.first * craft.first.sink + t.middle * (straight ? craft.straight : craft.first).sink +
                        t.last * craft.last.sink;
    r.end_height = metres(errand.height - lost);
    return r;
  }

  Craft craft;
  Drift drift;
};

Circling circling(Descending descent, Angle bank) {
  require(bank.si() > 0.0 && bank.si() < 0.5 * kPi, "bank above 0 and below 90 degrees");
  const double V = descent.airspeed.si();
  return {descent, metres(V * V / (kStandardGravity * std::tan(bank.si())))};
}

Rendezvous::Rendezvous(const RendezvousSetup& s) {
  for (const Descending& d : {s.first.descent, s.straight, s.last.descent}) {
    require(d.airspeed.si() > 0.0, "airspeeds above 0");
    require(d.sink.si() >= 0.001, "every piece sinks, by a millimetre a second at least");
  }
  require(s.first.radius.si() > 0.0 && s.last.radius.si() > 0.0, "radii above 0");
  impl_ = std::make_unique<Impl>(s);
}
Rendezvous::~Rendezvous() = default;
Rendezvous::Rendezvous(Rendezvous&&) noexcept = default;
Rendezvous& Rendezvous::operator=(Rendezvous&&) noexcept = default;

std::vector<RendezvousResult> Rendezvous::all(const AirPose& from, const RendezvousGoal& to) const {
  const Errand errand = make_errand(from, to);
  std::vector<RendezvousResult> results;
  for (const Candidate& c : impl_->all(errand)) results.push_back(impl_->result(errand, c.controls));
  return results;
}

std::optional<RendezvousResult> Rendezvous::best(const AirPose& from, const RendezvousGoal& to) const {
  const Errand errand = make_errand(from, to);
  const auto found = impl_->all(errand);
  if (found.empty()) return std::nullopt;
  return impl_->result(errand, found.front().controls);
}

void Rendezvous::best(std::span<const RendezvousQuery> queries,
                      std::span<std::optional<RendezvousResult>> answers) const {
  require(queries.size() == answers.size(), "an answer for each question");
  std::transform(queries.begin(), queries.end(), answers.begin(),
                 [&](const RendezvousQuery& q) { return best(q.from, q.to); });
}

}  // namespace backfield::flight
