#include "briefing.hpp"
#include "words.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::decision {
namespace {

constexpr double kLeastOverStall = 1.1;

}  // namespace

std::vector<std::string> cautions(const Case& c, const Answer& answer) {
  std::vector<std::string> all{
      "Planning estimate, not flight-tested. Flight manual, operations manual, local procedures and the authority "
      "prevail.",
      "Low turnbacks have killed many pilots. Train them with a qualified instructor and practise only at a height "
      "that "
      "forgives.",
      "Void if runway, wind, temperature or mass differ from those printed, or if the aeroplane climbs worse than "
      "shown."};
  double lowest = 1e9;
  for (const WorldReport& w : answer.worlds) lowest = std::min(lowest, w.lowest_speed_over_stall);
  if (c.departure.climb == flight::ClimbSpeed::v_x) {
    all.push_back("Climbing at v_x leaves little speed to lose: lower the nose at once.");
  } else if (lowest < kLeastOverStall) {
    all.push_back("During the reaction the speed falls to " + whole(100.0 * lowest) +
                  " % of stalling speed: lower the nose at once.");
  }
  const std::optional<Speed> limit = c.aircraft.limits.tailwind;
  for (const BriefedWindow& b : answer.briefed) {
    if (limit && b.tailwind_worst > *limit) {
      all.push_back("The briefed return lands with up to " + in_words_kt(b.tailwind_worst) +
                    " of tailwind; the aircraft file gives " + in_words_kt(*limit) + ".");
    }
  }
  return all;
}

}  // namespace backfield::decision
