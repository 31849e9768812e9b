// Three turns in a uniform wind.
//
// Unknown are the first and the last turn; the middle one follows from the headings, up to full circles, which are
// taken one after the other. What the end lacks, F, has derivatives that change by no more than M1 and M3 times the
// change of the first and the last turn. A square of half width r around m, with P the inverse of F's derivative there,
//
//   holds no root      if the Newton step -P F(m) leaves it by more than |P| times the remainder of second order
//   holds at most one  if |P| (M1 + M3) 2r < 1/2; the steps -P F from m lead to it, halving the distance at least
//
// and is quartered if neither. With a limit of the cost the squares begin where the centres of the three turns can be
// the corners of a triangle in any wind that is meant, and in time; without one everywhere.

#include "rendezvous_reach.hpp"
#include "rendezvous_uniform.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace backfield::flight {
namespace {

constexpr double kSmallest = 1e-8;
constexpr double kPolished = 1e-5;
constexpr double kNearMiss = 0.02;
constexpr double kStart = 0.01;
constexpr double kTile = 0.3;
constexpr double kSlice = 0.6;  // of a radius, that the wind drifts
// Hundreds are usual. Where goal and start are one place but for a breath of wind, whole curves are all but roots.
constexpr int kMostSquares = 100'000;

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
        turn_(wrap(sense_ * (errand.begin - errand.end))) {}

  void find(std::vector<Controls>& roots) {
    known_ = roots.size();
    const Vector w = errand_.wind;
    const double longest = std::min(kFullTurn * (2.0 * craft_.first.s_rad + craft_.last.s_rad),
                                    limit_ / std::min(craft_.first.cost, craft_.last.cost));
    // The goal, moved against the wind for as long as a word may last, has to come within reach; the direction at the
    // end strays with the wind, and the last turn's centre with it.
    const double strays = errand_.stray * (longest + 2.0 * R3_ / craft_.straight.speed);
    const Reach way(fixed_ + w * errand_.soonest, fixed_ + w * std::max(errand_.soonest, longest), strays);
    if (way.nearest() > 3.0 * R1_ + R3_ + 1e-6) return;
    if (dot(w, w) == 0.0) {
      calm(roots);
      return;
    }
    if (!every()) {
      in_time(strays, longest, roots);
      return;
    }
    const double half = 0.25 * (kFullTurn + 2.0 * errand_.slack);
    for (circles_ = -1; circles_ <= 3; ++circles_) {
      for (const double a : {half, 3.0 * half}) {
        for (const double b : {half, 3.0 * half}) square({a - errand_.slack, b - errand_.slack}, half, roots);
      }
    }
  }

 private:
  struct Pair {
    double first, last;
  };
  [[nodiscard]] double middle(const Pair& x) const { return turn_ + x.first + x.last - circles_ * kFullTurn; }
  struct Value {
    Vector F, by_first, by_last;
  };
  [[nodiscard]] Value value(const Pair& x) const {
    const Vector u = ahead(errand_.begin + sense_ * x.first);
    const Vector v = ahead(errand_.end - sense_ * x.last);
    const double T = (x.first + middle(x)) * craft_.first.s_rad + x.last * craft_.last.s_rad;
    return {fixed_ - right_of(u) * (sense_ * 2.0 * R1_) + right_of(v) * (sense_ * (R1_ + R3_)) + errand_.wind * T,
            u * (2.0 * R1_) + errand_.wind * (2.0 * craft_.first.s_rad),
            v * (R1_ + R3_) + errand_.wind * (craft_.first.s_rad + craft_.last.s_rad)};
  }

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
      add({word_, wrap(sense_ * (x - errand_.begin)), turned, wrap(sense_ * (errand_.end - x) + turned)}, roots);
    }
  }

  /// Slice by slice of the time that the path may take.
  void in_time(double strays, double longest, std::vector<Controls>& roots) {
    const double all = std::max(0.0, longest - errand_.soonest);
    const int slices = std::max(1, static_cast<int>(std::ceil(norm(errand_.wind) * all / (kSlice * R1_))));
    const double direction_strays = 4.0 * errand_.stray / craft_.straight.speed * craft_.last.s_rad;
    for (int i = 0; i < slices; ++i) {
      const double begin = errand_.soonest + i * (all / slices);
      const double end = begin + all / slices;
      const Reach way(fixed_ + errand_.wind * begin, fixed_ + errand_.wind * end, strays);
      soonest_ = begin - direction_strays - 1e-6;
      latest_ = end + direction_strays + 1e-6;
      if (way.nearest() <= 2.0 * R1_ + R1_ + R3_ + 1e-6) triangles(way, roots);
    }
  }
  /// The squares in which the way between the centres of the first and the last turn is as given.
  void triangles(const Reach& way, std::vector<Controls>& roots) {
    constexpr double kMargin = 1e-4;  // for rounding, headings and roots that are rough
    const double a = 2.0 * R1_;
    const double b = R1_ + R3_;
    const auto cosine = [&](double side) {
      return std::clamp((a * a + b * b - side * side) / (2.0 * a * b), -1.0, 1.0);
    };
    const double most_cosine = cosine(way.nearest());
    const double least_cosine = cosine(way.farthest());
    const Range inner{std::acos(most_cosine) - kMargin, std::acos(least_cosine) + kMargin};
    const bool near_none = inner.low <= errand_.slack;
    const double beside = near_none ? errand_.slack : 0.0;
    const Range insides[] = {{inner.low - beside, inner.high},
                             {kFullTurn - inner.high, kFullTurn - inner.low + beside}};
    const bool worth[] = {within_limit(insides[0]), within_limit(insides[1])};
    if (!worth[0] && !worth[1]) return;
    // Between the triangle's sides at the centre of the first turn: rises and falls again where the first is longer.
    const auto corner = [&](double c) { return rough_heading({b * std::sqrt(1.0 - c * c), a - b * c}); };
    Range at_first{corner(least_cosine), corner(most_cosine)};
    if (at_first.low > at_first.high) std::swap(at_first.low, at_first.high);
    if (least_cosine * a < b && b < most_cosine * a) at_first.high = std::asin(b / a);
    const Range heading = way.heading();
    const double toward = sense_ > 0 ? heading.low : -heading.high;
    const double width = heading.high - heading.low + at_first.high - at_first.low + 2.0 * kMargin;
    const double from = toward - 0.5 * kPi - sense_ * errand_.begin - kMargin;
    // Slack in the middle turn alone, beside no turn and beside a full circle, is not in this triangle.
    const bool any = heading.any() || width >= kFullTurn || near_none;
    for (const bool folded : {false, true}) {
      if (!worth[folded]) continue;
      const double first = any ? 0.0 : wrap(from + (folded ? at_first.low : -at_first.high));
      for (int k = -1; k <= 1; ++k) {
        const double low = any ? -errand_.slack : std::max(-errand_.slack, first + k * kFullTurn);
        const double high = kFullTurn + errand_.slack;
        strip({low, any ? high : std::min(high, first + k * kFullTurn + width)}, insides[folded], roots);
        if (any) break;
      }
    }
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
  /// First turns and middle turns from one angle to another.
  void strip(const Range& first, const Range& turned, std::vector<Controls>& roots) {
    if (first.low > first.high) return;
    const double span = turned.high - turned.low;
    const double least = turned.low * craft_.first.s_rad * craft_.first.cost;
    const int parts = std::max(1, static_cast<int>(std::ceil((first.high - first.low) / std::max(span, kTile))));
    const double width = (first.high - first.low) / parts;
    for (int i = 0; i < parts; ++i) {
      const double low = first.low + i * width;
      // The last turn follows but for full circles.
      const double at_none = turned.low - turn_ - (low + width);
      circles_ = static_cast<int>(std::ceil((-errand_.slack - span - width - at_none) / kFullTurn));
      for (;; ++circles_) {
        const double last = at_none + circles_ * kFullTurn;
        if (last > kFullTurn + errand_.slack) break;
        const double costs = least + std::max(0.0, low) * craft_.first.s_rad * craft_.first.cost +
                             std::max(0.0, last) * craft_.last.s_rad * craft_.last.cost;
        const double time = (low + turned.low) * craft_.first.s_rad + last * craft_.last.s_rad;
        if (costs > limit_ || time > latest_) break;
        if (time + (width + span) * (craft_.first.s_rad + craft_.last.s_rad) < soonest_) continue;
        square({low + 0.5 * width, last + 0.5 * (span + width)}, 0.5 * (span + width), roots);
      }
    }
  }

  void square(const Pair& m, double r, std::vector<Controls>& roots) {
    if (++asked_ > kMostSquares) return;
    const double turned = middle(m);
    if (turned + 2.0 * r < -errand_.slack || turned - 2.0 * r > kFullTurn + errand_.slack) return;
    const double least =
        (std::max(0.0, m.first - r) + std::max(0.0, turned - 2.0 * r)) * craft_.first.s_rad * craft_.first.cost +
        std::max(0.0, m.last - r) * craft_.last.s_rad * craft_.last.cost;
    if (least > limit_) return;
    const Value x = value(m);
    const double time = (m.first + turned) * craft_.first.s_rad + m.last * craft_.last.s_rad;
    const double remainder = (R1_ + 0.5 * (R1_ + R3_)) * r * r + errand_.stray * time;
    const double reach = (norm(x.by_first) + norm(x.by_last)) * r + remainder;
    if (dot(x.F, x.F) > reach * reach) return;
    const double det = cross(x.by_first, x.by_last);
    const double size_first = norm(x.by_last);  // of P's rows, times det
    const double size_last = norm(x.by_first);
    const double scale = std::abs(det);
    const Pair step{-cross(x.F, x.by_last), -cross(x.by_first, x.F)};  // times det
    if (std::abs(step.first) > scale * r + size_first * remainder) return;
    if (std::abs(step.last) > scale * r + size_last * remainder) return;
    const double change = 2.0 * r * (3.0 * R1_ + R3_);
    if (std::max(size_first, size_last) * change < 0.5 * scale || r < kSmallest) {
      newton(m, r, roots);
      return;
    }
    const double half = 0.5 * r;
    if (errand_.stray > 0.0 && half < kNearMiss) {
      add({word_, m.first, turned, m.last}, roots);
      return;
    }
    for (const double a : {-half, half}) {
      for (const double b : {-half, half}) square({m.first + a, m.last + b}, half, roots);
    }
  }

  void newton(const Pair& m, double r, std::vector<Controls>& roots) {
    Pair at = m;
    for (int i = 0; i < 20; ++i) {
      const Value x = value(at);
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
    add({word_, at.first, middle(at), at.last}, roots);
  }

  /// Without a limit every root is wanted.
  [[nodiscard]] bool every() const { return limit_ == std::numeric_limits<double>::infinity(); }
  /// In another wind than the one that blows roots are starts, and as good as the same when so close.
  [[nodiscard]] double same() const { return errand_.stray > 0.0 && !every() ? 0.1 * kStart : 3e-9; }
  void add(const Controls& c, std::vector<Controls>& roots) const {
    const double near = errand_.slack + kPolished;
    for (const double angle : {c.first, c.middle, c.last}) {
      if (angle < -near || angle > kFullTurn + near) return;
    }
    for (std::size_t i = known_; i < roots.size(); ++i) {
      if (std::abs(roots[i].first - c.first) < same() && std::abs(roots[i].middle - c.middle) < same() &&
          std::abs(roots[i].last - c.last) < same()) {
        return;
      }
    }
    if (cost(craft_, c) <= limit_) roots.push_back(c);
  }

  const Craft& craft_;
  const UniformErrand& errand_;
  Word word_;
  double limit_;
  int sense_;
  double R1_, R3_;
  Vector fixed_;
  double turn_;
  int circles_ = 0;
  double soonest_ = 0.0, latest_ = 0.0;  // of the squares looked at
  int asked_ = 0;
  std::size_t known_ = 0;
};

}  // namespace

void find_three_turns(const Craft& craft, const UniformErrand& errand, Word word, double limit,
                      std::vector<Controls>& roots) {
  ThreeTurns(craft, errand, word, limit).find(roots);
}

}  // namespace backfield::flight
