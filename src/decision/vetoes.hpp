#pragma once
// What is on the ground, said openly: which sides it forbids, and what the climb itself comes too near to.

#include "briefing.hpp"

#include <map>
#include <string>
#include <vector>

namespace backfield::decision {

/// Gathers what moments are not clear of, one veto a thing.
class VetoGathering {
 public:
  explicit VetoGathering(const earth::Ground& ground) : ground_(&ground) {}
  void add(Length height_of_failure, const flight::Clearance& clearance);
  [[nodiscard]] std::vector<Veto> all() const;

 private:
  const earth::Ground* ground_;
  std::map<flight::Hazard, Veto> by_thing_;
};

/// Where one side would land and no path found is clear of the ground, over all worlds and banks; one a thing.
std::vector<Veto> vetoes_of(const Case& the_case, const Scans& scans, std::size_t option, std::size_t side);

/// e.g. "lands from 650 to 1,400 ft, but no path found is clear of radio mast: up to 85 ft too low"
std::string in_words(const Veto& veto);
/// e.g. "would be enough from failures at 120 to 240 ft, but the way down to it is not clear of ..."
std::string runway_ahead_in_words(const Veto& veto);

/// e.g. "no way found at 1,000 ft is clear of the ground: up to 120 ft too low, 2.1 km from the aerodrome on ..."
std::string way_back_in_words(const Veto& veto);

/// A warning for each veto, another for each thing the climb comes too near to, and what is not looked at.
void add_ground(const Case& the_case, const Scans& scans, Answer& answer);

/// The departure runway, above which a climb is as low as it begins.
flight::AtRunway below_the_climb(const Case& the_case);

}  // namespace backfield::decision
