#include "read_power_left.hpp"

#include <algorithm>

namespace backfield::io {
namespace {

constexpr Range kHeight{0, 10000, "ft"};
constexpr Range kTurnBank{0, 60, "deg", 0, 45};

void read_partial(const Fields& root, decision::PowerLeftRule& rule) {
  const auto value = root.need("partial", "{fractions, banks, circuit_needs, circuit_bank}");
  if (!value) return;
  const Fields part(*value, {"fractions", "banks", "circuit_needs", "circuit_bank"});
  const std::string falling = "shares of full power, falling, such as [0.8, 0.6, 0.4]";
  if (const auto fractions = part.need("fractions", falling)) {
    for (const Value& item : fractions->items(falling)) {
      const auto fraction = item.si(Dimension::number, {0, 1, "", 0.2, 0.95});
      if (!fraction) continue;
      if (!rule.fractions.empty() && *fraction >= rule.fractions.back()) item.refuse("a share below the one before it");
      rule.fractions.push_back(*fraction);
    }
  }
  rule.banks = part.need_rising<Angle>("banks", Dimension::angle, kTurnBank,
                                       "angles, rising from 0 deg, such as [0 deg, 15 deg, 30 deg]");
  if (!rule.banks.empty() && rule.banks.front().si() > 0.0) {
    part.get("banks")->refuse("0 deg as the first: wings level");
  }
  rule.circuit_needs =
      part.need_quantity<Speed>("circuit_needs", Dimension::vertical_speed, {0, 1000, "ft/min"}).value_or(Speed{});
  rule.circuit_bank = part.need_quantity<Angle>("circuit_bank", Dimension::angle, kTurnBank).value_or(Angle{});
}

std::optional<decision::ObstacleRule> read_obstacle_rule(const Value& value) {
  const Fields fields(value, {"name", "over", "over_growth", "beside", "beside_growth"});
  const auto name = fields.need_text("name", "a short name for the brief");
  const auto over = fields.need_quantity<Length>("over", Dimension::length, {0, 2000, "ft"});
  const auto over_growth = fields.need_number("over_growth", {0, 0.1, ""});
  const auto beside = fields.need_quantity<Length>("beside", Dimension::length, {0, 5000, "m"});
  const auto beside_growth = fields.need_number("beside_growth", {0, 1, ""});
  if (!name || !over || !over_growth || !beside || !beside_growth) return std::nullopt;
  return decision::ObstacleRule{*name, *over, *over_growth, *beside, *beside_growth};
}

/// The one of `obstacle_rules` that `obstacle_rule` names.
void read_obstacle_rules(const Fields& one, decision::ObstacleRule& chosen) {
  const std::string accepted = "a list of {name, over, over_growth, beside, beside_growth}";
  const auto list = one.need("obstacle_rules", accepted);
  const auto choice = one.need("obstacle_rule", "the name of one of obstacle_rules");
  if (!list) return;
  std::vector<decision::ObstacleRule> rules;
  std::vector<std::string_view> names;
  const std::vector<Value> items = list->items(accepted);
  rules.reserve(items.size());  // the names refer to them
  for (const Value& item : items) {
    const auto rule = read_obstacle_rule(item);
    if (!rule) return;
    if (std::find(names.begin(), names.end(), rule->name) != names.end()) {
      item.refuse("each name once", "\"" + rule->name + "\" is there already");
    }
    rules.push_back(*rule);
    names.emplace_back(rules.back().name);
  }
  const auto name = choice && !names.empty() ? choice->text(Fields::listed(names)) : std::nullopt;
  if (!name) return;
  const auto found = std::find_if(rules.begin(), rules.end(), [&name](const auto& rule) { return rule.name == *name; });
  if (found == rules.end()) {
    choice->refuse(Fields::listed(names));
  } else {
    chosen = *found;
  }
}

/// Three numbers, for two, three and four engines: none below the one before it.
void read_by_engines(const Fields& fields, std::string_view key, const Range& range, aircraft::ByEngines& by) {
  const std::string accepted = "three numbers, for two, three and four engines, none below the one before it";
  const auto value = fields.need(key, accepted);
  if (!value) return;
  const std::vector<Value> items = value->items(accepted);
  if (items.size() != by.of.size()) {
    if (!items.empty()) value->refuse(accepted);
    return;
  }
  for (std::size_t i = 0; i < items.size(); ++i) {
    const auto number = items[i].si(Dimension::number, range);
    if (!number) continue;
    if (i > 0 && *number < by.of.at(i - 1)) items[i].refuse("no less than the one before it");
    by.of.at(i) = *number;
  }
}

void read_net_decrement(const Fields& one, aircraft::NetDecrement& rule) {
  const auto value = one.need("net_decrement", "{take_off, en_route}, each for two, three and four engines");
  if (!value) return;
  const Fields fields(*value, {"take_off", "en_route"});
  constexpr Range kDecrement{0, 0.05, "", 0, 0.02};
  read_by_engines(fields, "take_off", kDecrement, rule.take_off);
  read_by_engines(fields, "en_route", kDecrement, rule.en_route);
}

/// Optional: without it no take-off path is computed.
void read_take_off_path(const Fields& one, decision::PowerLeftRule& rule) {
  const auto value = one.get("take_off_path");
  if (!value) return;
  const Fields fields(*value, {"screen", "rotation", "acceleration_height", "ends_at", "continuous_thrust",
                               "take_off_thrust", "second_segment_least", "final_segment_least"});
  constexpr Range kSeconds{0, 10, "s"};
  constexpr Range kAllowed{1, 20, "min"};
  constexpr Range kGradient{0, 0.05, ""};
  const auto screen = fields.need_quantity<Length>("screen", Dimension::length, {15, 100, "ft"});
  const auto rotation = fields.need_quantity<Duration>("rotation", Dimension::duration, kSeconds);
  const auto level = fields.need_quantity<Length>("acceleration_height", Dimension::length, {200, 5000, "ft"});
  const auto ends_at = fields.need_quantity<Length>("ends_at", Dimension::length, {200, 10000, "ft"});
  const auto thrust = fields.need_number("continuous_thrust", {0, 1, "", 0.7, 1});
  const auto allowed = fields.need_quantity<Duration>("take_off_thrust", Dimension::duration, kAllowed);
  aircraft::TakeOffPathRule path;
  read_by_engines(fields, "second_segment_least", kGradient, path.second_segment_least);
  read_by_engines(fields, "final_segment_least", kGradient, path.final_segment_least);
  if (!screen || !rotation || !level || !ends_at || !thrust || !allowed) return;
  if (*ends_at < *level) fields.get("ends_at")->refuse("no lower than acceleration_height");
  path.screen = *screen;
  path.rotation = *rotation;
  path.acceleration_height = *level;
  path.ends_at = *ends_at;
  path.continuous_thrust = *thrust;
  path.take_off_thrust = *allowed;
  rule.take_off_path = path;
}

/// Optional: without it no aeroplane with more than one engine is planned for, which read_case says.
void read_wind_counted(const Fields& one, decision::PowerLeftRule& rule) {
  const auto value = one.get("wind_counted");
  if (!value) return;
  const Fields fields(*value, {"headwind", "tailwind"});
  const auto headwind = fields.need_number("headwind", {0, 1, "", 0, 0.5});
  const auto tailwind = fields.need_number("tailwind", {1, 3, "", 1.5, 3});
  if (headwind && tailwind) rule.wind_counted = decision::WindCounted{*headwind, *tailwind};
}

void read_engine_out(const Fields& root, decision::PowerLeftRule& rule) {
  const auto value = root.need("one_engine_out", "{net_decrement, bank, straight_until, obstacle_rule, ...}");
  if (!value) return;
  const Fields one(*value, {"net_decrement", "bank", "straight_until", "wind_counted", "obstacle_rule",
                            "obstacle_rules", "take_off_path"});
  read_net_decrement(one, rule.net_decrement);
  rule.one_engine_bank = one.need_quantity<Angle>("bank", Dimension::angle, {1, 60, "deg", 5, 30}).value_or(Angle{});
  rule.straight_until = one.need_quantity<Length>("straight_until", Dimension::length, kHeight).value_or(Length{});
  read_wind_counted(one, rule);
  read_obstacle_rules(one, rule.obstacles);
  read_take_off_path(one, rule);
}

void read_way_back(const Fields& root, decision::PowerLeftRule& rule) {
  const auto value = root.get("way_back");
  if (!value) return;
  const Fields way(*value, {"fails_at", "turn_from", "circuit_height", "turn_step", "longest_climb", "committal"});
  decision::WayBackRule w;
  w.fails_at = way.need_rising<Length>("fails_at", Dimension::length, {50, 5000, "ft"},
                                       "heights above the aerodrome, rising, such as [300 ft, 700 ft]");
  w.turn_from = way.need_quantity<Length>("turn_from", Dimension::length, {0, 3000, "ft"}).value_or(Length{});
  w.circuit_height =
      way.need_quantity<Length>("circuit_height", Dimension::length, {300, 5000, "ft"}).value_or(Length{});
  w.turn_step = way.need_quantity<Length>("turn_step", Dimension::length, {50, 2000, "ft"}).value_or(feet(50));
  w.longest_climb =
      way.need_quantity<Duration>("longest_climb", Dimension::duration, {0, 1800, "s"}).value_or(Duration{});
  w.committal = way.need_quantity<Length>("committal", Dimension::length, {0, 2000, "ft"}).value_or(Length{});
  rule.way_back = w;
}

}  // namespace

void read_power_left(const Fields& root, decision::PowerLeftRule& rule) {
  const auto value = root.need("power_left", "{evaluated_at, partial, one_engine_out}");
  if (!value) return;
  const Fields fields(*value, {"evaluated_at", "partial", "one_engine_out", "way_back"});
  rule.evaluated_at = fields.need_quantity<Length>("evaluated_at", Dimension::length, kHeight).value_or(Length{});
  read_partial(fields, rule);
  read_engine_out(fields, rule);
  read_way_back(fields, rule);
}

}  // namespace backfield::io
