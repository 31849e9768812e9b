#include "backfield/io/load.hpp"
#include "backfield/io/render_finding.hpp"

#include "src/io/read_aerodrome.hpp"
#include "src/io/read_ground.hpp"

#include <catch2/catch.hpp>

using namespace backfield;

namespace {

io::AerodromeFile load(const std::string& name) {
  const auto loaded = io::load_aerodrome(BACKFIELD_SOURCE_DIR "/tests/data/good/" + name);
  INFO(io::render(loaded.findings));
  REQUIRE(loaded.ok());
  return *loaded.value;
}

}  // namespace

TEST_CASE("An aerodrome file reads as it is written", "[io][aerodrome]") {
  const io::AerodromeFile file = load("home.yaml");
  CHECK(file.aerodrome.id == "ZZDA");
  CHECK(file.invented);
  CHECK(file.aerodrome.attribution == "invented");
  CHECK(in_feet(file.aerodrome.elevation.above_sea_level) == Approx(200.0));
  CHECK(file.variation->si() == 0.0);
  REQUIRE(file.aerodrome.ends.size() == 2);
  const earth::RunwayEnd& north = file.aerodrome.ends[0];
  CHECK(north.designator == "36");
  CHECK(north.lda->si() == 2400.0);
  CHECK(north.surface == earth::Surface::paved);
  CHECK(north.lit);
  CHECK(north.frequency == "122.800 MHz");
  CHECK(north.provenance == earth::Provenance::stated);
  REQUIRE(file.marks.size() == 1);
  CHECK(file.marks[0].first == "36");
  CHECK(file.marks[0].second.name == "B");
  CHECK(file.marks[0].second.from_start.si() == 700.0);
}

TEST_CASE("Obstacles and areas to avoid read as they are written, and move with the frame", "[io][aerodrome]") {
  const io::AerodromeFile file = load("ground.yaml");
  REQUIRE(file.ground.obstacles.size() == 1);
  const earth::Obstacle& mast = file.ground.obstacles[0];
  CHECK(mast.name == "mast");
  CHECK(mast.top.above_sea_level.si() == Approx(150.0));
  CHECK(mast.half_width.si() == 20.0);
  CHECK(mast.position.north.si() == Approx(1105.74).margin(0.01));  // 0.01 degrees of a meridian at the equator, WGS 84
  CHECK(mast.position.east.si() == Approx(-556.60).margin(0.01));   // 0.005 degrees of the equator
  REQUIRE(file.ground.areas.size() == 2);
  CHECK(file.ground.areas[0].kind == earth::AreaKind::people);
  CHECK(in_feet(file.ground.areas[0].elevation.above_sea_level) == Approx(210.0));
  CHECK(file.ground.areas[0].ring.size() == 3);
  CHECK(file.ground.areas[1].kind == earth::AreaKind::water);
  CHECK(file.ground.areas[1].elevation == file.aerodrome.elevation);

  const earth::LocalFrame home(file.aerodrome.reference_point);
  const earth::LocalFrame other({degrees(0.1), degrees(0.2)});
  const earth::Ground there = io::moved(file.ground, home, other);
  const auto mast_to_corner = [](const earth::Ground& g) {
    return earth::distance(g.obstacles[0].position, g.areas[1].ring[2]).si();
  };
  CHECK(mast_to_corner(there) == Approx(mast_to_corner(file.ground)).epsilon(earth::kFrameDistanceError));
}

TEST_CASE("From one end, its bearing and the length follows the other end", "[io][aerodrome]") {
  const io::AerodromeFile file = load("home.yaml");
  const earth::RunwayEnd& north = file.aerodrome.ends[0];
  const earth::RunwayEnd& south = file.aerodrome.ends[1];
  CHECK(std::abs(in_degrees(earth::turn_between(north.track, earth::true_degrees(0)))) < 1e-9);
  CHECK(south.track.deg() == Approx(180.0));
  CHECK(in_metres(south.pavement_start.north) == Approx(2400.0).margin(1e-6));
  CHECK(in_metres(south.pavement_start.east) == Approx(0.0).margin(1e-6));
}

TEST_CASE("An end without declared distances has none; in particular its lda is not its length", "[io][aerodrome]") {
  const io::AerodromeFile file = load("strip.yaml");
  const earth::RunwayEnd& west = file.aerodrome.ends[1];
  CHECK(west.designator == "27");
  CHECK_FALSE(west.lda);
  CHECK_FALSE(west.toda);
  CHECK(west.displaced.si() == 200.0);
  const auto loaded = io::load_aerodrome(BACKFIELD_SOURCE_DIR "/tests/data/good/strip.yaml");
  REQUIRE(loaded.findings.size() == 2);
  CHECK(loaded.findings[0].severity == Severity::note);
  CHECK(loaded.findings[0].found == "runway 27: no lda stated, so no landing on it is briefed");
}

TEST_CASE("A slope and one elevation give the other end's, and the signs are opposite", "[io][aerodrome]") {
  const io::AerodromeFile file = load("strip.yaml");
  const earth::RunwayEnd& east = file.aerodrome.ends[0];
  const earth::RunwayEnd& west = file.aerodrome.ends[1];
  CHECK(east.slope == Approx(0.015));
  CHECK(west.slope == Approx(-0.015));
  // Between the thresholds lie 650 m less the 200 m by which the landing threshold of 27 is displaced.
  CHECK(in_metres(west.elevation.above_sea_level - east.elevation.above_sea_level) == Approx(450.0 * 0.015));
}

TEST_CASE("Moved into another frame, a runway keeps its place and its length", "[io][aerodrome]") {
  const earth::Aerodrome strip = load("strip.yaml").aerodrome;
  const earth::LocalFrame home(load("home.yaml").aerodrome.reference_point);
  const earth::Aerodrome there = io::moved(strip, home);
  const earth::Geodetic place = earth::LocalFrame(strip.reference_point).to_geodetic(strip.ends[0].pavement_start);
  const earth::Geodesic from_home = earth::geodesic(home.origin(), place);
  // The frame is true in distance and bearing from its origin.
  CHECK(in_metres(earth::distance({}, there.ends[0].pavement_start)) ==
        Approx(in_metres(from_home.length)).margin(0.01));
  CHECK(in_metres(earth::distance(there.ends[0].pavement_start, there.ends[1].pavement_start)) ==
        Approx(650.0).margin(0.02));
  CHECK(there.ends[0].track.deg() == Approx(90.0).margin(0.001));
}

TEST_CASE("A designator is held against the magnetic bearing: 10 deg are doubtful, 30 deg are wrong",
          "[io][aerodrome]") {
  const auto findings = [](const std::string& designator, double track, std::optional<Angle> variation) {
    const io::Document document = io::parse_document("a: 1\n", "x.yaml");
    io::Reading reading(document);
    (void)io::check_designator(io::Value::root(reading), designator, earth::true_degrees(track), variation);
    return reading.take();
  };
  CHECK(findings("09", 94, degrees(0)).empty());
  CHECK(findings("09", 108, degrees(18)).empty());  // 18 E: the bearing is magnetic 090
  CHECK(findings("09", 108, degrees(0)).front().severity == Severity::warning);
  CHECK(findings("09", 108, degrees(-18)).front().severity == Severity::error);  // the wrong sign: 36 deg off
  CHECK(findings("36", 2, degrees(3)).empty());                                  // across north
  CHECK(findings("01", 358, degrees(-10)).empty());
  CHECK(findings("09", 270, degrees(0)).front().hint == "is this the bearing of the other end?");
  // Without the variation the bearing may be as far off again as 30 deg.
  CHECK(findings("09", 120, std::nullopt).empty());
  CHECK(findings("09", 135, std::nullopt).front().severity == Severity::warning);
  CHECK(findings("09", 160, std::nullopt).front().severity == Severity::error);
}
