#include "line_up_table.hpp"

#include "cubic.hpp"
#include "final_glide.hpp"

#include <algorithm>

namespace backfield::flight {
namespace {

constexpr std::size_t kSmall = 6;
constexpr std::size_t kLarge = 24;  // 14 to 15 degrees a cell, interpolated by cubics: decimetres
constexpr double kBelow_m = 300.0;

/// Heights above the runway between which the turn hardly changes; the wind bends most near the ground.
const std::vector<double> kHeights{0.0, 12.0, 24.0, 36.0, 50.0, 70.0, 100.0, 150.0, 230.0, 350.0, 500.0, 750.0, 1100.0};

LineUpTable::Begin mix(const LineUpTable::Begin& a, const LineUpTable::Begin& b, double share) {
  return {a.across + (b.across - a.across) * share, a.along + (b.along - a.along) * share,
          a.rise + (b.rise - a.rise) * share};
}

}  // namespace

// NOLINTNEXTLINE(bugprone-easily-swappable-parameters): see the declaration
LineUpTable::LineUpTable(const Glider& glider, const TurnStyle& style, double track, double elevation, double top)
    : s_(std::sin(track)), c_(std::cos(track)) {
  std::vector<double> kinks = kHeights;
  for (double& h : kinks) h += elevation;
  grid_ = HeightGrid(elevation - kBelow_m, std::max(top, elevation + kBelow_m), 1e9, kinks);
  small_ = style.rolls ? kSmall : 0;
  large_ = kLarge + 1;
  if (style.rolls) gain_ = glider.ramp_gain(style.in, grid_.bottom()) + glider.ramp_gain(style.out, grid_.bottom());
  per_large_ = kLarge / (2.0 * kPi - gain_);
  begins_.reserve(2 * grid_.size() * (small_ + large_));
  for (std::size_t i = 0; i < grid_.size(); ++i) {
    crab_.push_back(crab_on(glider, s_, c_, grid_[i]));
    const Point end = make_point({.h = grid_[i]}, track + crab_.back());
    for (const int sense : {-1, 1}) {
      fly_small(glider, style, end, sense, begins_);
      fly_large(glider, style, end, sense, begins_);
    }
  }
  Point p;
  glider.turn(p, style.held, 1.0);
  loss_per_radian_ = -p.h;
}

LineUpTable::Begin LineUpTable::seen(const Point& begin, const Point& end) const {
  const double e = begin.e - end.e;
  const double n = begin.n - end.n;
  return {e * c_ - n * s_, e * s_ + n * c_, begin.h - end.h};
}

void LineUpTable::fly_small(const Glider& glider, const TurnStyle& style, const Point& end, int sense,
                            std::vector<Begin>& row) {
  for (std::size_t j = 0; j < small_; ++j) {
    const double root = static_cast<double>(j) / static_cast<double>(small_);
    const TurnPlan plan = plan_turn(glider, style, gain_ * root * root, end.h);
    Point p = end;
    // Backwards the roll-out is met first, from its end; it has the shape of the roll-in, and the other way round.
    glider.roll(p, plan.in, sense, Time::backwards);
    if (plan.hold > 0.0) glider.arc(p, plan.held, sense, -sense * plan.hold, glider.medium().at(p.h));
    glider.roll(p, plan.out, sense, Time::backwards);
    row.push_back(seen(p, end));
  }
}

void LineUpTable::fly_large(const Glider& glider, const TurnStyle& style, const Point& end, int sense,
                            std::vector<Begin>& row) {
  Point p = end;
  if (style.rolls) glider.roll(p, style.in, sense, Time::backwards);
  double turned = sense * (end.psi - p.psi);
  double rise = std::abs(style.held.cas * style.held.cas * style.held.radius_per_V2 *
                         (style.held.trim.parasite + style.held.trim.induced));
  for (std::size_t j = 0; j < large_; ++j) {
    const double change = gain_ + static_cast<double>(j) / per_large_;
    const double rolling = style.rolls ? glider.ramp_gain(style.in, p.h) : 0.0;
    const double hold = std::max(0.0, change - turned - rolling);
    const double per_radian =
        glider.arc(p, style.held, sense, -sense * hold, glider.medium().at(p.h + 0.5 * rise * hold));
    rise = std::abs(per_radian);
    turned += hold;
    Point begin = p;
    if (style.rolls) glider.roll(begin, style.out, sense, Time::backwards);
    row.push_back(seen(begin, end));
  }
}

double LineUpTable::crab(double height) const {
  const std::size_t i = grid_.cell(height);
  const double share = std::clamp((height - grid_[i]) / (grid_[i + 1] - grid_[i]), 0.0, 1.0);
  return crab_[i] + (crab_[i + 1] - crab_[i]) * share;
}

LineUpTable::Begin LineUpTable::in_row(const Begin* row, double change) const {
  if (change < gain_) {
    const double x = std::sqrt(std::max(0.0, change) / gain_) * static_cast<double>(small_);
    const auto j = std::min(static_cast<std::size_t>(x), small_ - 1);
    return mix(row[j], row[j + 1], x - static_cast<double>(j));
  }
  const double x = std::min((change - gain_) * per_large_, static_cast<double>(kLarge) - 1e-9);
  const auto j = static_cast<std::size_t>(x);
  const Cubic cubic(x - static_cast<double>(j));
  const Begin* at = row + small_ + j;
  const auto blend = [&](double Begin::*value) {
    const double b = at[0].*value;
    const double c = at[1].*value;
    const double a = j > 0 ? at[-1].*value : third(b, c, at[2].*value);
    const double d = j + 1 < kLarge ? at[2].*value : third(c, b, at[-1].*value);
    return cubic(a, b, c, d);
  };
  return {blend(&Begin::across), blend(&Begin::along), blend(&Begin::rise)};
}

LineUpTable::Begin LineUpTable::begin(double height, double change, int sense) const {
  const std::size_t i = grid_.cell(height);
  const double share = std::clamp((height - grid_[i]) / (grid_[i + 1] - grid_[i]), 0.0, 1.0);
  return mix(in_row(row(i, sense), change), in_row(row(i + 1, sense), change), share);
}

}  // namespace backfield::flight
