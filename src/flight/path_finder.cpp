#include "backfield/flight/path_finder.hpp"

#include "backfield/base/contract.hpp"
#include "lower_bound.hpp"
#include "search.hpp"
#include "settle.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

namespace backfield::flight {
namespace {

constexpr double kMostOffAxis_m = 1.0;

Style make_style(const PathFinderSetup& s, const Glider& glider) {
  const double roll_rate = s.performance->aircraft().roll_rate_per_second.si();
  const auto turn = [&](Angle bank) {
    const Cas cas = power_off_turn_speed(*s.performance, s.technique, bank, s.gust_spread);
    return make_turn_style(glider, {bank.si(), cas.value.si(), roll_rate}, s.model.roll);
  };
  Style style;
  style.first = turn(s.bank);
  style.line_up = turn(s.technique.line_up_bank.value_or(s.bank));
  style.entry = {s.model.entry, s.technique.reaction.si(), roll_rate, s.performance->stall_clean().value.si(),
                 style.rolls() ? 0.0 : s.technique.roll_allowance.si()};
  return style;
}

}  // namespace

struct PathFinder::Impl {
  explicit Impl(const PathFinderSetup& s)
      : setup(s),
        medium(s.environment, s.datum, s.model, s.top.si() + 200.0),
        glider(medium, s.performance->best_glide().value.si(),
               s.performance->aircraft().polar.glide_ratio * s.technique.glide_factor, s.model),
        style(make_style(s, glider)),
        straights(glider),
        screen(straights, glider.best_glide_cas()),
        approach(glider, style, screen) {}

  [[nodiscard]] PathResult verdict(const Best& side, Side name, const Fan& fan) const {
    PathResult r;
    r.side = name;
    r.lowest_speed_over_stall = fan.lowest_speed_over_stall();
    if (!side.connects) return r;
    const Connection& c = side.best;
    r.first_turn = radians(c.first_sense * c.first);
    r.last_turn = radians(c.last_sense * c.last);
    if (c.surplus == kNoSurplus) {
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

  /// Nothing when the parts do not add up to what was found.
  [[nodiscard]] std::optional<Path> assemble(const Fan& fan, const Target& target, const Connection& c) const {
    Path path;
    path.start = fan.failure();
    const bool delayed = c.parameter == Parameter::delay;
    const bool banked = style.flown() && !delayed && fan.banked(c.first_sense, c.first);
    const Beginning beginning = begin_entry(fan.failure(), style.entry, glider);
    static_cast<void>(enter_towards(glider, style, beginning, banked ? c.first_sense : 0, &path));
    const std::size_t entry_segments = path.segments.size();
    if (!style.rolls()) {
      // The exchange of speeds takes no time, and the first turn may not be flown at all.
      Segment exchange;
      exchange.cas_from_mps = exchange.cas_to_mps = style.first.held.cas;
      path.segments.push_back(exchange);
    }
    Point p = delayed ? fan.leaf_after(c.delay, c.first_sense, c.first, &path.segments).p
                      : fan.leaf(c.first_sense, c.first, &path.segments).p;
    Segment s;
    s.hold = Hold::heading;
    s.duration_s = c.straight_time;
    s.cas_from_mps = s.cas_to_mps = glider.best_glide_cas();
    path.segments.push_back(s);
    glider.straight(p, glider.level(), c.straight_time);
    approach.line_up(target, c, p, &path.segments);
    const double height = p.h - target.elevation;
    if (std::abs(height - c.alignment) > kReserve_m || std::abs(target.across(p)) > kMostOffAxis_m) return std::nullopt;
    s.hold = Hold::track;
    s.track_rad = target.track;
    s.duration_s = target.final.time(height);
    path.segments.push_back(s);
    path.segments[entry_segments].trade_speed = true;
    path.segments[entry_segments].height_given_m = style.entry.height_given;
    return path;
  }

  struct Searched {
    std::array<PathResult, 2> results;
    std::array<Best, 2> sides;
  };
  [[nodiscard]] Searched look(const Fan& fan, const Target& target, const Wanted& wanted) const {
    double need = std::numeric_limits<double>::infinity();
    double spare = kNoSurplus;
    double top = fan.failure().height_m;
    for (const Point& p : fan.entry_ends()) top = std::max(top, p.h);
    const LowerBound bound(glider, style, setup.model, target, top);
    for (const Point& p : fan.entry_ends()) {
      const LowerBound::Balance b = bound.at(p);
      need = std::min(need, b.need);
      spare = std::max(spare, b.spare());
    }
    Searched s;
    s.results[1].side = Side::right;
    if (target.final.flyable_up_to() < target.least_height) {
      // Too much wind to make headway on the runway's track: nothing connects.
    } else if (spare < 0.0 && !setup.search_hopeless) {
      for (PathResult& r : s.results) {
        r.status = ReachStatus::certainly_none;
        r.surplus = metres(spare);
      }
    } else {
      s.sides = search({approach, screen, fan, target, bound, wanted});
      s.results = {verdict(s.sides[0], Side::left, fan), verdict(s.sides[1], Side::right, fan)};
    }
    for (PathResult& r : s.results) r.lower_bound = metres(need);
    return s;
  }

  [[nodiscard]] std::array<PathResult, 2> with_path(const Fan& fan, const Target& target, const Wanted& wanted) const {
    auto [results, sides] = look(fan, target, wanted);
    for (std::size_t i = 0; i < 2; ++i) {
      PathResult& r = results[i];
      if (r.status != ReachStatus::reached) continue;
      const Connection c = settle(approach, fan, target, sides[i].landing, sides[i].beyond);
      if (!within(c, target)) {
        // The bracket held no path after all: not found, never claimed.
        r.status = ReachStatus::not_found;
        continue;
      }
      auto path = assemble(fan, target, c);
      if (!path) {
        r.status = ReachStatus::not_found;
        continue;
      }
      r.first_turn = radians(c.first_sense * c.first);
      r.last_turn = radians(c.last_sense * c.last);
      r.alignment_height = metres(c.alignment);
      r.aim = metres(c.aim);
      r.path = std::move(*path);
    }
    return results;
  }

  PathFinderSetup setup;
  Medium medium;
  Glider glider;
  Style style;
  StraightTable straights;
  Screen screen;
  Approach approach;
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

double PathFinder::lowest_speed_over_stall(const Fan& fan) const { return fan.lowest_speed_over_stall(); }
Cas PathFinder::turn_speed() const { return {metres_per_second(impl_->style.first.held.cas)}; }
Cas PathFinder::line_up_speed() const { return {metres_per_second(impl_->style.line_up.held.cas)}; }

std::shared_ptr<const PathFinder::Fan> PathFinder::fan(const AirState& failure) const {
  return std::make_shared<const Fan>(impl_->glider, impl_->style, failure);
}

std::shared_ptr<const PathFinder::Target> PathFinder::target(const Goal& goal) const {
  require(goal.aim.low <= goal.aim.high, "an aim interval is not empty");
  return std::make_shared<const Target>(goal, impl_->glider, impl_->style, impl_->setup.datum,
                                        impl_->setup.top.si() + 100.0);
}

std::array<PathResult, 2> PathFinder::reach(const Fan& fan, const Target& target) const {
  return impl_->look(fan, target, {nullptr, {}, true, false}).results;
}

std::shared_ptr<PathFinder::Guess> PathFinder::guess() { return std::make_shared<Guess>(); }
std::shared_ptr<PathFinder::Guess> PathFinder::guess(const Guess& like) { return std::make_shared<Guess>(like); }

std::array<PathResult, 2> PathFinder::reach(const Fan& fan, const Target& target, Guess& guess) const {
  return impl_->look(fan, target, {&guess, {}, impl_->setup.search_hopeless, false}).results;
}

PathResult PathFinder::reach_side(const Fan& fan, const Target& target, Guess& guess, Side side) const {
  const Wanted wanted{&guess, side, impl_->setup.search_hopeless, true};
  return impl_->look(fan, target, wanted).results[side == Side::left ? 0 : 1];
}

std::array<PathResult, 2> PathFinder::reach_with_path(const Fan& fan, const Target& target) const {
  return impl_->with_path(fan, target, {nullptr, {}, true, false});
}

std::array<PathResult, 2> PathFinder::reach_with_path(const Fan& fan, const Target& target, Guess& guess) const {
  return impl_->with_path(fan, target, {&guess, {}, true, false});
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
