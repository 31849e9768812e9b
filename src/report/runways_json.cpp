#include "json_values.hpp"

#include "backfield/base/version.hpp"
#include "backfield/report/runways.hpp"

namespace backfield::report {

using namespace as_json;

namespace {

using decision::RunwayCriterion;

Json criterion(RunwayCriterion by) { return decision::name_of(by); }

Json preference(const decision::RunwayPreference& p) {
  Json result{{"by", criterion(p.by)}};
  switch (p.by) {
    case RunwayCriterion::take_off_fits:
    case RunwayCriterion::crosswind:
    case RunwayCriterion::one_engine:
      break;
    case RunwayCriterion::tailwind:
      result["at_most_kt"] = kt(p.limit);
      break;
    case RunwayCriterion::gap:
      result["step_s"] = s(Duration::from_si(p.step));
      break;
    case RunwayCriterion::window:
      result["step_ft"] = ft(Length::from_si(p.step));
      break;
    case RunwayCriterion::headwind:
      result["step_kt"] = kt(Speed::from_si(p.step));
      break;
    case RunwayCriterion::runway_left:
      result["step_m"] = m(Length::from_si(p.step));
      break;
  }
  return result;
}

Json turnbacks(const study::TurnbackWindows& w) {
  return {{"windows", w.count}, {"lower_edge_ft", or_null(w.lowest_edge, ft)}, {"briefed", w.briefed}};
}

Json take_off(const decision::TakeOffNeed& need) {
  return {{"against", need.against},          {"factor", ratio(need.factor)}, {"needed_m", m(need.needed)},
          {"available_m", m(need.available)}, {"left_m", m(need.left())},     {"fits", need.fits()}};
}

const char* token(decision::GroundAhead::Landable landable) {
  switch (landable) {
    case decision::GroundAhead::Landable::yes:
      return "yes";
    case decision::GroundAhead::Landable::no:
      return "no";
    case decision::GroundAhead::Landable::unknown:
      return "unknown";
  }
  return "";
}

/// All figures null where it was not assessed.
Json row(const study::RunwayRow& r) {
  const bool assessed = r.not_assessed.empty();
  const auto figure = [assessed](Json value) { return assessed ? std::move(value) : Json(nullptr); };
  return {{"runway", r.end.designator},
          {"from", r.start_name},
          {"start_m", m(r.start)},
          {"as_stated", r.as_stated},
          {"not_assessed", text_or_null(r.not_assessed)},
          {"headwind_kt", figure(kt(r.headwind))},
          {"crosswind_from_right_kt", figure(kt(r.crosswind_from_right))},
          {"tailwind_worst_kt", figure(kt(r.tailwind_worst))},
          {"crosswind_worst_kt", figure(kt(r.crosswind_worst))},
          {"take_off", or_null(r.take_off, take_off)},
          {"take_off_world", text_or_null(r.take_off_world)},
          {"gap_s", figure(s(r.gap))},
          {"turnback_left", figure(turnbacks(r.left))},
          {"turnback_right", figure(turnbacks(r.right))},
          {"lowest_briefed_return_ft", or_null(r.lowest_return, ft)},
          {"one_engine_out", or_null(r.one_engine,
                                     [](const study::OnOneEngine& one) {
                                       Json out{{"verdict", decision::name_of(one.verdict)},
                                                {"in_the_way", text_or_null(one.in_the_way)},
                                                {"obstacles_assessed", one.obstacles_assessed}};
                                       if (!one.ground_known) out["ground_known"] = false;
                                       return out;
                                     })},
          {"ground_ahead", token(r.ground_ahead.landable)},
          {"ground_ahead_note", text_or_null(r.ground_ahead.note)},
          {"fails", list(r.fails, criterion)}};
}

}  // namespace

std::string runways_json(const decision::Case& c, const study::RunwayComparison& comparison,
                         const std::vector<std::string>& warnings) {
  Json root{{"backfield", "runways/1"},
            {"version", version()},
            {"title", c.title},
            {"invented", c.invented},
            {"aerodrome", c.departure.end.aerodrome},
            {"aircraft", c.aircraft.name},
            {"mass_kg", tenth(in_kilograms(c.mass))},
            {"weather_as_read", c.weather.as_read},
            {"policy", c.policy.name},
            {"policy_checksum", c.policy.checksum},
            {"order", list(c.policy.runway_choice->order, preference)}};
  root["chosen"] = comparison.chosen ? Json{{"runway", comparison.rows.front().end.designator},
                                            {"from", comparison.rows.front().start_name}}
                                     : Json(nullptr);
  root["decided_by"] = or_null(comparison.decided_by, criterion);
  root["rows"] = list(comparison.rows, row);
  root["attributions"] = c.attributions;
  root["assumptions"] = comparison.assumptions;
  root["warnings"] = warnings;
  root["cautions"] = comparison.cautions;
  return root.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace backfield::report
