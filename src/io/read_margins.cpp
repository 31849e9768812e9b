#include "read_margins.hpp"

#include "read_figure.hpp"

#include <algorithm>

namespace backfield::io {
namespace {

using decision::LandingAssessmentRule;
using decision::LandingMargin;
using decision::MarginUse;

void read_surfaces(const Fields& fields, aircraft::LandingCharge& charge) {
  const auto value = fields.need("surface_factors", "{factor, source} by surface");
  if (!value) return;
  std::vector<std::string_view> names;
  for (const auto& [name, surface] : surface_words()) {
    if (surface != earth::Surface::unknown) names.push_back(name);
  }
  const Fields map(*value, names);
  for (const auto& [name, surface] : surface_words()) {
    const auto entry = surface == earth::Surface::unknown ? std::nullopt : map.get(name);
    if (!entry) continue;
    const Fields row(*entry, {"factor", "source"});
    const auto factor = row.need_number("factor", {1, 5, "", 1, 2.5});
    const auto source = row.need_text("source", "the regulation, or \"common practice\"");
    if (factor && source) charge.surface[surface] = {*factor, *source};
  }
}

void read_landing_margins(const Fields& fields, LandingAssessmentRule& rule) {
  const std::string accepted = "a list of {name, factor, use, meaning}, rising";
  const auto list = fields.need("margins", accepted);
  if (!list) return;
  for (const Value& item : list->items(accepted)) {
    const Fields row(item, {"name", "factor", "surface_at_least", "use", "meaning"});
    LandingMargin margin;
    margin.name = row.need_text("name", "a short name").value_or("");
    margin.factor = row.need_number("factor", {1, 5, "", 1, 2.5}).value_or(1.0);
    if (const auto least = row.get("surface_at_least")) {
      margin.least_surface = least->si(Dimension::number, {1, 5, "", 1, 2.5}).value_or(1.0);
    }
    const auto use = row.need_choice<MarginUse>(
        "use",
        {{"information", MarginUse::information}, {"decides", MarginUse::decides}, {"planning", MarginUse::planning}});
    margin.use = use.value_or(MarginUse::information);
    margin.meaning = row.need_text("meaning", "what it is for").value_or("");
    if (!rule.margins.empty()) {
      const LandingMargin& before = rule.margins.back();
      if (margin.factor < before.factor || margin.least_surface < before.least_surface) {
        item.refuse("a margin not below the one before it");
      }
    }
    rule.margins.push_back(std::move(margin));
  }
  const auto deciding = std::count_if(rule.margins.begin(), rule.margins.end(),
                                      [](const LandingMargin& m) { return m.use == MarginUse::decides; });
  if (!rule.margins.empty() && deciding != 1) {
    list->refuse("just one margin whose use is \"decides\"", "there are " + std::to_string(deciding));
  }
}

}  // namespace

void read_margins(const Fields& root, decision::Policy& policy) {
  if (const auto value = root.get("landing_assessment")) {
    const Fields fields(*value, {"headwind_credit", "tailwind_charge", "surface_factors", "margins"});
    LandingAssessmentRule rule;
    rule.charge.headwind_credit = fields.need_number("headwind_credit", {0, 1, "", 0, 0.5}).value_or(0.0);
    rule.charge.tailwind_charge = fields.need_number("tailwind_charge", {1, 3, "", 1, 2}).value_or(1.0);
    read_surfaces(fields, rule.charge);
    read_landing_margins(fields, rule);
    policy.landing_assessment = std::move(rule);
  }
  if (const auto value = root.get("take_off")) {
    const Fields fields(*value, {"tora_alone", "with_stopway_or_clearway", "source"});
    decision::TakeOffRule rule;
    constexpr Range kFactor{1, 3, "", 1, 1.5};
    rule.tora_alone = fields.need_number("tora_alone", kFactor).value_or(1.0);
    if (const auto with = fields.need("with_stopway_or_clearway", "{tora, toda, asda}")) {
      const Fields three(*with, {"tora", "toda", "asda"});
      rule.tora = three.need_number("tora", kFactor).value_or(1.0);
      rule.toda = three.need_number("toda", kFactor).value_or(1.0);
      rule.asda = three.need_number("asda", kFactor).value_or(1.0);
    }
    rule.source = fields.need_text("source", "the regulation, or \"common practice\"").value_or("");
    policy.take_off = rule;
  }
  if (const auto value = root.get("return_with_power")) {
    const Fields fields(*value, {"height", "bank", "stall_margin", "final_from", "final_angle"});
    const auto height = fields.need_quantity<Length>("height", Dimension::length, {200, 5000, "ft", 500, 2000});
    const auto bank = fields.need_quantity<Angle>("bank", Dimension::angle, {5, 45, "deg", 15, 30});
    const auto margin = fields.need_number("stall_margin", {1.2, 3, "", 1.3, 2});
    const auto from = fields.need_quantity<Length>("final_from", Dimension::length, {100, 3000, "ft", 200, 1500});
    const auto angle = fields.need_quantity<Angle>("final_angle", Dimension::angle, {1, 10, "deg", 2.5, 6});
    if (height && bank && margin && from && angle) {
      if (*from > *height) fields.get("final_from")->refuse("a height not above " + fields.get("height")->raw());
      policy.circuit = decision::CircuitRule{*height, *bank, *margin, *from, *angle};
    }
  }
}

}  // namespace backfield::io
