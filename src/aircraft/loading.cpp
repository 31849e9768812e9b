#include "backfield/aircraft/loading.hpp"

#include "backfield/base/contract.hpp"
#include "backfield/base/polygon.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::aircraft {
namespace {

constexpr double kMassRounding_kg = 0.05;
constexpr double kArmRounding_m = 5e-5;

/// How far a value lies below and above the nearest of some intervals.
struct Miss {
  double below = 0.0;
  double above = 0.0;
  Interval<double> nearest;
};
Miss miss(const std::vector<Interval<double>>& parts, double value) {
  Miss best{1e9, 1e9, {}};
  for (const Interval<double>& part : parts) {
    const Miss here{std::max(0.0, part.low - value), std::max(0.0, value - part.high), part};
    if (here.below + here.above < best.below + best.above) best = here;
  }
  return best;
}

double beyond_rounding(double by, double rounding) { return by > rounding ? by : 0.0; }

std::string whole_up(double value) { return std::to_string(std::lround(std::ceil(value - 1e-6))); }

/// "2.05"
std::string two_decimals(Length arm) {
  const long cm = std::lround(arm.si() * 100.0);
  const std::string digits = std::to_string(std::abs(cm) % 100);
  return std::string(cm < 0 ? "-" : "") + std::to_string(std::abs(cm) / 100) + "." + (digits.size() < 2 ? "0" : "") +
         digits;
}

}  // namespace

MassAndArm balance(const Loading& loading, Mass empty, const std::vector<Mass>& at) {
  require(at.size() == loading.stations.size(), "a load for each station");
  double mass = empty.si();
  double moment = empty.si() * loading.empty_arm.si();
  for (std::size_t i = 0; i < at.size(); ++i) {
    mass += at[i].si();
    moment += at[i].si() * loading.stations[i].arm.si();
  }
  require(mass > 0.0, "an aeroplane has mass");
  return {kilograms(mass), metres(moment / mass)};
}

std::vector<Mass> after_burn(const Loading& loading, std::vector<Mass> at, Mass burnt) {
  require(at.size() == loading.stations.size(), "a load for each station");
  for (std::size_t i = 0; i < at.size(); ++i) {
    if (!loading.stations[i].is_tank()) continue;
    const Mass taken = std::min(at[i], burnt);
    at[i] -= taken;
    burnt -= taken;
  }
  return at;
}

EnvelopeStanding standing_in_envelope(const std::vector<MassAndArm>& envelope, MassAndArm what) {
  Ring ring;  // x: arm in metres, y: mass in kilograms
  Mass least = envelope.front().mass;
  Mass most = least;
  for (const MassAndArm& corner : envelope) {
    ring.push_back({corner.arm.si(), corner.mass.si()});
    least = std::min(least, corner.mass);
    most = std::max(most, corner.mass);
  }
  EnvelopeStanding s;
  s.too_heavy = kilograms(beyond_rounding((what.mass - most).si(), kMassRounding_kg));
  s.too_light = kilograms(beyond_rounding((least - what.mass).si(), kMassRounding_kg));
  // The arms are judged at the nearest mass that has limits; a hair inside, where an edge runs along it.
  const double hair = 1e-9 * (most - least).si();
  const double mass = std::clamp(what.mass.si(), least.si() + hair, most.si() - hair);
  const std::vector<Interval<double>> parts = chords(ring, Along::x, mass);
  if (parts.empty()) return s;
  const Miss arm = miss(parts, what.arm.si());
  s.forward_by = metres(beyond_rounding(arm.below, kArmRounding_m));
  s.aft_by = metres(beyond_rounding(arm.above, kArmRounding_m));
  s.arms = {metres(arm.nearest.low), metres(arm.nearest.high)};
  if (s.forward_by.si() > 0.0 || s.aft_by.si() > 0.0) {
    const Miss height = miss(chords(ring, Along::y, what.arm.si()), what.mass.si());
    if (height.above > kMassRounding_kg && height.above < 1e9) s.heavy_for_arm = kilograms(height.above);
  }
  return s;
}

std::string in_words(const EnvelopeStanding& s) {
  std::string text;
  const auto add = [&text](const std::string& more) { text += (text.empty() ? "" : ", ") + more; };
  if (s.too_heavy.si() > 0.0) add("too heavy by " + whole_up(s.too_heavy.si()) + " kg");
  if (s.too_light.si() > 0.0) add("too light by " + whole_up(s.too_light.si()) + " kg");
  const std::string limits =
      s.arms ? " (limits " + two_decimals(s.arms->low) + " to " + two_decimals(s.arms->high) + " m)" : "";
  if (s.forward_by.si() > 0.0) add("forward by " + whole_up(s.forward_by.si() * 100.0) + " cm" + limits);
  if (s.aft_by.si() > 0.0) add("aft by " + whole_up(s.aft_by.si() * 100.0) + " cm" + limits);
  if (s.heavy_for_arm && s.too_heavy.si() <= 0.0) {
    add("for its arm too heavy by " + whole_up(s.heavy_for_arm->si()) + " kg");
  }
  return text;
}

}  // namespace backfield::aircraft
