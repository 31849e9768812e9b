#pragma once
// Where in a window excess height has to be lost by more than a longer path.

#include "backfield/base/interval.hpp"
#include "backfield/base/units.hpp"
#include "backfield/flight/path.hpp"

#include <optional>
#include <vector>

namespace backfield::decision {

/// Heights of the failure, above the departure elevation, at which every clean path found is too high: they need
/// landing flap on the final, and some of them a slip besides. Each interval reaches from the last moment asked that
/// does without to the first that does so again, and spans whatever lies between two such stretches: a little wide,
/// never narrow.
struct HeightLoss {
  std::optional<Interval<Length>> landing_flap, slip;
};

/// What a path needs from one height.
struct Needed {
  Length height;
  flight::Configuration configuration = flight::Configuration::clean;
};

/// rising      all moments asked in a window, edges included
HeightLoss height_loss(const std::vector<Needed>& rising);
/// What is needed at a height in either.
HeightLoss either(const HeightLoss& a, const HeightLoss& b);
/// What of it lies within some heights.
HeightLoss clipped(const HeightLoss& loss, const Interval<Length>& heights);

}  // namespace backfield::decision
