#include "sky.hpp"

#include "backfield/base/contract.hpp"
#include "words.hpp"

#include <algorithm>

namespace backfield::decision {
namespace {

constexpr Duration kDay = minutes(24 * 60);

/// A window or the part of one that lies above the limit.
std::optional<VoidPart> above(Length limit, const std::string& option, const CommonWindow& w) {
  if (!w.open_above() && w.heights.high <= limit) return std::nullopt;
  VoidPart part;
  part.option = option;
  part.whole = w.heights.low >= limit;
  part.from = std::max(w.heights.low, limit);
  if (!w.open_above()) part.to = w.heights.high;
  return part;
}

std::optional<CloudAnswer> cloud(const Case& c, const Answer& answer) {
  if (!c.weather.cloud) return std::nullopt;
  CloudAnswer cloud;
  cloud.report = *c.weather.cloud;
  cloud.limit = cloud_limit(c);
  if (!cloud.limit) return cloud;
  const Length limit = *cloud.limit;
  for (const RunwayOption& o : answer.options) {
    for (const SideAnswer& side : o.sides) {
      const std::string name = o.end.aerodrome + " " + o.end.designator + " " + flight::name_of(side.side);
      for (const CommonWindow& w : side.common) {
        if (auto part = above(limit, name, w)) cloud.parts.push_back(std::move(*part));
      }
    }
  }
  cloud.circuit_in_cloud = c.policy.circuit && c.policy.circuit->height > limit;
  cloud.runway_ahead_in_cloud = answer.land_ahead.heights && answer.land_ahead.heights->high > limit;
  return cloud;
}

void warn(const Case& c, const CloudAnswer& cloud, std::vector<std::string>& warnings) {
  if (cloud.report.kind == CloudReport::Kind::not_known) {
    warnings.push_back("the cloud base is not known (" + cloud.report.source + "): no window is limited by it");
  }
  if (!cloud.limit) return;
  std::string text =
      "cloud base " + in_words_ft(cloud.report.base) + " (" + cloud.report.source + "): no return is planned ";
  text += cloud.limit->si() > 0.0 ? "from above " + in_words_ft(*cloud.limit) + " above aerodrome" : "from any height";
  if (cloud.circuit_in_cloud) {
    text += ", nor a circuit at " + in_words_ft(c.policy.circuit->height) + ", whatever power is left";
  }
  warnings.push_back(std::move(text));
  if (cloud.runway_ahead_in_cloud) {
    warnings.push_back("cloud: the runway ahead may not be seen from above " + in_words_ft(cloud.report.base));
  }
}

void warn(const Case& c, const NightAnswer& night, std::vector<std::string>& warnings) {
  if (!night.after_take_off && !night.on_return) return;
  std::string text = night.after_take_off ? "night" : "night at the return with power";
  std::string before = ": no return to what is not lit: ";
  for (const NightAnswer::Unlit& end : night.unlit) {
    text += before + end.aerodrome + " " + end.runway + (end.stated ? "" : " (lights not stated)");
    before = ", ";
  }
  if (night.after_take_off) {
    text += std::string(night.unlit.empty() ? ": " : "; ") + "the ground ahead cannot be seen and chosen";
    if (!c.departure.end.lit) text += ", nor the runway ahead, which has no lights";
  } else if (night.unlit.empty()) {
    return;
  }
  warnings.push_back(std::move(text));
}

}  // namespace

std::optional<Length> cloud_limit(const Case& c) {
  if (!c.weather.cloud || c.weather.cloud->kind != CloudReport::Kind::base) return std::nullopt;
  require(c.policy.cloud.has_value(), "a case with a cloud base has a policy for it");
  return c.weather.cloud->base - c.policy.cloud->below_base;
}

std::string cut_at_cloud(const Case& c, const Scans& scans, std::size_t option, std::size_t side, CommonWindow& w) {
  const std::optional<Length> limit = cloud_limit(c);
  if (!limit || (!w.open_above() && w.heights.high <= *limit)) return {};
  if (w.heights.low >= *limit) {
    return "cloud base " + in_words_ft(c.weather.cloud->base) + ": nothing is planned from above " +
           in_words_ft(std::max(Length{}, *limit));
  }
  const flight::Timeline& plan = scans.worlds.front().timeline;
  w.heights.high = *limit;
  w.upper = Limit::cloud;
  w.upper_world.clear();
  w.times.high = plan.when_at_height(*limit).value_or(plan.end());
  w.height_loss = clipped(w.height_loss, w.heights);
  w.best_surplus = best_surplus(scans, option, side, w.heights);
  return {};
}

std::optional<NightAnswer> night(const Case& c) {
  if (!c.departure.time) return std::nullopt;
  require(c.policy.night.has_value(), "a case with a time has a policy for night");
  const Angle edge = -c.policy.night->sun_below;
  const auto dark = [&](earth::Instant t) { return earth::sun_elevation(c.origin, t) <= edge; };
  const auto dark_within = [&](Duration time) {
    return dark(*c.departure.time) || earth::next_passing(c.origin, *c.departure.time, edge, time).has_value();
  };
  NightAnswer night;
  night.departure = *c.departure.time;
  night.sun_at_departure = earth::sun_elevation(c.origin, night.departure);
  night.after_take_off = dark_within(c.policy.scan_limit);
  night.on_return = night.after_take_off || (c.return_after && dark(night.departure + *c.return_after));
  night.change = earth::next_passing(c.origin, night.departure, edge, kDay);
  if (!night.on_return) return night;
  for (const earth::RunwayEnd& end : c.options) {
    if (end.lit) continue;
    night.unlit.push_back({end.aerodrome, end.designator, end.provenance == earth::Provenance::stated});
  }
  return night;
}

std::string unlit(const earth::RunwayEnd& end) {
  if (end.lit) return {};
  return end.provenance == earth::Provenance::stated ? "night, and it is not lit"
                                                     : "night, and no lights are stated for it";
}

void void_circuits(const Case& c, Answer& answer) {
  const std::optional<Length> limit = cloud_limit(c);
  for (RunwayOption& o : answer.options) {
    if (!o.circuit) continue;
    if (limit && c.policy.circuit->height > *limit) {
      o.circuit_void = "cloud base " + in_words_ft(c.weather.cloud->base) + ": no circuit by sight at " +
                       in_words_ft(c.policy.circuit->height);
    } else if (answer.night && answer.night->on_return) {
      o.circuit_void = unlit(o.end);
    }
    if (!o.circuit_void.empty()) o.circuit.reset();
  }
}

void report_sky(const Case& c, Answer& answer) {
  answer.cloud = cloud(c, answer);
  if (answer.cloud) warn(c, *answer.cloud, answer.warnings);
  if (answer.night) warn(c, *answer.night, answer.warnings);
}

}  // namespace backfield::decision
