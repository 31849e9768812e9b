// The ground ahead of a whole case: what is said to be reached is sampled densely, by means of its own.

#include "backfield/decision/assess.hpp"
#include "backfield/flight/glide_reach.hpp"

#include "tests/tools/amount.hpp"
#include "tests/tools/case_flights.hpp"
#include "tests/tools/case_transforms.hpp"
#include "tests/tools/distance_to_ring.hpp"
#include "tests/tools/terrain_maker.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <memory>

using namespace backfield;
using namespace backfield::test;

namespace {

const char* const kCase = "cases/town-and-fields/case.yaml";

std::vector<earth::Position> corners(const Ring& ring) {
  std::vector<earth::Position> all;
  for (const PlanePoint& p : ring) all.push_back({metres(p.x), metres(p.y)});
  return all;
}

/// Whether some straight glide of the sector, a degree apart, has the room it needs on one area; every 5 m is asked.
class Sampler {
 public:
  /// posts       of the terrain of the case; none: it has none
  Sampler(const decision::Case& c, const CaseFlights::Flight& flight, const earth::ElevationPosts* posts = nullptr)
      : case_(c), flight_(flight), performance_(c.aircraft, c.mass), posts_(posts) {
    for (int i = -60; i <= 60; ++i) tracks_.push_back(c.departure.end.track.turned(degrees(i)));
    for (const earth::AvoidArea& a : c.ground.areas) avoid_.push_back(a.ring);
    Length lowest{};
    for (const earth::LandableArea& a : c.ground_ahead.areas) lowest = std::min(lowest, elevation(a));
    reach_.emplace(flight::GlideReachSetup{.performance = &performance_,
                                           .technique = c.policy.technique,
                                           .model = c.policy.model,
                                           .environment = flight.world.environment,
                                           .datum = c.elevation,
                                           .bank = *c.policy.technique.line_up_bank,
                                           .gust_spread = {},
                                           .top = metres(flight.timeline.nodes().back().height_m + 100),
                                           .lowest = lowest,
                                           .tracks = tracks_});
  }

  [[nodiscard]] bool reaches(Length height, const earth::LandableArea& area) const {
    const auto when = flight_.timeline.when_at_height(height);
    if (!when) return false;
    const auto failure = reach_->failure(flight_.timeline.at(*when));
    const double half_width = height < feet(500) ? 30.0 : 60.0;  // of the shipped policy
    for (std::size_t i = 0; i < tracks_.size(); ++i) {
      if (std::abs(static_cast<double>(i) - 60.0) > half_width) continue;
      const auto ray = reach_->ray(*failure, i);
      const auto glide = ray ? reach_->distances(*ray, elevation(area)) : std::nullopt;
      if (glide && lands(*failure, *ray, *glide, area)) return true;
    }
    return false;
  }

 private:
  [[nodiscard]] Length elevation(const earth::LandableArea& a) const {
    return a.elevation.above_sea_level - case_.elevation.above_sea_level;
  }
  [[nodiscard]] bool rolls_there(const flight::GlideRay& ray, double from, double to,
                                 const earth::LandableArea& area) const {
    for (double x = from; x < to + 5.0; x += 5.0) {
      const earth::Position p = earth::offset(ray.from, ray.track, metres(std::min(x, to)));
      if (distance_to(corners(area.outline.outline), p.east.si(), p.north.si()) > 0.5) return false;
      for (const auto& ring : avoid_) {
        const double off = distance_to(ring, p.east.si(), p.north.si());
        if (off < case_.policy.ground_ahead->beside_avoid.si() - 0.5) return false;
      }
    }
    return true;
  }
  /// Straight down from where the turn ends, over nothing to be avoided lower than the policy asks.
  [[nodiscard]] bool is_clear(const flight::GlideRay& ray, double to, Length ground) const {
    for (double x = 0.0; x < to; x += 5.0) {
      const earth::Position p = earth::offset(ray.from, ray.track, metres(x));
      const double h = (ray.height + (ground - ray.height) * (x / to)).si();
      for (const earth::AvoidArea& area : case_.ground.areas) {
        const double floor = (area.elevation.above_sea_level - case_.elevation.above_sea_level).si() +
                             case_.policy.clearance.over_areas->si();
        if (h < floor && distance_to(area.ring, p.east.si(), p.north.si()) < 0.0) return false;
      }
      if (posts_ != nullptr && x < to - case_.policy.clearance.around_runway.si() && h < over_terrain(p, h, ground)) {
        return false;
      }
    }
    return true;
  }
  /// Least height there by the policy: half of what the glide is higher than aligned, and its margin at most.
  [[nodiscard]] double over_terrain(earth::Position p, double h, Length ground) const {
    const double rises =
        sampled_m(*posts_, place_of(case_.origin, p.east.si(), p.north.si())) - case_.elevation.above_sea_level.si();
    const double higher = h - ground.si() - decision::alignment_height(case_).si();
    return rises + std::clamp(0.5 * higher, 0.0, case_.policy.clearance.over_terrain.si());
  }
  [[nodiscard]] bool lands(const flight::GlideReach::Failure& /*failure*/, const flight::GlideRay& ray,
                           const flight::GlideReach::Distances& glide, const earth::LandableArea& area) const {
    const Speed headwind = earth::components(flight_.world.surface_wind(), ray.track).headwind;
    const auto distances = aircraft::landing_distances(
        performance_, performance_.conditions(flight_.world.environment.air, area.elevation),
        {area.surface, -area.slope, headwind}, case_.policy.stop);
    REQUIRE(distances.usable());
    const double needed = (distances.value.air + distances.value.roll).si() * case_.policy.ground_ahead->length_factor;
    if (needed > area.usable.si()) return false;
    for (double x = glide.shortest.si(); x <= glide.longest.si(); x += 5.0) {
      if (rolls_there(ray, x, x + needed, area) && is_clear(ray, x, elevation(area))) return true;
    }
    return false;
  }

  const decision::Case& case_;
  const CaseFlights::Flight& flight_;
  aircraft::Performance performance_;
  std::vector<earth::TrueDirection> tracks_;
  std::vector<std::vector<earth::Position>> avoid_;
  std::optional<flight::GlideReach> reach_;
  const earth::ElevationPosts* posts_;
};

const unsigned kHeights = amount("BACKFIELD_HEIGHTS", {.sanitized = 2, .ordinary = 7, .all = 50});

/// Every area that is said to be reached is asked of the sampler in every world, at several heights.
int ask(const decision::Case& c, const earth::ElevationPosts* posts = nullptr) {
  const decision::Answer answer = decision::assess(c, 2);
  REQUIRE(answer.ground_ahead);
  const CaseFlights flights(c);
  int asked = 0;
  for (std::size_t i = 0; i < answer.ground_ahead->areas.size(); ++i) {
    const decision::ReachedArea& area = answer.ground_ahead->areas[i];
    for (const Interval<Length>& heights : area.heights) {
      for (const CaseFlights::Flight& flight : flights.flights()) {
        const Sampler sampler(c, flight, posts);
        for (unsigned k = 1; k <= kHeights; ++k) {
          const Length height = heights.low + heights.width() * (k / (kHeights + 1.0));
          CAPTURE(area.name, flight.world.name, in_feet(height));
          CHECK(sampler.reaches(height, c.ground_ahead.areas[i]));
          ++asked;
        }
      }
    }
  }
  return asked;
}

}  // namespace

TEST_CASE("No area is said to be reached that dense sampling denies, in any world", "[decision][law]") {
  CHECK(ask(load_case(kCase)) > 7 * static_cast<int>(kHeights));
}

TEST_CASE("Areas ahead turn and mirror with everything else", "[decision][law]") {
  const decision::Case c = load_case(kCase);
  const auto ground = [](const decision::Case& one) { return *decision::assess(one, 2).ground_ahead; };
  const decision::GroundAheadAnswer before = ground(c);
  for (const bool mirrored_too : {false, true}) {
    const decision::GroundAheadAnswer after = ground(mirrored_too ? mirrored(c) : rotated(c, degrees(137)));
    REQUIRE(after.areas.size() == before.areas.size());
    for (std::size_t i = 0; i < before.areas.size(); ++i) {
      REQUIRE(after.areas[i].heights.size() == before.areas[i].heights.size());
      for (std::size_t k = 0; k < before.areas[i].heights.size(); ++k) {
        const auto& a = before.areas[i].heights[k];
        const auto& b = after.areas[i].heights[k];
        CHECK(in_feet(a.low) == Approx(in_feet(b.low)).margin(1.0));
        CHECK(in_feet(a.high) == Approx(in_feet(b.high)).margin(1.0));
      }
    }
    REQUIRE(after.gaps.size() == before.gaps.size());
    for (std::size_t i = 0; i < before.gaps.size(); ++i) {
      REQUIRE(after.gaps[i].choices.size() == before.gaps[i].choices.size());
      CHECK(after.gaps[i].reached.si() == Approx(before.gaps[i].reached.si()).margin(0.2));
    }
  }
}

TEST_CASE("A longer need and a field built on never add ground", "[decision][law]") {
  decision::Case c = load_case(kCase);
  c.options.clear();  // ways back are not the question
  const decision::GroundAheadAnswer before = *decision::assess(c, 2).ground_ahead;
  const auto seconds_of = [](const decision::GroundAheadAnswer& ground) {
    double sum = 0.0;
    for (const decision::GapGround& gap : ground.gaps) sum += gap.reached.si();
    return sum;
  };
  const double all = seconds_of(before);
  CHECK(all > 0.0);
  decision::Case longer = c;
  longer.policy.ground_ahead->length_factor *= 1.3;
  CHECK(seconds_of(*decision::assess(longer, 2).ground_ahead) < all);
  decision::Case taken = c;
  for (const earth::LandableArea& area : c.ground_ahead.areas) {
    taken.ground.areas.push_back(
        {area.name + " now built on", earth::AreaKind::people, area.elevation, corners(area.outline.outline)});
  }
  const decision::GroundAheadAnswer none = *decision::assess(taken, 2).ground_ahead;
  CHECK(seconds_of(none) == 0.0);
  for (const decision::ReachedArea& area : none.areas) CHECK_FALSE(area.not_counted.empty());
}

TEST_CASE("Ground ahead never shortens a gap; where the policy prefers it, a turnback opens later", "[decision][law]") {
  const decision::Case c = load_case(kCase);
  decision::Case bare = c;
  bare.ground_ahead.areas.clear();
  decision::Case runway = c;
  runway.policy.gates.prefer_below = decision::Preference::runway;
  const decision::Answer without = decision::assess(bare, 2);
  const decision::Answer with = decision::assess(c, 2);
  const decision::Answer preferred = decision::assess(runway, 2);
  const auto same = [](const decision::Gap& a, const decision::Gap& b) {
    return a.from == b.from && a.to == b.to && a.from_height == b.from_height && a.to_height == b.to_height;
  };
  REQUIRE(preferred.gaps.size() == without.gaps.size());
  for (std::size_t i = 0; i < without.gaps.size(); ++i) CHECK(same(preferred.gaps[i], without.gaps[i]));
  Duration longer{};
  for (const decision::Gap& gap : with.gaps) longer += gap.duration();
  for (const decision::Gap& gap : without.gaps) longer = longer - gap.duration();
  CHECK(longer.si() > 0.0);
  REQUIRE_FALSE(with.briefed.empty());
  REQUIRE_FALSE(without.briefed.empty());
  CHECK(with.briefed.front().window.heights.low > without.briefed.front().window.heights.low);
  CHECK(with.briefed.front().window.lower == decision::Limit::preference);
  CHECK(with.briefed.front().window.heights.low <= c.policy.gates.prefer_runway_above);
}

namespace {

/// The second field lies 3 km farther out than in the file, level with everything else; no runway is asked for.
decision::Case with_a_far_field() {
  decision::Case c = load_case(kCase);
  c.options.clear();
  c.policy.bracket.worlds.resize(2);  // the plan and a light wind: more would leave of the far field a few feet
  for (earth::LandableArea& area : c.ground_ahead.areas) area.elevation = c.elevation;
  for (PlanePoint& p : c.ground_ahead.areas[1].outline.outline) p.x += 3000.0;
  return c;
}

/// Level ground with a ridge from south to north 5.3 km east of the aerodrome, before the far field begins at 5.9 km.
earth::ElevationPosts ridge_of(const decision::Case& c, double high_m) {
  const double lon = in_degrees(c.origin.longitude);
  const double lat = in_degrees(c.origin.latitude);
  const double at = lon + 5300.0 / 111'320.0;
  const double half_width = 200.0 / 111'320.0;
  return posts_of(lat - 0.12, lon - 0.06, 0.0008, 301, 301, [&](double, double here) {
    const double off = (here - at) / half_width;
    return c.elevation.above_sea_level.si() + high_m * std::exp(-off * off);
  });
}

decision::Case over(decision::Case c, const earth::ElevationPosts& posts) {
  c.terrain = decision::TerrainBasis::posts;
  c.terrain_source = "made up";
  c.ground.terrain = std::make_shared<earth::Terrain>(c.origin, std::vector<earth::ElevationPosts>{posts});
  return c;
}

double reached_ft(const std::vector<Interval<Length>>& heights) {
  double sum = 0.0;
  for (const auto& part : heights) sum += in_feet(part.width());
  return sum;
}

}  // namespace

TEST_CASE("A ridge hides the field behind it and nothing before it, and no hidden field is said to be reached",
          "[decision][law]") {
  const decision::Case bare = with_a_far_field();
  const auto without = *decision::assess(bare, 2).ground_ahead;
  const double far = reached_ft(without.areas[1].heights);
  REQUIRE(far > 100.0);
  REQUIRE(reached_ft(without.areas[0].heights) > 100.0);

  double before = far;
  for (const double high : {0.0, 60.0, 120.0, 400.0}) {
    CAPTURE(high);
    const earth::ElevationPosts posts = ridge_of(bare, high);
    const decision::Case c = over(bare, posts);
    const auto answer = *decision::assess(c, 2).ground_ahead;
    // What lies before the ridge is as it was.
    REQUIRE(answer.areas[0].heights.size() == without.areas[0].heights.size());
    for (std::size_t k = 0; k < without.areas[0].heights.size(); ++k) {
      CHECK(in_feet(answer.areas[0].heights[k].low) == Approx(in_feet(without.areas[0].heights[k].low)).margin(1.0));
      CHECK(in_feet(answer.areas[0].heights[k].high) == Approx(in_feet(without.areas[0].heights[k].high)).margin(1.0));
    }
    const double left = reached_ft(answer.areas[1].heights);
    // Level ground takes nothing away, a higher ridge never gives anything back.
    if (high == 0.0) CHECK(left == Approx(far).margin(1.0));
    CHECK(left <= before + 1.0);
    // A glide at 1 in 8 or 9 that passes 400 m of ridge meets the ground more than 3 km behind it; the field ends 2.8
    // km behind it.
    if (high == 400.0) CHECK(answer.areas[1].heights.empty());
    before = left;
    ask(c, &posts);
  }
}
