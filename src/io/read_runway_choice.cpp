#include "read_runway_choice.hpp"

#include <algorithm>

namespace backfield::io {
namespace {

using decision::RunwayCriterion;
using decision::RunwayPreference;

/// The step in which an amount is compared, with its unit; none for what holds or does not.
struct Amount {
  RunwayCriterion by;
  Dimension dimension;
  Range range;
};
const std::vector<Amount> kAmounts{{RunwayCriterion::gap, Dimension::duration, {0.1, 600, "s", 1, 60}},
                                   {RunwayCriterion::window, Dimension::length, {1, 2000, "ft", 10, 500}},
                                   {RunwayCriterion::headwind, Dimension::speed, {0.1, 50, "kt", 0.5, 10}},
                                   {RunwayCriterion::runway_left, Dimension::length, {1, 2000, "m", 10, 500}}};

const Amount* amount_of(RunwayCriterion by) {
  const auto found = std::find_if(kAmounts.begin(), kAmounts.end(), [by](const Amount& a) { return a.by == by; });
  return found == kAmounts.end() ? nullptr : &*found;
}

Words<RunwayCriterion> criteria() {
  Words<RunwayCriterion> words;
  for (const auto by : {RunwayCriterion::take_off_fits, RunwayCriterion::tailwind, RunwayCriterion::crosswind,
                        RunwayCriterion::one_engine, RunwayCriterion::gap, RunwayCriterion::window,
                        RunwayCriterion::headwind, RunwayCriterion::runway_left}) {
    words.emplace_back(decision::name_of(by), by);
  }
  return words;
}

std::optional<RunwayPreference> read_preference(const Value& value) {
  const Fields fields(value, {"by", "at_most", "step"});
  const auto by = fields.need_choice("by", criteria());
  if (!by) return std::nullopt;
  RunwayPreference preference{*by, {}, 0.0};
  const std::string name = decision::name_of(*by);
  if (*by == RunwayCriterion::tailwind) {
    const auto limit = fields.need_quantity<Speed>("at_most", Dimension::speed, {0, 50, "kt", 0, 15});
    if (!limit) return std::nullopt;
    preference.limit = *limit;
  } else if (const auto limit = fields.get("at_most")) {
    limit->refuse("no limit with " + name);
  }
  if (const Amount* amount = amount_of(*by)) {
    const auto step = fields.need("step", accepted_quantity(amount->dimension));
    const auto value_of_step = step ? step->si(amount->dimension, amount->range) : std::nullopt;
    if (!value_of_step) return std::nullopt;
    preference.step = *value_of_step;
  } else if (const auto step = fields.get("step")) {
    step->refuse("no step with " + name);
  }
  return preference;
}

}  // namespace

void read_runway_choice(const Fields& root, decision::Policy& policy) {
  const auto value = root.get("runway_choice");
  if (!value) return;
  const std::string accepted = "a list of {by, at_most, step}, what decides first standing first";
  const Fields fields(*value, {"order"});
  const auto list = fields.need("order", accepted);
  if (!list) return;
  decision::RunwayChoiceRule rule;
  for (const Value& item : list->items(accepted)) {
    const auto preference = read_preference(item);
    if (!preference) continue;
    const auto same = [&](const RunwayPreference& other) { return other.by == preference->by; };
    if (std::any_of(rule.order.begin(), rule.order.end(), same)) item.refuse("each criterion once");
    if (decision::must_hold(preference->by) && !rule.order.empty() && !decision::must_hold(rule.order.back().by)) {
      item.refuse("what must hold before what is compared", "otherwise an end that must not be chosen may come first");
    }
    const bool of_take_off =
        preference->by == RunwayCriterion::take_off_fits || preference->by == RunwayCriterion::runway_left;
    if (of_take_off && !policy.take_off) {
      item.refuse("a criterion that this policy can judge", "it needs the group \"take_off\"");
    }
    rule.order.push_back(*preference);
  }
  policy.runway_choice = std::move(rule);
}

}  // namespace backfield::io
