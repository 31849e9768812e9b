#include "backfield/flight/path_finder.hpp"

#include "backfield/base/contract.hpp"
#include "entries.hpp"
#include "final_glide.hpp"
#include "turns.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace backfield::flight {
namespace {

constexpr int kHeadings = 36;  // of the straight leg, per sense of the first turn
constexpr double kHeadingStep = 2.0 * kPi / kHeadings;
constexpr double kRefineWithin_m = 30.0;             // of the need: farther off, a foot more or less decides nothing
constexpr double kReserve_m = 2.0 * kMetresPerFoot;  // a path must keep what re-flight may find missing
constexpr double kSlowestApproach_mps = 1.0;         // cross-track speed below which a straight counts as parallel
constexpr double kNearAxis_m = 1.0;
constexpr double kNone = -std::numeric_limits<double>::infinity();

/// Angle from `from` to `to` in direction `sense`, [0, 2 pi).
double turn_in_sense(double from, double to, int sense) {
  double turn = std::fmod(sense * (to - from), 2.0 * kPi);
  if (turn < 0.0) turn += 2.0 * kPi;
  return turn > 2.0 * kPi - 1e-7 ? 0.0 : turn;
}

std::size_t index_of(int sense) { return sense < 0 ? 0 : 1; }

/// A straight leg's start.
struct Leaf {
  Point p;
  double change = 0.0;  ///< heading change since the failure, in the sense of the first turn
};

/// One word's path at one straight heading.
struct Connection {
  bool on_axis = false;    ///< the line-up turn ends on the axis
  double surplus = kNone;  ///< -inf when alignment comes too far down the runway
  double aim = 0.0;
  double alignment = 0.0;          ///< height above the runway
  double first = 0.0, last = 0.0;  ///< turns, >= 0
  int first_sense = 1, last_sense = 1;
  double straight_time = 0.0;
  [[nodiscard]] Side side() const { return (first >= last ? first_sense : last_sense) < 0 ? Side::left : Side::right; }
};

}  // namespace

class PathFinder::Fan {
 public:
  AirState start;
  EntryEnd straight;
  std::array<EntryEnd, 2> banked;
  std::array<double, 2> banked_gain{};      ///< heading gained in the banked entry
  std::array<double, 2> banked_from{};      ///< smallest heading change that starts with the banked entry
  std::array<std::vector<Point>, 2> nodes;  ///< along the first turn, every kHeadingStep from the banked entry on
  std::array<std::vector<Leaf>, 2> leaves;
  double lowest_speed_over_stall = 0.0;

  /// Surplus is continuous between two headings only if the same entry leads to both.
  [[nodiscard]] bool same_entry(double a, double b, std::size_t i) const {
    return (a >= banked_from[i]) == (b >= banked_from[i]);
  }
};

class PathFinder::Target {
 public:
  Target(const Goal& g, const FinalGlide& f) : goal(g), final(f) {}
  Goal goal;
  FinalGlide final;
  double e0 = 0.0, n0 = 0.0, s = 0.0, c = 1.0, track = 0.0;
  double elevation = 0.0;  ///< above the departure elevation
  double aim_low = 0.0, aim_high = 0.0, least_height = 0.0;
  [[nodiscard]] double across(const Point& p) const { return (p.e - e0) * c - (p.n - n0) * s; }
  [[nodiscard]] double along(const Point& p) const { return (p.e - e0) * s + (p.n - n0) * c; }
};

struct PathFinder::Impl {
  explicit Impl(const PathFinderSetup& s)
      : setup(s),
        medium(s.environment, s.datum, s.model, s.top.si() + 200.0),
        glider(medium, s.performance->best_glide().value.si(),
               s.performance->aircraft().polar.glide_ratio * s.technique.glide_factor, s.model) {
    const double roll_rate = s.performance->aircraft().roll_rate_per_second.si();
    const Angle line_up_bank = s.technique.line_up_bank.value_or(s.bank);
    const auto style = [&](Angle bank) {
      return make_turn_style(glider, bank.si(),
                             power_off_turn_speed(*s.performance, s.technique, bank, s.gust_spread).value.si(),
                             roll_rate, s.model.roll);
    };
    first = style(s.bank);
    line_up = style(line_up_bank);
    rolls = s.model.roll == RollRule::rate;
    flown = s.model.entry == EntryRule::flown;
    Point p{0.0, 0.0, 0.0, 0.0, 0.0};
    glider.turn(p, line_up.held, 1.0);
    line_up_loss = -p.h;
  }

  // --- the part that depends on the failure only -------------------------------------------------------------------

  [[nodiscard]] double straight_target_cas() const { return rolls ? glider.best_glide_cas() : first.held.cas; }

  [[nodiscard]] double given() const { return rolls ? 0.0 : setup.technique.roll_allowance.si(); }

  /// sense 0: wings level
  [[nodiscard]] EntryEnd enter_towards(const AirState& start, int sense, Path* path) const {
    const EntryStyle style{setup.model.entry, setup.technique.reaction.si(), first.roll_rate,
                           setup.performance->stall_clean().value.si(), given()};
    return enter(start, sense * first.held.bank, sense == 0 ? straight_target_cas() : first.held.cas, style, glider,
                 path);
  }

  [[nodiscard]] Leaf leaf(const Fan& fan, int sense, double change, std::vector<Segment>* segments) const {
    const std::size_t i = index_of(sense);
    Leaf result;
    result.change = change;
    if (change >= fan.banked_from[i]) {
      const double out = first.rolls ? glider.ramp_gain(first.out, fan.banked[i].point.h) : 0.0;
      const double hold = std::max(0.0, change - fan.banked_gain[i] - out);
      const auto k = std::min(static_cast<std::size_t>(hold / kHeadingStep), fan.nodes[i].size() - 1);
      Point p = fan.nodes[i][k];
      glider.turn(p, first.held, sense * (hold - kHeadingStep * static_cast<double>(k)));
      append_bank(segments, sense, first.held.bank, first.held.bank, first.held.cas, first.held.cas,
                  p.t - fan.banked[i].point.t);
      if (first.rolls) {
        glider.roll(p, first.out, sense);
        append_bank(segments, sense, first.out.bank_from, first.out.bank_to, first.out.cas_from, first.out.cas_to,
                    first.out.duration);
      }
      result.p = p;
      return result;
    }
    result.p = fan.straight.point;
    fly_turn(glider, plan_turn(glider, first, change, result.p.h), sense, result.p, segments);
    return result;
  }

  // --- the part that meets the goal --------------------------------------------------------------------------------

  /// The line-up turn from `p` in direction `sense`, ending on the heading that holds the runway's track.
  double fly_line_up(const Target& target, int sense, Point& p, std::vector<Segment>* segments) const {
    double change = turn_in_sense(p.psi, target.track, sense);
    const double end_height = p.h - line_up_loss * change;
    change = turn_in_sense(p.psi, target.track + crab_on(glider, target.track, end_height), sense);
    if (change > 0.0) fly_turn(glider, plan_turn(glider, line_up, change, p.h), sense, p, segments);
    return change;
  }

  /// Length of the straight if the line-up turn were flown in the air of one height.
  [[nodiscard]] double first_guess(const Target& target, int sense, const Point& p, double cross_speed) const {
    const double change = turn_in_sense(p.psi, target.track + crab_on(glider, target.track, p.h), sense);
    const auto r = glider.rates(p.h, target.s, target.c, line_up.held.cas, line_up.held.sec2);
    const double omega = sense * kStandardGravity * line_up.held.tan / r.V;
    const double radius = r.V * r.cos_gamma / omega;
    const double psi = p.psi + sense * change;
    const double east = radius * (std::cos(p.psi) - std::cos(psi)) + r.air.wind_east * change / std::abs(omega);
    const double north = radius * (std::sin(psi) - std::sin(p.psi)) + r.air.wind_north * change / std::abs(omega);
    return -(target.across(p) + east * target.c - north * target.s) / cross_speed;
  }

  [[nodiscard]] Connection connect(const Leaf& leaf, int first_sense, int last_sense, const Target& target) const {
    Connection c;
    c.first = leaf.change;
    c.first_sense = first_sense;
    c.last_sense = last_sense;
    const double s = std::sin(leaf.p.psi);
    const double cs = std::cos(leaf.p.psi);
    const auto cross_speed = [&](double h, double* sink) {
      const auto r = glider.rates(h, s, cs, glider.best_glide_cas(), 1.0);
      if (sink != nullptr) *sink = r.V * r.sin_gamma;
      return (r.V * r.cos_gamma * s + r.air.wind_east) * target.c -
             (r.V * r.cos_gamma * cs + r.air.wind_north) * target.s;
    };
    double sink = 0.0;
    const double rate = cross_speed(leaf.p.h, &sink);
    if (std::abs(rate) < kSlowestApproach_mps) return c;
    // A straight that would end 1,000 m below the runway serves nobody; it only bounds the arithmetic.
    const double longest = (leaf.p.h - target.elevation + 1000.0) / sink;

    Point end = leaf.p;
    double time = first_guess(target, last_sense, end, rate);
    if (time < -0.05 * longest || time > longest) return c;
    time = std::max(0.0, time);
    for (int i = 0; i < 8; ++i) {
      Point p = leaf.p;
      glider.straight(p, glider.best_glide_cas(), time);
      const double height = p.h;
      c.last = fly_line_up(target, last_sense, p, nullptr);
      end = p;
      const double off = target.across(p);
      double local_sink = sink;
      const double local = medium.flat() ? rate : cross_speed(height, &local_sink);
      if (std::abs(local) < 0.5 * kSlowestApproach_mps) return c;
      const double correction = -off / local;
      time += correction;
      if (time < 0.0 || time > longest) return c;
      if (std::abs(off) < kNearAxis_m) {
        // So close, moving the rest of the path along the straight is exact to millimetres.
        const double q = medium.at(height).tas_per_cas * glider.best_glide_cas();
        const AirSample air = medium.at(height);
        end.e += (q * s + air.wind_east) * correction;
        end.n += (q * cs + air.wind_north) * correction;
        end.h -= local_sink * correction;
        end.t += correction;
        c.on_axis = true;
        break;
      }
    }
    if (!c.on_axis) return c;
    c.straight_time = time;
    c.alignment = end.h - target.elevation;
    const double place = target.along(end);
    const double need = std::max(target.least_height, target.final.height_for(std::max(0.0, target.aim_low - place)));
    c.aim = place + target.final.distance(std::max(0.0, c.alignment));
    if (place + target.final.distance(need) <= target.aim_high + 1e-6) c.surplus = c.alignment - need;
    return c;
  }

  [[nodiscard]] Connection at(const Fan& fan, const Target& target, const Connection& like, double change) const {
    return connect(leaf(fan, like.first_sense, change, nullptr), like.first_sense, like.last_sense, target);
  }

  struct Best {
    Connection best;
    bool connects = false;                        ///< some path of this side reaches the axis
    bool lands = false;                           ///< some path ends within the aim interval
    Connection landing;                           ///< one that does, or the end of a bracket that holds one
    double bracket_from = 0.0, bracket_to = 0.0;  ///< headings with surplus and without, when `landing` overshoots
  };

  [[nodiscard]] static bool within(const Connection& c, const Target& target) {
    return c.surplus >= kReserve_m && c.aim <= target.aim_high;
  }

  void refine(const Fan& fan, const Target& target, Connection& best) const {
    // Golden section over one step to either side; headings without a path count as minus infinity.
    constexpr double kGolden = 0.6180339887498949;
    double a = std::max(0.0, best.first - kHeadingStep);
    double b = std::min(2.0 * kPi - 1e-9, best.first + kHeadingStep);
    double x1 = b - kGolden * (b - a);
    double x2 = a + kGolden * (b - a);
    Connection c1 = at(fan, target, best, x1);
    Connection c2 = at(fan, target, best, x2);
    for (int i = 0; i < 7; ++i) {
      if (c1.surplus >= c2.surplus) {
        b = x2;
        x2 = x1;
        c2 = c1;
        x1 = b - kGolden * (b - a);
        c1 = at(fan, target, best, x1);
      } else {
        a = x1;
        x1 = x2;
        c1 = c2;
        x2 = a + kGolden * (b - a);
        c2 = at(fan, target, best, x2);
      }
    }
    if (c1.surplus > best.surplus) best = c1;
    if (c2.surplus > best.surplus) best = c2;
  }

  void note(Best& side, const Connection& c, const Target& target) const {
    if (!c.on_axis) return;
    side.connects = true;
    if (c.surplus > side.best.surplus) side.best = c;
    if (within(c, target) && (!side.lands || c.surplus > side.landing.surplus)) {
      side.lands = true;
      side.landing = c;
      side.bracket_from = side.bracket_to = c.first;
    }
  }

  [[nodiscard]] std::array<Best, 2> search(const Fan& fan, const Target& target) const {
    std::array<Best, 2> sides;
    for (int first_sense : {-1, 1}) {
      const std::size_t i = index_of(first_sense);
      const auto& leaves = fan.leaves[i];
      for (int last_sense : {-1, 1}) {
        Connection previous;
        for (const Leaf& l : leaves) {
          const Connection c = connect(l, first_sense, last_sense, target);
          if (c.on_axis) {
            Best& side = sides[c.side() == Side::left ? 0 : 1];
            note(side, c, target);
            // Between a heading with height to spare and one without lies a path that ends where it should.
            if (previous.on_axis && !side.lands && previous.side() == c.side() &&
                fan.same_entry(previous.first, c.first, i) &&
                (previous.surplus >= kReserve_m) != (c.surplus >= kReserve_m) &&
                std::min(previous.surplus, c.surplus) > kNone) {
              const Connection& high = c.surplus > previous.surplus ? c : previous;
              const Connection& low = c.surplus > previous.surplus ? previous : c;
              side.lands = true;
              side.landing = high;
              side.bracket_from = high.first;
              side.bracket_to = low.first;
            }
          }
          previous = c;
        }
      }
    }
    for (Best& side : sides) {
      if (!side.connects || side.best.surplus == kNone) continue;
      if (std::abs(side.best.surplus - kReserve_m) < kRefineWithin_m) {
        refine(fan, target, side.best);
        note(side, side.best, target);
      }
    }
    return sides;
  }

  [[nodiscard]] PathResult verdict(const Best& side, Side name, const Fan& fan) const {
    PathResult r;
    r.side = name;
    r.lowest_speed_over_stall = fan.lowest_speed_over_stall;
    if (!side.connects) return r;
    const Connection& c = side.best;
    r.first_turn = radians(c.first_sense * c.first);
    r.last_turn = radians(c.last_sense * c.last);
    if (c.surplus == kNone) {
      r.status = ReachStatus::too_high;
      return r;
    }
    r.surplus = metres(c.surplus - kReserve_m);
    r.alignment_height = metres(c.alignment);
    r.aim = metres(c.aim);
    r.status = side.lands               ? ReachStatus::reached
               : c.surplus < kReserve_m ? ReachStatus::too_short
                                        : ReachStatus::too_high;
    return r;
  }

  /// What no steady path from the end of an entry can do without: its energy height above the goal, and the bound.
  ///
  ///   h + (V^2 - V_end^2)/2g >= sqrt(d_air^2 + (c Vbg^2/g)^2 dpsi^2) / E'
  ///
  /// d_air is the least distance through the air (ground distance less all the wind can carry), dpsi the least change
  /// of heading (crab included), E' the glide ratio in the kindest slope of density and wind on the path, c covers
  /// cos(gamma)^2 of the steepest glide. The entry itself is left out: unloading in the push has less drag than any
  /// steady flight.
  struct Bound {
    double energy = 0.0, need = 0.0;
  };
  [[nodiscard]] Bound lower_bound(const Point& p, const Target& target) const {
    const double q_high = medium.at(std::max(p.h, target.elevation)).tas_per_cas;
    const double q_low = medium.at(std::min(p.h, target.elevation)).tas_per_cas;
    const double Vbg = glider.best_glide_cas() * q_low;
    const double V_most = std::max(first.held.cas, line_up.held.cas) * q_high;
    const double slopes = V_most / q_high * medium.steepest_tas_slope() + medium.strongest_shear();
    const double E = glider.glide_ratio() * (1.0 + V_most / kStandardGravity * slopes);
    Bound b;
    b.energy = p.h - target.elevation + (V_most * V_most - Vbg * Vbg) / (2.0 * kStandardGravity);
    const double time = std::max(0.0, b.energy) * E / Vbg;  // nothing sinks slower than Vbg/E' at these speeds
    const double along = target.along(p);
    const double beyond = along - std::clamp(along, target.aim_low, target.aim_high);
    const double distance = std::max(0.0, std::hypot(beyond, target.across(p)) - medium.strongest_wind() * time);
    const double crab = std::asin(std::min(1.0, medium.strongest_wind() / Vbg));
    const double net = std::abs(earth::wrap_signed(radians(target.track - p.psi)).si());
    double c = 1.0;
    if (setup.model.angle == AngleRule::exact) {
      const double sec2 = std::max(first.held.sec2, line_up.held.sec2);
      const double cas = std::max(first.held.cas, line_up.held.cas);
      const double steep = rates_bound(cas, sec2);
      c = 1.0 - steep * steep;
    }
    b.need = std::hypot(distance, c * Vbg * Vbg / kStandardGravity * std::max(0.0, net - crab)) / E;
    return b;
  }
  /// Sine of the steepest glide the technique flies, shear at its worst.
  [[nodiscard]] double rates_bound(double cas, double sec2) const {
    const double V_g = cas * 1.3 / kStandardGravity;  // 1.3: true over calibrated airspeed at 14,000 ft
    return equations::steady_descent(1.0, cas / glider.best_glide_cas(), sec2, 1.0, glider.glide_ratio(), 0.0, 0.0,
                                     setup.model.angle)
               .sin_gamma /
           std::max(0.5, 1.0 - V_g * medium.strongest_shear());
  }

  [[nodiscard]] Path assemble(const Fan& fan, const Target& target, const Connection& c) const {
    Path path;
    path.start = fan.start;
    const std::size_t i = index_of(c.first_sense);
    const bool banked = flown && c.first >= fan.banked_from[i];
    static_cast<void>(enter_towards(fan.start, banked ? c.first_sense : 0, &path));
    const std::size_t entry_segments = path.segments.size();
    Leaf l = leaf(fan, c.first_sense, c.first, &path.segments);
    Point p = l.p;
    Segment s;
    s.hold = Hold::heading;
    s.duration_s = c.straight_time;
    s.cas_from_mps = s.cas_to_mps = glider.best_glide_cas();
    path.segments.push_back(s);
    glider.straight(p, glider.best_glide_cas(), c.straight_time);
    fly_line_up(target, c.last_sense, p, &path.segments);
    s.hold = Hold::track;
    s.track_rad = target.track;
    s.duration_s = target.final.time(p.h - target.elevation);
    path.segments.push_back(s);
    path.segments[entry_segments].trade_speed = true;
    path.segments[entry_segments].height_given_m = given();
    return path;
  }

  /// Moves along the word from a heading with height to spare until the aim is in the first third of the interval.
  [[nodiscard]] Connection settle(const Fan& fan, const Target& target, const Best& side) const {
    const double wanted = target.aim_low + (target.aim_high - target.aim_low) / 3.0;
    const auto done = [&](const Connection& c) { return within(c, target) && c.aim <= wanted; };
    Connection found = side.landing;
    if (done(found)) return found;
    double high = side.bracket_from;
    double low = side.bracket_to;
    if (high == low) {
      // Longer paths lie on one side of the best heading: look for where the surplus runs out.
      for (double step : {kHeadingStep, -kHeadingStep}) {
        double x = high;
        for (int i = 0; i < kHeadings / 2 && low == high; ++i) {
          x += step;
          if (x < 0.0 || x >= 2.0 * kPi) break;
          const Connection c = at(fan, target, found, x);
          if (!c.on_axis || c.side() != found.side() || !fan.same_entry(high, x, index_of(found.first_sense))) break;
          if (done(c)) return c;
          if (c.surplus < kReserve_m) low = x;
        }
        if (low != high) break;
      }
      if (low == high) return found;
    }
    for (int i = 0; i < 40; ++i) {
      const double mid = 0.5 * (high + low);
      const Connection c = at(fan, target, found, mid);
      if (within(c, target) && (!within(found, target) || c.aim < found.aim)) found = c;
      if (done(c)) return c;
      (c.on_axis && c.surplus >= kReserve_m ? high : low) = mid;
    }
    return found;
  }

  PathFinderSetup setup;
  Medium medium;
  Glider glider;
  TurnStyle first, line_up;
  bool rolls = true;
  bool flown = true;
  double line_up_loss = 0.0;  ///< height per radian of the line-up turn, about
};

PathFinder::PathFinder(const PathFinderSetup& setup) {
  require(setup.performance != nullptr, "a path finder needs an aircraft");
  require(setup.bank.si() > 0.05 && setup.bank.si() < 1.2, "bank between 3 and 68 degrees");
  require(setup.technique.glide_factor > 0.0, "glide factor is set by the policy");
  impl_ = std::make_unique<Impl>(setup);
}
PathFinder::~PathFinder() = default;
PathFinder::PathFinder(PathFinder&&) noexcept = default;
PathFinder& PathFinder::operator=(PathFinder&&) noexcept = default;

double PathFinder::lowest_speed_over_stall(const Fan& fan) const { return fan.lowest_speed_over_stall; }

Cas PathFinder::turn_speed() const { return {metres_per_second(impl_->first.held.cas)}; }
Cas PathFinder::line_up_speed() const { return {metres_per_second(impl_->line_up.held.cas)}; }

std::shared_ptr<const PathFinder::Fan> PathFinder::fan(const AirState& failure) const {
  const Impl& im = *impl_;
  auto fan = std::make_shared<Fan>();
  fan->start = failure;
  fan->straight = im.enter_towards(failure, 0, nullptr);
  fan->lowest_speed_over_stall = fan->straight.lowest_speed_over_stall;
  for (int sense : {-1, 1}) {
    const std::size_t i = index_of(sense);
    if (im.flown) {
      fan->banked[i] = im.enter_towards(failure, sense, nullptr);
      fan->banked_gain[i] = sense * (fan->banked[i].point.psi - failure.heading_rad);
      const double out = im.first.rolls ? im.glider.ramp_gain(im.first.out, fan->banked[i].point.h) : 0.0;
      fan->banked_from[i] = fan->banked_gain[i] + out;
      fan->lowest_speed_over_stall = std::min(fan->lowest_speed_over_stall, fan->banked[i].lowest_speed_over_stall);
    } else {
      fan->banked[i] = fan->straight;
      fan->banked_from[i] = im.rolls ? 1e9 : 0.0;
    }
    Point p = fan->banked[i].point;
    fan->nodes[i].reserve(kHeadings + 1);
    for (int k = 0; k <= kHeadings; ++k) {
      fan->nodes[i].push_back(p);
      im.glider.turn(p, im.first.held, sense * kHeadingStep);
    }
    fan->leaves[i].reserve(kHeadings);
    for (int k = 0; k < kHeadings; ++k) fan->leaves[i].push_back(im.leaf(*fan, sense, kHeadingStep * k, nullptr));
  }
  return fan;
}

std::shared_ptr<const PathFinder::Target> PathFinder::target(const Goal& goal) const {
  require(goal.aim.low <= goal.aim.high, "an aim interval is not empty");
  const Impl& im = *impl_;
  const double elevation = (goal.elevation - im.setup.datum).above_datum.si();
  const double track = goal.track.angle().si();
  auto t = std::make_shared<Target>(goal, FinalGlide(im.glider, track, elevation, im.setup.top.si() + 100.0));
  t->e0 = goal.threshold.east.si();
  t->n0 = goal.threshold.north.si();
  t->track = track;
  t->s = std::sin(track);
  t->c = std::cos(track);
  t->elevation = elevation;
  t->aim_low = goal.aim.low.si();
  t->aim_high = goal.aim.high.si();
  t->least_height = goal.alignment_height.si();
  return t;
}

std::array<PathResult, 2> PathFinder::reach(const Fan& fan, const Target& target) const {
  double bound = std::numeric_limits<double>::infinity();
  double spare = kNone;
  for (const EntryEnd* entry : {&fan.straight, &fan.banked[0], &fan.banked[1]}) {
    const Impl::Bound b = impl_->lower_bound(entry->point, target);
    bound = std::min(bound, b.need);
    spare = std::max(spare, b.energy - b.need);
  }
  std::array<PathResult, 2> results;
  results[1].side = Side::right;
  if (!target.final.possible()) {
    // Too much wind to make headway on the runway's track: nothing connects.
  } else if (spare < 0.0 && !impl_->setup.search_hopeless) {
    for (PathResult& r : results) {
      r.status = ReachStatus::certainly_none;
      r.surplus = metres(spare);
    }
  } else {
    const auto sides = impl_->search(fan, target);
    results = {impl_->verdict(sides[0], Side::left, fan), impl_->verdict(sides[1], Side::right, fan)};
  }
  for (PathResult& r : results) r.lower_bound = metres(bound);
  return results;
}

std::array<PathResult, 2> PathFinder::reach_with_path(const Fan& fan, const Target& target) const {
  auto results = reach(fan, target);
  if (results[0].status != ReachStatus::reached && results[1].status != ReachStatus::reached) return results;
  const auto sides = impl_->search(fan, target);
  for (std::size_t i = 0; i < 2; ++i) {
    PathResult& r = results[i];
    if (r.status != ReachStatus::reached) continue;
    const Connection c = impl_->settle(fan, target, sides[i]);
    if (!Impl::within(c, target)) {
      // The bracket held no path after all: not found, never claimed.
      r.status = ReachStatus::not_found;
      continue;
    }
    r.first_turn = radians(c.first_sense * c.first);
    r.last_turn = radians(c.last_sense * c.last);
    r.alignment_height = metres(c.alignment);
    r.aim = metres(c.aim);
    r.path = impl_->assemble(fan, target, c);
  }
  return results;
}

Cas power_off_turn_speed(const aircraft::Performance& performance, const Technique& technique, Angle bank,
                         Speed gust_spread) {
  const double load = 1.0 / std::cos(bank.si());
  const double stall = technique.turn_stall_margin * performance.stall_clean().value.si() * std::sqrt(load);
  double cas = std::max(performance.best_glide().value.si(), stall);
  if (technique.half_gust_on_speed) cas += 0.5 * gust_spread.si();
  return {metres_per_second(cas)};
}

std::vector<PathResult> find_paths(const AirState& failure, const Goal& goal, const PathFinderSetup& setup) {
  const PathFinder finder(setup);
  const auto both = finder.reach_with_path(*finder.fan(failure), *finder.target(goal));
  std::vector<PathResult> results(both.begin(), both.end());
  std::stable_sort(results.begin(), results.end(), [](const PathResult& a, const PathResult& b) {
    if ((a.status == ReachStatus::reached) != (b.status == ReachStatus::reached)) {
      return a.status == ReachStatus::reached;
    }
    return a.surplus > b.surplus;
  });
  return results;
}

double Path::duration_s() const {
  double sum = entry.empty() ? 0.0 : entry.back().time_s;
  for (const Segment& s : segments) sum += s.duration_s;
  return sum;
}

}  // namespace backfield::flight
