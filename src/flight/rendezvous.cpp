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
// In a profile, for the best alone, on bounds that take the wind as blowing evenly over the heights.
constexpr double kStrayFactor = 1.5;
constexpr double kSlackLeast_rad = 0.05;
constexpr double kMostSlack_rad = 0.4;
constexpr double kNearMiss_rad = 0.3;
// The heights whose mean winds are tried, in units of those probably flown; besides the wind at the upper and lower
// end.
constexpr double kSpans[] = {0.5, 2.0, 4.0};
constexpr double kTied = 1e-4;  // share of the cost by which guesses, which are rough, must differ
constexpr std::array kStraightWords{Word::lsl, Word::rsr, Word::lsr, Word::rsl};
constexpr std::array kTurningWords{Word::lrl, Word::rlr};

Gait gait(const Descending& d, double radius, RendezvousSetup::Rank rank) {
  const double V = d.airspeed.si();
  const double sink = d.sink.si();
  return {V, sink, radius, radius / V, rank == RendezvousSetup::Rank::quickest ? 1.0 : sink, 1.0 / sink};
}

Errand make_errand(const Drift& drift, const AirPose& from, const RendezvousGoal& to) {
  Errand e;
  e.height = from.height.si();
  e.heading = from.heading.angle().si();
  e.begin = ahead(e.heading);
  e.goal = {(to.position.east - from.position.east).si(), (to.position.north - from.position.north).si()};
  e.direction = to.direction.angle().si();
  e.along = ahead(e.direction);
  e.track = to.along == RendezvousGoal::Along::track;
  e.air = drift.at(e.height);
  return e;
}

/// Words with a straight, first the one that turns towards the goal, then from there to the end's heading: of mirror
/// images that cost the same the first is taken.
std::array<Word, 4> likely_first(const Errand& errand, double end) {
  const double bearing = rough_heading(errand.goal);
  const bool first_right = wrap(bearing - errand.heading) < kPi;
  const bool last_right = wrap(end - bearing) < kPi;
  const auto word = [](bool first, bool last) {
    if (first) return last ? Word::rsr : Word::rsl;
    return last ? Word::lsr : Word::lsl;
  };
  return {word(first_right, last_right), word(!first_right, last_right), word(first_right, !last_right),
          word(!first_right, !last_right)};
}

constexpr std::size_t index(Word word) { return static_cast<std::size_t>(word); }

/// Guesses in the order in which they are tried: the cheapest first, as what is best by far more often than not leaves
/// little to look for in the others.
class Attempts {
 public:
  Attempts(const Guesses& guesses, const std::array<Word, 4>& order) : guesses_(guesses), order_(order) {}
  /// nullptr: none is left.
  [[nodiscard]] const Controls* next() {
    std::size_t cheapest = index(order_.front());
    for (const Word word : order_) {
      if (guesses_.cost[index(word)] < guesses_.cost[cheapest] * (1.0 - kTied)) cheapest = index(word);
    }
    if (guesses_.cost[cheapest] == kNoLimit) return nullptr;
    guesses_.cost[cheapest] = kNoLimit;
    return &guesses_.words[cheapest];
  }

 private:
  Guesses guesses_;
  std::array<Word, 4> order_;
};

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
        drift(s.wind),
        quickest(s.rank == RendezvousSetup::Rank::quickest) {}

  [[nodiscard]] UniformErrand in_uniform(const Errand& errand, Vector wind, double end) const {
    UniformErrand u{errand.heading, end, errand.begin, ahead(end), errand.goal, wind};
    if (!drift.uniform()) u.slack = kSlack_rad;
    return u;
  }
  void starts(const Errand& errand, const Drift::At& air, double stray, std::vector<Controls>& roots) const {
    const auto end = end_heading(errand, air);
    if (!end) return;
    UniformErrand u = in_uniform(errand, air.wind, *end);
    u.stray = stray;
    const auto bounds = bound_two_turns(craft, u, kNoLimit);
    for (const Word word : kStraightWords) find_two_turns(craft, u, word, bounds[index(word)], kNoLimit, roots);
    for (const Word word : kTurningWords) find_three_turns(craft, u, word, kNoLimit, roots);
  }
  [[nodiscard]] std::optional<double> end_heading(const Errand& errand, const Drift::At& air) const {
    if (!errand.track) return errand.direction;
    const auto sine = crab_sine(errand, craft.straight.speed, air);
    if (!sine) return std::nullopt;
    return errand.direction + std::asin(*sine);
  }

  /// What an end at about this height is below the start.
  [[nodiscard]] double span(const Errand& errand) const {
    const double turns = 4.0 * craft.first.radius;
    return craft.straight.sink / craft.straight.speed * (std::max(norm(errand.goal), turns) + turns);
  }
  [[nodiscard]] Drift::At mean(const Errand& errand, double below) const {
    Drift::At air = errand.air;
    if (!drift.uniform()) air.wind = drift.mean(air, below);
    return air;
  }

  [[nodiscard]] std::vector<Candidate> all(const Errand& errand) const {
    std::vector<Controls> roots;
    const double below = span(errand);
    std::vector<Drift::At> airs{mean(errand, below)};
    double spread = 0.0;
    if (!drift.uniform()) {
      airs.push_back(errand.air);
      airs.push_back(drift.at(errand.height - below));
      for (const double k : kSpans) airs.push_back(mean(errand, k * below));
      for (const Drift::At& air : airs) spread = std::max(spread, norm(air.wind - airs.front().wind));
    }
    for (const Drift::At& air : airs) starts(errand, air, kStrayShare * spread, roots);
    std::vector<Candidate> found;
    for (const Controls& root : roots) {
      const auto c = solve(craft, drift, errand, root, kNoLimit);
      if (!c || known(found, c->controls)) continue;
      found.push_back({c->controls, cost(craft, c->controls)});
    }
    if (const auto one = quick(errand); one && !known(found, *one)) found.push_back({*one, cost(craft, *one)});
    std::stable_sort(found.begin(), found.end(), cheaper);
    return found;
  }
  static bool known(const std::vector<Candidate>& found, const Controls& c) {
    return std::any_of(found.begin(), found.end(), [&](const Candidate& o) { return same(o.controls, c, 1e-8); });
  }
  static bool same(const Controls& a, const Controls& b, double within) {
    return a.word == b.word && std::abs(a.first - b.first) < within && std::abs(a.middle - b.middle) < within &&
           std::abs(a.last - b.last) < within;
  }

  [[nodiscard]] std::optional<Controls> quick(const Errand& errand) const {
    auto attempts = this->attempts(errand);
    if (!attempts) return std::nullopt;
    const auto likely = this->likely(errand, *attempts);
    return likely ? std::optional(better(errand, *likely)) : std::nullopt;
  }
  /// From any path, which is mostly the best. In the uniform wind that would drift that one by as much, every root that
  /// costs less, and in a profile near misses, too.
  [[nodiscard]] Controls better(const Errand& errand, const Solution& likely) const {
    Controls best = likely.controls;
    double least = cost(craft, best);
    UniformErrand u = in_uniform(errand, likely.mean_wind, end_of(errand, best));
    u.soonest = soonest(u);
    const Controls known = best;
    u.known = &known;
    double share = 1.0 - 1e-9;
    if (!drift.uniform()) {
      // What is better lasts no longer, or loses no more, so the mean wind over its heights is between these two.
      const double most = quickest ? least * std::max({craft.first.sink, craft.straight.sink, craft.last.sink}) : least;
      const double fewest = u.soonest * std::min({craft.first.sink, craft.straight.sink, craft.last.sink});
      u.stray = kStrayFactor *
                std::max(norm(drift.mean(errand.air, most) - u.wind), norm(drift.mean(errand.air, fewest) - u.wind));
      u.soonest = soonest(u);
      u.slack =
          std::min(kMostSlack_rad, kSlackLeast_rad + 2.0 * u.stray * durations(craft, best).sum() / craft.first.radius);
      // A wind that strays by so much makes a path that much longer or shorter, about; twice that is allowed for, and
      // near misses are no nearer than a piece of a turn.
      const double V = craft.straight.speed;
      share += 2.0 * u.stray / std::max(0.2 * V, V - norm(u.wind)) +
               kNearMiss_rad * craft.first.s_rad * craft.first.cost / std::max(1e-9, least);
    }
    std::vector<Controls> roots;
    const auto take = [&](const Controls& root) {
      if (cost(craft, root) > least * share || same(root, best, 1e-4)) return;
      const auto c = solve(craft, drift, errand, root, least);
      if (!c || cost(craft, c->controls) >= least) return;
      best = c->controls;
      least = cost(craft, best);
    };
    const auto take_all = [&] {
      // What is cheapest first leaves less of the others to solve.
      if (roots.size() > 1) {
        std::stable_sort(roots.begin(), roots.end(),
                         [&](const Controls& a, const Controls& b) { return cost(craft, a) < cost(craft, b); });
      }
      for (const Controls& root : roots) take(root);
      roots.clear();
    };
    const auto bounds = bound_two_turns(craft, u, least * share);
    for (const Word word : kStraightWords) {
      const Bounds& bound = bounds[index(word)];
      if (bound.found) {
        take(bound.root);
      } else if (bound.strips > 0) {
        find_two_turns(craft, u, word, bound, least * share, roots);
        take_all();
      }
    }
    if (!within_three_turns(craft, u, least * share)) return best;
    for (const Word word : kTurningWords) {
      find_three_turns(craft, u, word, least * share, roots);
      take_all();
    }
    return best;
  }
  [[nodiscard]] std::optional<Controls> best(const Errand& errand) const { return checked(errand, quick(errand)); }
  [[nodiscard]] std::optional<Controls> checked(const Errand& errand, const std::optional<Controls>& one) const {
    // Three turns of a degree or two are all but singular: every start is looked at.
    constexpr double kShort_s = 3.0;
    if (one && (drift.uniform() || durations(craft, *one).sum() > kShort_s)) return one;
    const auto found = all(errand);
    return found.empty() ? std::nullopt : std::optional(found.front().controls);
  }
  /// The paths that are likely are solved side by side.
  [[nodiscard]] std::array<std::optional<Controls>, kLanes> best(const ErrandGroup& errands) const {
    std::array<std::optional<Attempts>, kLanes> attempts;
    std::array<Controls, kLanes> starts{};
    std::array<bool, kLanes> started{};
    for (std::size_t i = 0; i < kLanes; ++i) {
      attempts[i] = this->attempts(errands[i]);
      const Controls* start = attempts[i] ? attempts[i]->next() : nullptr;
      started[i] = start != nullptr;
      if (started[i]) starts[i] = *start;
    }
    const auto solved = solve_side_by_side(craft, drift, errands, starts);
    std::array<std::optional<Controls>, kLanes> best;
    for (std::size_t i = 0; i < kLanes; ++i) {
      std::optional<Solution> likely;
      if (started[i]) likely = solved[i] ? solved[i] : this->likely(errands[i], *attempts[i]);
      best[i] = checked(errands[i], likely ? std::optional(better(errands[i], *likely)) : std::nullopt);
    }
    return best;
  }
  /// The words with a straight, in a mean wind.
  [[nodiscard]] std::optional<Attempts> attempts(const Errand& errand) const {
    const Drift::At air = mean(errand, span(errand));
    const auto end = end_heading(errand, air);
    if (!end) return std::nullopt;
    UniformErrand u = in_uniform(errand, air.wind, *end);
    u.soonest = soonest(u);
    return Attempts(guess_two_turns(craft, u), likely_first(errand, *end));
  }
  [[nodiscard]] std::optional<Solution> likely(const Errand& errand, Attempts& attempts) const {
    while (const Controls* start = attempts.next()) {
      if (const auto root = solve(craft, drift, errand, *start, kNoLimit)) return root;
    }
    return std::nullopt;
  }
  static double end_of(const Errand& errand, const Controls& c) {
    const double before = has_straight(c.word) ? c.first : c.first - c.middle;
    return errand.heading + first_sense(c.word) * before + last_sense(c.word) * c.last;
  }
  /// Straight to the goal with the wind, stray and all: |goal - wind T| = V T. 0 when never.
  [[nodiscard]] double soonest(const UniformErrand& u) const {
    const double V = std::max({craft.first.speed, craft.straight.speed, craft.last.speed}) + u.stray;
    const double along = dot(u.goal, u.wind);
    const double distance2 = dot(u.goal, u.goal);
    const double root2 = along * along + (V * V - dot(u.wind, u.wind)) * distance2;
    const double per = along + std::sqrt(std::max(0.0, root2));
    return root2 >= 0.0 && per > 0.0 ? distance2 / per : 0.0;
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
  bool quickest;
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
  const Errand errand = make_errand(impl_->drift, from, to);
  std::vector<RendezvousResult> results;
  for (const Candidate& c : impl_->all(errand)) results.push_back(impl_->result(errand, c.controls));
  return results;
}

std::optional<RendezvousResult> Rendezvous::best(const AirPose& from, const RendezvousGoal& to) const {
  const Errand errand = make_errand(impl_->drift, from, to);
  const auto c = impl_->best(errand);
  if (!c) return std::nullopt;
  return impl_->result(errand, *c);
}

void Rendezvous::best(std::span<const RendezvousQuery> queries,
                      std::span<std::optional<RendezvousResult>> answers) const {
  require(queries.size() == answers.size(), "an answer for each question");
  const auto errand = [&](const RendezvousQuery& q) { return make_errand(impl_->drift, q.from, q.to); };
  std::size_t done = 0;
  for (; queries.size() - done >= kLanes; done += kLanes) {
    ErrandGroup errands;
    for (std::size_t i = 0; i < kLanes; ++i) errands[i] = errand(queries[done + i]);
    const auto controls = impl_->best(errands);
    for (std::size_t i = 0; i < kLanes; ++i) {
      answers[done + i] = controls[i] ? std::optional(impl_->result(errands[i], *controls[i])) : std::nullopt;
    }
  }
  for (; done < queries.size(); ++done) answers[done] = best(queries[done].from, queries[done].to);
}

}  // namespace backfield::flight
