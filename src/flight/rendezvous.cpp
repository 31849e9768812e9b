#include "backfield/flight/rendezvous.hpp"

#include "backfield/base/contract.hpp"
#include "rendezvous_errand.hpp"
#include "rendezvous_solve.hpp"
#include "rendezvous_straight_words.hpp"
#include "rendezvous_uniform.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

namespace backfield::flight {
namespace {

constexpr double kNoLimit = std::numeric_limits<double>::infinity();
constexpr double kStrayShare = 0.25;  // in a profile, of the spread of the winds
// The heights whose mean winds are tried, in units of those probably flown; besides the wind at the upper and lower
// end.
constexpr double kSpans[] = {0.5, 2.0, 4.0};
constexpr std::array kStraightWords{Word::lsl, Word::rsr, Word::lsr, Word::rsl};
constexpr std::array kTurningWords{Word::lrl, Word::rlr};

Gait gait(const Descending& d, double radius, RendezvousSetup::Rank rank) {
  const double V = d.airspeed.si();
  const double sink = d.sink.si();
  return {V, sink, radius, radius / V, rank == RendezvousSetup::Rank::quickest ? 1.0 : sink, 1.0 / sink};
}

AskedOf<double> asked(const AirPose& from, const RendezvousGoal& to) {
  return {from.height.si(),
          from.heading.angle().si(),
          {(to.position.east - from.position.east).si(), (to.position.north - from.position.north).si()},
          to.direction.angle().si(),
          to.along == RendezvousGoal::Along::track};
}

/// Words with a straight, first the one that turns towards the goal, then from there to the end's heading: of mirror
/// images that cost the same the first is taken.
std::array<Word, 4> likely_first(const Senses<double>& likely) {
  const auto word = [](bool first, bool last) {
    if (first) return last ? Word::rsr : Word::rsl;
    return last ? Word::lsr : Word::lsl;
  };
  const auto [first_right, last_right] = likely;
  return {word(first_right, last_right), word(!first_right, last_right), word(first_right, !last_right),
          word(!first_right, !last_right)};
}

constexpr std::size_t index(Word word) { return static_cast<std::size_t>(word); }

/// Guesses in the order in which they are tried: the cheapest first, as what is best by far more often than not leaves
/// little to look for in the others.
class Attempts {
 public:
  Attempts(const LaneGuess& guesses, const std::array<Word, 4>& order) : guesses_(guesses), order_(order) {}
  /// nullopt: none is left.
  [[nodiscard]] std::optional<Controls> next() {
    Word cheapest = order_.front();
    for (const Word word : order_) {
      if (guesses_.cost[index(word)] < guesses_.cost[index(cheapest)] * (1.0 - kTied)) cheapest = word;
    }
    const std::size_t i = index(cheapest);
    if (guesses_.cost[i] == kNoLimit) return std::nullopt;
    guesses_.cost[i] = kNoLimit;
    return Controls{cheapest, guesses_.first[i], guesses_.middle[i], guesses_.last[i]};
  }

 private:
  LaneGuess guesses_;
  std::array<Word, 4> order_;
};

struct Candidate {
  Controls controls;
  double cost;
};
bool cheaper(const Candidate& a, const Candidate& b) { return a.cost < b.cost; }

Turning<double> turning(const Controls& c) {
  return {1.0 * first_sense(c.word), 1.0 * last_sense(c.word), c.first, c.middle, c.last};
}
/// One of several.
Controls straight_word(const Turning<Lanes>& paths, std::size_t i) {
  const bool last_right = paths.last_sense[i] > 0.0;
  const Word word = paths.first_sense[i] > 0.0 ? last_right ? Word::rsr : Word::rsl
                    : last_right               ? Word::lsr
                                               : Word::lsl;
  return {word, paths.first[i], paths.middle[i], paths.last[i]};
}
Vector one_of(const LaneVector& a, std::size_t i) { return {a.e[i], a.n[i]}; }
Errand one_of(const ErrandGroup& a, std::size_t i) {
  return {a.height[i],        a.heading[i],
          one_of(a.begin, i), one_of(a.goal, i),
          a.direction[i],     one_of(a.along, i),
          a.track[i] != 0,    {one_of(a.air.wind, i), one_of(a.air.slope, i), one_of(a.air.sum, i)}};
}
Posed<double> one_of(const Posed<Lanes>& a, std::size_t i) {
  const UniformErrandOf<Lanes>& u = a.errand;
  return {{u.begin[i], u.end[i], one_of(u.begin_ahead, i), one_of(u.end_ahead, i), one_of(u.goal, i), one_of(u.wind, i),
           u.slack[i], u.stray[i], u.soonest[i]},
          a.least[i],
          a.share[i]};
}
/// Of a word that is one of several or of a question that is one of several.
Bounds one_of(const LaneBounds& a, std::size_t i) {
  return {static_cast<int>(a.strips[i]),
          a.at_none[i],
          a.room[i],
          {a.from[i], a.to[i]},
          {{a.strip_from[i], a.strip_to[i]}, a.strip_last[i]}};
}
/// The bounds of each word, of one question.
struct WordBounds {
  const LaneBounds* bounds;
  std::size_t lane;
  bool lane_is_word;
  [[nodiscard]] std::pair<const LaneBounds&, std::size_t> of(Word word) const {
    return lane_is_word ? std::pair<const LaneBounds&, std::size_t>(*bounds, index(word))
                        : std::pair<const LaneBounds&, std::size_t>(bounds[index(word)], lane);
  }
};

}  // namespace

struct Rendezvous::Impl {
  explicit Impl(const RendezvousSetup& s)
      : craft{gait(s.first.descent, s.first.radius.si(), s.rank), gait(s.straight, 0.0, s.rank),
              gait(s.last.descent, s.last.radius.si(), s.rank)},
        drift(s.wind),
        quickest(s.rank == RendezvousSetup::Rank::quickest) {}

  void starts(const Errand& errand, Vector wind, double stray, std::vector<Controls>& roots) const {
    const Ending<double> end = ending(craft, errand, wind);
    if (!end.held) return;
    UniformErrand u{in_uniform(craft, drift, errand, wind, end.heading)};
    u.stray = stray;
    u.soonest = 0.0;
    for (const Word word : kStraightWords) {
      const Bounds anywhere{Bounds::kMany, wrap(last_sense(word) * (u.end - u.begin)), kNoLimit, {}, {}};
      find_two_turns(craft, u, word, anywhere, kNoLimit, roots);
    }
    for (const Word word : kTurningWords) find_three_turns(craft, u, word, kNoLimit, roots);
  }

  [[nodiscard]] std::vector<Candidate> all(const Errand& errand) const {
    std::vector<Controls> roots;
    const double below = span(craft, errand);
    std::vector<Vector> winds{wind_over(drift, errand, below)};
    double spread = 0.0;
    if (!drift.uniform()) {
      winds.push_back(errand.air.wind);
      winds.push_back(drift.at(errand.height - below).wind);
      for (const double k : kSpans) winds.push_back(wind_over(drift, errand, k * below));
      for (const Vector wind : winds) spread = std::max(spread, norm(wind - winds.front()));
    }
    for (const Vector wind : winds) starts(errand, wind, kStrayShare * spread, roots);
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
    const auto likely = this->likely(errand);
    if (!likely) return std::nullopt;
    const Controls& known = likely->controls;
    const Posed<double> posed = posed_beside(craft, drift, quickest, errand, turning(known), likely->mean_wind);
    const LaneBounds bounds = bound_straight_words(craft, {posed.errand}, posed.limit(), known);
    return better(errand, known, posed, {&bounds, 0, true});
  }
  /// The first word with a straight that there is, by guesses in a mean wind.
  [[nodiscard]] std::optional<Solution> likely(const Errand& errand) const {
    const Vector wind = wind_over(drift, errand, span(craft, errand));
    const Ending<double> end = ending(craft, errand, wind);
    if (!end.held) return std::nullopt;
    const UniformErrand u{in_uniform(craft, drift, errand, wind, end.heading)};
    Attempts attempts(guess_straight_words(craft, u), likely_first(likely_senses(errand, end.heading)));
    while (const auto start = attempts.next()) {
      if (const auto root = solve(craft, drift, errand, *start, kNoLimit)) return root;
    }
    return std::nullopt;
  }
  /// From any path, which is mostly the best. In the uniform wind that would drift that one by as much, every root that
  /// costs less, and in a profile near misses, too.
  [[nodiscard]] Controls better(const Errand& errand, const Controls& known, const Posed<double>& posed,
                                const WordBounds& bounds) const {
    Controls best = known;
    double least = posed.least;
    const double share = posed.share;
    const UniformErrand u{posed.errand, &known};
    std::vector<Controls> roots;
    const auto wanted = [&](const Controls& root) {
      return cost(craft, root) <= least * share && !same(root, best, 1e-4);
    };
    const auto keep = [&](const Controls& path) {
      if (cost(craft, path) >= least) return;
      best = path;
      least = cost(craft, best);
    };
    const auto take = [&](const Controls& root) {
      if (!wanted(root)) return;
      if (const auto c = solve(craft, drift, errand, root, least)) keep(c->controls);
    };
    const auto take_all = [&](Word word) {
      // What is cheapest first leaves less of the others to solve.
      if (roots.size() > 1) {
        std::stable_sort(roots.begin(), roots.end(),
                         [&](const Controls& a, const Controls& b) { return cost(craft, a) < cost(craft, b); });
      }
      std::size_t done = 0;
      // Three turns may have hundreds of near misses. What a limit lowered on the way would have given up costs too
      // much.
      while (!has_straight(word) && roots.size() - done >= kLanes && cost(craft, roots[done]) <= least * share) {
        std::array<Controls, kLanes> four;
        std::copy_n(roots.begin() + static_cast<std::ptrdiff_t>(done), kLanes, four.begin());
        const SolutionGroup solved = solve_three_turns_side_by_side(craft, drift, errand, four, least);
        for (std::size_t i = 0; i < kLanes; ++i) {
          if (solved.found[i] == 0 || !wanted(four[i])) continue;
          keep({word, solved.paths.first[i], solved.paths.middle[i], solved.paths.last[i]});
        }
        done += kLanes;
      }
      for (; done < roots.size(); ++done) take(roots[done]);
      roots.clear();
    };
    for (const Word word : kStraightWords) {
      const auto [bound, i] = bounds.of(word);
      if (bound.found[i] != 0) {
        take({word, bound.first[i], bound.straight_time[i], bound.last[i]});
      } else if (bound.strips[i] > 0.0) {
        find_two_turns(craft, u, word, one_of(bound, i), least * share, roots);
        take_all(word);
      }
    }
    if (!within_three_turns(craft, u, least * share)) return best;
    for (const Word word : kTurningWords) {
      find_three_turns(craft, u, word, least * share, roots);
      take_all(word);
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
  /// What is likely, and where what is better can be, is found side by side.
  void best(std::span<const RendezvousQuery, kLanes> queries,
            std::span<std::optional<RendezvousResult>, kLanes> answers) const {
    std::array<AskedOf<double>, kLanes> questions;
    for (std::size_t i = 0; i < kLanes; ++i) questions[i] = asked(queries[i].from, queries[i].to);
    const StartGroup start = start_side_by_side(craft, drift, questions);
    const SolutionGroup likely = solve_side_by_side(craft, drift, start.errands, start.guesses);
    const BoundGroup bound = bound_side_by_side(craft, drift, quickest, start.errands, likely);
    for (std::size_t i = 0; i < kLanes; ++i) {
      const Errand errand = one_of(start.errands, i);
      const bool one = start.any[i] != 0 && likely.found[i] != 0;
      const auto controls = one ? checked(errand, better(errand, straight_word(likely.paths, i), one_of(bound.posed, i),
                                                         {bound.words.data(), i, false}))
                                : best(errand);
      answers[i] = controls ? std::optional(result(errand, *controls)) : std::nullopt;
    }
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
  const Errand errand = make_errand(impl_->drift, asked(from, to));
  std::vector<RendezvousResult> results;
  for (const Candidate& c : impl_->all(errand)) results.push_back(impl_->result(errand, c.controls));
  return results;
}

std::optional<RendezvousResult> Rendezvous::best(const AirPose& from, const RendezvousGoal& to) const {
  const Errand errand = make_errand(impl_->drift, asked(from, to));
  const auto c = impl_->best(errand);
  if (!c) return std::nullopt;
  return impl_->result(errand, *c);
}

void Rendezvous::best(std::span<const RendezvousQuery> queries,
                      std::span<std::optional<RendezvousResult>> answers) const {
  require(queries.size() == answers.size(), "an answer for each question");
  std::size_t done = 0;
  for (; queries.size() - done >= kLanes; done += kLanes) {
    impl_->best(queries.subspan(done).first<kLanes>(), answers.subspan(done).first<kLanes>());
  }
  for (; done < queries.size(); ++done) answers[done] = best(queries[done].from, queries[done].to);
}

}  // namespace backfield::flight
