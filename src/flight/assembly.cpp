#include "assembly.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::flight {
namespace {

constexpr double kMostOffAxis_m = 1.0;
constexpr double kDoubt_m = 0.3;       // of height, between two ways to fly a schedule
constexpr double kShift_m = 0.1;       // of height, at the begin of a schedule ...
constexpr double kShaken_m = 0.75;     // ... may in strong shear grow to so much more or less, but no further
constexpr double kWindBend = 0.25;     // the wind may change at any moment of the step
constexpr double kEntryBend_m = 0.05;  // half a g for a step of the entry moves it by less

/// In which a schedule is flown.
struct Steps {
  double straight_s;  ///< longest of a straight ...
  double arc;         ///< ... and of a turn
  int parts_of_roll;
};
constexpr Steps kOfWay{3.0, 5.0 * kPi / 180.0, 3};
constexpr Steps kFine{1.0, 1.0 * kPi / 180.0, 12};

/// Collects a way from the points a flight comes through.
class Recorder {
 public:
  explicit Recorder(const Glider& glider) : glider_(glider) {}

  /// The flight has gone on to `p`; its airspeed has turned with the heading all the way.
  void go_on(const Point& p) { add(p, true, bend(last_, p)); }
  void go_on_in_entry(const Point& p) { add(p, true, bend(last_, p) + kEntryBend_m); }
  void begin(const Point& p) { add(p, false, 0.0); }
  /// Goes on with a way that ended at `p`.
  void resume(const std::vector<WayPoint>& way, const Point& p) {
    way_ = way;
    last_ = p;
  }
  [[nodiscard]] std::vector<WayPoint> take() { return std::move(way_); }

 private:
  [[nodiscard]] double bend(const Point& a, const Point& b) const {
    const AirSample at_a = glider_.medium().at(a.h);
    const AirSample at_b = glider_.medium().at(b.h);
    const double dt = b.t - a.t;
    const double wind = std::hypot(at_a.wind_east, at_a.wind_north);
    const double change = std::hypot(at_b.wind_east - at_a.wind_east, at_b.wind_north - at_a.wind_north);
    const double length = std::hypot(b.e - a.e, b.n - a.n, b.h - a.h) + wind * dt;
    return off_the_chord(length, std::remainder(b.psi - a.psi, 2.0 * kPi)) + kWindBend * change * dt;
  }
  void add(const Point& p, bool goes_on, double off) {
    way_.push_back({p.e, p.n, p.h, off, goes_on});
    last_ = p;
  }

  const Glider& glider_;
  std::vector<WayPoint> way_;
  Point last_;
};

template <class Note>
void fly_bank(const Glider& glider, const Segment& g, const Steps& in, Point& p, Note note) {
  const int sense = g.bank_from_rad + g.bank_to_rad > 0.0 ? 1 : -1;
  const Attitude from{std::abs(g.bank_from_rad), g.cas_from_mps};
  const Attitude to{std::abs(g.bank_to_rad), g.cas_to_mps};
  if (from.bank != to.bank) {
    const double rate = std::abs(to.bank - from.bank) / g.duration_s;
    const auto part = [&](int i) {
      const double share = static_cast<double>(i) / in.parts_of_roll;
      return Attitude{from.bank + (to.bank - from.bank) * share, from.cas + (to.cas - from.cas) * share};
    };
    for (int i = 0; i < in.parts_of_roll; ++i) {
      glider.roll(p, glider.make_ramp(part(i), part(i + 1), rate), sense);
      note(p);
    }
    return;
  }
  const HeldBank held = glider.hold(from.bank, from.cas);
  for (double left = g.duration_s; left > 0.0;) {
    const double V = held.cas * glider.medium().at(p.h).tas_per_cas;
    const double angle = std::min(in.arc, left / (held.radius_per_V2 * V));
    const double begin = p.t;
    glider.turn(p, held, sense * angle);
    note(p);
    left = angle < in.arc ? 0.0 : left - (p.t - begin);
  }
}

/// Wings level, on a heading or holding a track.
template <class Note>
void fly_level(const Glider& glider, const Segment& g, const Steps& in, Point& p, Note note) {
  const int steps = std::max(1, static_cast<int>(std::ceil(g.duration_s / in.straight_s)));
  const double dt = g.duration_s / steps;
  const Trim trim = glider.trim(g.cas_from_mps, 1.0);
  const double s = std::sin(g.track_rad);
  const double c = std::cos(g.track_rad);
  for (int i = 0; i < steps && g.duration_s > 0.0; ++i) {
    if (g.hold == Hold::track) {
      const auto rates = glider.rates(p.h, p.s, p.c, trim);
      p = make_point(p, g.track_rad + crab_on(glider, s, c, p.h - 0.5 * dt * rates.V * rates.sin_gamma));
    }
    glider.straight(p, trim, dt);
    note(p);
  }
}

/// note(p)     after each step
template <class Note>
void fly(const Glider& glider, const Segment& g, const Steps& in, Point& p, Note note) {
  if (g.hold == Hold::bank) {
    fly_bank(glider, g, in, p, note);
  } else {
    fly_level(glider, g, in, p, note);
  }
}

/// Where it ends, nothing on the way.
void fly(const Glider& glider, const Segment& g, const Steps& in, Point& p) {
  fly(glider, g, in, p, [](const Point&) {});
}

}  // namespace

FinalPlan planned(const Connection& c, const PathFinder::Target& target) {
  return target.final.plan(c.alignment, first_third(target) - place_of(c, target));
}

const Glider& Assembly::glider_of(const Segment& g) const {
  if (g.propeller == Propeller::unfeathered) return *gliders_->unfeathered;
  switch (g.configuration) {
    case Configuration::clean:
      return g.hold == Hold::track ? gliders_->on_final() : *glider_;
    case Configuration::landing_flap:
      return *gliders_->flap;
    case Configuration::slip:
      return *gliders_->slip;
  }
  return *glider_;
}

int Assembly::entry_sense(const PathFinder::Fan& fan, const Connection& c) const {
  const bool banked = style_->flown() && c.parameter != Parameter::delay && fan.banked(c.first_sense, c.first);
  return banked ? c.first_sense : 0;
}

Assembly::Entry Assembly::entry(const PathFinder::Fan& fan, int sense) const {
  const AirState& start = fan.failure();
  Entry entry;
  entry.begun.start = start;
  entry.begun.power_until_final = glider_->is_powered();
  std::vector<Point> track;
  const Beginning beginning = begin_entry(start, style_->entry, *glider_, &track);
  const EntryEnd entered = enter_towards(*glider_, *style_, beginning, sense, &entry.begun, &track);
  entry.end = entered.point;
  entry.height_given = entered.height_given;

  Recorder recorder(*glider_);
  const auto note = [&](const Point& q) { recorder.go_on(q); };
  Point p = make_point({.e = start.east_m, .n = start.north_m, .h = start.height_m}, start.heading_rad);
  recorder.begin(p);
  for (const Point& q : track) recorder.go_on_in_entry(q);
  // The reaction, where that is all.
  for (const Segment& g : entry.begun.segments) fly(glider_of(g), g, kOfWay, p, note);
  recorder.begin(entry.end);
  entry.way = recorder.take();
  return entry;
}

Assembly::Scheduled Assembly::schedule(const Entry& entry, const PathFinder::Fan& fan, const PathFinder::Target& target,
                                       const Connection& c) const {
  Path path = entry.begun;
  const std::size_t entry_segments = path.segments.size();
  if (!style_->rolls()) {
    // The exchange of speeds takes no time, and the first turn may not be flown at all.
    Segment exchange;
    exchange.cas_from_mps = exchange.cas_to_mps = style_->first.held.cas;
    path.segments.push_back(exchange);
  }
  Point p = c.parameter == Parameter::delay ? fan.leaf_after(c.delay, c.first_sense, c.first, &path.segments).p
                                            : fan.leaf(c.first_sense, c.first, &path.segments).p;
  Segment s;
  s.hold = Hold::heading;
  s.duration_s = c.straight_time;
  s.cas_from_mps = s.cas_to_mps = glider_->level_cas();
  path.segments.push_back(s);
  glider_->straight(p, glider_->level(), c.straight_time);
  approach_->line_up(target, c, p, &path.segments);
  Connection as_flown = c;
  as_flown.alignment = std::max(0.0, p.h - target.elevation);
  as_flown.aim = target.along(p) + target.final.shortest(as_flown.alignment);
  target.final.fly(planned(as_flown, target), target.track, gliders_->on_final().best_glide_cas(), path.segments);
  path.segments[entry_segments].trade_speed = true;
  path.segments[entry_segments].height_given_m = entry.height_given;
  return {std::move(path), as_flown, target.across(p)};
}

std::optional<Assembly::Scheduled> Assembly::path(const Entry& entry, const PathFinder::Fan& fan,
                                                  const PathFinder::Target& target, const Connection& c) const {
  Scheduled s = schedule(entry, fan, target, c);
  const bool adds_up =
      std::abs(s.connection.alignment - c.alignment) <= kReserve_m && std::abs(s.off_axis) <= kMostOffAxis_m;
  if (!adds_up || !flies_again(entry, target, s)) return std::nullopt;
  return s;
}

bool Assembly::flies_again(const Entry& entry, const PathFinder::Target& target, const Scheduled& s) const {
  for (const double shift : {0.0, -kShift_m, kShift_m}) {
    Point p = entry.end;
    p.h += shift;
    for (std::size_t i = entry.begun.segments.size(); i < s.path.segments.size(); ++i) {
      if (s.path.segments[i].hold == Hold::track) break;
      fly(glider_of(s.path.segments[i]), s.path.segments[i], kFine, p);
    }
    const double alignment = p.h - shift - target.elevation;
    if (std::abs(alignment - s.connection.alignment) > (shift == 0.0 ? kDoubt_m : kShaken_m)) return false;
    if (shift != 0.0) continue;
    const double across = target.across(p) - s.off_axis;
    const double along = target.along(p) - place_of(s.connection, target);
    if (std::hypot(across, along) > kMostOffAxis_m) return false;
  }
  return true;
}

std::vector<WayPoint> Assembly::way(const Entry& entry, const Path& path) const {
  Recorder recorder(*glider_);
  Point p = entry.end;
  recorder.resume(entry.way, p);
  for (std::size_t i = entry.begun.segments.size(); i < path.segments.size(); ++i) {
    fly(glider_of(path.segments[i]), path.segments[i], kOfWay, p, [&](const Point& q) { recorder.go_on(q); });
  }
  return recorder.take();
}

std::vector<AirState> Assembly::states(const Path& path) const {
  constexpr double kSecond = 1.0;
  std::vector<Point> track;
  std::vector<AirState> states{path.start};
  const Beginning beginning = begin_entry(path.start, style_->entry, *glider_, &track);
  const double bank = path.entry.empty() ? 0.0 : path.entry.back().bank_rad;
  const int sense = bank == 0.0 ? 0 : bank < 0.0 ? -1 : 1;
  Path again;
  const EntryEnd entered = enter_towards(*glider_, *style_, beginning, sense, &again, &track);
  // NOLINTNEXTLINE(bugprone-easily-swappable-parameters): radians, m/s, radians; two callers
  const auto state = [&](const Point& p, double bank_rad, double tas_mps, double gamma_rad) {
    AirState s;
    s.time_s = path.start.time_s + p.t;
    s.east_m = p.e;
    s.north_m = p.n;
    s.height_m = p.h;
    s.heading_rad = p.psi;
    s.bank_rad = bank_rad;
    s.tas_mps = tas_mps;
    s.gamma_rad = gamma_rad;
    return s;
  };
  double next = kSecond;
  const double slower =
      std::min(path.start.tas_mps, entered.cas_flown * glider_->medium().at(entered.point.h).tas_per_cas);
  for (const Point& p : track) {
    if (p.t < next - 1e-9) continue;
    next += kSecond;
    const double h_before = states.back().height_m;
    const double dt = path.start.time_s + p.t - states.back().time_s;
    const double bank_there = bank * std::min(1.0, p.t / std::max(1e-9, entered.duration));
    states.push_back(state(p, bank_there, slower, std::asin(std::clamp((h_before - p.h) / (slower * dt), -0.5, 0.5))));
  }
  Point p = entered.point;
  for (std::size_t i = again.segments.size(); i < path.segments.size(); ++i) {
    const Segment& g = path.segments[i];
    if (g.hold == Hold::track) break;
    const int steps = std::max(1, static_cast<int>(std::ceil(g.duration_s / kSecond)));
    for (int k = 0; k < steps && g.duration_s > 0.0; ++k) {
      const auto at = [&](double from, double to, int j) { return from + (to - from) * j / steps; };
      Segment part = g;
      part.duration_s = g.duration_s / steps;
      part.bank_from_rad = at(g.bank_from_rad, g.bank_to_rad, k);
      part.bank_to_rad = at(g.bank_from_rad, g.bank_to_rad, k + 1);
      part.cas_from_mps = at(g.cas_from_mps, g.cas_to_mps, k);
      part.cas_to_mps = at(g.cas_from_mps, g.cas_to_mps, k + 1);
      fly(*glider_, part, kOfWay, p);
      const double sec = 1.0 / std::cos(part.bank_to_rad);
      const auto r = glider_->rates(p.h, p.s, p.c, glider_->trim(part.cas_to_mps, sec * sec));
      states.push_back(state(p, part.bank_to_rad, r.V, std::asin(r.sin_gamma)));
    }
  }
  return states;
}

}  // namespace backfield::flight
