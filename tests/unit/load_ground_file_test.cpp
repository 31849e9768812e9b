#include "backfield/io/load.hpp"

#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace fs = std::filesystem;
using namespace backfield;

namespace {

/// The good case, flown from the field in the Atlantic, with a file of its own about the ground ahead.
Loaded<decision::Case> load_with(const std::string& geojson) {
  const test::TemporaryDirectory directory;
  const fs::path source = fs::path(BACKFIELD_SOURCE_DIR);
  std::ifstream in(source / "tests/data/good/case.yaml");
  std::ostringstream text;
  text << in.rdbuf();
  std::string yaml = text.str();
  const auto put = [&yaml](const std::string& from, const std::string& to) {
    const std::size_t at = yaml.find(from);
    REQUIRE(at != std::string::npos);
    yaml.replace(at, from.size(), to);
  };
  put("../../../aircraft/trainer.yaml", (source / "aircraft/trainer.yaml").string());
  put("home.yaml", (source / "tests/data/good/atlantic.yaml").string());
  put("ZZDA", "ZZDG");
  put("{landable: yes, note: fields on both sides of the road}", "{file: ground.geojson, note: by hand}");
  std::ofstream(directory.path() / "case.yaml") << yaml;
  std::ofstream(directory.path() / "ground.geojson") << geojson;
  return io::load_case((directory.path() / "case.yaml").string());
}

std::string collection(const std::string& features) {
  return R"({"type": "FeatureCollection", "features": [)" + features + "]}";
}
std::string feature(const std::string& properties, const std::string& coordinates) {
  return R"({"type": "Feature", "properties": {)" + properties +
         R"(}, "geometry": {"type": "Polygon", "coordinates": [)" + coordinates + "]}}";
}
const std::string kMeadow =
    R"("kind": "landable", "name": "Meadow", "length_m": 400, "surface": "grass_dry", "slope_percent": 2, "wires": "no")";
const std::string kOutline = "[[-20.002,5.026],[-19.998,5.026],[-19.998,5.031],[-20.002,5.031],[-20.002,5.026]]";

TEST_CASE("A landable area is read as it is stated, longitude first", "[io][ground]") {
  const auto loaded = load_with(collection(feature(kMeadow + R"(, "elevation_m": 70)", kOutline)));
  REQUIRE(loaded.ok());
  const decision::GroundAhead& ground = loaded.value->ground_ahead;
  CHECK(ground.file == "ground.geojson");
  CHECK(ground.note == "by hand");
  REQUIRE(ground.areas.size() == 1);
  const earth::LandableArea& area = ground.areas[0];
  CHECK(area.name == "Meadow");
  CHECK(area.usable == metres(400));
  CHECK(area.surface == earth::Surface::grass_dry);
  CHECK(area.slope == Approx(0.02));
  CHECK(area.wires == earth::Wires::no);
  CHECK(area.elevation.above_sea_level == metres(70));
  REQUIRE(area.outline.outline.size() == 4);
  // 0.026 degrees of latitude at 5 N are 2,875.0 m, 0.002 of longitude 221.8 m (WGS 84: M = 6,335,921 m and
  // N = 6,378,299 m there, NIMA TR8350.2)
  CHECK(area.outline.outline[0].x == Approx(-221.8).margin(0.1));
  CHECK(area.outline.outline[0].y == Approx(2875.1).margin(0.3));
}

TEST_CASE("Without an elevation the aerodrome's is taken, and that is said", "[io][ground]") {
  const auto loaded = load_with(collection(feature(kMeadow, kOutline)));
  REQUIRE(loaded.ok());
  CHECK(loaded.value->ground_ahead.areas[0].elevation.above_sea_level == feet(200));
  const auto& said = loaded.value->assumptions;
  CHECK(std::find(said.begin(), said.end(), "Meadow: no elevation stated, taken as the aerodrome's") != said.end());
}

TEST_CASE("Either way round, with heights, foreign members and tabs, a ring is the same", "[io][ground]") {
  const std::string turned =
      "[[-20.002,5.026,61],[-20.002,5.031,61],[-19.998,5.031,61],[-19.998,5.026,61],[-20.002,5.026,61]]";
  const auto loaded = load_with(
      "{\"type\": \"FeatureCollection\",\n\t\"name\": \"drawn by hand\",\n\t\"bbox\": [-21, 5, "
      "-19, 6],\n\t\"features\": [\n\t\t" +
      feature(kMeadow, turned) + "\n\t]\n}\n");
  for (const Finding& f : loaded.findings) UNSCOPED_INFO(f.found << " " << f.accepted);
  REQUIRE(loaded.ok());
  CHECK(loaded.value->ground_ahead.areas[0].outline.outline.size() == 4);
}

TEST_CASE("An area to avoid stands beside those of the case", "[io][ground]") {
  const auto loaded =
      load_with(collection(feature(R"("kind": "avoid", "name": "Oberdorn", "why": "people", "elevation_m": 60)",
                                   "[[-20.02,5.01],[-20.01,5.01],[-20.01,5.03],[-20.02,5.03],[-20.02,5.01]]")));
  REQUIRE(loaded.ok());
  CHECK(loaded.value->ground_ahead.areas.empty());
  REQUIRE(loaded.value->ground.areas.size() == 1);
  CHECK(loaded.value->ground.areas[0].kind == earth::AreaKind::people);
  CHECK(loaded.value->ground.areas[0].ring.size() == 4);
}

TEST_CASE("Each polygon of a MultiPolygon is an area, holes are kept", "[io][ground]") {
  const std::string hole = "[[-20.001,5.028],[-19.999,5.028],[-19.999,5.029],[-20.001,5.029],[-20.001,5.028]]";
  const std::string other = "[[-20.012,5.026],[-20.008,5.026],[-20.008,5.031],[-20.012,5.031],[-20.012,5.026]]";
  const auto loaded = load_with(collection(R"({"type": "Feature", "properties": {)" + kMeadow +
                                           R"(}, "geometry": {"type": "MultiPolygon", "coordinates": [[)" + kOutline +
                                           "," + hole + "],[" + other + "]]}}"));
  REQUIRE(loaded.ok());
  REQUIRE(loaded.value->ground_ahead.areas.size() == 2);
  CHECK(loaded.value->ground_ahead.areas[0].outline.holes.size() == 1);
  CHECK(loaded.value->ground_ahead.areas[1].outline.holes.empty());
  CHECK(loaded.value->ground_ahead.areas[1].name == "Meadow");
}

TEST_CASE("The shipped policies say which ground counts; a policy may be silent about it", "[io][ground]") {
  const std::string root = BACKFIELD_SOURCE_DIR;
  const auto shipped = io::load_policy(root + "/cases/policy/default.yaml");
  REQUIRE(shipped.ok());
  REQUIRE(shipped.value->ground_ahead);
  const decision::GroundAheadRule& rule = *shipped.value->ground_ahead;
  CHECK(rule.length_factor == 1.5);
  CHECK(rule.surfaces == std::vector{earth::Surface::paved, earth::Surface::grass_dry, earth::Surface::grass_wet});
  CHECK(rule.steepest == Approx(0.05));
  CHECK(rule.wires == std::vector{earth::Wires::no});
  CHECK(rule.beside_avoid == metres(50));
  const auto silent = io::load_policy(root + "/tests/data/good/policy_without_ground.yaml");
  REQUIRE(silent.ok());
  CHECK_FALSE(silent.value->ground_ahead);
}

}  // namespace
