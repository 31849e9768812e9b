// What is asked of all four words with a straight, side by side.

#include "rendezvous_lanes.hpp"
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
constexpr double kAllButThere = 0.003;  // rad, of a step

/// Radii by senses: their difference is what the straight passes the way between the circles' centres by.
struct Circles {
  Lanes across;
  LaneVector fixed;  ///< from the first to the last one's centre, in calm air
};
BACKFIELD_INLINED Circles circles(const Craft& craft, const UniformErrand& errand) {
  const Lanes R1 = kFirst * craft.first.radius;
  const Lanes R3 = kLast * craft.last.radius;
  return {R1 - R3,
          lanes(errand.goal) - lanes(right_of(errand.begin_ahead)) * R1 + lanes(right_of(errand.end_ahead)) * R3};
}

}  // namespace

BACKFIELD_FOR_EACH_PROCESSOR
Guesses guess_two_turns(const Craft& craft, const UniformErrand& errand) {
  const auto [across, fixed] = circles(craft, errand);
  const int rounds = errand.wind.e != 0.0 || errand.wind.n != 0.0 ? 2 : 1;
  Lanes time = lanes(errand.soonest);
  Lanes first{};
  Lanes middle{};
  Lanes last{};
  LaneBits none{};
  for (int i = 0; i < rounds; ++i) {
    const LaneVector way = fixed - lanes(errand.wind) * time;
    const Lanes straight2 = way.e * way.e + way.n * way.n - across * across;
    none |= straight2 <= 0.0;
    const Lanes straight = root(most(straight2, lanes(1e-300)));
    const Lanes heading =
        rough_heading(LaneVector{way.e * straight + way.n * across, way.n * straight - way.e * across});
    first = wrap(kFirst * (heading - errand.begin));
    middle = straight * (1.0 / craft.straight.speed);
    last = wrap(kLast * (errand.end - heading));
    time = first * craft.first.s_rad + middle + last * craft.last.s_rad;
  }
  const Lanes costs = first * (craft.first.s_rad * craft.first.cost) + middle * craft.straight.cost +
                      last * (craft.last.s_rad * craft.last.cost);
  Guesses guesses;
  for (std::size_t i = 0; i < kStraightWordCount; ++i) {
    guesses.words[i] = {static_cast<Word>(i), first[i], middle[i], last[i]};
    guesses.cost[i] = none[i] != 0 ? std::numeric_limits<double>::infinity() : costs[i];
  }
  return guesses;
}

/// The straight, and the radii across it, lead from the centre of the first turn to that of the last, which drifts for
/// at least `soonest` and no more than the limit.
BACKFIELD_FOR_EACH_PROCESSOR
std::array<Bounds, kStraightWordCount> bound_two_turns(const Craft& craft, const UniformErrand& errand, double limit) {
  const Lanes at_none = wrap(kLast * (errand.end - errand.begin));
  std::array<Bounds, kStraightWordCount> bounds;
  if (limit == std::numeric_limits<double>::infinity()) {
    for (std::size_t i = 0; i < kStraightWordCount; ++i) {
      bounds[i] = {Bounds::kMany, at_none[i], limit, Range{}, {}, false, {}};
    }
    return bounds;
  }
  const double V = craft.straight.speed;
  const double longest =
      std::max(errand.soonest, limit / std::min({craft.first.cost, craft.straight.cost, craft.last.cost}));
  // The direction at the end strays with the wind, and the last turn's centre with it.
  const double strays = errand.stray * (longest + 2.0 * craft.last.radius / V);
  // The way between the centres, as class Reach has it.
  const auto [across_by, fixed] = circles(craft, errand);
  const LaneVector a = fixed - lanes(errand.wind * errand.soonest);
  const LaneVector b = fixed - lanes(errand.wind * longest);
  const Vector along = errand.wind * (errand.soonest - longest);
  const double along2 = dot(along, along);
  const Lanes share =
      most(lanes(0.0), least(lanes(1.0), (a.e * along.e + a.n * along.n) * (along2 > 0.0 ? -1.0 / along2 : 0.0)));
  const Lanes on_line = norm(a + lanes(along) * share);
  const Lanes nearest = most(lanes(0.0), on_line - strays);
  const Lanes farthest = root(most(a.e * a.e + a.n * a.n, b.e * b.e + b.n * b.n)) + strays;
  const Lanes across = magnitude(across_by);
  const Lanes straight = root(most(lanes(0.0), nearest * nearest - across * across));

  const double first_costs = craft.first.s_rad * craft.first.cost;
  const double last_costs = craft.last.s_rad * craft.last.cost;
  // Turns that are a little negative count as such.
  const Lanes room = limit + errand.slack * (first_costs + last_costs) - straight * (craft.straight.cost / V);
  // Turns of one sense add up to what they have to, those of two differ by it; but for a full circle.
  const Lanes of_one =
      at_none < kFullTurn - 2.0 * errand.slack ? at_none * std::min(first_costs, last_costs) : lanes(0.0);
  const Lanes of_two = least(at_none * last_costs, (kFullTurn - at_none) * first_costs);
  const Lanes least_turns = kFirst == kLast ? of_one : of_two;
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
  const Lanes low = begin + least(lanes(0.0), turned) - more + (across_by > 0.0 ? least_sine : -most_by) - errand.begin;
  const Lanes high = begin + most(lanes(0.0), turned) + more + (across_by > 0.0 ? most_by : -least_sine) - errand.begin;
  // Unless it is so far that no straight goes back in time, even by the slack.
  const LaneBits all =
      (straight <= 1e-6 + errand.slack * craft.first.s_rad * V) | (on_line <= strays) | ~(high - low < kFullTurn);
  const Lanes from = all != 0 ? lanes(0.0) : wrap(kFirst > 0.0 ? low : -high);
  const Lanes to = all != 0 ? lanes(kFullTurn) : from + (high - low);

  // The last turn's angle is a line over the first's, one for each full circle; as far as the turns leave time for the
  // straight.
  const Lanes rise = -kFirst * kLast;
  const Lanes costs = first_costs + rise * last_costs;
  const Lanes least_turn = costs * 0.0 - errand.slack;
  const Lanes most_turn = kFullTurn - least_turn;
  const Lanes never = least_turn - 1.0;
  Lanes strips{};
  Lanes strip_from{};
  Lanes strip_to{};
  Lanes strip_last{};
  for (int circles = -1; circles <= 2; ++circles) {
    const Lanes last = at_none - rise * (circles * kFullTurn);
    Lanes line_from = most(least_turn, rise > 0.0 ? least_turn - last : last - most_turn);
    Lanes line_to = least(most_turn, rise > 0.0 ? most_turn - last : last - least_turn);
    const Lanes left = room - last * last_costs;
    const Lanes bound = left / costs;
    line_to = costs > 0.0 ? least(line_to, bound) : line_to;
    line_from = costs < 0.0 ? most(line_from, bound) : line_from;
    line_to = ((costs != 0.0) | (left >= 0.0)) ? line_to : never;
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
  const StraightEquation<Lanes> equation(craft, errand, kFirst, kLast);
  const Lanes half = 0.5 * (strip_to - strip_from);
  const Lanes middle = strip_from + half;
  const Lanes last_there = strip_last + rise * middle;
  const Lanes psi = errand.begin + kFirst * middle;
  const auto x = equation.value(ahead(psi), middle, last_there);
  const auto judged = equation.judge(x, half, limit);
  const LaneBits single =
      (strips == 1.0) & (2.0 * half <= StraightEquation<Lanes>::kWidest) & (equation.bend > equation.least_bend());
  LaneBits gone = none | (strips == 0.0) | (single & judged.none);
  const LaneBits one = single & judged.one_at_most;
  if (errand.known != nullptr) {
    const Controls& known = *errand.known;
    gone |= one & (kWord == static_cast<double>(known.word)) & (magnitude(known.first - x.first) <= half) &
            (magnitude(known.last - x.last) <= half);
  }
  LaneBits found = one & ~gone;
  Lanes straight_time{};
  Lanes by{};
  if (any(found)) {
    // Two steps of Newton's; what then is not all but there is looked into alone.
    const Lanes step = -x.f / x.slope;
    const auto y = equation.value(ahead(psi + step), middle + kFirst * step, last_there - kLast * step);
    const Lanes second = -y.f / y.slope;
    by = step + second;
    const auto z = equation.value(ahead(psi + by), middle + kFirst * by, last_there - kLast * by);
    straight_time = z.along / most(lanes(1e-12), z.ground2);
    found &= magnitude(second) < kAllButThere;
    const double polished = StraightEquation<Lanes>::kPolished;
    gone |= found &
            ((magnitude(by) > half + polished) | (straight_time < equation.shortest - polished * craft.first.s_rad) |
             (z.first * first_costs + straight_time * craft.straight.cost + z.last * last_costs > limit));
    found &= ~gone;
  }
  const Lanes first = middle + kFirst * by;
  const Lanes last = last_there - kLast * by;
  for (std::size_t i = 0; i < kStraightWordCount; ++i) {
    bounds[i] = {gone[i] != 0 ? 0 : static_cast<int>(strips[i]),
                 at_none[i],
                 room[i],
                 {from[i], to[i]},
                 {{strip_from[i], strip_to[i]}, strip_last[i]},
                 found[i] != 0,
                 {static_cast<Word>(i), first[i], straight_time[i], last[i]}};
  }
  return bounds;
}

}  // namespace backfield::flight
