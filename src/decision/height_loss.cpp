#include "backfield/decision/height_loss.hpp"

#include <algorithm>

namespace backfield::decision {
namespace {

using Heights = std::optional<Interval<Length>>;

Heights hull(const Heights& a, const Heights& b) {
  if (!a || !b) return a ? a : b;
  return Interval<Length>{std::min(a->low, b->low), std::max(a->high, b->high)};
}

Heights needing(const std::vector<Needed>& rising, flight::Configuration least) {
  Heights heights;
  for (std::size_t i = 0; i < rising.size(); ++i) {
    if (rising[i].configuration < least) continue;
    const Length low = rising[i > 0 ? i - 1 : i].height;
    const Length high = rising[std::min(i + 1, rising.size() - 1)].height;
    heights = hull(heights, Interval<Length>{low, high});
  }
  return heights;
}

}  // namespace

HeightLoss height_loss(const std::vector<Needed>& rising) {
  return {needing(rising, flight::Configuration::landing_flap), needing(rising, flight::Configuration::slip)};
}

HeightLoss either(const HeightLoss& a, const HeightLoss& b) {
  return {hull(a.landing_flap, b.landing_flap), hull(a.slip, b.slip)};
}

HeightLoss clipped(const HeightLoss& loss, const Interval<Length>& heights) {
  const auto clip = [&](const Heights& h) { return h ? intersect(*h, heights) : std::nullopt; };
  return {clip(loss.landing_flap), clip(loss.slip)};
}

}  // namespace backfield::decision
