#include "rendezvous_words.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr double kTurn = 2.0 * kPi;

struct Vector {
  double e = 0.0, n = 0.0;
  friend Vector operator+(Vector a, Vector b) { return {a.e + b.e, a.n + b.n}; }
  friend Vector operator-(Vector a, Vector b) { return {a.e - b.e, a.n - b.n}; }
  friend Vector operator*(Vector a, double k) { return {a.e * k, a.n * k}; }
};
double cross(Vector a, Vector b) { return a.e * b.n - a.n * b.e; }
double dot(Vector a, Vector b) { return a.e * b.e + a.n * b.n; }
Vector ahead(double heading) { return {std::sin(heading), std::cos(heading)}; }
Vector right_of(Vector ahead) { return {ahead.n, -ahead.e}; }
double heading_of(Vector v) { return std::atan2(v.e, v.n); }

/// Zero of f between two ends of different sign, to 1e-8: regula falsi, Illinois. What flies it does better.
template <class F>
double root(F f, double a, double fa, double b, double fb) {
  for (int i = 0; i < 60 && std::abs(b - a) > 1e-8; ++i) {
    double m = (a * fb - b * fa) / (fb - fa);
    if (!(m > std::min(a, b) && m < std::max(a, b))) m = 0.5 * (a + b);
    const double fm = f(m);
    if (fm == 0.0) return m;
    if ((fm < 0.0) != (fb < 0.0)) {
      a = b;
      fa = fb;
    } else {
      fa *= 0.5;
    }
    b = m;
    fb = fm;
  }
  return b;
}

/// Smallest |f| around the middle of three samples, where f does not change sign: two roots may hide there.
template <class F>
double turning_point(F f, double a, double b) {
  constexpr double kGolden = 0.38196601125010515;
  double x = a + kGolden * (b - a);
  double y = b - kGolden * (b - a);
  double fx = std::abs(f(x));
  double fy = std::abs(f(y));
  for (int i = 0; i < 40; ++i) {
    if (fx < fy) {
      b = y;
      y = x;
      fy = fx;
      x = a + kGolden * (b - a);
      fx = std::abs(f(x));
    } else {
      a = x;
      x = y;
      fx = fy;
      y = b - kGolden * (b - a);
      fy = std::abs(f(y));
    }
  }
  return fx < fy ? x : y;
}

/// Can a function that has one sign at three samples, the middle one nearest to 0, be 0 between them? By their
/// parabola, which may be off by a third of what is left; evenly spaced, or nearly.
bool may_touch(double f0, double f1, double f2) {
  const double curvature = f0 - 2.0 * f1 + f2;
  if (curvature == 0.0) return false;
  const double vertex = f1 - (f2 - f0) * (f2 - f0) / (8.0 * curvature);
  return (vertex < 0.0) != (f1 < 0.0) || std::abs(vertex) < 0.3 * std::abs(f1) + 0.02 * std::abs(f0 - f2);
}

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

/// Three turns. At a time T the goal is where the wind makes it in the air; there the middle turn's centre follows from
/// a triangle, in two ways.
class ThreeTurns {
 public:
  ThreeTurns(const UniformAir& air, const Errand& errand, Word word)
      : air_(air), errand_(errand), word_(word), sense_(first_sense(word)), wind_{air.wind_east, air.wind_north} {
    const Vector begin = ahead(errand.heading);
    const Vector end = ahead(errand.end_heading);
    const Vector c1 = begin * air.first_margin + right_of(begin) * (sense_ * air.first_radius);
    const Vector c3 =
        Vector{errand.east, errand.north} - end * air.last_margin + right_of(end) * (sense_ * air.last_radius);
    centres_ = c3 - c1;
    const double before = air.first_margin + air.middle_margin;
    const double between = air.middle_margin + air.last_margin;
    const double radii = air.first_radius + air.last_radius;
    reach_[0] = std::hypot(2.0 * air.first_radius, before);
    reach_[1] = std::hypot(radii, between);
    lean_[0] = std::atan2(before, 2.0 * air.first_radius);
    lean_[1] = std::atan2(between, radii);
    rolling_ = 2.0 * (air.first_margin + air.middle_margin + air.last_margin) / air.V;
  }

  void find(std::vector<Start>& starts) const {
    const double longest = rolling_ + kTurn * (2.0 * air_.first_s_rad + air_.last_s_rad);
    // The triangle closes while the goal is neither too far nor too near.
    const Span far = within(reach_[0] + reach_[1]);
    if (far.from > far.to) return;
    const Span near = within(std::abs(reach_[0] - reach_[1]));
    for (const int side : {-1, 1}) {
      if (air_.calm()) {
        if (near.from > near.to) add(angles(0.0, side), starts);
      } else if (near.from > near.to) {
        scan(std::max(0.0, far.from), std::min(longest, far.to), side, starts);
      } else {
        scan(std::max(0.0, far.from), std::min(longest, near.from), side, starts);
        scan(std::max(0.0, near.to), std::min(longest, far.to), side, starts);
      }
    }
  }

 private:
  using Angles = std::array<double, 3>;
  struct Span {
    double from, to;
  };
  /// When the centres of the outer turns are no farther apart than a distance; empty when never.
  [[nodiscard]] Span within(double distance) const {
    constexpr double kEver = 1e300;
    const double outside = dot(centres_, centres_) - distance * distance;
    if (air_.calm()) return outside < 0.0 ? Span{-kEver, kEver} : Span{kEver, -kEver};
    const double w2 = dot(wind_, wind_);
    const double b = dot(centres_, wind_);
    const double root2 = b * b - w2 * outside;
    if (root2 < 0.0) return {kEver, -kEver};
    return {(b - std::sqrt(root2)) / w2, (b + std::sqrt(root2)) / w2};
  }
  [[nodiscard]] Angles angles(double T, int side) const {
    const Vector d = centres_ - wind_ * T;
    const double length = std::max(1e-12, std::hypot(d.e, d.n));
    const double cosine =
        (reach_[0] * reach_[0] + length * length - reach_[1] * reach_[1]) / (2.0 * reach_[0] * length);
    const double to_middle = heading_of(d) + side * std::acos(std::clamp(cosine, -1.0, 1.0));
    const double from_middle = heading_of(d - ahead(to_middle) * reach_[0]);
    const double one = to_middle + sense_ * (0.5 * kPi - lean_[0]);
    const double two = from_middle - sense_ * (0.5 * kPi - lean_[1]);
    return {wrap(sense_ * (one - errand_.heading)), wrap(-sense_ * (two - one)),
            wrap(sense_ * (errand_.end_heading - two))};
  }
  [[nodiscard]] double time(const Angles& a) const {
    return rolling_ + (a[0] + a[1]) * air_.first_s_rad + a[2] * air_.last_s_rad;
  }
  static Angles near(Angles a, const Angles& like) {
    for (std::size_t i = 0; i < 3; ++i) a[i] += kTurn * std::round((like[i] - a[i]) / kTurn);
    return a;
  }
  void add(const Angles& a, std::vector<Start>& starts) const {
    for (const double angle : a) {
      if (angle < -1e-9 || angle > kTurn + 1e-9) return;
    }
    Start s;
    s.word = word_;
    s.first = wrap(a[0]);
    s.middle = wrap(a[1]);
    s.last = wrap(a[2]);
    s.time = rolling_ + (s.first + s.middle) * air_.first_s_rad + s.last * air_.last_s_rad;
    starts.push_back(s);
  }
  void scan(double from, double to, int side, std::vector<Start>& starts) const {
    if (from >= to) return;
    // A tenth of a radius of drift, and six seconds, between samples. They crowd at the ends, where the triangle
    // closes with a square root.
    const double drift = std::sqrt(dot(wind_, wind_)) * (to - from) / (0.1 * air_.first_radius);
    const int parts = std::clamp(static_cast<int>(std::ceil(std::max(drift, (to - from) / 6.0))), 12, 400);
    const auto at = [&](double share) {
      const double T = 0.5 * (from + to) - 0.5 * (to - from) * std::cos(kPi * share);
      return Sample{share, T, angles(T, side)};
    };
    Sample first{};
    Sample second = at(0.0);
    for (int i = 1; i <= parts; ++i) {
      const Sample third = at(static_cast<double>(i) / parts);
      // A turn's angle may pass 0 between two samples; it is followed beyond, from either side.
      between(second, third, second.angles, at, starts);
      if (near(second.angles, third.angles) != second.angles) between(second, third, third.angles, at, starts);
      if (i > 1) fold(first, second, third, at, starts);
      first = second;
      second = third;
    }
  }
  struct Sample {
    double share, T;
    Angles angles;
  };
  [[nodiscard]] double miss(const Sample& x, const Angles& like) const { return time(near(x.angles, like)) - x.T; }
  template <class At>
  void between(const Sample& a, const Sample& b, const Angles& like, At at, std::vector<Start>& starts) const {
    const double fa = miss(a, like);
    const double fb = miss(b, like);
    if ((fa < 0.0) == (fb < 0.0)) return;
    const Sample x = at(root([&](double share) { return miss(at(share), like); }, a.share, fa, b.share, fb));
    if (std::abs(miss(x, like)) < 1e-6) add(near(x.angles, like), starts);
  }
  /// Two roots around a sample that is nearer to 0 than its neighbours.
  template <class At>
  void fold(const Sample& a, const Sample& b, const Sample& c, At at, std::vector<Start>& starts) const {
    const Angles& like = b.angles;
    const double fa = miss(a, like);
    const double fb = miss(b, like);
    const double fc = miss(c, like);
    if ((fa < 0.0) != (fb < 0.0) || (fb < 0.0) != (fc < 0.0)) return;
    if (std::abs(fb) > std::abs(fa) || std::abs(fb) > std::abs(fc) || !may_touch(fa, fb, fc)) return;
    const Sample m = at(turning_point([&](double share) { return miss(at(share), like); }, a.share, c.share));
    if ((miss(m, like) < 0.0) == (fb < 0.0)) return;
    between(a, m, like, at, starts);
    between(m, c, like, at, starts);
  }

  const UniformAir& air_;
  const Errand& errand_;
  Word word_;
  int sense_;
  Vector wind_, centres_;
  double reach_[2] = {}, lean_[2] = {};
  double rolling_ = 0.0;
};

}  // namespace

double wrap(double angle) {
  const double a = angle - kTurn * std::floor(angle / kTurn);
  return a > kTurn - 1e-9 ? 0.0 : a;
}

void find_starts(const UniformAir& air, const Errand& errand, Word word, std::vector<Start>& starts) {
  const std::size_t known = starts.size();
  if (has_straight(word)) {
    TwoTurns(air, errand, word).find(starts);
  } else {
    ThreeTurns(air, errand, word).find(starts);
  }
  for (std::size_t i = known; i < starts.size(); ++i) {
    Start& s = starts[i];
    const double first = s.first + (has_straight(word) ? 0.0 : s.middle);
    const double level_s = s.time - first * air.first_s_rad - s.last * air.last_s_rad;
    s.loss = first * air.first_loss + s.last * air.last_loss + level_s * air.sink;
  }
}

}  // namespace backfield::flight
