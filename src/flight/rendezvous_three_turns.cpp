#include "rendezvous_roots.hpp"
#include "rendezvous_words.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace backfield::flight {
namespace {

using namespace roots;

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

void find_three_turns(const UniformAir& air, const Errand& errand, Word word, std::vector<Start>& starts) {
  ThreeTurns(air, errand, word).find(starts);
}

}  // namespace backfield::flight
