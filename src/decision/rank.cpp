#include "briefing.hpp"
#include "words.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>

namespace backfield::decision {
namespace {

struct Key {
  int standing = 4;       ///< Standing of its better side; 4: not assessed
  double limiting = 0.0;  ///< the smaller of both margins, as a share; negated so that more comes first
  double ground_speed = 0.0;
  double distance = 0.0;
  std::string name;
  [[nodiscard]] auto tie() const { return std::tie(standing, limiting, ground_speed, distance, name); }
};

const Landing* worst_landing(const RunwayOption& o) {
  const Landing* worst = nullptr;
  for (const Landing& l : o.landings) {
    if (worst == nullptr || l.left() / l.needed() < worst->left() / worst->needed()) worst = &l;
  }
  return worst;
}

const SideAnswer* better_side(const RunwayOption& o) {
  const SideAnswer* best = nullptr;
  for (const SideAnswer& s : o.sides) {
    if (best == nullptr || s.standing < best->standing) best = &s;
  }
  return best;
}

/// Height to spare as a share of the height at which the window opens; what is missing, as a share of the height it is
/// missing at.
std::optional<double> reach_share(const SideAnswer& side) {
  if (!side.common.empty()) {
    const CommonWindow& w = side.common.front();
    return w.best_surplus / std::max(feet(100), w.heights.low);
  }
  if (side.nearest) return side.nearest->surplus / std::max(feet(100), side.nearest->at_height);
  return std::nullopt;
}

std::string percent(double share) { return whole(100.0 * share) + " %"; }

std::string wind_words(const Landing& l) {
  const bool tail = l.headwind.si() < -0.05;
  std::string s = (tail ? "tailwind " : "headwind ") + in_words_kt(tail ? -l.headwind : l.headwind);
  const double across = std::abs(l.crosswind_from_right.si());
  if (in_knots(metres_per_second(across)) >= 0.5) {
    s += ", crosswind " + in_words_kt(metres_per_second(across)) +
         (l.crosswind_from_right.si() > 0.0 ? " from the right" : " from the left");
  }
  return s;
}

Key explain(RunwayOption& o) {
  Key key;
  key.name = o.end.aerodrome + " " + o.end.designator;
  key.distance = o.distance.si();
  o.reasons.clear();
  if (!o.not_assessed.empty()) {
    o.reasons.push_back("not briefed: " + o.not_assessed);
    return key;
  }
  const Landing& worst = *worst_landing(o);
  const SideAnswer& side = *better_side(o);
  const double stop = worst.left() / worst.needed();
  const std::optional<double> reach = reach_share(side);
  key.standing = static_cast<int>(side.standing);
  key.limiting = -std::min(stop, reach.value_or(std::numeric_limits<double>::infinity()));
  key.ground_speed = worst.touchdown_ground_speed.si();

  const std::string stop_words =
      worst.fits() ? "stop: " + in_words_m(worst.left()) + " left of " + in_words_m(worst.available) + ", " +
                         percent(stop) + " over need (" + worst.world + ")"
                   : "stop: " + in_words_m(-worst.left()) + " too short, needs " + in_words_m(worst.needed()) + " of " +
                         in_words_m(worst.available) + " (" + worst.world + ")";
  std::string reach_words;
  if (!side.common.empty()) {
    reach_words = "reach: " + in_words_ft(side.common.front().best_surplus) + " to spare at best, " + percent(*reach) +
                  " of the height it opens at";
  } else if (side.nearest && side.nearest->surplus.si() < 0.0) {
    reach_words = "reach: " + in_words_ft(-side.nearest->surplus) + (side.nearest->bound_only ? " or more" : "") +
                  " short at best, from " + in_words_ft(side.nearest->at_height);
  } else if (side.standing == Standing::some_worlds_only) {
    reach_words = "reach: not in every wind of the bracket";
  }
  const bool stop_first = !reach || stop < *reach;
  o.reasons.push_back("limit " + (stop_first || reach_words.empty() ? stop_words : reach_words));
  if (!reach_words.empty()) o.reasons.push_back(stop_first ? reach_words : stop_words);
  o.reasons.push_back("wind in the plan: " + wind_words(o.landings.front()));
  o.reasons.push_back("touchdown at " + in_words_kt(worst.touchdown_ground_speed) + " over the ground (" + worst.world +
                      ")");
  for (const std::string& why : side.why_not_briefed) o.reasons.push_back("not briefed: " + why);
  return key;
}

}  // namespace

void rank_options(const Case&, Answer& answer) {
  std::vector<std::pair<Key, std::size_t>> order;
  for (std::size_t i = 0; i < answer.options.size(); ++i) order.emplace_back(explain(answer.options[i]), i);
  std::stable_sort(order.begin(), order.end(),
                   [](const auto& a, const auto& b) { return a.first.tie() < b.first.tie(); });

  std::vector<RunwayOption> ranked;
  std::vector<std::size_t> new_index(order.size());
  for (std::size_t i = 0; i < order.size(); ++i) {
    new_index[order[i].second] = i;
    ranked.push_back(std::move(answer.options[order[i].second]));
  }
  answer.options = std::move(ranked);
  for (BriefedWindow& b : answer.briefed) b.option = new_index[b.option];
}

}  // namespace backfield::decision
