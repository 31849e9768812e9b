#include "tests/tools/dense_tables.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::test {
namespace {

constexpr double kBelow_m = 60.0;       // straights that end this far below the least height serve nobody
constexpr double kSteepestFinal = 0.3;  // sine, and that of the largest crab: what the solver counts as flyable
constexpr double kMostCrab = 0.9;
constexpr double kEvery_m = 0.25;  // where that is asked: a law of the wind may have layers of two metres ...
constexpr double kSpan_m = 0.1;    // ... whose slopes a wider look would blur

/// Straight on until `height` is lost.
void descend(const DenseFlight& flight, Spot& p, double height) {
  constexpr int kParts = 8;
  for (int i = 0; i < kParts; ++i) {
    const double dh = height / kParts;
    const double h = p.h - 0.5 * dh;
    const DenseFlight::Glide g = flight.glide(h, p.psi);
    const DenseFlight::Air a = flight.air(h);
    p.e += (g.level * std::sin(p.psi) + a.east) * dh / g.sink;
    p.n += (g.level * std::cos(p.psi) + a.north) * dh / g.sink;
    p.h -= dh;
  }
}

}  // namespace

double change_between(double from, double to, int sense) {
  const double change = std::fmod(sense * (to - from), 2.0 * kPi);
  return change < 0.0 ? change + 2.0 * kPi : change;
}

DenseTables::DenseTables(const DenseFlight& flight, const flight::Goal& goal, double elevation, double top)
    : goal_(goal),
      elevation_(elevation),
      s_(std::sin(track())),
      c_(std::cos(track())),
      bottom_(elevation + goal.alignment_height.si() - kBelow_m),
      levels_(static_cast<std::size_t>((top - bottom_) / kStep_m) + 1),
      table_(kRows * levels_) {
  lay_final(flight, top);
  for (std::size_t row = 0; row < kRows; ++row) lay_row(flight, row);
}

void DenseTables::lay_row(const DenseFlight& flight, std::size_t row) {
  std::array<double, 2> lost{};  // by the line-up turn from the level above
  Spot p{0.0, 0.0, height_of(levels_ - 1), heading_of(row)};
  for (std::size_t j = levels_; j-- > 0; descend(flight, p, kStep_m)) {
    Level& here = table_[row * levels_ + j];
    here.across = across(p);
    here.along = along(p);
    for (std::size_t side = 0; side < 2; ++side) {
      if (flight.uniform() && j + 1 < levels_) {
        const Level& above = at(row, j + 1);
        const Level::Turned& same = above.turned[side];
        here.turned[side] = {here.across + same.across - above.across, here.along + same.along - above.along,
                             same.height - kStep_m, same.change};
        continue;
      }
      const int sense = side == 0 ? -1 : 1;
      // Crab belongs to the height at which the turn ends; the turn from the level above says where that is.
      const double change = change_between(p.psi, heading_on_track(flight, flight.air(p.h - lost[side])), sense);
      Spot end = p;
      flight.turn(end, flight.line_up(), sense, change);
      lost[side] = p.h - end.h;
      here.turned[side] = {across(end), along(end), end.h - elevation_, change};
    }
  }
}

DenseTables::LinedUp DenseTables::line_up(const DenseFlight& flight, const Spot& from, double first,
                                          std::size_t side) const {
  constexpr int kLooks = 4;  // for the height it ends at, and the crab there
  const int sense = side == 0 ? -1 : 1;
  LinedUp result;
  double ends_at = from.h;
  for (int i = 0; i < kLooks; ++i) {
    const double change = change_between(from.psi, heading_on_track(flight, flight.air(ends_at)), sense);
    Spot end = from;
    flight.turn(end, flight.line_up(), sense, change);
    ends_at = end.h;
    result = {across(end), {along(end), end.h - elevation_, first, change}};
  }
  return result;
}

Spot DenseTables::from_threshold(Spot p) const {
  p.e -= goal_.threshold.east.si();
  p.n -= goal_.threshold.north.si();
  return p;
}

bool DenseTables::overshoots(const Arrival& a) const { return a.along + final_from(a.height) > goal_.aim.high.si(); }

std::optional<double> DenseTables::spare(const Arrival& a, const InHand& in_hand) const {
  if (std::max(a.height, goal_.alignment_height.si()) > flyable_) return std::nullopt;
  const double need = std::max(goal_.alignment_height.si(), final_to(std::max(0.0, goal_.aim.low.si() - a.along)));
  if (a.along + final_from(need + in_hand.height) > goal_.aim.high.si() - in_hand.along) return std::nullopt;
  return a.height - need;
}

/// Wings-level heading whose track is the runway's.
double DenseTables::heading_on_track(const DenseFlight& flight, const DenseFlight::Air& a) const {
  double psi = track();
  for (int i = 0; i < 4; ++i) {
    const double sine = (a.north * s_ - a.east * c_) / flight.glide(a, psi).level;
    psi = track() + std::asin(std::clamp(sine, -1.0, 1.0));
  }
  return psi;
}

DenseTables::OnTrack DenseTables::on_track(const DenseFlight& flight, const DenseFlight::Air& a) const {
  const double crab = heading_on_track(flight, a) - track();
  const DenseFlight::Glide g = flight.glide(a, track() + crab);
  const double ahead = g.level * std::cos(crab) + a.east * s_ + a.north * c_;
  const bool flies =
      ahead > 0.0 && std::abs(std::sin(crab)) < kMostCrab && g.sink < kSteepestFinal * std::hypot(g.sink, g.level);
  return {ahead, g.sink, flies};
}

void DenseTables::lay_final(const DenseFlight& flight, double top) {
  const double highest = top - elevation_ + 50.0;
  final_.push_back(0.0);
  for (double h = 0.5; h < highest; h += 1.0) {
    const OnTrack glide = on_track(flight, flight.air(elevation_ + h));
    final_.push_back(final_.back() + std::max(glide.ahead, 1e-3) / glide.sink);
  }
  for (double h = 0.5 * kEvery_m; h < highest && flyable_ > highest; h += kEvery_m) {
    if (!on_track(flight, flight.air_over(elevation_ + h, kSpan_m)).flies) flyable_ = h - 0.5 * kEvery_m;
  }
}

double DenseTables::final_from(double height) const {
  const double x = std::clamp(height, 0.0, static_cast<double>(final_.size()) - 1.000001);
  const auto i = static_cast<std::size_t>(x);
  return final_[i] + (final_[i + 1] - final_[i]) * (x - static_cast<double>(i));
}

double DenseTables::final_to(double distance) const {
  const auto above = std::upper_bound(final_.begin() + 1, final_.end() - 1, distance);
  const auto i = static_cast<std::size_t>(above - final_.begin()) - 1;
  return static_cast<double>(i) + (distance - final_[i]) / (final_[i + 1] - final_[i]);
}

}  // namespace backfield::test
