#include "rendezvous_words.hpp"

#include "rendezvous_roots.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

using namespace roots;

/// Every zero of a continuous function on [a, b], `parts` samples; a zero at an end is one when it is within `eps`.
template <class F, class Found>
void zeros(F f, double a, double b, int parts, double eps, Found found) {
  double x0 = a;
  double f0 = f(a);
  double x1 = a;
  double f1 = f0;
  if (std::abs(f0) < eps) found(a);
  for (int i = 1; i <= parts; ++i) {
    const double x2 = i == parts ? b : a + (b - a) * i / parts;
    const double f2 = f(x2);
    if (std::abs(f2) < eps && i == parts) found(b);
    if ((f1 < 0.0) != (f2 < 0.0)) {
      found(root(f, x1, f1, x2, f2));
    } else if (i > 1 && (f0 < 0.0) == (f1 < 0.0) && std::abs(f1) < std::abs(f0) && std::abs(f1) <= std::abs(f2) &&
               may_touch(f0, f1, f2)) {
      const double m = turning_point(f, x0, x2);
      const double fm = f(m);
      if ((fm < 0.0) != (f1 < 0.0)) {
        found(root(f, x0, f0, m, fm));
        found(root(f, m, fm, x2, f2));
      }
    }
    x0 = x1;
    f0 = f1;
    x1 = x2;
    f1 = f2;
  }
}

/// Two turns and a straight. Given the straight's heading everything but its length is known; on the heading sought,
/// what is left to the goal lies along the straight's way over the ground.
class TwoTurns {
 public:
  TwoTurns(const UniformAir& air, const Errand& errand, Word word)
      : air_(air),
        errand_(errand),
        word_(word),
        first_(first_sense(word)),
        last_(last_sense(word)),
        wind_{air.wind_east, air.wind_north} {
    const Vector begin = ahead(errand.heading);
    const Vector end = ahead(errand.end_heading);
    // All that does not depend on the straight's heading.
    fixed_ = Vector{errand.east, errand.north} - begin * air.first_margin - end * air.last_margin -
             wind_ * ((air.first_margin + air.last_margin) / air.V) - right_of(begin) * (first_ * air.first_radius) +
             right_of(end) * (last_ * air.last_radius);
    across_ = first_ * air.first_radius - last_ * air.last_radius;
  }

  void find(std::vector<Start>& starts) const {
    if (air_.calm()) {
      calm(starts);
      return;
    }
    // The turns' angles jump where the straight's heading is that of the start or the end.
    const double span = wrap(errand_.end_heading - errand_.heading);
    piece(errand_.heading, span, starts);
    piece(errand_.heading + span, kTurn - span, starts);
  }

 private:
  struct Angles {
    double first, last;
  };
  [[nodiscard]] Vector left_over(Vector u, const Angles& a) const {
    return fixed_ + right_of(u) * across_ - wind_ * (a.first * air_.first_s_rad + a.last * air_.last_s_rad);
  }
  void add(double heading, const Angles& a, std::vector<Start>& starts) const {
    const Vector u = ahead(heading);
    const Vector v = u * air_.V + wind_;
    const double straight = dot(left_over(u, a), v) / std::max(1e-12, dot(v, v));
    const double margins = (air_.first_margin + air_.last_margin) / air_.V;
    if (straight < -1e-9 * air_.first_s_rad) return;
    Start s;
    s.word = word_;
    s.first = wrap(a.first);
    s.last = wrap(a.last);
    s.middle = straight - margins;
    s.time = straight + margins + s.first * air_.first_s_rad + s.last * air_.last_s_rad;
    starts.push_back(s);
  }
  void calm(std::vector<Start>& starts) const {
    // fixed x u + across = 0, and the straight's length is fixed . u >= 0.
    const double d = std::hypot(fixed_.e, fixed_.n);
    const double ratio = d > 0.0 ? across_ / d : (across_ == 0.0 ? 0.0 : 2.0);
    if (std::abs(ratio) > 1.0 + 1e-14) return;
    const double heading =
        d > 1e-12 * air_.first_radius ? heading_of(fixed_) + std::asin(std::clamp(ratio, -1.0, 1.0)) : errand_.heading;
    add(heading, {wrap(first_ * (heading - errand_.heading)), wrap(last_ * (errand_.end_heading - heading))}, starts);
  }
  void piece(double from, double span, std::vector<Start>& starts) const {
    if (span <= 0.0) return;
    const double middle = from + 0.5 * span;
    const double first = wrap(first_ * (middle - errand_.heading));
    const double last = wrap(last_ * (errand_.end_heading - middle));
    const auto angles = [&](double h) { return Angles{first + first_ * (h - middle), last - last_ * (h - middle)}; };
    const auto miss = [&](double h) {
      const Vector u = ahead(h);
      return cross(left_over(u, angles(h)), u * air_.V + wind_);
    };
    const double eps = 1e-11 * (std::abs(fixed_.e) + std::abs(fixed_.n) + air_.first_radius) * air_.V;
    const int parts = std::max(4, static_cast<int>(std::ceil(span / (kPi / 24.0))));
    zeros(miss, from, from + span, parts, eps, [&](double h) { add(h, angles(h), starts); });
  }

  const UniformAir& air_;
  const Errand& errand_;
  Word word_;
  int first_, last_;
  Vector wind_, fixed_;
  double across_ = 0.0;
};

}  // namespace

double wrap(double angle) {
  const double a = angle - roots::kTurn * std::floor(angle / roots::kTurn);
  return a > roots::kTurn - 1e-9 ? 0.0 : a;
}

void find_starts(const UniformAir& air, const Errand& errand, Word word, std::vector<Start>& starts) {
  const std::size_t known = starts.size();
  if (has_straight(word)) {
    TwoTurns(air, errand, word).find(starts);
  } else {
    find_three_turns(air, errand, word, starts);
  }
  for (std::size_t i = known; i < starts.size(); ++i) {
    Start& s = starts[i];
    const double first = s.first + (has_straight(word) ? 0.0 : s.middle);
    const double level_s = s.time - first * air.first_s_rad - s.last * air.last_s_rad;
    s.loss = first * air.first_loss + s.last * air.last_loss + level_s * air.sink;
  }
}

}  // namespace backfield::flight
