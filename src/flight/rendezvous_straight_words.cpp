#include "rendezvous_straight_words.hpp"

#include "rendezvous_straight_equation.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace backfield::flight {
namespace {

// +1 right, in the order of Word.
constexpr Lanes kFirst{-1.0, 1.0, -1.0, 1.0};
constexpr Lanes kLast{-1.0, 1.0, 1.0, -1.0};
static_assert(first_sense(Word::lsl) == -1 && first_sense(Word::rsr) == 1 && first_sense(Word::lsr) == -1 &&
              first_sense(Word::rsl) == 1);
static_assert(last_sense(Word::lsl) == -1 && last_sense(Word::rsr) == 1 && last_sense(Word::lsr) == 1 &&
              last_sense(Word::rsl) == -1);
constexpr Lanes kWord{0.0, 1.0, 2.0, 3.0};

// Below `S` is a sense, of each word where lanes are words, or of all lanes where they are questions; `Q` is what a
// question has, likewise.

/// A root that need not be found.
template <class Q>
struct Known {
  Q word{}, first{}, last{};
};

/// Radii by senses: their difference is what the straight passes the way between the circles' centres by.
template <class S>
struct Circles {
  S across;
  LaneVector fixed;  ///< from the first to the last one's centre, in calm air
};
template <class Q, class S>
BACKFIELD_INLINED Circles<S> circles(const Craft& craft, const UniformErrandOf<Q>& errand, const S& first_sense,
                                     const S& last_sense) {
  const S R1 = first_sense * craft.first.radius;
  const S R3 = last_sense * craft.last.radius;
  const VectorOf<Q> begin = right_of(errand.begin_ahead);
  const VectorOf<Q> end = right_of(errand.end_ahead);
  return {R1 - R3, {errand.goal.e - begin.e * R1 + end.e * R3, errand.goal.n - begin.n * R1 + end.n * R3}};
}

template <class Q, class S>
BACKFIELD_INLINED LaneGuess guess_two_turns(const Craft& craft, const UniformErrandOf<Q>& errand, const S& first_sense,
                                            const S& last_sense) {
  const auto [across, fixed] = circles(craft, errand, first_sense, last_sense);
  // In calm air the second is the same as the first.
  const int rounds = any(either(errand.wind.e != 0.0, errand.wind.n != 0.0)) ? 2 : 1;
  Lanes time = Lanes{} + errand.soonest;
  Lanes first{};
  Lanes middle{};
  Lanes last{};
  LaneBits none{};
  for (int i = 0; i < rounds; ++i) {
    const LaneVector way = fixed - LaneVector{errand.wind.e * time, errand.wind.n * time};
    const Lanes straight2 = way.e * way.e + way.n * way.n - across * across;
    none |= straight2 <= 0.0;
    const Lanes straight = root(most(straight2, lanes(1e-300)));
    const Lanes heading =
        rough_heading(LaneVector{way.e * straight + way.n * across, way.n * straight - way.e * across});
    first = wrap(first_sense * (heading - errand.begin));
    middle = straight * (1.0 / craft.straight.speed);
    last = wrap(last_sense * (errand.end - heading));
    time = first * craft.first.s_rad + middle + last * craft.last.s_rad;
  }
  const Lanes costs = first * (craft.first.s_rad * craft.first.cost) + middle * craft.straight.cost +
                      last * (craft.last.s_rad * craft.last.cost);
  return {first, middle, last, choose(none, lanes(std::numeric_limits<double>::infinity()), costs)};
}

/// The straight, and the radii across it, lead from the centre of the first turn to that of the last, which drifts for
/// at least `soonest` and no more than the limit.
template <class Q, class S>
BACKFIELD_INLINED LaneBounds bound_two_turns(const Craft& craft, const UniformErrandOf<Q>& errand, const Q& limit,
                                             const S& word, const S& first_sense, const S& last_sense,
                                             const Known<Q>& known) {
  constexpr double kAllButThere = 0.003;  // rad, of a step
  const Lanes at_none = wrap(last_sense * (errand.end - errand.begin));
  const double V = craft.straight.speed;
  const Q longest = most(errand.soonest, limit / std::min({craft.first.cost, craft.straight.cost, craft.last.cost}));
  // The direction at the end strays with the wind, and the last turn's centre with it.
  const Q strays = errand.stray * (longest + 2.0 * craft.last.radius / V);
  // The way between the centres, as class Reach has it.
  const auto [across_by, fixed] = circles(craft, errand, first_sense, last_sense);
  const LaneVector a = fixed - errand.wind * errand.soonest;
  const LaneVector b = fixed - errand.wind * longest;
  const VectorOf<Q> along = errand.wind * (errand.soonest - longest);
  const Q along2 = dot(along, along);
  const Q per_along2 = choose(along2 > 0.0, -1.0 / along2, Q{});
  const Lanes share = most(lanes(0.0), least(lanes(1.0), (a.e * along.e + a.n * along.n) * per_along2));
  const Lanes on_line = norm(a + LaneVector{along.e * share, along.n * share});
  const Lanes nearest = most(lanes(0.0), on_line - strays);
  const Lanes farthest = root(most(a.e * a.e + a.n * a.n, b.e * b.e + b.n * b.n)) + strays;
  const S across = magnitude(across_by);
  const Lanes straight = root(most(lanes(0.0), nearest * nearest - across * across));

  const double first_costs = craft.first.s_rad * craft.first.cost;
  const double last_costs = craft.last.s_rad * craft.last.cost;
  // Turns that are a little negative count as such.
  const Lanes room = limit + errand.slack * (first_costs + last_costs) - straight * (craft.straight.cost / V);
  // Turns of one sense add up to what they have to, those of two differ by it; but for a full circle.
  const Lanes of_one =
      at_none < kFullTurn - 2.0 * errand.slack ? at_none * std::min(first_costs, last_costs) : lanes(0.0);
  const Lanes of_two = least(at_none * last_costs, (kFullTurn - at_none) * first_costs);
  const Lanes least_turns = choose(first_sense == last_sense, of_one, of_two);
  const LaneBits none = room < least_turns;

  // The way's heading and the straight's differ by asin(across / way).
  const Lanes begin = rough_heading(a);
  Lanes turned = rough_heading(b) - begin;
  turned = turned > kPi ? turned - kFullTurn : turned;
  turned = turned < -kPi ? turned + kFullTurn : turned;
  const Lanes sine = strays / on_line;
  const Lanes more = sine + (0.5 * kPi - 1.0) * (sine * sine * sine) + 3.0 * kRoughHeading_rad;
  const Lanes least_sine = across / farthest;
  const Lanes most_sine = across / nearest;
  const Lanes most_by = most_sine + (0.5 * kPi - 1.0) * (most_sine * most_sine * most_sine);
  const Lanes low =
      begin + least(lanes(0.0), turned) - more + choose(across_by > 0.0, least_sine, -most_by) - errand.begin;
  const Lanes high =
      begin + most(lanes(0.0), turned) + more + choose(across_by > 0.0, most_by, -least_sine) - errand.begin;
  // Unless it is so far that no straight goes back in time, even by the slack.
  const LaneBits all =
      (straight <= 1e-6 + errand.slack * craft.first.s_rad * V) | (on_line <= strays) | ~(high - low < kFullTurn);
  const Lanes from = all != 0 ? lanes(0.0) : wrap(choose(first_sense > 0.0, low, -high));
  const Lanes to = all != 0 ? lanes(kFullTurn) : from + (high - low);

  // The last turn's angle is a line over the first's, one for each full circle; as far as the turns leave time for the
  // straight.
  const S rise = -first_sense * last_sense;
  const S costs = first_costs + rise * last_costs;
  const Lanes least_turn = Lanes{} - errand.slack;
  const Lanes most_turn = kFullTurn - least_turn;
  const Lanes never = least_turn - 1.0;
  Lanes strips{};
  Lanes strip_from{};
  Lanes strip_to{};
  Lanes strip_last{};
  for (int circles = -1; circles <= 2; ++circles) {
    const Lanes last = at_none - rise * (circles * kFullTurn);
    Lanes line_from = most(least_turn, choose(rise > 0.0, least_turn - last, last - most_turn));
    Lanes line_to = least(most_turn, choose(rise > 0.0, most_turn - last, last - least_turn));
    const Lanes left = room - last * last_costs;
    const Lanes bound = left / costs;
    line_to = choose(costs > 0.0, least(line_to, bound), line_to);
    line_from = choose(costs < 0.0, most(line_from, bound), line_from);
    line_to = choose(costs != 0.0, line_to, choose(left >= 0.0, line_to, never));
    for (int k = -1; k <= 1; ++k) {
      const Lanes strip_begins = most(line_from, all ? least_turn : from + k * kFullTurn);
      const Lanes strip_ends = least(line_to, all ? (k == 0 ? most_turn : never) : to + k * kFullTurn);
      const LaneBits is_strip = strip_begins <= strip_ends;
      strips += is_strip ? lanes(1.0) : lanes(0.0);
      strip_from = is_strip ? strip_begins : strip_from;
      strip_to = is_strip ? strip_ends : strip_to;
      strip_last = is_strip ? last : strip_last;
    }
  }

  // Most words have one short strip at most, with one root at most.
  const StraightEquation<Lanes, S, Q> equation(craft, errand, first_sense, last_sense);
  const Lanes half = 0.5 * (strip_to - strip_from);
  const Lanes middle = strip_from + half;
  const Lanes last_there = strip_last + rise * middle;
  const Lanes psi = errand.begin + first_sense * middle;
  const auto x = equation.value(ahead(psi), middle, last_there);
  const auto judged = equation.judge(x, half, limit);
  const LaneBits single =
      (strips == 1.0) & (2.0 * half <= StraightEquation<double>::kWidest) & (equation.bend > equation.least_bend());
  LaneBits gone = none | (strips == 0.0) | (single & judged.none);
  const LaneBits one = single & judged.one_at_most;
  gone |= one & (word == known.word) & (magnitude(known.first - x.first) <= half) &
          (magnitude(known.last - x.last) <= half);
  LaneBits found = one & ~gone;
  Lanes straight_time{};
  Lanes by{};
  if (any(found)) {
    // Two steps of Newton's; what then is not all but there is looked into alone.
    const Lanes step = -x.f / x.slope;
    const auto y = equation.value(ahead(psi + step), middle + first_sense * step, last_there - last_sense * step);
    const Lanes second = -y.f / y.slope;
    by = step + second;
    const auto z = equation.value(ahead(psi + by), middle + first_sense * by, last_there - last_sense * by);
    straight_time = z.along / most(lanes(1e-12), z.ground2);
    found &= magnitude(second) < kAllButThere;
    const double polished = StraightEquation<double>::kPolished;
    gone |= found &
            ((magnitude(by) > half + polished) | (straight_time < equation.shortest - polished * craft.first.s_rad) |
             (z.first * first_costs + straight_time * craft.straight.cost + z.last * last_costs > limit));
    found &= ~gone;
  }
  return {choose(gone, Lanes{}, strips),
          at_none,
          room,
          from,
          to,
          strip_from,
          strip_to,
          strip_last,
          found,
          middle + first_sense * by,
          straight_time,
          last_there - last_sense * by};
}

/// Of four words, what the one with these senses has.
BACKFIELD_INLINED Lanes of_senses(const LaneBits& first_right, const LaneBits& last_right, const Lanes& lsl,
                                  const Lanes& rsr, const Lanes& lsr, const Lanes& rsl) {
  return choose(first_right, choose(last_right, rsr, rsl), choose(last_right, lsr, lsl));
}

}  // namespace

BACKFIELD_FOR_EACH_PROCESSOR
LaneGuess guess_straight_words(const Craft& craft, const UniformErrand& errand) {
  return guess_two_turns<double, Lanes>(craft, errand, kFirst, kLast);
}

BACKFIELD_FOR_EACH_PROCESSOR
LaneBounds bound_straight_words(const Craft& craft, const UniformErrand& errand, double limit, const Controls& known) {
  return bound_two_turns<double, Lanes>(craft, errand, limit, kWord, kFirst, kLast,
                                        Known<double>{static_cast<double>(known.word), known.first, known.last});
}

BACKFIELD_FOR_EACH_PROCESSOR
StartGroup start_side_by_side(const Craft& craft, const Drift& drift,
                              const std::array<AskedOf<double>, kLanes>& asked) {
  using One = AskedOf<double>;
  const Lanes tracks = gather(asked, [](const One& a) { return a.track ? 1.0 : 0.0; });
  StartGroup start;
  start.errands =
      make_errand(drift, AskedOf<Lanes>{gather(asked, [](const One& a) { return a.height; }),
                                        gather(asked, [](const One& a) { return a.heading; }),
                                        gather(asked, [](const One& a) { return a.goal; }),
                                        gather(asked, [](const One& a) { return a.direction; }), tracks != 0.0});
  const ErrandGroup& errands = start.errands;
  const LaneVector wind = wind_over(drift, errands, span(craft, errands));
  const Ending<Lanes> end = ending(craft, errands, wind);
  const UniformErrandOf<Lanes> u = in_uniform(craft, drift, errands, wind, end.heading);
  std::array<LaneGuess, kLanes> words;
  for (std::size_t i = 0; i < kLanes; ++i) words[i] = guess_two_turns<Lanes, double>(craft, u, kFirst[i], kLast[i]);

  // As class Attempts of rendezvous.cpp has it.
  const auto [first_right, last_right] = likely_senses(errands, end.heading);
  const auto cost = [&](const LaneBits& first, const LaneBits& last) BACKFIELD_ALWAYS {
    return of_senses(first, last, words[0].cost, words[1].cost, words[2].cost, words[3].cost);
  };
  LaneBits first = first_right;
  LaneBits last = last_right;
  Lanes least_cost = cost(first, last);
  for (int i = 1; i < 4; ++i) {
    const LaneBits other_first = (i & 1) != 0 ? ~first_right : first_right;
    const LaneBits other_last = (i & 2) != 0 ? ~last_right : last_right;
    const Lanes other = cost(other_first, other_last);
    const LaneBits cheaper = other < least_cost * (1.0 - kTied);
    first = cheaper ? other_first : first;
    last = cheaper ? other_last : last;
    least_cost = choose(cheaper, other, least_cost);
  }
  const Lanes one = lanes(1.0);
  start.any = end.held & (least_cost < std::numeric_limits<double>::infinity());
  start.guesses = {choose(first, one, -one), choose(last, one, -one),
                   of_senses(first, last, words[0].first, words[1].first, words[2].first, words[3].first),
                   of_senses(first, last, words[0].middle, words[1].middle, words[2].middle, words[3].middle),
                   of_senses(first, last, words[0].last, words[1].last, words[2].last, words[3].last)};
  return start;
}

BACKFIELD_FOR_EACH_PROCESSOR
BoundGroup bound_side_by_side(const Craft& craft, const Drift& drift, bool quickest, const ErrandGroup& errands,
                              const SolutionGroup& known) {
  BoundGroup bound;
  bound.posed = posed_beside(craft, drift, quickest, errands, known.paths, known.mean_wind);
  const LaneBits first = known.paths.first_sense > 0.0;
  const LaneBits last = known.paths.last_sense > 0.0;
  const Lanes word = of_senses(first, last, lanes(0.0), lanes(1.0), lanes(2.0), lanes(3.0));
  const Known<Lanes> not_again{word, known.paths.first, known.paths.last};
  const Lanes limit = bound.posed.limit();
  for (std::size_t i = 0; i < kLanes; ++i) {
    bound.words[i] =
        bound_two_turns<Lanes, double>(craft, bound.posed.errand, limit, kWord[i], kFirst[i], kLast[i], not_again);
  }
  return bound;
}

}  // namespace backfield::flight
