#include "rendezvous_flight.hpp"

#include "final_glide.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr double kTurn = 2.0 * kPi;
constexpr int kMostFlights = 40;
constexpr double kFlat_m = 2e-10;  // of what is asked for; rounding leaves less than ten times as much
constexpr double kNear_m = 1e-4;

/// A turn that peaks below its bank: the peak is made to give the change asked for, to rounding.
TurnPlan plan(const Glider& glider, const TurnStyle& style, double change, double height) {
  TurnPlan p = plan_turn(glider, style, change, height);
  if (!p.rolls || p.hold > 0.0 || p.in.bank_to <= 0.0) return p;
  const double per_bank = (style.held.cas - glider.best_glide_cas()) / style.held.bank;
  const double q = glider.medium().at(height).tas_per_cas;
  double peak = p.in.bank_to;
  for (int i = 0; i < 8; ++i) {
    const double gain = 2.0 * p.in.gain / q;
    const double cas = glider.best_glide_cas() + per_bank * peak;
    const double slope = 2.0 * kStandardGravity * std::tan(peak) / (cas * style.roll_rate * q);
    const double step = (change - gain) / slope;
    if (std::abs(change - gain) < 1e-14) break;
    peak = std::clamp(peak + step, 0.5 * peak, style.held.bank);
    const Attitude banked{peak, glider.best_glide_cas() + per_bank * peak};
    p.in = glider.make_ramp({0.0, glider.best_glide_cas()}, banked, style.roll_rate);
  }
  p.out = glider.make_ramp({p.in.bank_to, p.in.cas_to}, {0.0, glider.best_glide_cas()}, style.roll_rate);
  return p;
}

/// In air that is the same everywhere; Glider's steps take small angles by a series, to 1e-7 only.
void exact_arc(const Glider& glider, const HeldBank& held, int sense, double change, Point& p) {
  const auto r = glider.rates(p.h, p.s, p.c, held.trim);
  const double time = change * held.radius_per_V2 * r.V;
  const double radius = sense * held.radius_per_V2 * r.V * r.V * r.cos_gamma;
  Point end = make_point(p, p.psi + sense * change);
  end.e += radius * (p.c - end.c) + r.air.wind_east * time;
  end.n += radius * (end.s - p.s) + r.air.wind_north * time;
  end.h -= r.V * r.sin_gamma * time;
  end.t += time;
  p = end;
}

struct Pair {
  double a = 0.0, b = 0.0;
};
double size(const Pair& p) { return std::hypot(p.a, p.b); }

/// Rows east and north.
struct Matrix {
  Pair east, north;
  [[nodiscard]] std::optional<Pair> solve(const Pair& r) const {
    const double det = east.a * north.b - east.b * north.a;
    if (std::abs(det) < 1e-9) return std::nullopt;
    return Pair{(r.a * north.b - r.b * east.b) / det, (r.b * east.a - r.a * north.a) / det};
  }
  /// Broyden's good update: what the last step `x` really changed was `y`.
  void learn(const Pair& x, const Pair& y) {
    const double n = x.a * x.a + x.b * x.b;
    if (n < 1e-20) return;
    const double de = (y.a - east.a * x.a - east.b * x.b) / n;
    const double dn = (y.b - north.a * x.a - north.b * x.b) / n;
    east.a += de * x.a;
    east.b += de * x.b;
    north.a += dn * x.a;
    north.b += dn * x.b;
  }
};

/// How the end of a word moves with its two unknowns, both measured in metres of flight, in uniform air.
Matrix slopes(const UniformAir& air, Word word, double heading, const WordFlight::Controls& c) {
  const int first = first_sense(word);
  const int last = last_sense(word);
  const double after_first = heading + first * c.first;
  // Ground covered by a radian of turn that points to a heading.
  const auto radian = [&](double psi, double radius, double s_rad) {
    return Pair{radius * std::sin(psi) + air.wind_east * s_rad, radius * std::cos(psi) + air.wind_north * s_rad};
  };
  const Pair one = radian(after_first, air.first_radius, air.first_s_rad);
  Pair by_first;
  Pair by_middle;
  if (has_straight(word)) {
    const Pair cut = radian(after_first, air.last_radius, air.last_s_rad);
    const double length = air.V * c.middle + air.first_margin + air.last_margin;
    by_first = {one.a - first * last * cut.a + first * length * std::cos(after_first),
                one.b - first * last * cut.b - first * length * std::sin(after_first)};
    by_middle = {std::sin(after_first) + air.wind_east / air.V, std::cos(after_first) + air.wind_north / air.V};
  } else {
    const double after_middle = after_first - first * c.middle;
    const Pair two = radian(after_middle, air.last_radius, air.last_s_rad);
    const Pair turned = radian(after_middle, air.first_radius, air.first_s_rad);
    // The chord of the middle turn, in the air, turned with the first.
    const double east = -first * air.first_radius * (std::cos(after_first) - std::cos(after_middle));
    const double north = -first * air.first_radius * (std::sin(after_middle) - std::sin(after_first));
    by_first = {one.a - two.a + first * north, one.b - two.b - first * east};
    by_middle = {(turned.a + two.a) / air.first_radius, (turned.b + two.b) / air.first_radius};
  }
  return {{by_first.a / air.first_radius, by_middle.a}, {by_first.b / air.first_radius, by_middle.b}};
}

}  // namespace

void WordFlight::turn(const TurnStyle& style, int sense, double change, Point& p,
                      std::vector<Segment>* segments) const {
  if (change == 0.0) return;
  if (style.rolls) {
    const int way = change < 0.0 ? -sense : sense;
    fly_turn(*glider_, plan(*glider_, style, std::abs(change), p.h), way, p, segments);
    return;
  }
  const double t = p.t;
  if (glider_->medium().flat()) {
    exact_arc(*glider_, style.held, sense, change, p);
  } else if (change < 0.0) {
    glider_->arc(p, style.held, sense, sense * change, glider_->medium().at(p.h));
  } else {
    glider_->turn(p, style.held, sense * change);
  }
  append_hold(segments, style.held, sense, p.t - t);
}

void WordFlight::begin(Word word, const Controls& c, Point& p, std::vector<Segment>* segments) const {
  turn(craft_->first, first_sense(word), c.first, p, segments);
  if (!has_straight(word)) {
    turn(craft_->first, -first_sense(word), c.middle, p, segments);
    return;
  }
  if (c.middle >= 0.0) {
    glider_->straight(p, glider_->level(), c.middle);
  } else {
    const auto r = glider_->rates(p.h, p.s, p.c, glider_->level());
    p.e += (r.V * r.cos_gamma * p.s + r.air.wind_east) * c.middle;
    p.n += (r.V * r.cos_gamma * p.c + r.air.wind_north) * c.middle;
    p.h -= r.V * r.sin_gamma * c.middle;
    p.t += c.middle;
  }
  if (segments == nullptr || c.middle <= 0.0) return;
  Segment s;
  s.hold = Hold::heading;
  s.duration_s = c.middle;
  s.cas_from_mps = s.cas_to_mps = glider_->best_glide_cas();
  segments->push_back(s);
}

double WordFlight::end_heading(const Meeting& to, double height) const {
  if (!to.track) return to.direction;
  return to.direction + crab_on(*glider_, std::sin(to.direction), std::cos(to.direction), height);
}

bool WordFlight::holds_track(const Meeting& to, const Point& end) const {
  if (!to.track) return true;
  const auto r = glider_->rates(end.h, end.s, end.c, glider_->level());
  const double s = std::sin(to.direction);
  const double c = std::cos(to.direction);
  const double across = r.air.wind_east * c - r.air.wind_north * s;
  const double level = r.V * r.cos_gamma;
  const double along = level * (end.s * s + end.c * c) + r.air.wind_east * s + r.air.wind_north * c;
  return along > 0.0 && std::abs(across) < level;
}

UniformAir WordFlight::uniform(double height, double span) const {
  const AirSample sample = glider_->medium().over(height, span);
  AirSample calm;  // of shear the starting values know nothing
  calm.tas_per_cas = sample.tas_per_cas;
  UniformAir air;
  air.wind_east = sample.wind_east;
  air.wind_north = sample.wind_north;
  const auto level = glider_->rates(calm, 0.0, 1.0, glider_->level());
  air.V = level.V * level.cos_gamma;
  air.sink = level.V * level.sin_gamma;
  const auto one = [&](const TurnStyle& style, double& radius, double& s_rad, double& margin, double& loss) {
    const auto r = glider_->rates(calm, 0.0, 1.0, style.held.trim);
    s_rad = r.V * style.held.radius_per_V2;
    radius = s_rad * r.V * r.cos_gamma;
    loss = s_rad * r.V * r.sin_gamma;
    if (style.rolls) margin = air.V * std::max(0.0, style.in.duration - style.in.gain / calm.tas_per_cas * s_rad);
  };
  one(craft_->first, air.first_radius, air.first_s_rad, air.first_margin, air.first_loss);
  air.middle_margin = air.first_margin;
  one(craft_->last, air.last_radius, air.last_s_rad, air.last_margin, air.last_loss);
  return air;
}

std::optional<WordFlight::Solution> WordFlight::solve(const Start& start, const UniformAir& air, const Point& from,
                                                      const Meeting& to, double end_height) const {
  const Word word = start.word;
  const bool flat = glider_->medium().flat();
  const double unit_first = 1.0 / air.first_radius;
  const double unit_middle = has_straight(word) ? 1.0 / air.V : 1.0 / air.first_radius;
  // A turn that is hardly one lasts like the root of its angle. The root is the better unknown.
  const double knee = craft_->first.rolls ? 2.0 * craft_->first.in.gain : 0.0;
  const auto stretched = [&](double angle) {
    return angle >= knee ? angle + knee : 2.0 * std::sqrt(knee * std::max(0.0, angle));
  };
  const auto angle_of = [&](double y) {
    if (y >= 2.0 * knee) return y - knee;
    return y > 0.0 ? y * y / (4.0 * knee) : y;  // below 0 there is no way back; it is turned down in the end
  };
  const double enough_m = flat ? kFlat_m : kNear_m;
  const double enough_rad = flat ? 1e-12 : 1e-7;
  const double accept_m = flat ? 1e-9 : 1e-3;
  Controls c{start.first, start.middle, start.last};
  double heading = end_heading(to, end_height);
  Point end;
  double heading_error = 0.0;
  const auto miss = [&] {
    Point p = from;
    begin(word, c, p, nullptr);
    const int sense = last_sense(word);
    const double last = sense * (heading - p.psi);
    c.last = last + kTurn * std::round((c.last - last) / kTurn);
    turn(craft_->last, sense, c.last, p, nullptr);
    end = p;
    const double error = end_heading(to, p.h) - p.psi;
    heading_error = error - kTurn * std::round(error / kTurn);
    heading += heading_error;
    return Pair{p.e - to.east, p.n - to.north};
  };
  double y = stretched(c.first);
  const auto moved = [&](double a, double b) {
    y += a * unit_first;
    c.first = angle_of(y);
    c.middle += b * unit_middle;
    return miss();
  };
  Pair r = miss();
  const auto jacobian = [&] {
    if (c.first >= knee && (knee == 0.0 || c.last > knee)) return slopes(air, word, from.psi, c);
    constexpr double kStep_m = 0.01;
    const Controls at = c;
    const double y_at = y;
    const double aim = heading;
    const auto column = [&](double a, double b) {
      const Pair after = moved(a, b);
      c = at;
      y = y_at;
      heading = aim;
      return Pair{(after.a - r.a) / kStep_m, (after.b - r.b) / kStep_m};
    };
    const Pair a = column(kStep_m, 0.0);
    const Pair b = column(0.0, kStep_m);
    return Matrix{{a.a, b.a}, {a.b, b.b}};
  };
  Matrix J = jacobian();
  Controls best = c;
  double best_size = 1e300;
  Point best_end;
  int idle = 0;
  for (int i = 0; i < kMostFlights; ++i) {
    const double now = size(r);
    if (std::abs(heading_error) < (flat ? 1e-9 : 1e-5) && now < best_size) {
      idle = now < 0.5 * best_size ? 0 : idle + 1;
      best = c;
      best_size = now;
      best_end = end;
    } else {
      ++idle;
    }
    if (now < enough_m && std::abs(heading_error) < enough_rad) break;
    if (idle > 8 || now > 1e6) break;
    if (idle == 4) J = jacobian();
    auto step = J.solve(r);
    if (!step) return std::nullopt;
    // No more than a quarter of a radian of turn at once, and half as much again of the straight as there is.
    const double most = std::max({std::abs(step->a) * unit_first / 0.25,
                                  has_straight(word) ? std::abs(step->b) / (0.5 * air.V * std::abs(c.middle) + 300.0)
                                                     : std::abs(step->b) * unit_middle / 0.25,
                                  1.0});
    step->a /= -most;
    step->b /= -most;
    const Pair after = moved(step->a, step->b);
    J.learn(*step, {after.a - r.a, after.b - r.b});
    r = after;
  }
  if (best_size > accept_m) return std::nullopt;
  const auto settle = [](double& x, double limit) {
    if (x < 1e-9 && x > -1e-9) x = 0.0;
    return x >= 0.0 && x < limit;
  };
  if (!settle(best.first, kTurn) || !settle(best.last, kTurn) ||
      !settle(best.middle, has_straight(word) ? 1e9 : kTurn)) {
    return std::nullopt;
  }
  return holds_track(to, best_end) ? std::optional(Solution{best, best_end}) : std::nullopt;
}

}  // namespace backfield::flight
