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

/// `source: {document, condition, uncertainty, estimate}`.
std::optional<aircraft::Source> read_source(const Value& value);

std::optional<aircraft::Figure> read_figure(const Value& value, const FigureKind& kind);

/// Refuses `longer` where it is not above `shorter` at some node that both cover: two figures were swapped.
void check_longer(const Value& place, const aircraft::Figure& shorter, const aircraft::Figure& longer,
                  const std::string& why);

/// `surface_factors: {paved: 1, grass_dry: 1.2}`; with the surfaces themselves for other readers.
const Words<earth::Surface>& surface_words();

}  // namespace backfield::io
