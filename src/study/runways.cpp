#include "backfield/study/runways.hpp"

#include "src/base/parallel.hpp"
#include "src/decision/briefing.hpp"

#include "backfield/base/contract.hpp"
#include "backfield/decision/assess.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace backfield::study {
namespace {

using decision::Case;
using decision::RunwayCriterion;
using decision::RunwayPreference;

/// The case, departing from another place.
Case departing(const Case& c, const earth::RunwayEnd& end, Length start, const std::string& name) {
  Case there = c;
  there.departure.end = end;
  there.departure.end.toda = end.toda ? end.toda : end.tora;
  there.departure.end.asda = end.asda ? end.asda : end.tora;
  there.departure.start = start;
  there.departure.start_name = name;
  const bool same_end = end.designator == c.departure.end.designator;
  if (!same_end) {
    there.marks = end.marks;
    there.departure.track = {};
    there.ground_ahead.landable = decision::GroundAhead::Landable::unknown;  // areas of a file lie where they lie
    there.ground_ahead.note.clear();
  }
  if (!same_end || start != c.departure.start) there.landmark.reset();  // its distance counts from brake release
  return there;
}

/// Full length and every mark of every end; what the case states as well, should that be neither.
std::vector<Case> departures(const Case& c) {
  std::vector<Case> all;
  for (const earth::RunwayEnd& end : c.options) {
    if (end.aerodrome != c.departure.end.aerodrome) continue;
    all.push_back(departing(c, end, Length{}, "full length"));
    bool stated = end.designator != c.departure.end.designator || c.departure.start.si() == 0.0;
    for (const earth::RunwayMark& mark : end.marks) {
      if (mark.from_start.si() == 0.0) continue;
      all.push_back(departing(c, end, mark.from_start, mark.name));
      stated = stated || mark.from_start == c.departure.start;
    }
    if (!stated) all.push_back(departing(c, end, c.departure.start, c.departure.start_name));
  }
  return all;
}

/// Why no assessment is begun; empty: one is.
std::string not_begun(const Case& c) {
  const earth::RunwayEnd& end = c.departure.end;
  if (!end.tora) return "its TORA is not stated";
  if (c.aircraft.distances.take_off_surface_factor.find(end.surface) == nullptr) {
    return "the aircraft file has no take-off factor for its surface";
  }
  if (c.departure.start >= *end.tora) return "it lies beyond the TORA";
  return decision::no_take_off(c);
}

void add_wind(const decision::Answer& answer, RunwayRow& row) {
  const auto at = [&](const decision::WorldReport& w) { return earth::components(w.surface_wind, row.end.track); };
  row.headwind = at(answer.worlds.front()).headwind;
  row.crosswind_from_right = at(answer.worlds.front()).from_right;
  for (const decision::WorldReport& w : answer.worlds) {
    row.tailwind_worst = std::max(row.tailwind_worst, -at(w).headwind);
    row.crosswind_worst = std::max(row.crosswind_worst, metres_per_second(std::abs(at(w).from_right.si())));
  }
}

void add_turnbacks(const Case& c, const decision::Answer& answer, RunwayRow& row) {
  for (const decision::RunwayOption& option : answer.options) {
    for (const decision::SideAnswer& side : option.sides) {
      TurnbackWindows& windows = side.side == flight::Side::left ? row.left : row.right;
      for (const decision::CommonWindow& w : side.common) {
        if (w.larger_turn <= c.policy.gates.small_turn) continue;
        ++windows.count;
        windows.lowest_edge = std::min(windows.lowest_edge.value_or(w.heights.low), w.heights.low);
        windows.briefed = windows.briefed || side.standing == decision::Standing::briefed;
      }
    }
  }
}

RunwayRow row_of(const Case& c, const Case& as_stated) {
  RunwayRow row;
  row.end = c.departure.end;
  row.start = c.departure.start;
  row.start_name = c.departure.start_name;
  row.as_stated = row.end.designator == as_stated.departure.end.designator && row.start == as_stated.departure.start;
  row.ground_ahead = c.ground_ahead;
  row.not_assessed = not_begun(c);
  if (!row.not_assessed.empty()) return row;
  Case asked = c;
  asked.policy.power_left.way_back.reset();  // no row compares ways back with power
  const decision::Answer answer = decision::assess(asked, 1);
  row.not_assessed = answer.refusal;
  if (!row.not_assessed.empty()) return row;
  add_wind(answer, row);
  if (answer.take_off.not_assessed.empty()) {
    const decision::TakeOffInWorld& worst = answer.take_off.worlds[answer.take_off.worst];
    row.take_off = worst.deciding();
    row.take_off_world = worst.world;
  }
  for (const decision::Gap& gap : answer.gaps) row.gap = row.gap + gap.duration();
  add_turnbacks(c, answer, row);
  if (const auto& out = answer.power_left.one_engine_out) {
    const decision::ObstacleAhead* obstacle = out->in_the_way();
    row.one_engine = OnOneEngine{out->verdict, obstacle != nullptr ? obstacle->name : std::string{},
                                 out->obstacles_assessed || c.ground.obstacles.empty(),
                                 !out->terrain || (out->terrain->assessed && !out->terrain->unknown_from)};
  }
  for (const decision::BriefedWindow& w : answer.briefed) {
    row.lowest_return = std::min(row.lowest_return.value_or(w.window.heights.low), w.window.heights.low);
  }
  return row;
}

double on_one_engine(const Case& c, const RunwayRow& row) {
  using decision::EngineOutVerdict;
  if (!c.aircraft.is_twin()) return 0.0;
  if (!row.one_engine) return 4.0;
  if (row.one_engine->verdict == EngineOutVerdict::sinks) return 3.0;
  if (row.one_engine->verdict == EngineOutVerdict::holds) return 2.0;
  const OnOneEngine& out = *row.one_engine;
  return out.in_the_way.empty() && out.obstacles_assessed && out.ground_known ? 0.0 : 1.0;
}

/// What a criterion makes of a row: less is better. Of those that must hold 0 is yes and 1 no.
double worth(const Case& c, const RunwayPreference& preference, const RunwayRow& row) {
  const auto within = [](Speed wind, Speed limit) { return wind > limit + knots(0.05) ? 1.0 : 0.0; };
  const auto steps = [&preference](double amount) { return std::floor(amount / preference.step + 1e-9); };
  const aircraft::Limits& limits = c.aircraft.limits;
  switch (preference.by) {
    case RunwayCriterion::take_off_fits:
      return row.take_off && row.take_off->fits() ? 0.0 : 1.0;
    case RunwayCriterion::tailwind:
      return within(row.tailwind_worst, std::min(preference.limit, limits.tailwind.value_or(preference.limit)));
    case RunwayCriterion::crosswind:
      return limits.crosswind ? within(row.crosswind_worst, *limits.crosswind) : 0.0;
    case RunwayCriterion::one_engine:
      return on_one_engine(c, row);
    case RunwayCriterion::gap:
      return steps(row.gap.si());
    case RunwayCriterion::window:
      return row.lowest_return ? steps(row.lowest_return->si()) : std::numeric_limits<double>::infinity();
    case RunwayCriterion::headwind:
      return -steps(row.headwind.si());
    case RunwayCriterion::runway_left:
      return row.take_off ? -steps(row.take_off->left().si()) : std::numeric_limits<double>::infinity();
  }
  return 0.0;
}

std::optional<RunwayCriterion> first_difference(const Case& c, const RunwayRow& a, const RunwayRow& b) {
  for (const RunwayPreference& preference : c.policy.runway_choice->order) {
    if (worth(c, preference, a) != worth(c, preference, b)) return preference.by;
  }
  return std::nullopt;
}

bool better(const Case& c, const RunwayRow& a, const RunwayRow& b) {
  if (a.not_assessed.empty() != b.not_assessed.empty()) return a.not_assessed.empty();
  if (!a.not_assessed.empty()) return false;
  for (const RunwayPreference& preference : c.policy.runway_choice->order) {
    const double of_a = worth(c, preference, a);
    const double of_b = worth(c, preference, b);
    if (of_a != of_b) return of_a < of_b;
  }
  return false;
}

/// What the case states for one direction only, and what is not stated for an end.
std::vector<std::string> assumed(const Case& c, const std::vector<RunwayRow>& rows) {
  std::vector<std::string> all = c.assumptions;
  if (!c.departure.track.legs.empty()) {
    all.push_back("the turns of the departure track belong to runway " + c.departure.end.designator +
                  ": from other ends a straight departure is assessed");
  }
  for (const RunwayRow& row : rows) {
    if (row.start.si() > 0.0 || row.end.designator == c.departure.end.designator) continue;
    for (const earth::RunwayEnd& end : c.options) {
      if (end.aerodrome != row.end.aerodrome || end.designator != row.end.designator || !end.tora) continue;
      if (!end.toda) all.push_back("runway " + end.designator + ": no toda stated, taken as the tora");
      if (!end.asda) all.push_back("runway " + end.designator + ": no asda stated, taken as the tora");
    }
  }
  return all;
}

}  // namespace

RunwayComparison compare_runways(const Case& c, unsigned threads) {
  require(c.policy.runway_choice.has_value(), "a policy that says how runway ends are compared");
  const std::vector<Case> cases = departures(c);
  RunwayComparison comparison;
  comparison.rows.resize(cases.size());
  if (threads == 0) threads = machine_threads();
  for_each_job(cases.size(), threads, [&](std::size_t i) { comparison.rows[i] = row_of(cases[i], c); });

  for (RunwayRow& row : comparison.rows) {
    for (const RunwayPreference& preference : c.policy.runway_choice->order) {
      if (row.not_assessed.empty() && decision::must_hold(preference.by) && worth(c, preference, row) > 0.0) {
        row.fails.push_back(preference.by);
      }
    }
  }
  comparison.assumptions = assumed(c, comparison.rows);
  comparison.cautions = decision::cautions(c, {});
  std::stable_sort(comparison.rows.begin(), comparison.rows.end(),
                   [&c](const RunwayRow& a, const RunwayRow& b) { return better(c, a, b); });
  const std::vector<RunwayRow>& rows = comparison.rows;
  comparison.chosen = !rows.empty() && rows.front().not_assessed.empty() && rows.front().fails.empty();
  if (rows.size() > 1 && rows[1].not_assessed.empty()) comparison.decided_by = first_difference(c, rows[0], rows[1]);
  return comparison;
}

}  // namespace backfield::study
