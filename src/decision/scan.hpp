#pragma once
// The power is lost at every moment of the departure, in one world and at one bank: what can be reached?

#include "backfield/decision/windows.hpp"
#include "backfield/flight/path_finder.hpp"

#include <array>
#include <optional>
#include <vector>

namespace backfield::decision {

/// One option's answer at the sampled moments, both sides ([0] left, [1] right).
struct SideTrace {
  std::vector<Window> windows;
  std::vector<Length> surplus;                              ///< at each moment; negative: missing
  std::vector<Angle> larger_turn;                           ///< magnitude, at each moment
  std::vector<flight::Configuration> configuration;         ///< what the path needs, at each moment
  std::vector<Angle> one_way_turn;                          ///< of the path that lands, at each moment; none: 0
  std::vector<std::optional<flight::Clearance>> not_clear;  ///< at each moment: lands, but nothing found is clear
};
struct OptionTrace {
  bool stop_fits = false;  ///< otherwise nothing was flown: the stop forbids it at any moment
  std::array<SideTrace, 2> sides;
};
struct ScanResult {
  std::vector<Length> heights;       ///< of the moments
  std::vector<OptionTrace> options;  ///< as asked
  double lowest_speed_over_stall = 1e9;
  std::shared_ptr<const flight::PathFinder> finder;                        ///< that was asked, ...
  std::vector<std::shared_ptr<const flight::PathFinder::Target>> targets;  ///< ... one an option; none: nothing flown
};

struct ScanRequest {
  const aircraft::Performance* performance = nullptr;
  const Case* the_case = nullptr;
  const World* world = nullptr;
  const flight::Timeline* timeline = nullptr;
  Angle bank;
  std::vector<std::optional<flight::Goal>> goals;  ///< one an option; none: the stop does not fit
  std::vector<const RunwayOption*> options;        ///< for names
};

ScanResult scan(const ScanRequest& request);

/// The best surplus either side finds at any height, lower bound or not: how much is missing where nothing works.
Nearest nearest(const ScanRequest& request, std::size_t option, flight::Side side);

flight::PathFinderSetup finder_setup(const ScanRequest& request);

}  // namespace backfield::decision
