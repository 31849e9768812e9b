#include "backfield/flight/path_finder.hpp"

#include "backfield/base/contract.hpp"
#include "clearing.hpp"
#include "climb_on.hpp"
#include "lower_bound.hpp"
#include "search.hpp"
#include "settle.hpp"
#include "style.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

namespace backfield::flight {

namespace {

constexpr std::array kAside{-0.01, 0.01, -0.03, 0.03, -0.1, 0.1};  // steps along a family

}  // namespace

struct PathFinder::Impl {
  explicit Impl(const PathFinderSetup& s)
      : setup(s),
        medium(s.environment, s.datum, s.model, s.top.si() + 200.0, push_of(s)),
        gliders(make_gliders(s, medium)),
        glider(gliders.clean),
        style(make_style(s, gliders)),
        straights(glider),
        screen(straights, glider.level_cas()),
        approach(glider, style, screen),
        assembly(gliders, style, approach),
        hazards(s.environment.ground, s.clearance, s.datum) {}

  [[nodiscard]] PathResult verdict(const Best& side, Side name, const Fan& fan) const {
    PathResult r;
    r.side = name;
    r.lowest_speed_over_stall = fan.lowest_speed_over_stall();
    if (!side.connects) return r;
    const Connection& c = side.best;
    r.first_turn = radians(c.first_sense * c.first);
    r.last_turn = radians(c.last_sense * c.last);
    const auto too_high = [&] {
      r.status = ReachStatus::too_high;
      if (std::isfinite(side.past_end)) r.past_end = metres(side.past_end);
    };
    if (c.surplus == kNoSurplus) {
      too_high();
      return r;
    }
    r.surplus = metres(c.surplus - kReserve_m);
    r.alignment_height = metres(c.alignment);
    r.aim = metres(c.aim);
    if (side.lands) {
      r.status = ReachStatus::reached;
      r.one_way_turn = radians(side.landing.one_way_turn());
    } else if (c.surplus < kReserve_m) {
      r.status = ReachStatus::too_short;
    } else {
      too_high();
    }
    return r;
  }

  struct Searched {
    std::array<PathResult, 2> results;
    std::array<Best, 2> sides;
    std::array<const Target*, 2> targets;           ///< of the configuration each side's answer is for
    std::array<std::optional<Cleared>, 2> cleared;  ///< with something on the ground, of sides that are reached
    std::array<std::optional<Assembly::Scheduled>, 2> scheduled;  ///< without, where a claim needs one
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
    s.targets = {&target, &target};
    s.results[1].side = Side::right;
    if (target.final.clean().flyable_up_to() < target.least_height) {
      // Too much wind to make headway on the runway's track: nothing connects.
    } else if (spare < 0.0 && !setup.search_hopeless) {
      for (PathResult& r : s.results) {
        r.status = ReachStatus::certainly_none;
        r.surplus = metres(spare);
      }
    } else {
      s.sides = search({approach, screen, fan, target, bound, wanted});
      s.results = {verdict(s.sides[0], Side::left, fan), verdict(s.sides[1], Side::right, fan)};
      lose_height(s, fan, target, bound, wanted);
    }
    for (PathResult& r : s.results) r.lower_bound = metres(need);
    if (hazards.empty()) {
      confirm(s, fan, wanted);
    } else {
      for (std::size_t i = 0; i < 2; ++i) clear_side(fan, wanted, i, s);
    }
    return s;
  }

  /// Where every path found is too high: the same search for finals that lose more height, in the order of the
  /// configurations. A side with a path that is only too short is left at that: with flap it could be aligned farther
  /// down the runway, and a window would open lower, but by means of a flap selected in the last hundred feet.
  void lose_height(Searched& s, const Fan& fan, const Target& clean, const LowerBound& bound,
                   const Wanted& wanted) const {
    if (wanted.guess != nullptr) wanted.guess->steeper.resize(clean.steeper.size());
    for (std::size_t k = 0; k < clean.steeper.size(); ++k) {
      const auto needs = [&](std::size_t i) {
        const bool asked = !wanted.only || (*wanted.only == Side::left) == (i == 0);
        return asked && s.results[i].status == ReachStatus::too_high && s.results[i].past_end;
      };
      if (!needs(0) && !needs(1)) return;
      Wanted further = wanted;
      if (wanted.guess != nullptr) further.guess = &wanted.guess->steeper[k];
      if (!needs(0) || !needs(1)) further.only = needs(0) ? Side::left : Side::right;
      const Target& target = clean.steeper[k];
      const std::array<Best, 2> sides = search({approach, screen, fan, target, bound, further});
      for (std::size_t i = 0; i < 2; ++i) {
        if (!needs(i)) continue;
        PathResult& r = s.results[i];
        if (sides[i].lands) {
          s.sides[i] = sides[i];
          s.targets[i] = &target;
          r = verdict(sides[i], r.side, fan);
          r.configuration = target.final.most();
        } else if (std::isfinite(sides[i].past_end)) {
          // The end that comes nearest: what loses more height may be left alone.
          r.past_end = std::min(*r.past_end, metres(sides[i].past_end));
        }
      }
    }
  }

  /// Of a side that is reached: what was clear a moment ago, the best path, the one that lands, or any other.
  void clear_side(const Fan& fan, const Wanted& wanted, std::size_t i, Searched& s) const {
    PathResult& r = s.results[i];
    const Target& target = *s.targets[i];
    if (r.status != ReachStatus::reached || (wanted.only && *wanted.only != r.side)) return;
    Clearing clearing(assembly, approach, screen, hazards, fan, target);
    std::optional<Connection>* last = wanted.guess == nullptr ? nullptr : &wanted.guess->clear[i];
    std::optional<Cleared>& found = s.cleared[i];
    const auto look_at = [&](const Connection& c) {
      auto seen = clearing.look_at(c);
      // Of two turns alike either may be the larger when they are flown.
      if (!seen || (seen->connection.side() != r.side && !seen->connection.turns_alike())) return;
      if (!found || seen->clearance.margin > found->clearance.margin) found = std::move(seen);
    };
    const auto clear = [&] { return found && found->clearance.clear(); };
    look_at(s.sides[i].best);
    if (!clear() && last != nullptr && *last) look_at(approach.again(fan, target, **last, (*last)->value()));
    if (!clear() && last != nullptr && *last) {
      if (auto seen = clearing.look_beside(**last)) found = std::move(seen);
    }
    if (!clear()) look_at(settle(approach, fan, target, s.sides[i].landing, s.sides[i].beyond));
    if (found && !found->clearance.clear()) found = clearing.look_around(*found);
    if (!found) {
      r.status = ReachStatus::not_found;
      return;
    }
    r.clearance = found->clearance;
    if (!found->clearance.clear()) {
      clearing.explain(*found);
      r.clearance = found->clearance;
      r.status = ReachStatus::not_clear;
      return;
    }
    describe_landing(r, found->connection, target);
    r.surplus = metres(found->connection.surplus - kReserve_m);
    if (last != nullptr) *last = found->connection;
  }

  static void describe(PathResult& r, const Connection& c, const Target& target) {
    r.first_turn = radians(c.first_sense * c.first);
    r.last_turn = radians(c.last_sense * c.last);
    r.alignment_height = metres(c.alignment);
    r.aim = metres(place_of(c, target) + target.final.distance(planned(c, target)));
  }
  /// Of what was found to land: the schedule may end beyond the aim interval by no more than tables are off.
  static void describe_landing(PathResult& r, const Connection& c, const Target& target) {
    describe(r, c, target);
    r.one_way_turn = radians(c.one_way_turn());
    r.aim = metres(std::min(r.aim.si(), target.aim_high));
  }

  /// A roll-out that hovers at a level where the shear jumps may fly on otherwise after a hair's breadth: then a
  /// neighbour that adds up.
  [[nodiscard]] std::optional<Assembly::Scheduled> schedule_about(const Fan& fan, const Target& target,
                                                                  const Connection& c) const {
    const Assembly::Entry entry = assembly.entry(fan, assembly.entry_sense(fan, c));
    if (auto scheduled = assembly.path(entry, fan, target, c)) return scheduled;
    for (const double aside : kAside) {
      const double value = beside(c.parameter, c.value(), aside);
      if (!exists(c.parameter, value)) continue;
      const Connection near = approach.again(fan, target, c, value);
      if (!within(near, target) || !same_word(fan, c, near)) continue;
      if (auto scheduled = assembly.path(entry, fan, target, near)) return scheduled;
    }
    return std::nullopt;
  }

  /// None where the bracket held no path after all, or none that adds up: not found, never claimed.
  [[nodiscard]] std::optional<Assembly::Scheduled> schedule_landing(const Fan& fan, const Target& target,
                                                                    const Best& side) const {
    const Connection c = settle(approach, fan, target, side.landing, side.beyond);
    if (!within(c, target)) return std::nullopt;
    return schedule_about(fan, target, c);
  }

  /// Where a roll-out may hover, a claim needs a schedule that leads where it should.
  void confirm(Searched& s, const Fan& fan, const Wanted& wanted) const {
    for (std::size_t i = 0; i < 2; ++i) {
      PathResult& r = s.results[i];
      if (r.status != ReachStatus::reached || (wanted.only && *wanted.only != r.side)) continue;
      const Target& target = *s.targets[i];
      if (!glider.may_hover(target.elevation + target.least_height, fan.failure().height_m)) continue;
      s.scheduled[i] = schedule_landing(fan, target, s.sides[i]);
      if (!s.scheduled[i]) r.status = ReachStatus::not_found;
    }
  }

  [[nodiscard]] std::array<PathResult, 2> with_path(const Fan& fan, const Target& target, const Wanted& wanted) const {
    auto [results, sides, targets, cleared, schedules] = look(fan, target, wanted);
    for (std::size_t i = 0; i < 2; ++i) {
      PathResult& r = results[i];
      if (r.status != ReachStatus::reached) continue;
      if (cleared[i]) {
        r.path = std::move(cleared[i]->path);
        continue;
      }
      auto scheduled = schedules[i] ? std::move(schedules[i]) : schedule_landing(fan, *targets[i], sides[i]);
      if (!scheduled) {
        r.status = ReachStatus::not_found;
        continue;
      }
      describe_landing(r, scheduled->connection, *targets[i]);
      r.path = std::move(scheduled->path);
    }
    return results;
  }

  [[nodiscard]] std::array<PathResult, 2> keep_height(const Fan& fan, const Target& target) const {
    const Searched s = look(fan, target, {nullptr, {}, true, false});
    std::array<PathResult, 2> results = s.results;
    for (std::size_t i = 0; i < 2; ++i) {
      PathResult& r = results[i];
      if (r.status == ReachStatus::certainly_none || r.status == ReachStatus::too_short) continue;
      r.status = ReachStatus::not_found;
      const Connection& best = s.sides[i].best;
      if (!s.sides[i].connects || best.surplus < kReserve_m) continue;
      // Far from mattering the best is a rough figure, and may lie where its family just ends.
      if (keep_height(fan, target, best.value(), best, r)) continue;
      for (const double aside : kAside) {
        if (keep_height(fan, target, beside(best.parameter, best.value(), aside), best, r)) break;
      }
    }
    return results;
  }
  /// The path of a family at a value of its parameter, flown. False where it is no path of this side to the goal.
  [[nodiscard]] bool keep_height(const Fan& fan, const Target& target, double value, const Connection& like,
                                 PathResult& r) const {
    if (!exists(like.parameter, value)) return false;
    const Connection c = approach.again(fan, target, like, value);
    if (!c.on_axis || c.side() != r.side || c.surplus < kReserve_m) return false;
    const Assembly::Entry entry = assembly.entry(fan, assembly.entry_sense(fan, c));
    auto scheduled = assembly.path(entry, fan, target, c);
    if (!scheduled) return false;
    r.surplus = metres(c.surplus - kReserve_m);
    describe(r, scheduled->connection, target);
    r.status = ReachStatus::reached;
    if (!hazards.empty()) {
      r.clearance = hazards.along(assembly.way(entry, scheduled->path), &target.at_runway);
      if (!r.clearance->clear()) r.status = ReachStatus::not_clear;
    }
    if (r.status == ReachStatus::reached) r.path = std::move(scheduled->path);
    return true;
  }

  PathFinderSetup setup;
  Medium medium;
  Gliders gliders;
  const Glider& glider;
  Style style;
  StraightTable straights;
  Screen screen;
  Approach approach;
  Assembly assembly;
  Hazards hazards;
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

std::array<PathResult, 2> PathFinder::keep_height(const Fan& fan, const Target& target) const {
  return impl_->keep_height(fan, target);
}

std::vector<AirState> PathFinder::straight_on(const AirState& failure, const StraightOn& asked) const {
  require(impl_->glider.is_powered(), "a climb needs power");
  require(asked.lost.si() >= 0.0, "a loss of climb is not negative");
  return climb_on(failure, asked, impl_->style.entry, impl_->glider);
}

std::vector<AirState> PathFinder::states(const Path& path) const { return impl_->assembly.states(path); }

std::optional<Clearance> PathFinder::clearance(const std::vector<AirState>& states, const AtRunway& runway) const {
  if (impl_->hazards.empty()) return std::nullopt;
  std::vector<WayPoint> way;
  way.reserve(states.size());
  for (const AirState& s : states) way.push_back({s.east_m, s.north_m, s.height_m, 0.1, !way.empty()});
  return impl_->hazards.along(way, &runway);
}

double PathFinder::lowest_speed_over_stall(const Fan& fan) const { return fan.lowest_speed_over_stall(); }
Cas PathFinder::turn_speed() const { return {metres_per_second(impl_->style.first.held.cas)}; }
Cas PathFinder::line_up_speed() const { return {metres_per_second(impl_->style.line_up.held.cas)}; }

std::shared_ptr<const PathFinder::Fan> PathFinder::fan(const AirState& failure) const {
  return std::make_shared<const Fan>(impl_->glider, impl_->style, failure);
}

std::shared_ptr<const PathFinder::Target> PathFinder::target(const Goal& goal) const {
  require(goal.aim.low <= goal.aim.high, "an aim interval is not empty");
  return std::make_shared<const Target>(goal, impl_->gliders, impl_->style, impl_->setup.datum,
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
  std::array<PathResult, 2> results = impl_->with_path(fan, target, {nullptr, {}, true, false, true});
  const auto lost = [](const PathResult& r) {
    return r.status == ReachStatus::not_found || r.status == ReachStatus::too_short ||
           r.status == ReachStatus::too_high;
  };
  if (std::none_of(results.begin(), results.end(), lost)) return results;
  // A finer look at how much there is to spare must not take away a path that a plain one finds.
  std::array<PathResult, 2> plain = impl_->with_path(fan, target, {nullptr, {}, true, false});
  for (std::size_t i = 0; i < 2; ++i) {
    if (lost(results[i]) && plain[i].status == ReachStatus::reached) results[i] = std::move(plain[i]);
  }
  return results;
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
