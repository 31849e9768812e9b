#pragma once
// From windows in single worlds to windows that hold in all of them.

#include "ground.hpp"
#include "scan.hpp"

namespace backfield::decision {

/// All scans of one case: one for every world and bank, worlds outermost.
struct Scans {
  std::vector<FlownWorld> worlds;
  std::vector<Angle> banks;
  std::vector<ScanResult> results;  ///< [world * banks + bank]
  [[nodiscard]] const ScanResult& at(std::size_t world, std::size_t bank) const {
    return results[world * banks.size() + bank];
  }
};

/// The windows of one side of one option, and their intersection.
SideAnswer combine_side(const Scans& scans, std::size_t option, flight::Side side);

/// Largest height to spare at heights of a window, the worst of all worlds and banks; 0 where none is sampled.
/// side        index into RunwayOption::sides
Length best_surplus(const Scans& scans, std::size_t option, std::size_t side, const Interval<Length>& heights);

}  // namespace backfield::decision
