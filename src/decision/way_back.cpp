#include "way_back.hpp"

#include "backfield/base/polygon.hpp"
#include "briefing.hpp"
#include "sky.hpp"
#include "src/base/parallel.hpp"
#include "vetoes.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::decision {
namespace {

using flight::AirState;
using flight::PathFinder;
using flight::ReachStatus;

const Angle kOnceRound = degrees(360);  // a glide that turns farther one way is none to rely on

/// One world: what can be reached there when no power is left, at every bank of the policy.
class Glides {
 public:
  /// most_turn    of the larger turn of a glide that counts
  Glides(const std::vector<const ScanResult*>& of_banks, Angle most_turn) : most_turn_(most_turn) {
    for (const ScanResult* scanned : of_banks) {
      banks_.push_back({scanned->finder, scanned->targets, {}});
      for (std::size_t k = 0; k < scanned->targets.size(); ++k) banks_.back().guesses.push_back(PathFinder::guess());
    }
  }
  /// Before a way is followed from its beginning.
  void forget() {
    for (Bank& bank : banks_) {
      for (auto& guess : bank.guesses) guess = PathFinder::guess();
    }
  }
  /// At every bank, to one option by one side.
  [[nodiscard]] bool reach(const AirState& state, std::size_t option, flight::Side side) {
    return std::all_of(banks_.begin(), banks_.end(), [&](Bank& bank) {
      if (!bank.targets[option]) return false;
      const auto r =
          bank.finder->reach_side(*bank.finder->fan(state), *bank.targets[option], *bank.guesses[option], side);
      const bool small = std::max(std::abs(r.first_turn.si()), std::abs(r.last_turn.si())) <= most_turn_.si();
      return r.status == ReachStatus::reached && small && r.one_way_turn <= kOnceRound;
    });
  }
  /// The same glide at the first bank: seconds to touchdown.
  [[nodiscard]] std::optional<double> seconds_from(const AirState& state, std::size_t option, flight::Side side) const {
    const Bank& bank = banks_.front();
    const auto both = bank.finder->reach_with_path(*bank.finder->fan(state), *bank.targets[option]);
    const flight::PathResult& r = both[side == flight::Side::left ? 0 : 1];
    return r.status == ReachStatus::reached ? std::optional(r.path.duration_s()) : std::nullopt;
  }

 private:
  struct Bank {
    std::shared_ptr<const PathFinder> finder;
    std::vector<std::shared_ptr<const PathFinder::Target>> targets;
    std::vector<std::shared_ptr<PathFinder::Guess>> guesses;
  };
  std::vector<Bank> banks_;
  Angle most_turn_;
};

/// To whom turnbacks are no trained matter a glide with a larger turn is none.
Angle most_turn(const Case& c) { return c.turnback_trained ? kOnceRound : c.policy.gates.small_turn; }

constexpr double kWorthIt_s = 1.0;              // fewer exposed seconds, for another way to be better
constexpr std::size_t kTooHigh = 10;            // states; where a way glides at all is looked for so coarsely
constexpr std::size_t kStrides[] = {20, 5, 1};  // states; where glides end is looked for ever more finely

/// What is left of the engines, and how it is flown with.
struct Left {
  aircraft::PowerCondition condition;
  Angle bank;
  std::optional<Cas> least_speed;
  Length turn_from;
  Speed lost;         ///< off the climb at first ...
  Duration lost_for;  ///< ... for so long
};

/// A way as flown in one world.
struct Flown {
  std::vector<AirState> states;
  std::size_t turn = 0;    ///< the state the turn is begun at
  std::size_t option = 0;  ///< whose track the turn leads to, and where the glide ends
  flight::Side glide = flight::Side::left;
  std::size_t home = 0;       ///< from this one on a glide reaches a runway; settled later
  bool by_final = false;      ///< none does before alignment, but the final ends where it should
  double after_turn_s = 0.0;  ///< from the begin of the turn to touchdown, if flown to its end
  [[nodiscard]] double since(std::size_t i) const { return states[i].time_s - states.front().time_s; }
  /// So long no glide is known to reach a runway, from the failure on.
  [[nodiscard]] double exposed_s() const { return since(home); }
};

/// What cloud, night and the policy leave.
struct Allowed {
  std::vector<bool> options;
  Length highest;  ///< of the climb straight on, above the datum
  bool in_cloud = false;
};

/// One world as planned and as scanned; all banks.
struct Planned {
  const ScanRequest* request = nullptr;  ///< of the first bank
  std::vector<const ScanResult*> scanned;
};

/// One world and what is left of the engines: the ways from any height of failure.
class Ways {
 public:
  Ways(const Planned& planned, const Left& left, const Allowed& allowed)
      : request_(*planned.request),
        left_(left),
        glides_(planned.scanned, most_turn(*request_.the_case)),
        targets_(request_.goals.size()),
        allowed_(allowed) {
    flight::PathFinderSetup setup = finder_setup(request_);
    setup.power = left.condition;
    setup.power->climb_factor = request_.world->climb_factor;
    setup.least_speed = left.least_speed;
    setup.bank = left.bank;
    setup.technique.line_up_bank.reset();
    setup.top = std::max(allowed.highest, rule().fails_at.back()) + metres(200);
    reaction_s_ = setup.technique.reaction.si();
    surprised_ = std::make_unique<PathFinder>(setup);
    setup.technique.reaction = {};  // the turn is no surprise
    finder_ = std::make_unique<PathFinder>(setup);
  }
  /// From here on all is about this failure. False where the departure does not get there.
  [[nodiscard]] bool fail_at(Length height) {
    const auto when = request_.timeline->when_at_height(height);
    if (!when) return false;
    const AirState failure = request_.timeline->at(*when);
    climb_ = surprised_->straight_on(
        failure, {std::max(allowed_.highest, height), rule().longest_climb, left_.lost, left_.lost_for});
    reacted_at_ = failure.time_s + reaction_s_;
    glides_.forget();
    return true;
  }
  [[nodiscard]] bool climb_clears() const {
    const auto clearance = surprised_->clearance(climb_, below_the_climb(*request_.the_case));
    return !clearance || clearance->clear();
  }
  /// Where a turn at a height is begun; none where the climb does not get there.
  [[nodiscard]] std::optional<std::size_t> turn_state(Length height) const {
    for (std::size_t i = 0; i < climb_.size(); ++i) {
      if (climb_[i].time_s >= reacted_at_ - 1e-6 && climb_[i].height_m >= height.si() - 1e-6) return i;
    }
    return std::nullopt;
  }
  [[nodiscard]] std::size_t options() const { return targets_.size(); }

  /// Both sides of one option, the turn begun at a state of the climb; where a glide works is not settled yet.
  [[nodiscard]] std::array<std::optional<Flown>, 2> fly(std::size_t turn, std::size_t option) {
    std::array<std::optional<Flown>, 2> both;
    if (!request_.goals[option] || !allowed_.options[option]) return both;
    if (!targets_[option]) targets_[option] = finder_->target(*request_.goals[option]);

    const auto results = finder_->keep_height(*finder_->fan(climb_[turn]), *targets_[option]);
    for (std::size_t s = 0; s < 2; ++s) {
      const flight::PathResult& r = results[s];
      if (r.status != ReachStatus::reached) continue;
      Flown f;
      f.turn = turn;
      f.option = option;
      f.states.assign(climb_.begin(), climb_.begin() + static_cast<std::ptrdiff_t>(turn) + 1);
      const std::vector<AirState> path = finder_->states(r.path);
      f.states.insert(f.states.end(), path.begin() + 1, path.end());
      f.by_final = r.aim <= request_.goals[option]->aim.high;
      f.after_turn_s = r.path.duration_s();
      both[s] = std::move(f);
    }
    return both;
  }
  /// Is there a glide after no more than so many seconds?
  [[nodiscard]] bool home_within(const Flown& f, double exposed_s) {
    for (std::size_t i = 0; i < f.states.size(); ++i) {
      if (f.since(i) < exposed_s - 1e-6) continue;
      return glides_.reach(f.states[i], f.option, f.glide);
    }
    return f.by_final;
  }
  enum class Asked { roughly, each };
  /// Finds from where on a glide works for good, back from the end: false where none does and the final would not serve
  /// either. What works before that is not looked for. `roughly` may pass over holes; `each` asks every state.
  [[nodiscard]] bool settle(Flown& f, Asked asked) {
    const std::size_t count = f.states.size();
    const auto glides = [&](std::size_t i) { return glides_.reach(f.states[i], f.option, f.glide); };
    // Near its end a way may be too high for a glide.
    f.home = count;
    for (std::size_t back = 1; back <= count && f.home == count; back += kTooHigh) {
      if (glides(count - back)) f.home = count - back;
    }
    for (const std::size_t stride : kStrides) {
      if (asked == Asked::each && stride > 1) continue;
      while (f.home > 0 && f.home < count) {
        const std::size_t next = f.home - std::min(stride, f.home);
        if (!glides(next)) break;
        f.home = next;
      }
    }
    f.by_final = f.by_final && f.home == count;
    if (f.home < count) return true;
    f.home = count - 1;
    return f.by_final;
  }
  [[nodiscard]] std::optional<double> to_touchdown_s(const Flown& f) {
    if (f.by_final) return f.since(f.turn) + f.after_turn_s;
    const auto glide = glides_.seconds_from(f.states[f.home], f.option, f.glide);
    return glide ? std::optional(f.since(f.home) + *glide) : std::nullopt;
  }

 private:
  [[nodiscard]] const WayBackRule& rule() const { return *request_.the_case->policy.power_left.way_back; }

  const ScanRequest& request_;
  Left left_;
  Glides glides_;
  std::unique_ptr<PathFinder> surprised_, finder_;
  std::vector<std::shared_ptr<const PathFinder::Target>> targets_;  ///< made when first asked for
  const Allowed& allowed_;
  double reaction_s_ = 0.0;
  std::vector<AirState> climb_;
  double reacted_at_ = 0.0;
};

/// Heights at which the turn may be begun, lowest first.
std::vector<Length> turn_heights(const WayBackRule& rule, const Left& left, Length highest, Length fails_at) {
  const Length lowest = std::max(left.turn_from, fails_at);
  std::vector<Length> heights;
  for (Length h = lowest; h < highest; h = h + rule.turn_step) heights.push_back(h);
  heights.push_back(std::max(lowest, highest));
  return heights;
}

Allowed allowed(const Case& c, const Answer& answer) {
  Allowed allowed;
  const bool night = answer.night && (answer.night->after_take_off || answer.night->on_return);
  for (const RunwayOption& o : answer.options) {
    const bool dark = night && !o.end.lit;
    allowed.options.push_back(!dark && worst_tailwind(o) <= c.policy.stop.tailwind_not_briefed_above);
  }
  const std::optional<Length> limit = cloud_limit(c);
  allowed.highest = c.policy.power_left.way_back->circuit_height;
  allowed.in_cloud = limit && *limit < allowed.highest;
  if (allowed.in_cloud) allowed.highest = *limit;
  return allowed;
}

/// In a briefed window of a total loss nobody waits.
bool in_a_window(const Answer& answer, Length height) {
  return std::any_of(answer.briefed.begin(), answer.briefed.end(), [&](const BriefedWindow& b) {
    return b.window.heights.low <= height && height <= b.window.heights.high;
  });
}

/// Areas to be avoided count before landable ones. Of the latter it is said only where they are.
std::optional<GroundShares> below(const Case& c, const Flown& f) {
  if (f.home == 0 || (c.ground.areas.empty() && c.ground_ahead.areas.empty())) return std::nullopt;
  GroundShares shares;
  for (std::size_t i = 0; i < f.home; ++i) {
    const earth::Position place{metres(f.states[i].east_m), metres(f.states[i].north_m)};
    const bool avoid = std::any_of(c.ground.areas.begin(), c.ground.areas.end(), [&](const earth::AvoidArea& area) {
      return earth::distance_to(area, place).si() <= 0.0;
    });
    const auto in = [&](const earth::LandableArea& area) {
      const auto parts = chords(area.outline, Along::x, place.north.si());
      return std::any_of(parts.begin(), parts.end(), [&](const Interval<double>& part) {
        return part.low <= place.east.si() && place.east.si() <= part.high;
      });
    };
    const bool landable = std::any_of(c.ground_ahead.areas.begin(), c.ground_ahead.areas.end(), in);
    (avoid ? shares.avoid : landable ? shares.landable : shares.unknown) += f.since(i + 1) - f.since(i);
  }
  const double all = f.exposed_s();
  return GroundShares{shares.landable / all, shares.avoid / all, shares.unknown / all};
}

/// planned     the first one is the world the choice is made in
WayBack way_back(const std::vector<Planned>& planned, std::vector<Ways>& worlds, const Left& left,
                 const Allowed& allowed, Length fails_at) {
  const Case& c = *planned.front().request->the_case;
  WayBack way;
  way.fails_at = fails_at;
  way.fraction = way.flown_with = left.condition.fraction;
  if (allowed.in_cloud && std::max(fails_at, left.turn_from) > allowed.highest) {
    way.why_not = "it would be in cloud";
    return way;
  }
  for (std::size_t w = 0; w < worlds.size(); ++w) {
    const std::string name = " (" + planned[w].request->world->name + ")";
    if (!worlds[w].fail_at(fails_at)) {
      way.why_not = "the departure does not get there" + name;
      return way;
    }
    if (!worlds[w].climb_clears()) {
      way.why_not = "the climb straight on is not clear of what is on the ground" + name;
      return way;
    }
  }
  const std::vector<Length> heights = turn_heights(*c.policy.power_left.way_back, left, allowed.highest, fails_at);
  Ways& first = worlds.front();
  struct Candidate {
    Length turn_at;
    std::size_t side;
    Flown flown;
    std::optional<bool> lands;  ///< as settled; none: not looked at yet
  };
  std::vector<Candidate> candidates;
  for (const Length height : heights) {
    const auto turn = first.turn_state(height);
    if (!turn) break;
    for (std::size_t k = 0; k < first.options(); ++k) {
      auto both = first.fly(*turn, k);
      for (std::size_t s = 0; s < 2; ++s) {
        if (!both[s]) continue;
        for (const flight::Side glide : {flight::Side::left, flight::Side::right}) {
          both[s]->glide = glide;
          candidates.push_back({height, s, *both[s], {}});
        }
      }
    }
  }
  if (candidates.empty()) {
    way.why_not = first.turn_state(heights.front()) ? "no way found" : "no climb to where a turn may be begun";
    return way;
  }
  while (!candidates.empty()) {
    // The one with the fewest exposed seconds, the first of equals.
    std::size_t best = candidates.size();
    const auto least_s = [&] { return candidates[best].flown.exposed_s(); };
    for (std::size_t i = 0; i < candidates.size(); ++i) {
      Candidate& at = candidates[i];
      if (!at.lands) {
        if (best < candidates.size() && !first.home_within(at.flown, least_s() - kWorthIt_s)) continue;
        at.lands = first.settle(at.flown, Ways::Asked::roughly);
      }
      if (!*at.lands || (best < candidates.size() && at.flown.exposed_s() >= least_s())) continue;
      best = i;
      if (least_s() <= 0.0) break;
    }
    if (best == candidates.size()) break;
    const Candidate choice = candidates[best];
    candidates.erase(candidates.begin() + static_cast<std::ptrdiff_t>(best));

    Flown worst;
    std::size_t worst_world = worlds.size();
    bool everywhere = true;
    for (std::size_t w = 0; w < worlds.size() && everywhere; ++w) {
      const auto turn = worlds[w].turn_state(choice.turn_at);
      auto flown = turn ? worlds[w].fly(*turn, choice.flown.option)[choice.side] : std::nullopt;
      everywhere = flown.has_value();
      if (!everywhere) break;
      flown->glide = choice.flown.glide;
      everywhere = worlds[w].settle(*flown, Ways::Asked::each);
      if (!everywhere || (worst_world < worlds.size() && flown->exposed_s() <= worst.exposed_s())) continue;
      worst = std::move(*flown);
      worst_world = w;
    }
    const auto to_touchdown = everywhere ? worlds[worst_world].to_touchdown_s(worst) : std::nullopt;
    if (!to_touchdown) continue;
    const earth::RunwayEnd& end = planned.front().request->options[worst.option]->end;
    way.found = true;
    way.aerodrome = end.aerodrome;
    way.runway = end.designator;
    way.side = choice.side == 0 ? flight::Side::left : flight::Side::right;
    way.glide_side = worst.glide;
    way.turn_at = metres(worst.states[worst.turn].height_m);
    way.decided_in = planned[worst_world].request->world->name;
    way.exposed = seconds(worst.exposed_s());
    way.home = metres(worst.states[worst.home].height_m);
    way.turns_before_home = worst.turn < worst.home;
    way.to_touchdown = seconds(*to_touchdown);
    way.below = below(c, worst);
    return way;
  }
  way.why_not = "no way found that works in every world of the bracket";
  return way;
}

}  // namespace

void add_ways_back(const Case& c, const std::vector<ScanRequest>& plans, const std::vector<ScanResult>& scanned,
                   unsigned threads, Answer& whole) {
  const PowerLeftRule& rule = c.policy.power_left;
  PowerLeftAnswer& answer = whole.power_left;
  if (!rule.way_back || !answer.not_assessed.empty() || plans.empty()) return;
  const Allowed may = allowed(c, whole);
  std::vector<Planned> planned;
  for (std::size_t i = 0; i < plans.size(); ++i) {
    if (planned.empty() || planned.back().request->world != plans[i].world) planned.push_back({&plans[i], {}});
    planned.back().scanned.push_back(&scanned[i]);
  }
  const auto weakest = std::min_element(planned.begin(), planned.end(), [](const Planned& a, const Planned& b) {
    return a.request->world->climb_factor < b.request->world->climb_factor;
  });
  std::rotate(planned.begin(), weakest, weakest + 1);

  std::vector<Left> asked;
  if (answer.one_engine_out) {
    const OneEngineOut& one = *answer.one_engine_out;
    const aircraft::OneEngineOut& file = *c.aircraft.one_engine_out;
    const bool climbs = one.verdict == EngineOutVerdict::climbs || one.verdict == EngineOutVerdict::clears;
    const aircraft::Performance performance(c.aircraft, c.mass);
    if (climbs) {
      asked.push_back({{aircraft::PowerLeft::one_engine_out, 0.0, 1.0},
                       rule.one_engine_bank,
                       performance.one_engine_out_climb_speed(),
                       std::max(rule.way_back->turn_from, rule.straight_until),
                       file.lost_gear_down + file.lost_unfeathered,
                       file.clean_up});
    }
    answer.committal =
        Committal{rule.way_back->committal,
                  metres(std::max(0.0, (file.lost_unfeathered - one.gear_down).si()) * file.clean_up.si())};
  }
  for (const PartialPower& p : answer.partial) {
    if (p.verdict != PartialVerdict::circuit) continue;
    asked.push_back({{aircraft::PowerLeft::fraction, p.fraction, 1.0},
                     rule.circuit_bank,
                     std::nullopt,
                     rule.way_back->turn_from,
                     {},
                     {}});
  }
  const std::size_t heights = rule.way_back->fails_at.size();
  // Whoever has more power may fly with less.
  const auto throttle_back = [&] {
    for (std::size_t i = answer.ways_back.size(); i-- > heights;) {
      const WayBack& less = answer.ways_back[i];
      WayBack& more = answer.ways_back[i - heights];
      if (!less.found || (more.found && more.exposed <= less.exposed)) continue;
      const double fraction = more.fraction;
      more = less;
      more.fraction = fraction;
    }
  };
  answer.ways_back.resize(asked.size() * heights);
  for_each_job(asked.size(), threads, [&](std::size_t i) {
    std::vector<Ways> worlds;
    worlds.reserve(planned.size());
    for (const Planned& p : planned) worlds.emplace_back(p, asked[i], may);
    for (std::size_t h = 0; h < heights; ++h) {
      const Length fails_at = rule.way_back->fails_at[h];
      WayBack& way = answer.ways_back[i * heights + h];
      if (in_a_window(whole, fails_at)) {
        way.fraction = way.flown_with = asked[i].condition.fraction;
        way.fails_at = fails_at;
        way.found = way.at_once = true;
      } else {
        way = way_back(planned, worlds, asked[i], may, fails_at);
      }
    }
  });
  throttle_back();
}

}  // namespace backfield::decision
