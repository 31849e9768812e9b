#include "scan.hpp"

#include "ground.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::decision {
namespace {

constexpr double kFar_m = -1e9;
constexpr double kNearZero_m = 50.0 * kMetresPerFoot;  // margins that come this near are searched for hidden changes

Limit limit_of(const flight::PathResult& r) {
  if (r.status == flight::ReachStatus::not_clear) return Limit::clearance;
  return r.status == flight::ReachStatus::too_high ? Limit::too_high : Limit::reach;
}

constexpr Angle kStraightAhead = degrees(6);

/// Landing straight on with what is left of the runway is land_ahead's business.
bool straight_ahead(const Case& c, const RunwayOption& o, const flight::PathResult& r) {
  const bool ahead = r.status == flight::ReachStatus::reached ? r.one_way_turn < kStraightAhead
                                                              : std::abs(r.first_turn.si()) < kStraightAhead.si() &&
                                                                    std::abs(r.last_turn.si()) < kStraightAhead.si();
  return ahead && o.end.aerodrome == c.departure.end.aerodrome && o.end.designator == c.departure.end.designator;
}

/// What is to spare: of height over the need, or of clearance.
Length to_spare(const flight::PathResult& r) {
  return r.clearance ? std::min(r.surplus, r.clearance->margin) : r.surplus;
}

Verdict verdict_of(const Case& c, const RunwayOption& o, const flight::PathResult& r) {
  if (straight_ahead(c, o, r)) return {false, kFar_m, Limit::reach};
  // Where no path connects, or all are too high, the surplus says nothing about how far the option is from working.
  const bool telling = r.status != flight::ReachStatus::not_found && r.status != flight::ReachStatus::too_high;
  return {r.status == flight::ReachStatus::reached, telling ? to_spare(r).si() : kFar_m, limit_of(r)};
}

Angle larger_turn(const flight::PathResult& r) {
  return radians(std::max(std::abs(r.first_turn.si()), std::abs(r.last_turn.si())));
}

}  // namespace

flight::PathFinderSetup finder_setup(const ScanRequest& request) {
  const Case& c = *request.the_case;
  const WindReport& wind = c.weather.wind;
  return {.performance = request.performance,
          .technique = c.policy.technique,
          .model = c.policy.model,
          .environment = request.world->environment,
          .datum = c.elevation,
          .bank = request.bank,
          .gust_spread = wind.gust ? *wind.gust - wind.mean : Speed{},
          .top = metres(request.timeline->nodes().back().height_m + 100.0),
          .clearance = c.policy.clearance,
          .search_hopeless = false};
}

ScanResult scan(const ScanRequest& request) {
  const flight::Timeline& timeline = *request.timeline;
  const auto finder_made = std::make_shared<const flight::PathFinder>(finder_setup(request));
  const flight::PathFinder& finder = *finder_made;
  const std::vector<Duration> times = moments(timeline);
  const std::size_t count = request.goals.size();

  std::vector<std::shared_ptr<const flight::PathFinder::Target>> targets(count);
  std::vector<std::vector<std::shared_ptr<flight::PathFinder::Guess>>> guesses(count);  // after each moment
  ScanResult result;
  result.options.resize(count);
  std::vector<std::array<std::vector<Verdict>, 2>> verdicts(count);
  for (std::size_t k = 0; k < count; ++k) {
    result.options[k].stop_fits = request.goals[k].has_value();
    if (request.goals[k]) targets[k] = finder.target(*request.goals[k]);
  }
  for (const Duration t : times) {
    const flight::AirState state = timeline.at(t);
    result.heights.push_back(metres(state.height_m));
    const auto fan = finder.fan(state);
    // Before 50 ft the aeroplane has not its climbing speed yet, and lands on what is ahead.
    if (state.height_m >= kClimbing_m) {
      result.lowest_speed_over_stall = std::min(result.lowest_speed_over_stall, finder.lowest_speed_over_stall(*fan));
    }
    for (std::size_t k = 0; k < count; ++k) {
      if (!targets[k]) continue;
      auto guess = guesses[k].empty() ? flight::PathFinder::guess() : flight::PathFinder::guess(*guesses[k].back());
      const auto both = finder.reach(*fan, *targets[k], *guess);
      guesses[k].push_back(std::move(guess));
      for (std::size_t s = 0; s < 2; ++s) {
        verdicts[k][s].push_back(verdict_of(*request.the_case, *request.options[k], both[s]));
        SideTrace& side = result.options[k].sides[s];
        side.surplus.push_back(to_spare(both[s]));
        const bool not_clear = both[s].status == flight::ReachStatus::not_clear &&
                               !straight_ahead(*request.the_case, *request.options[k], both[s]);
        side.not_clear.push_back(not_clear ? both[s].clearance : std::nullopt);
        side.configuration.push_back(both[s].configuration);
        side.larger_turn.push_back(larger_turn(both[s]));
        side.one_way_turn.push_back(both[s].one_way_turn);
      }
    }
  }

  for (std::size_t k = 0; k < count; ++k) {
    if (!targets[k]) continue;
    for (std::size_t s = 0; s < 2; ++s) {
      const auto ask = [&](Duration t) {
        // Of the two moments about it the later one knows the path that works, if either does.
        const auto next = std::lower_bound(times.begin(), times.end(), t);
        const auto i = static_cast<std::size_t>(std::min(next, times.end() - 1) - times.begin());
        const auto guess = flight::PathFinder::guess(*guesses[k][i]);
        return finder.reach_side(*finder.fan(timeline.at(t)), *targets[k], *guess,
                                 s == 0 ? flight::Side::left : flight::Side::right);
      };
      const Judge judge = [&](Duration t) { return verdict_of(*request.the_case, *request.options[k], ask(t)); };
      for (const Span& span : windows(timeline, times, verdicts[k][s], judge, kNearZero_m)) {
        Window w;
        w.aerodrome = request.options[k]->end.aerodrome;
        w.runway = request.options[k]->end.designator;
        w.side = s == 0 ? flight::Side::left : flight::Side::right;
        w.bank = request.bank;
        w.world = request.world->name;
        w.times = span.times;
        w.heights = {metres(timeline.at(span.times.low).height_m), metres(timeline.at(span.times.high).height_m)};
        w.lower = span.lower;
        w.upper = span.upper;
        if (request.the_case->policy.technique.landing_flap_on_final) {
          std::vector<Needed> needed{{w.heights.low, ask(span.times.low).configuration}};
          for (std::size_t i = 0; i < times.size(); ++i) {
            if (times[i] <= span.times.low || times[i] >= span.times.high) continue;
            needed.push_back({result.heights[i], result.options[k].sides[s].configuration[i]});
          }
          needed.push_back({w.heights.high, ask(span.times.high).configuration});
          w.height_loss = height_loss(needed);
        }
        result.options[k].sides[s].windows.push_back(w);
      }
    }
  }
  result.finder = finder_made;
  result.targets = std::move(targets);
  return result;
}

Nearest nearest(const ScanRequest& request, std::size_t option, flight::Side side) {
  flight::PathFinderSetup setup = finder_setup(request);
  setup.search_hopeless = true;
  const flight::PathFinder finder(setup);
  const auto target = finder.target(*request.goals[option]);
  Nearest best;
  best.surplus = metres(-1e9);
  for (const Duration t : moments(*request.timeline)) {
    const flight::AirState state = request.timeline->at(t);
    const auto r = finder.reach(*finder.fan(state), *target)[side == flight::Side::left ? 0 : 1];
    if (r.past_end) best.past_end = std::min(*r.past_end, best.past_end.value_or(*r.past_end));
    if (r.status == flight::ReachStatus::not_found || !(r.surplus > best.surplus)) continue;
    best.surplus = r.surplus;
    best.at_height = metres(state.height_m);
  }
  return best;
}

}  // namespace backfield::decision
