#include "backfield/report/runways.hpp"
#include "backfield/decision/assess.hpp"
#include "backfield/io/load.hpp"
#include "backfield/study/runways.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

using namespace backfield;
using decision::RunwayCriterion;

namespace {

/// The good case: runway 36 of 2,400 m, B at 700 m; with a side for B, so that it counts from both ends.
decision::Case demo() {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/tests/data/good/case.yaml");
  REQUIRE(loaded.ok());
  decision::Case c = *loaded.value;
  for (earth::RunwayEnd& end : c.options) {
    if (end.aerodrome != c.departure.end.aerodrome) continue;
    const Length from = end.designator == "36" ? metres(700) : metres(1700);
    end.marks = {{"B", from, earth::MarkSide::both}};
    if (end.designator == c.departure.end.designator) c.departure.end.marks = end.marks;
  }
  return c;
}

const study::RunwayRow& row(const study::RunwayComparison& all, const std::string& designator, Length start) {
  const auto found = std::find_if(all.rows.begin(), all.rows.end(), [&](const study::RunwayRow& r) {
    return r.end.designator == designator && r.start == start;
  });
  REQUIRE(found != all.rows.end());
  return *found;
}

}  // namespace

TEST_CASE("Each row is what an assessment of that departure says", "[study]") {
  const decision::Case c = demo();
  const study::RunwayComparison all = study::compare_runways(c);
  REQUIRE(all.rows.size() == 4);
  CHECK(std::count_if(all.rows.begin(), all.rows.end(), [](const auto& r) { return r.as_stated; }) == 1);
  for (const study::RunwayRow& r : all.rows) {
    CAPTURE(r.end.designator, r.start_name);
    REQUIRE(r.not_assessed.empty());
    decision::Case there = c;
    there.departure.end = r.end;
    there.departure.start = r.start;
    if (r.end.designator != c.departure.end.designator) {
      there.ground_ahead = {};
      there.departure.track = {};
    }
    const decision::Answer answer = decision::assess(there);
    Duration gap{};
    for (const decision::Gap& g : answer.gaps) gap = gap + g.duration();
    CHECK(r.gap.si() == gap.si());
    CHECK(r.take_off->left().si() == answer.take_off.worlds[answer.take_off.worst].deciding().left().si());
    const auto wind = earth::components(answer.worlds.front().surface_wind, r.end.track);
    CHECK(r.headwind.si() == wind.headwind.si());
    std::size_t windows = 0;
    for (const decision::RunwayOption& o : answer.options) {
      for (const decision::SideAnswer& side : o.sides) {
        for (const decision::CommonWindow& w : side.common) {
          if (w.larger_turn > c.policy.gates.small_turn) ++windows;
        }
      }
    }
    CHECK(r.left.count + r.right.count == windows);
  }
}

TEST_CASE("The answer does not depend on how many threads there are", "[study]") {
  const decision::Case c = demo();
  const std::string one = report::runways_json(c, study::compare_runways(c, 1), {});
  CHECK(one == report::runways_json(c, study::compare_runways(c, 3), {}));
}

TEST_CASE("Headwind and tailwind are those of opposite ends", "[study]") {
  const study::RunwayComparison all = study::compare_runways(demo());
  CHECK(in_knots(row(all, "36", {}).headwind) == Approx(-in_knots(row(all, "18", {}).headwind)).margin(0.01));
  CHECK(in_knots(row(all, "36", {}).crosswind_from_right) ==
        Approx(-in_knots(row(all, "18", {}).crosswind_from_right)).margin(0.01));
}

TEST_CASE("From an intersection so much less is left of the take-off run", "[study]") {
  const study::RunwayComparison all = study::compare_runways(demo());
  const auto& full = row(all, "36", {});
  const auto& from_b = row(all, "36", metres(700));
  CHECK(in_metres(full.take_off->left() - from_b.take_off->left()) == Approx(700.0).margin(0.01));
}

TEST_CASE("What must hold and does not is never chosen, however short its gap", "[study]") {
  decision::Case c = demo();
  c.weather.wind = {earth::true_degrees(360), knots(20), std::nullopt, false, std::nullopt};
  const study::RunwayComparison all = study::compare_runways(c);
  CHECK(all.chosen);
  CHECK(all.rows.front().end.designator == "36");
  for (const study::RunwayRow& r : all.rows) {
    const bool fails = std::find(r.fails.begin(), r.fails.end(), RunwayCriterion::tailwind) != r.fails.end();
    CHECK(fails == (r.end.designator == "18"));
    if (r.end.designator == "18") CHECK(in_knots(r.tailwind_worst) >= 20.0);
  }
  // With one end gone and the other too short for its factors there is none, and that is an answer.
  c.options.erase(
      std::remove_if(c.options.begin(), c.options.end(), [](const auto& end) { return end.designator == "36"; }),
      c.options.end());
  const study::RunwayComparison none = study::compare_runways(c);
  CHECK_FALSE(none.chosen);
  CHECK(report::runways_text(c, none, {}).find("NONE TODAY") != std::string::npos);
}

TEST_CASE("The order of the policy decides, one criterion after the other", "[study]") {
  decision::Case c = demo();
  auto& order = c.policy.runway_choice->order;
  order = {{RunwayCriterion::runway_left, {}, 1.0}};
  study::RunwayComparison all = study::compare_runways(c);
  for (std::size_t i = 1; i < all.rows.size(); ++i) {
    CHECK(std::floor(all.rows[i - 1].take_off->left().si()) >= std::floor(all.rows[i].take_off->left().si()));
  }
  CHECK(all.decided_by == RunwayCriterion::runway_left);
  // In one step of 10 km all are equal: the order of the file stands, and nothing has decided.
  order = {{RunwayCriterion::runway_left, {}, 10'000.0}};
  all = study::compare_runways(c);
  CHECK_FALSE(all.decided_by);
  CHECK(all.rows.front().end.designator == c.options.front().designator);
  CHECK(all.rows.front().start.si() == 0.0);
  // The first that tells two apart decides.
  order = {{RunwayCriterion::runway_left, {}, 10'000.0}, {RunwayCriterion::headwind, {}, knots(1).si()}};
  all = study::compare_runways(c);
  for (std::size_t i = 1; i < all.rows.size(); ++i) {
    CHECK(std::floor(in_knots(all.rows[i - 1].headwind) + 1e-9) >= std::floor(in_knots(all.rows[i].headwind) + 1e-9));
  }
}

TEST_CASE("An end that cannot be assessed is a row with its reason, the others are compared", "[study]") {
  decision::Case c = demo();
  for (earth::RunwayEnd& end : c.options) {
    if (end.aerodrome == c.departure.end.aerodrome && end.designator == "18") end.tora.reset();
  }
  const study::RunwayComparison all = study::compare_runways(c);
  CHECK(row(all, "18", {}).not_assessed == "its TORA is not stated");
  CHECK(row(all, "36", {}).not_assessed.empty());
  CHECK(all.rows.front().end.designator == "36");
  CHECK(all.rows.back().end.designator == "18");

  // An intersection with less left than the roll takes, and one behind the end of the TORA.
  c = demo();
  for (earth::RunwayEnd& end : c.options) {
    if (end.aerodrome == c.departure.end.aerodrome && end.designator == "36") {
      end.marks = {{"D", metres(2300), earth::MarkSide::left}};
      end.tora = metres(2350);
    }
  }
  CHECK(row(study::compare_runways(c), "36", metres(2300)).not_assessed.find("the roll takes") == 0);
}

TEST_CASE("What the case states for one direction is not taken for the other", "[study]") {
  decision::Case c = demo();
  c.ground_ahead = {decision::GroundAhead::Landable::yes, "fields", {}, {}};
  c.departure.track.legs = {{earth::Height{feet(500)}, c.departure.end.track.turned(degrees(40)), degrees(15), true}};
  const study::RunwayComparison all = study::compare_runways(c);
  CHECK(row(all, "36", {}).ground_ahead.landable == decision::GroundAhead::Landable::yes);
  CHECK(row(all, "18", {}).ground_ahead.landable == decision::GroundAhead::Landable::unknown);
  CHECK(std::any_of(all.assumptions.begin(), all.assumptions.end(), [](const std::string& a) {
    return a.find("from other ends a straight departure is assessed") != std::string::npos;
  }));
}

TEST_CASE("A stated runway that is too short is compared with the others instead of refused", "[io][study]") {
  const std::string path = BACKFIELD_SOURCE_DIR "/tests/data/bad/sense/case_take_off_impossible.yaml";
  CHECK_FALSE(io::load_case(path).ok());
  const auto loaded = io::load_case(path, io::Asked::every_runway);
  REQUIRE(loaded.ok());
  const study::RunwayComparison all = study::compare_runways(*loaded.value);
  CHECK_FALSE(row(all, loaded.value->departure.end.designator, loaded.value->departure.start).not_assessed.empty());
}

TEST_CASE("A twin's row says what one engine is good for from there", "[study]") {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/twin-and-ridge/case.yaml");
  REQUIRE(loaded.ok());
  const study::RunwayComparison all = study::compare_runways(*loaded.value);
  for (const study::RunwayRow& r : all.rows) {
    if (!r.as_stated) continue;
    const auto out = decision::assess(*loaded.value).power_left.one_engine_out;
    REQUIRE(r.one_engine);
    CHECK(r.one_engine->verdict == out->verdict);
    REQUIRE(out->in_the_way() != nullptr);
    CHECK(r.one_engine->in_the_way == out->in_the_way()->name);
  }
  CHECK(report::runways_text(*loaded.value, all, {}).find("NOT over") != std::string::npos);
  // Calm, and the two ends are alike but for what stands off one of them: the departure is away from it.
  REQUIRE(all.chosen);
  CHECK_FALSE(all.rows.front().as_stated);
  CHECK(all.rows.front().one_engine->in_the_way.empty());
  CHECK(all.decided_by == RunwayCriterion::one_engine);
}
