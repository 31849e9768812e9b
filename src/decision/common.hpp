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

}  // namespace backfield::decision
