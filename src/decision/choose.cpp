#include "briefing.hpp"
#include "ground_ahead.hpp"
#include "sky.hpp"
#include "words.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace backfield::decision {
namespace {

constexpr Speed kNoCrosswind = knots(0.1);

struct Candidate {
  std::size_t option = 0;
  std::size_t side = 0;  ///< index into RunwayOption::sides
  CommonWindow window;
  bool turnback = false;
  std::vector<std::string> against;
};

/// Moves the lower edge up; the times follow in the plan.
void raise_lower_edge(CommonWindow& w, Length to, Limit why, const flight::Timeline& plan) {
  if (to <= w.heights.low) return;
  w.heights.low = to;
  w.lower = why;
  w.lower_world.clear();
  w.times.low = plan.when_at_height(to).value_or(plan.end());
}

/// Whether any path found to land from a window, below a height or at the first moment from there on, in any world and
/// at any bank, turns about once round one way.
bool turns_once_round(const Scans& scans, std::size_t option, std::size_t side, const Interval<Length>& window,
                      Length below) {
  for (const ScanResult& scan : scans.results) {
    const std::vector<Angle>& turns = scan.options[option].sides[side].one_way_turn;
    bool beyond = false;
    for (std::size_t k = 0; k < turns.size() && !beyond; ++k) {
      beyond = scan.heights[k] >= below;
      if (window.contains(scan.heights[k]) && turns[k] > flight::kAboutOnceRound) return true;
    }
  }
  return false;
}

/// The policy's tests of width, on the true edges and again on what the altimeter will show.
void test_width(const Case& c, Candidate& candidate) {
  const GateRule& rule = c.policy.gates;
  const CommonWindow& w = candidate.window;
  const Length width = w.heights.width();
  if (width.si() < 0.0) {
    candidate.against.push_back("nothing of the window is left");
    return;
  }
  if (width < rule.minimum_window || w.times.width() < rule.minimum_window_time) {
    candidate.against.push_back("the window is " + in_words_ft(width) + " and " + in_words_s(w.times.width()) +
                                " wide; the policy asks for " + in_words_ft(rule.minimum_window) + " and " +
                                in_words_s(rule.minimum_window_time));
    return;
  }
  if (w.open_above()) return;
  const Length opens = rounded(altimeter_reading(c, w.heights.low, GateKind::opens), GateKind::opens, rule.rounding);
  const Length closes =
      rounded(altimeter_reading(c, w.heights.high, GateKind::closes), GateKind::closes, rule.rounding);
  if (closes - opens < rule.minimum_window) {
    candidate.against.push_back("as read on the altimeter the window is " +
                                in_words_ft(std::max(Length{}, closes - opens)) + " wide; the policy asks for " +
                                in_words_ft(rule.minimum_window));
  }
}

/// Where areas are stated: a turnback begins above the failures from which one of them is reached, as far up as the
/// policy prefers the ground.
void prefer_reached_ground(const Case& c, const Answer& answer, const flight::Timeline& plan, CommonWindow& window) {
  if (!answer.ground_ahead) return;
  const GateRule& rule = c.policy.gates;
  for (const Interval<Length>& reached : reached_heights(*answer.ground_ahead)) {
    const auto both = intersect(window.heights, reached);
    // A height at which neither would be briefed is worse than either: the window goes on until the ground is reached
    // from all that is cut off it.
    if (!both || both->low > window.heights.low) continue;
    const Length border = rule.prefer_runway_above;
    if (rule.prefer_above == Preference::ground_ahead && both->high > border) {
      raise_lower_edge(window, both->high, Limit::preference, plan);
    } else if (rule.prefer_below == Preference::ground_ahead && both->low < border) {
      raise_lower_edge(window, std::min(border, both->high), Limit::preference, plan);
    }
    if (window.heights.high < window.heights.low) return;
  }
}

Candidate judge(const Case& c, const Scans& scans, const Answer& answer, std::size_t option, std::size_t side,
                const CommonWindow& piece) {
  const RunwayOption& o = answer.options[option];
  const flight::Timeline& plan = scans.worlds.front().timeline;
  const GateRule& rule = c.policy.gates;
  Candidate candidate{option, side, piece, piece.larger_turn > rule.small_turn, {}};
  if (o.end.aerodrome == c.departure.end.aerodrome && o.end.designator == c.departure.end.designator &&
      !candidate.turnback) {
    candidate.against.push_back("that is the runway ahead");
  }
  if (candidate.turnback && !c.turnback_trained) {
    candidate.against.push_back("the case does not say that turnbacks are trained");
  }
  const Speed tailwind = worst_tailwind(o);
  if (tailwind > c.policy.stop.tailwind_not_briefed_above) {
    candidate.against.push_back("tailwind on landing up to " + in_words_kt(tailwind) +
                                "; the policy briefs no more than " +
                                in_words_kt(c.policy.stop.tailwind_not_briefed_above));
  }
  // Ground that cannot be seen is not preferred.
  const bool dark = answer.night && answer.night->after_take_off;
  if (candidate.turnback && !dark) prefer_reached_ground(c, answer, plan, candidate.window);
  if (candidate.turnback && !dark && c.ground_ahead.landable == GroundAhead::Landable::yes) {
    const bool ground_high = rule.prefer_above == Preference::ground_ahead;
    const bool ground_low = rule.prefer_below == Preference::ground_ahead;
    if (ground_high && ground_low) {
      candidate.against.push_back("the policy prefers the landable ground ahead at every height");
    } else if (ground_low) {
      raise_lower_edge(candidate.window, rule.prefer_runway_above, Limit::preference, plan);
    } else if (ground_high && candidate.window.heights.high > rule.prefer_runway_above) {
      candidate.window.heights.high = rule.prefer_runway_above;
      candidate.window.upper = Limit::preference;
      candidate.window.times.high = plan.when_at_height(rule.prefer_runway_above).value_or(plan.end());
    }
  }
  // While the runway ahead is long enough it is the action.
  if (answer.land_ahead.heights && answer.land_ahead.heights->low <= candidate.window.heights.low) {
    raise_lower_edge(candidate.window, answer.land_ahead.heights->high, Limit::preference, plan);
  }
  const Length circles_from = (o.end.elevation - c.elevation).above_datum + alignment_height(c) + rule.full_circle;
  if (piece.heights.low < circles_from && turns_once_round(scans, option, side, piece.heights, circles_from)) {
    raise_lower_edge(candidate.window, circles_from, Limit::preference, plan);
  }
  if (dark && !o.end.lit) candidate.against.push_back(unlit(o.end));
  if (std::string cloud = cut_at_cloud(c, scans, option, side, candidate.window); !cloud.empty()) {
    candidate.against.push_back(std::move(cloud));
  } else {
    test_width(c, candidate);
  }
  return candidate;
}

/// The side that turns into the crosswind of the plan: it blows the aeroplane back towards the runway. Without
/// one it is the right.
flight::Side into_wind(const Case& c, const Scans& scans) {
  const auto wind = earth::components(scans.worlds.front().world.surface_wind(), c.departure.end.track);
  return wind.from_right > -kNoCrosswind ? flight::Side::right : flight::Side::left;
}

/// Of both sides of one runway end only one is briefed: the one that opens lower, or the one into the wind if the
/// altimeter cannot tell them apart.
void keep_one_side(const Case& c, const Scans& scans, const Answer& answer, std::vector<Candidate>& candidates) {
  const Length step = std::max(c.policy.gates.rounding, feet(1));
  for (Candidate& mine : candidates) {
    if (!mine.against.empty()) continue;
    for (const Candidate& other : candidates) {
      if (other.option != mine.option || other.side == mine.side || !other.against.empty()) continue;
      const Length later = mine.window.heights.low - other.window.heights.low;
      const flight::Side side = answer.options[mine.option].sides[mine.side].side;
      const bool same = std::abs(later.si()) < step.si();
      if ((same && side == into_wind(c, scans)) || (!same && later.si() < 0.0)) continue;
      mine.against.push_back(same ? "the other side turns into the wind" : "the other side opens lower");
      break;
    }
  }
}

void add_unique(std::vector<std::string>& to, const std::vector<std::string>& from) {
  for (const std::string& s : from) {
    if (std::find(to.begin(), to.end(), s) == to.end()) to.push_back(s);
  }
}

BriefedWindow briefed_window(const Case& c, const Answer& answer, const Candidate& candidate) {
  const RunwayOption& o = answer.options[candidate.option];
  const Length step = c.policy.gates.rounding;
  BriefedWindow b;
  b.option = candidate.option;
  b.side = o.sides[candidate.side].side;
  b.window = candidate.window;
  b.window.height_loss = clipped(b.window.height_loss, b.window.heights);
  b.opens_reading = rounded(altimeter_reading(c, b.window.heights.low, GateKind::opens), GateKind::opens, step);
  if (!b.window.open_above()) {
    b.closes_reading = rounded(altimeter_reading(c, b.window.heights.high, GateKind::closes), GateKind::closes, step);
  }
  b.tailwind_plan = -o.landings.front().headwind;
  b.tailwind_worst = worst_tailwind(o);
  for (const Landing& l : o.landings) {
    b.needed_worst = std::max(b.needed_worst, l.needed());
    b.touchdown_ground_speed_worst = std::max(b.touchdown_ground_speed_worst, l.touchdown_ground_speed);
  }
  b.available = o.landings.front().available;
  return b;
}

int gates_of(const Answer& answer, const CommonWindow& extra) {
  int gates = answer.land_ahead.heights ? 1 : 0;
  for (const BriefedWindow& b : answer.briefed) gates += b.window.open_above() ? 1 : 2;
  return gates + (extra.open_above() ? 1 : 2);
}

}  // namespace

Speed worst_tailwind(const RunwayOption& option) {
  Speed worst = knots(-1e6);
  for (const Landing& l : option.landings) worst = std::max(worst, -l.headwind);
  return worst;
}

void choose_windows(const Case& c, const Scans& scans, Answer& answer) {
  std::vector<Candidate> candidates;
  for (std::size_t k = 0; k < answer.options.size(); ++k) {
    for (std::size_t s = 0; s < answer.options[k].sides.size(); ++s) {
      for (const CommonWindow& piece : answer.options[k].sides[s].common) {
        candidates.push_back(judge(c, scans, answer, k, s, piece));
      }
    }
  }
  keep_one_side(c, scans, answer, candidates);
  // Small turns before turnbacks, then what opens first; names last, so that listing order changes nothing.
  std::stable_sort(candidates.begin(), candidates.end(), [&](const Candidate& a, const Candidate& b) {
    const earth::RunwayEnd& ea = answer.options[a.option].end;
    const earth::RunwayEnd& eb = answer.options[b.option].end;
    return std::make_tuple(a.turnback, a.window.heights.low, ea.aerodrome, ea.designator, a.side) <
           std::make_tuple(b.turnback, b.window.heights.low, eb.aerodrome, eb.designator, b.side);
  });

  for (Candidate& candidate : candidates) {
    if (!candidate.against.empty()) continue;
    for (const BriefedWindow& b : answer.briefed) {
      if (!intersect(b.window.heights, candidate.window.heights)) continue;
      const earth::RunwayEnd& end = answer.options[b.option].end;
      const std::string name = end.aerodrome + " " + end.designator;
      // One action at each height: what is left below the window already briefed, else what is left above it.
      const CommonWindow& taken = b.window;
      CommonWindow& mine = candidate.window;
      if (mine.heights.low < taken.heights.low &&
          taken.heights.low - mine.heights.low >= c.policy.gates.minimum_window) {
        mine.heights.high = taken.heights.low;
        mine.times.high = scans.worlds.front().timeline.when_at_height(taken.heights.low).value_or(mine.times.high);
        mine.upper = Limit::preference;
      } else if (taken.open_above() || mine.heights.high <= taken.heights.high) {
        candidate.against.push_back("at these heights " + name + " is briefed");
        break;
      } else {
        raise_lower_edge(mine, taken.heights.high, Limit::preference, scans.worlds.front().timeline);
      }
      test_width(c, candidate);
    }
    if (candidate.against.empty() && gates_of(answer, candidate.window) > c.policy.gates.most_gates) {
      candidate.against.push_back("more gates than the policy allows");
    }
    if (candidate.against.empty()) answer.briefed.push_back(briefed_window(c, answer, candidate));
  }

  for (const Candidate& candidate : candidates) {
    SideAnswer& side = answer.options[candidate.option].sides[candidate.side];
    if (candidate.against.empty()) {
      side.standing = Standing::briefed;
    } else {
      add_unique(side.why_not_briefed, candidate.against);
    }
  }
  std::stable_sort(answer.briefed.begin(), answer.briefed.end(), [](const BriefedWindow& a, const BriefedWindow& b) {
    return a.window.heights.low < b.window.heights.low;
  });
}

}  // namespace backfield::decision
