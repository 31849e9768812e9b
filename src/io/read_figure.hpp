#pragma once
// Performance figures in an aircraft file: a constant with its validity and scaling law, or a table.

#include "fields.hpp"

#include "backfield/aircraft/figure.hpp"
#include "backfield/earth/runway.hpp"

namespace backfield::io {

/// How a figure must change along each axis; anything else is a typing error in a table.
enum class Trend {
  grows,  ///< with mass, pressure altitude and temperature, as distances do
  falls,  ///< as rates of climb do
  free
};

struct FigureKind {
  Dimension dimension;
  Range range;
  Trend trend;
};

/// `source: {document, condition, uncertainty, estimate}` of the numbers in `group` that have no source of their own;
/// all but the last are needed. Empty after an error.
aircraft::Source need_source(const Fields& group);

std::optional<aircraft::Figure> read_figure(const Value& value, const FigureKind& kind);

/// The states in which two figures are to be compared: every node of either, where both cover it. Two tables cannot
/// cross unseen in between, for both are linear in each axis there. None for two constants.
std::vector<aircraft::Conditions> common_nodes(const aircraft::Figure& a, const aircraft::Figure& b);

/// "1100 kg, 2000 ft, 20 C"
std::string words_of(const aircraft::Conditions& conditions);

/// Refuses `place` at the first common node where `more` is not above `less`: two figures were swapped or mistyped. Two
/// constants are compared as they stand. `unit` is the one the two are printed in, m or ft/min.
void check_above(const Value& place, const aircraft::Figure& less, const aircraft::Figure& more, std::string_view unit,
                 const std::string& why);

/// `surface_factors: {paved: 1, grass_dry: 1.2}`; with the surfaces themselves for other readers.
const Words<earth::Surface>& surface_words();

}  // namespace backfield::io
