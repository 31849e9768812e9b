#include "read_ground_rule.hpp"

#include "read_figure.hpp"

namespace backfield::io {

const Words<earth::Wires>& wires_words() {
  static const Words<earth::Wires> words{
      {"no", earth::Wires::no}, {"yes", earth::Wires::yes}, {"unknown", earth::Wires::unknown}};
  return words;
}

std::optional<decision::GroundAheadRule> read_ground_rule(const Fields& root) {
  const auto value = root.get("ground_ahead");
  if (!value) return std::nullopt;
  const Fields fields(*value, {"length_factor", "surfaces", "steepest", "wires", "narrowest", "beside_avoid"});
  decision::GroundAheadRule rule;
  rule.length_factor = fields.need_number("length_factor", {1, 5, "", 1, 3}).value_or(1.0);
  const std::string surfaces = "a list of surfaces, such as [paved, grass_dry]";
  if (const auto list = fields.need("surfaces", surfaces)) {
    for (const Value& item : list->items(surfaces)) {
      if (const auto surface = item.choice(surface_words())) rule.surfaces.push_back(*surface);
    }
  }
  if (const auto steepest = fields.need("steepest", accepted_quantity(Dimension::percent))) {
    rule.steepest = steepest->si(Dimension::percent, {0, 30, "%", 0, 10}).value_or(0.0);
  }
  if (const auto list = fields.need("wires", "a list of no, unknown or yes")) {
    for (const Value& item : list->items("a list of no, unknown or yes")) {
      if (const auto wires = item.choice(wires_words())) rule.wires.push_back(*wires);
    }
  }
  rule.narrowest =
      fields.need_quantity<Length>("narrowest", Dimension::length, {0, 500, "m", 5, 100}).value_or(Length{});
  rule.beside_avoid =
      fields.need_quantity<Length>("beside_avoid", Dimension::length, {0, 5000, "m", 0, 1000}).value_or(Length{});
  return rule;
}

}  // namespace backfield::io
