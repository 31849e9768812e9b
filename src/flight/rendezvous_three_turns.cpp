// Three turns in a uniform wind.
//
// Unknown are the first and the last turn; the middle one follows from the headings, up to full circles, which are
// taken one after the other. What the end lacks, F, has derivatives that change by no more than M1 and M3 times the
// change of the first and the last turn. A box of half widths r1 and r3 around m, with P the inverse of F's derivative
// there,
//
//   holds no root      if the Newton step -P F(m) leaves it by more than |P| times the remainder of second order
//   holds at most one  if |P| (M1 + M3) 2r < 1/2 with the larger r; the steps -P F from m lead to it, halving the
//                      distance at least
//
// and is halved both ways, or the longer one, if neither. With a limit of the cost the boxes begin where the centres of
// the three turns can be the corners of a triangle in any wind that is meant, and in time; without one everywhere.

#include "rendezvous_lanes.hpp"
#include "rendezvous_reach.hpp"
#include "rendezvous_uniform.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace backfield::flight {
namespace {

constexpr double kSmallest = 1e-8;
constexpr double kPolished = 1e-5;
constexpr double kNearMiss = 0.02;
constexpr double kNearMissesApart = 0.03;  // with 0.1, 3 of 36,000 planted words were missed that 0.03 finds
constexpr double kStart = 0.01;
constexpr double kTile = 0.3;
constexpr double kSlice = 1.5;  // of a radius, that the wind drifts
// Hundreds are usual. Where goal and start are one place but for a breath of wind, whole curves are all but roots.
constexpr int kMostBoxes = 100'000;

/// How far the wind that blows may carry the last turn's centre elsewhere in a time. The direction at the end strays
/// with it, too.
double strays(const Craft& craft, const UniformErrand& errand, double time) {
  return errand.stray * (time + 2.0 * craft.last.radius / craft.straight.speed);
}
double longest_of(const Craft& craft, double limit) {
  return std::min(kFullTurn * (2.0 * craft.first.s_rad + craft.last.s_rad),
                  limit / std::min(craft.first.cost, craft.last.cost));
}

/// Three turns, by the first and the last one's angle, for one number or several side by side.
struct Equations {
  double sense, begin, end;
  double R1, R3;
  Vector fixed, wind;
  double turn;
  double first_s, last_s;          ///< of a radian
  double first_costs, last_costs;  ///< of a radian
  double limit, slack, stray;      ///< UniformErrand

  template <class T>
  struct Value {
    T middle, time;
    VectorOf<T> F, by_first, by_last;
  };
  template <class T>
  BACKFIELD_INLINED Value<T> value(const T& first, const T& last, const T& circles) const {
    const VectorOf<T> u = ahead(begin + sense * first);
    const VectorOf<T> v = ahead(end - sense * last);
    const T middle = turn + first + last - circles * kFullTurn;
    const T time = (first + middle) * first_s + last * last_s;
    const VectorOf<T> off = right_of(v) * (sense * (R1 + R3)) - right_of(u) * (sense * 2.0 * R1);
    const Vector both_by = wind * (2.0 * first_s);
    const Vector last_by = wind * (first_s + last_s);
    return {middle,
            time,
            {fixed.e + off.e + wind.e * time, fixed.n + off.n + wind.n * time},
            {u.e * (2.0 * R1) + both_by.e, u.n * (2.0 * R1) + both_by.n},
            {v.e * (R1 + R3) + last_by.e, v.n * (R1 + R3) + last_by.n}};
  }
};

/// Of first and last turns around its middle, with so many whole circles left out of the middle turn.
struct Box {
  double first, last, circles;
  double half_first, half_last;  ///< half as wide
};
/// The same, side by side.
struct Boxes {
  Lanes first{}, last{}, circles{}, half_first{}, half_last{};
  std::size_t n = 0;
  Lanes turned{};                      ///< the middle turn
  LaneBits none{}, one_or_singular{};  ///< no root; one, or too small to tell
  void add(const Box& box) {
    first[n] = box.first;
    last[n] = box.last;
    circles[n] = box.circles;
    half_first[n] = box.half_first;
    half_last[n] = box.half_last;
    ++n;
  }
};

BACKFIELD_FOR_EACH_PROCESSOR
void judge(const Equations& q, Boxes& b) {
  const Lanes zero = b.first * 0.0;
  const Lanes both = b.half_first + b.half_last;
  const auto x = q.value(b.first, b.last, b.circles);
  b.turned = x.middle;
  const Lanes least_cost = (most(zero, b.first - b.half_first) + most(zero, x.middle - both)) * q.first_costs +
                           most(zero, b.last - b.half_last) * q.last_costs;
  b.none = (x.middle + both < -q.slack) | (x.middle - both > kFullTurn + q.slack) | (least_cost > q.limit);
  const Lanes remainder =
      b.half_first * b.half_first * q.R1 + b.half_last * b.half_last * (0.5 * (q.R1 + q.R3)) + x.time * q.stray;
  const Lanes size_first = norm(x.by_last);  // of P's rows, times det
  const Lanes size_last = norm(x.by_first);
  const Lanes reach = size_last * b.half_first + size_first * b.half_last + remainder;
  const Lanes det = magnitude(cross(x.by_first, x.by_last));
  const Lanes step_first = magnitude(cross(x.F, x.by_last));  // times det
  const Lanes step_last = magnitude(cross(x.by_first, x.F));
  b.none |= (dot(x.F, x.F) > reach * reach) | (step_first > det * b.half_first + size_first * remainder) |
            (step_last > det * b.half_last + size_last * remainder);
  const Lanes widest = most(b.half_first, b.half_last);
  b.one_or_singular =
      (most(size_first, size_last) * widest * (2.0 * (3.0 * q.R1 + q.R3)) < 0.5 * det) | (widest < kSmallest);
}

class ThreeTurns {
 public:
  ThreeTurns(const Craft& craft, const UniformErrand& errand, Word word, double limit)
      : craft_(craft),
        errand_(errand),
        word_(word),
        limit_(limit),
        sense_(first_sense(word)),
        R1_(craft.first.radius),
        R3_(craft.last.radius),
        fixed_(right_of(errand.begin_ahead) * (sense_ * R1_) - right_of(errand.end_ahead) * (sense_ * R3_) -
               errand.goal),
        turn_(wrap(sense_ * (errand.begin - errand.end))),
        equations_{1.0 * sense_,
                   errand.begin,
                   errand.end,
                   R1_,
                   R3_,
                   fixed_,
                   errand.wind,
                   turn_,
                   craft.first.s_rad,
                   craft.last.s_rad,
                   craft.first.s_rad * craft.first.cost,
                   craft.last.s_rad * craft.last.cost,
                   limit,
                   errand.slack,
                   errand.stray} {}

  void find(std::vector<Controls>& roots) {
    known_ = roots.size();
    const Vector w = errand_.wind;
    const double longest = longest_of(craft_, limit_);
    // The goal, moved against the wind for as long as a word may last, has to come within reach.
    const Reach way(fixed_ + w * errand_.soonest, fixed_ + w * std::max(errand_.soonest, longest),
                    strays(craft_, errand_, longest));
    if (way.nearest() > 3.0 * R1_ + R3_ + 1e-6) return;
    if (dot(w, w) == 0.0) {
      calm(roots);
      return;
    }
    if (!every()) {
      in_time(longest, roots);
      return;
    }
    const double half = 0.25 * (kFullTurn + 2.0 * errand_.slack);
    for (int circles = -1; circles <= 3; ++circles) {
      for (const double a : {half, 3.0 * half}) {
        for (const double b : {half, 3.0 * half}) {
          queue({a - errand_.slack, b - errand_.slack, 1.0 * circles, half, half}, roots);
        }
      }
    }
    flush(roots);
  }

 private:
  struct Pair {
    double first, last;
  };
  /// The centres of the three turns are corners of a triangle with known sides. When two of them coincide the turns are
  /// whole circles, and no word of three.
  void calm(std::vector<Controls>& roots) const {
    const double a = 2.0 * R1_;
    const double b = R1_ + R3_;
    const Vector side = fixed_ * sense_;
    const double cosine = (a * a + b * b - dot(side, side)) / (2.0 * a * b);
    if (std::abs(cosine) > 1.0 + 1e-14 || norm(side) < 1e-9 * b) return;
    const double inner = std::acos(std::clamp(cosine, -1.0, 1.0));
    for (const double turned : {inner, kFullTurn - inner}) {
      const Vector from_north = Vector{a, 0.0} - right_of(ahead(-sense_ * turned)) * b;
      const double x = std::atan2(side.e, side.n) - std::atan2(from_north.e, from_north.n);
      add({word_, wrap(sense_ * (x - errand_.begin)), turned, wrap(sense_ * (errand_.end - x) + turned)}, same(),
          roots);
    }
  }

  /// Slice by slice of the time that the path may take.
  void in_time(double longest, std::vector<Controls>& roots) {
    const double all = std::max(0.0, longest - errand_.soonest);
    const int slices = std::max(1, static_cast<int>(std::ceil(norm(errand_.wind) * all / (kSlice * R1_))));
    const double direction_strays = 4.0 * errand_.stray / craft_.straight.speed * craft_.last.s_rad;
    for (int i = 0; i < slices; ++i) {
      const double begin = errand_.soonest + i * (all / slices);
      const double end = begin + all / slices;
      const Reach way(fixed_ + errand_.wind * begin, fixed_ + errand_.wind * end, strays(craft_, errand_, end));
      soonest_ = begin - direction_strays - 1e-6;
      latest_ = end + direction_strays + 1e-6;
      if (way.nearest() <= 2.0 * R1_ + R1_ + R3_ + 1e-6) triangles(way, roots);
    }
  }
  /// The boxes in which the way between the centres of the first and the last turn is as given.
  void triangles(const Reach& way, std::vector<Controls>& roots) {
    constexpr double kMargin = 1e-4;  // for rounding, headings and roots that are rough
    constexpr double kTooShort = 1e-3;
    const double a = 2.0 * R1_;
    const double b = R1_ + R3_;
    const auto cosine = [&](double side) {
      return std::clamp((a * a + b * b - side * side) / (2.0 * a * b), -1.0, 1.0);
    };
    const double most_cosine = cosine(way.nearest());
    const double least_cosine = cosine(way.farthest());
    const Range inner{std::acos(most_cosine) - kMargin, std::acos(least_cosine) + kMargin};
    // Beside no turn, as beside a full circle, the triangle is the other one's mirror image: a little less than none is
    // a little less than a full circle.
    const double beside = std::min(errand_.slack, inner.high);
    const struct {
      bool folded;
      Range turned;
    } ways[] = {{false, {std::max(0.0, inner.low), inner.high}},
                {true, {kFullTurn - inner.high, kFullTurn - std::max(0.0, inner.low)}},
                {true, {-beside, -inner.low}},
                {false, {kFullTurn + inner.low, kFullTurn + beside}}};
    // Between the triangle's sides at the centres of the first and the last turn.
    const Range at_first = corner(a, b, least_cosine, most_cosine);
    const Range at_last = corner(b, a, least_cosine, most_cosine);
    const Range heading = way.heading();
    const bool any = heading.any() || way.nearest() < kTooShort * (a + b);
    const double toward = sense_ > 0 ? heading.low : -heading.high;
    const double turns = heading.high - heading.low + 2.0 * kMargin;
    const double first_from = toward - 0.5 * kPi - sense_ * errand_.begin - kMargin;
    const double last_from = sense_ * errand_.end - toward - 0.5 * kPi + kMargin - turns;
    const auto range = [&](double from, const Range& corner, bool folded) {
      if (any) return Range{0.0, 2.0 * kFullTurn};
      const double low = wrap(from + (folded ? corner.low : -corner.high));
      return Range{low, low + turns + corner.high - corner.low};
    };
    for (const auto& [folded, turned] : ways) {
      if (turned.low > turned.high || !within_limit(turned)) continue;
      const Range last = range(last_from, at_last, folded);
      for (const Range& first : meant(range(first_from, at_first, folded))) strip(first, turned, last, roots);
    }
    flush(roots);
  }
  /// Of a triangle's sides a, b and an angle between them between those of two cosines, the angle beside a. It rises
  /// and falls again where a is the longer.
  static Range corner(double a, double b, double least_cosine, double most_cosine) {
    const auto at = [&](double c) { return rough_heading(Vector{b * std::sqrt(1.0 - c * c), a - b * c}); };
    Range corner{at(least_cosine), at(most_cosine)};
    if (corner.low > corner.high) std::swap(corner.low, corner.high);
    if (least_cosine * a < b && b < most_cosine * a) corner.high = std::asin(b / a);
    return corner;
  }
  /// Of angles from one in [0, 2 pi) those that a turn may have, but for full circles; the rest are empty.
  [[nodiscard]] std::array<Range, 3> meant(const Range& angles) const {
    const double low = -errand_.slack;
    const double high = kFullTurn + errand_.slack;
    if (angles.any()) return {{{low, high}, {1.0, 0.0}, {1.0, 0.0}}};
    std::array<Range, 3> ranges;
    for (std::size_t k = 0; k < 3; ++k) {
      const double circles = (static_cast<double>(k) - 1.0) * kFullTurn;
      ranges[k] = {std::max(low, angles.low + circles), std::min(high, angles.high + circles)};
    }
    return ranges;
  }
  /// The first and the last turn add up to the middle one less what is turned altogether, but for full circles.
  [[nodiscard]] bool within_limit(const Range& turned) const {
    const double first_costs = craft_.first.s_rad * craft_.first.cost;
    const double last_costs = craft_.last.s_rad * craft_.last.cost;
    const double sum = turned.low - turn_;
    const double circles = std::ceil((-2.0 * errand_.slack - (turned.high - turn_)) / kFullTurn);
    const double others = std::max(0.0, sum + circles * kFullTurn - errand_.slack);
    return turned.low * first_costs + others * std::min(first_costs, last_costs) <= limit_ &&
           turned.low * craft_.first.s_rad + others * std::min(craft_.first.s_rad, craft_.last.s_rad) <= latest_;
  }
  /// First and middle turns from one angle to another, and last turns, but for full circles.
  void strip(const Range& first, const Range& turned, const Range& last, std::vector<Controls>& roots) {
    if (first.low > first.high) return;
    const double span = turned.high - turned.low;
    const double least = turned.low * craft_.first.s_rad * craft_.first.cost;
    const int parts = std::max(1, static_cast<int>(std::ceil((first.high - first.low) / std::max(span, kTile))));
    const double width = (first.high - first.low) / parts;
    for (const Range& lasts : meant(last)) {
      if (lasts.low > lasts.high) continue;
      for (int i = 0; i < parts; ++i) {
        const double low = first.low + i * width;
        // The last turn follows but for full circles.
        const double at_none = turned.low - turn_ - (low + width);
        double circles = std::ceil((lasts.low - span - width - at_none) / kFullTurn);
        for (;; circles += 1.0) {
          const Range within{std::max(lasts.low, at_none + circles * kFullTurn),
                             std::min(lasts.high, at_none + circles * kFullTurn + span + width)};
          if (within.low > within.high) break;
          const double costs = least + std::max(0.0, low) * craft_.first.s_rad * craft_.first.cost +
                               std::max(0.0, within.low) * craft_.last.s_rad * craft_.last.cost;
          const double soonest = (low + turned.low) * craft_.first.s_rad + within.low * craft_.last.s_rad;
          if (costs > limit_ || soonest > latest_) break;
          const double latest = (low + width + turned.high) * craft_.first.s_rad + within.high * craft_.last.s_rad;
          if (latest < soonest_) continue;
          queue({low + 0.5 * width, 0.5 * (within.low + within.high), circles, 0.5 * width,
                 0.5 * (within.high - within.low)},
                roots);
        }
      }
    }
  }

  /// As many boxes as fit side by side are looked into at once.
  void queue(const Box& box, std::vector<Controls>& roots) {
    queued_.add(box);
    if (queued_.n == kLanes) flush(roots);
  }
  void flush(std::vector<Controls>& roots) {
    if (queued_.n > 0) look_into(queued_, roots);
    queued_.n = 0;
  }
  void look_into(Boxes& boxes, std::vector<Controls>& roots) {
    judge(equations_, boxes);
    for (std::size_t i = 0; i < boxes.n; ++i) {
      if (++asked_ > kMostBoxes) return;
      if (boxes.none[i] != 0) continue;
      const Pair m{boxes.first[i], boxes.last[i]};
      const Pair r{boxes.half_first[i], boxes.half_last[i]};
      const double widest = std::max(r.first, r.last);
      const double circles = boxes.circles[i];
      if (boxes.one_or_singular[i] != 0) {
        newton(m, circles, widest, roots);
      } else if (errand_.stray > 0.0 && 0.5 * widest < kNearMiss) {
        add({word_, m.first, boxes.turned[i], m.last}, every() ? same() : kNearMissesApart, roots);
      } else {
        halve(m, r, circles, roots);
      }
    }
  }
  /// Both ways, or only the one that is twice as long.
  void halve(const Pair& m, const Pair& r, double circles, std::vector<Controls>& roots) {
    const bool by_first = 2.0 * r.first > r.last;
    const bool by_last = 2.0 * r.last > r.first;
    const Pair half{by_first ? 0.5 * r.first : r.first, by_last ? 0.5 * r.last : r.last};
    Boxes boxes;
    boxes.n = by_first && by_last ? 4 : 2;
    boxes.first = m.first + half.first * (by_first ? Lanes{-1.0, 1.0, -1.0, 1.0} : Lanes{});
    boxes.last =
        m.last + half.last * (by_last ? by_first ? Lanes{-1.0, -1.0, 1.0, 1.0} : Lanes{-1.0, 1.0, -1.0, 1.0} : Lanes{});
    boxes.circles = lanes(circles);
    boxes.half_first = lanes(half.first);
    boxes.half_last = lanes(half.last);
    look_into(boxes, roots);
  }

  void newton(const Pair& m, double circles, double r, std::vector<Controls>& roots) {
    Pair at = m;
    for (int i = 0; i < 20; ++i) {
      const auto x = equations_.value(at.first, at.last, circles);
      const double det = cross(x.by_first, x.by_last);
      if (det == 0.0) break;
      const Pair step{-cross(x.F, x.by_last) / det, -cross(x.by_first, x.F) / det};
      const double size = std::max(std::abs(step.first), std::abs(step.last));
      if (size > 3.0 * r + kPolished) {
        if (r < kSmallest) break;
        return;
      }
      at.first += step.first;
      at.last += step.last;
      if (size < (errand_.stray > 0.0 && !every() ? kStart : 1e-3 * kPolished)) break;
    }
    if (std::abs(at.first - m.first) > r + kPolished || std::abs(at.last - m.last) > r + kPolished) return;
    const double middle = turn_ + at.first + at.last - circles * kFullTurn;
    add({word_, at.first, middle, at.last}, same(), roots);
  }

  /// Without a limit every root is wanted.
  [[nodiscard]] bool every() const { return limit_ == std::numeric_limits<double>::infinity(); }
  /// In another wind than the one that blows roots are starts, and as good as the same when so close.
  [[nodiscard]] double same() const { return errand_.stray > 0.0 && !every() ? 0.1 * kStart : 3e-9; }
  void add(const Controls& c, double apart, std::vector<Controls>& roots) const {
    const double near = errand_.slack + kPolished;
    for (const double angle : {c.first, c.middle, c.last}) {
      if (angle < -near || angle > kFullTurn + near) return;
    }
    if (cost(craft_, c) > limit_) return;
    for (std::size_t i = known_; i < roots.size(); ++i) {
      if (std::abs(roots[i].first - c.first) < apart && std::abs(roots[i].middle - c.middle) < apart &&
          std::abs(roots[i].last - c.last) < apart) {
        return;
      }
    }
    roots.push_back(c);
  }

  const Craft& craft_;
  const UniformErrand& errand_;
  Word word_;
  double limit_;
  int sense_;
  double R1_, R3_;
  Vector fixed_;
  double turn_;
  Equations equations_;
  Boxes queued_;
  double soonest_ = 0.0, latest_ = 0.0;  // of the boxes looked at
  int asked_ = 0;
  std::size_t known_ = 0;
};

}  // namespace

bool within_three_turns(const Craft& craft, const UniformErrand& errand, double limit) {
  const double longest = std::max(errand.soonest, longest_of(craft, limit));
  const Reach goal(errand.goal - errand.wind * errand.soonest, errand.goal - errand.wind * longest,
                   strays(craft, errand, longest));
  return goal.nearest() <= 4.0 * craft.first.radius + 2.0 * craft.last.radius + 1e-6;
}

void find_three_turns(const Craft& craft, const UniformErrand& errand, Word word, double limit,
                      std::vector<Controls>& roots) {
  ThreeTurns(craft, errand, word, limit).find(roots);
}

}  // namespace backfield::flight
