// The case of the light twin: distances of its file on grass, and a table that ends before the afternoon does.

#include "backfield/decision/assess.hpp"
#include "backfield/io/load.hpp"

#include <catch2/catch.hpp>

using namespace backfield;

namespace {

/// Without runways to return to: one engine's numbers do not ask for them, and an answer takes a tenth of the time.
decision::Case load(const std::string& name) {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/cases/light-twin-meadows/" + name);
  REQUIRE(loaded.ok());
  decision::Case c = *loaded.value;
  c.options.clear();
  return c;
}

}  // namespace

TEST_CASE("Accelerate-stop and -go on grass are the file's distances times its own factors", "[decision][twin]") {
  decision::Case c = load("case.yaml");
  const auto answer = decision::assess(c);
  const decision::OneEngineOut& out = answer.power_left.one_engine_out.value();
  REQUIRE(out.go);
  REQUIRE(out.stop);
  c.departure.end.surface = earth::Surface::paved;
  const auto on_pavement = decision::assess(c);
  const decision::OneEngineOut& paved = on_pavement.power_left.one_engine_out.value();
  // aircraft/light-twin.yaml: a roll on dry grass x1.2 for the take-off, x1.15 for the landing
  CHECK(in_metres(out.go->needed) == Approx(1.2 * in_metres(paved.go->needed)));
  CHECK(in_metres(out.stop->needed) == Approx(1.2 * in_metres(paved.stop->needed)));
  CHECK(in_metres(out.path_begins) == Approx(in_metres(out.go->needed)));
  c.departure.end.surface = earth::Surface::wet_paved;  // x1 and x1.15
  const auto in_the_wet = decision::assess(c);
  CHECK(in_metres(in_the_wet.power_left.one_engine_out->go->needed) == Approx(in_metres(paved.go->needed)));
  CHECK(in_metres(in_the_wet.power_left.one_engine_out->stop->needed) == Approx(1.15 * in_metres(paved.stop->needed)));
}

TEST_CASE("What stands between the runway and the place where the path on one engine begins is not cleared",
          "[decision][twin]") {
  decision::Case c = load("case.yaml");
  c.weather.wind.mean = {};  // in calm, light airs from behind too, it begins beyond the departure end
  const earth::RunwayEnd& end = c.departure.end;
  const Length departure_end = *end.toda;
  const auto with = [&](Length distance, Length aside) {
    decision::Case there = c;
    const earth::Position on_track =
        earth::offset(earth::offset(end.pavement_start, end.track, c.departure.start), end.track, distance);
    there.ground.obstacles = {{"hedge", earth::offset(on_track, end.track.turned(degrees(90)), aside),
                               c.elevation + earth::Height{feet(10)}, metres(0)}};
    return *decision::assess(there).power_left.one_engine_out;
  };
  const auto begins = with(departure_end, {}).path_begins;
  REQUIRE(begins > departure_end + metres(20));
  const auto before = with(departure_end + metres(10), {});
  REQUIRE(before.obstacles.size() == 1);
  CHECK(before.obstacles.front().net.si() == 0.0);
  CHECK_FALSE(before.obstacles.front().clear());
  CHECK(before.verdict == decision::EngineOutVerdict::climbs);
  // Beside the way, and beside the runway: 90 m and an eighth of what lies beyond the departure end.
  CHECK(with(departure_end + metres(10), metres(100)).obstacles.empty());
  CHECK(with(departure_end - metres(300), metres(60)).obstacles.empty());
}

TEST_CASE("Nothing is said to be cleared that was not looked at", "[decision][twin]") {
  decision::Case c = load("case.yaml");
  REQUIRE(c.ground.obstacles.empty());
  const auto none = *decision::assess(c).power_left.one_engine_out;
  REQUIRE(none.net > 0.0);
  CHECK(none.obstacles_assessed);
  CHECK(none.verdict == decision::EngineOutVerdict::climbs);
  c.departure.track.legs = {{earth::Height{feet(400)}, c.departure.end.track.turned(degrees(40)), degrees(15), true}};
  const auto turning = *decision::assess(c).power_left.one_engine_out;
  CHECK(turning.obstacles_assessed);
  CHECK(turning.verdict == decision::EngineOutVerdict::climbs);
  CHECK(turning.in_the_way() == nullptr);
}

TEST_CASE("Without an accelerate-go distance the time to clean up is taken off the path", "[decision][twin]") {
  decision::Case c = load("case.yaml");
  c.aircraft.one_engine_out->accelerate_go = {};
  c.policy.power_left.take_off_path.reset();  // by which one would be made up
  const earth::RunwayEnd& end = c.departure.end;
  c.ground.obstacles = {{"mast", earth::offset(end.pavement_start, end.track, metres(6000)),
                         c.elevation + earth::Height{feet(100)}, metres(0)}};
  const auto with = *decision::assess(c).power_left.one_engine_out;
  REQUIRE(with.obstacles.size() == 1);
  CHECK_FALSE(with.path_begins_at_go);
  const aircraft::OneEngineOut& file = *c.aircraft.one_engine_out;
  const Length lost = (file.lost_gear_down + file.lost_unfeathered) * file.clean_up;
  REQUIRE(lost > feet(20));
  c.aircraft.one_engine_out->clean_up = {};
  const auto at_once = *decision::assess(c).power_left.one_engine_out;
  CHECK(in_feet(at_once.obstacles.front().net - with.obstacles.front().net) == Approx(in_feet(lost)));
}

TEST_CASE("Without an accelerate-go distance one is made up and marked, or why not is said", "[decision][twin]") {
  decision::Case c = load("case.yaml");
  const auto by_the_file = *decision::assess(c).power_left.one_engine_out;
  c.aircraft.one_engine_out->accelerate_go = {};
  const auto none = *decision::assess(c).power_left.one_engine_out;
  CHECK_FALSE(none.go);
  CHECK(none.go_beyond.find("no climb with one engine out until gear and propeller are cleaned up") == 0);
  CHECK(none.go_impossible);
  CHECK_FALSE(none.path_begins_at_go);
  c.aircraft.one_engine_out->lost_unfeathered = feet_per_minute(20);
  c.aircraft.one_engine_out->lost_gear_down = feet_per_minute(20);
  const auto made_up = *decision::assess(c).power_left.one_engine_out;
  REQUIRE(made_up.go);
  CHECK_FALSE(made_up.go_impossible);
  CHECK(made_up.go->estimated);
  CHECK(made_up.go_estimated);
  CHECK(made_up.path_begins_at_go);
  CHECK(made_up.path_begins == made_up.go->needed);
  CHECK(made_up.go_beyond.empty());
  // Longer than the file's, whose formula has no speed to gain from v_r to v_yse: some 130 ft worth of it.
  CAPTURE(in_metres(made_up.go->needed), in_metres(by_the_file.go->needed));
  CHECK(made_up.go->needed > by_the_file.go->needed);
  CHECK(made_up.go->needed < by_the_file.go->needed * 1.7);
}

TEST_CASE("What is left to clean up after the file's accelerate-go is taken off, declared or not", "[decision][twin]") {
  decision::Case c = load("case.yaml");
  const earth::RunwayEnd& end = c.departure.end;
  c.ground.obstacles = {{"mast", earth::offset(end.pavement_start, end.track, metres(6000)),
                         c.elevation + earth::Height{feet(100)}, metres(0)}};
  const auto in_time = *decision::assess(c).power_left.one_engine_out;
  aircraft::OneEngineOut& file = *c.aircraft.one_engine_out;
  const Duration clean_up = seconds(60);
  file.clean_up = clean_up;
  const auto late = *decision::assess(c).power_left.one_engine_out;
  const Length lost = in_time.obstacles.at(0).net - late.obstacles.at(0).net;
  const Speed rate = file.lost_gear_down + file.lost_unfeathered;
  // At the least what climb speed leaves of a minute on the way from rotation, at the most all of it.
  CHECK(lost < rate * clean_up);
  CHECK(lost > rate * (clean_up - in_time.path_begins / knots(60)));
  // The file's figure serves where no TODA is declared, too.
  c.departure.end.toda.reset();
  const auto not_declared = *decision::assess(c).power_left.one_engine_out;
  CHECK_FALSE(not_declared.go);
  CHECK(not_declared.path_begins == late.path_begins);
}

TEST_CASE("A surface that the file has no factor for gives no distance to stop in", "[decision][twin]") {
  decision::Case c = load("case.yaml");
  c.aircraft.distances.landing_surface_factor.of.erase(c.departure.end.surface);
  const auto out = *decision::assess(c).power_left.one_engine_out;
  CHECK_FALSE(out.stop);
  CHECK(out.stop_beyond == "no factor for the surface");
  CHECK(out.go);
}

TEST_CASE("Where a table of one engine ends before the day does, axis and end are said", "[decision][twin]") {
  const auto answer = decision::assess(load("afternoon.yaml"));
  const decision::OneEngineOut& out = answer.power_left.one_engine_out.value();
  CHECK_FALSE(out.go);
  CHECK(out.go_beyond == "outside air temperature, ends at 20 C");
  CHECK(out.stop);
  CHECK(out.stop_beyond.empty());
}
