#include "briefing.hpp"
#include "words.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::decision {
namespace {

std::string runway_name(const earth::RunwayEnd& end, const Case& c) {
  const std::string runway = "runway " + end.designator;
  return end.aerodrome == c.departure.end.aerodrome ? runway : runway + " at " + end.aerodrome;
}

Gate gate(const Case& c, GateKind kind, Length height, std::string action, std::string option) {
  Gate g;
  g.kind = kind;
  g.height = height;
  g.reading = rounded(altimeter_reading(c, height, kind), kind, c.policy.gates.rounding);
  g.action = std::move(action);
  g.option = std::move(option);
  return g;
}

std::optional<CancelLine> cancel_line(const Case& c, const Scans& scans) {
  const earth::RunwayEnd& end = c.departure.end;
  CancelLine line;
  line.place = "the departure end";
  line.distance = end.tora.value_or(end.pavement) - c.departure.start;
  if (c.landmark) {
    line.place = c.landmark->name;
    line.distance = c.landmark->from_brake_release;
  }
  // The weakest climb of the bracket still has the windows; an aeroplane below it is not one that was computed.
  double least = 1.0;
  for (const FlownWorld& w : scans.worlds) least = std::min(least, w.world.climb_factor);
  std::optional<Length> lowest;
  for (const FlownWorld& w : scans.worlds) {
    if (w.world.climb_factor != least) continue;
    const auto when = w.timeline.when_at_ground_distance(line.distance);
    const Length height = when ? metres(w.timeline.at(*when).height_m) : Length{};
    lowest = std::min(lowest.value_or(height), height);
  }
  if (!lowest || lowest->si() <= 0.0) return std::nullopt;
  line.reading = rounded(altimeter_reading(c, *lowest, GateKind::opens), GateKind::opens, c.policy.gates.rounding);
  return line;
}

struct Covered {
  Interval<Duration> times;
};

}  // namespace

void set_gates(const Case& c, const Scans& scans, Answer& answer) {
  const std::string out =
      c.aircraft.is_twin() ? std::string(aircraft::every_engine(c.aircraft.one_engine_out->engines)) + " out: " : "";
  if (answer.land_ahead.heights) {
    if (answer.land_ahead.lower == Limit::clearance) {
      answer.gates.push_back(gate(c, GateKind::opens, answer.land_ahead.heights->low,
                                  out + "land ahead on runway " + c.departure.end.designator, "ahead"));
    }
    answer.gates.push_back(gate(c, GateKind::closes, answer.land_ahead.heights->high,
                                out + "land ahead on runway " + c.departure.end.designator, "ahead"));
  }
  for (const BriefedWindow& b : answer.briefed) {
    const earth::RunwayEnd& end = answer.options[b.option].end;
    const std::string side = flight::name_of(b.side);
    const std::string action =
        out + side + " turn, land " + runway_name(end, c) + (c.aircraft.feathering ? ", propeller feathered" : "");
    const std::string option = end.aerodrome + " " + end.designator + " " + side;
    answer.gates.push_back(gate(c, GateKind::opens, b.window.heights.low, action, option));
    if (!b.window.open_above()) {
      answer.gates.push_back(gate(c, GateKind::closes, b.window.heights.high, action, option));
    }
  }
  if (!answer.briefed.empty()) answer.cancel = cancel_line(c, scans);
  for (const Gate& g : answer.gates) {
    const Length on_ground = c.altimeter == AltimeterSetting::qnh ? c.elevation.above_sea_level : Length{};
    const Length moved = altimeter_reading(c, g.height, g.kind) - on_ground - g.height;
    if (std::abs(moved.si()) > feet(1).si()) answer.temperature_correction_used = true;
  }
}

void set_gaps(const Case& c, const Scans& scans, Answer& answer) {
  const FlownWorld& plan = scans.worlds.front();
  const flight::Timeline& timeline = plan.timeline;
  std::vector<Covered> covered;
  if (answer.land_ahead.heights) covered.push_back({answer.land_ahead.times});
  for (const BriefedWindow& b : answer.briefed) {
    Interval<Duration> times = b.window.times;
    if (b.window.open_above()) times.high = timeline.end();
    covered.push_back({times});
  }
  std::stable_sort(covered.begin(), covered.end(),
                   [](const Covered& a, const Covered& b) { return a.times.low < b.times.low; });

  // Until the last stop the stop itself is the option; constant acceleration, time runs to 0 at lift-off.
  Duration at = timeline.begin();
  if (!answer.roll_out.stop_fits_to_lift_off) {
    const double share = std::clamp(answer.roll_out.last_stop.value_or(Length{}) / plan.distances.roll, 0.0, 1.0);
    at = timeline.take_off().roll_time * (std::sqrt(share) - 1.0);
  }
  const std::string below = c.ground_ahead.note.empty() ? "not stated" : c.ground_ahead.note;
  const auto height = [&](Duration t) { return t.si() <= 0.0 ? Length{} : metres(timeline.at(t).height_m); };
  const auto add = [&](Duration from, Duration to, bool to_the_end) {
    if ((to - from).si() < 0.05) return;
    Gap gap;
    gap.from = from;
    gap.to = to;
    gap.from_height = height(from);
    if (!to_the_end) gap.to_height = height(to);
    gap.below = below;
    answer.gaps.push_back(gap);
  };
  for (const Covered& cover : covered) {
    add(at, cover.times.low, false);
    at = std::max(at, cover.times.high);
  }
  add(at, timeline.end(), true);
}

}  // namespace backfield::decision
