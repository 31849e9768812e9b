// What is near a place: the answer's facts, and the words and JSON made of them. Aerodromes are invented.

#include "backfield/io/nearby.hpp"
#include "backfield/report/nearby.hpp"
#include "tests/tools/catalogue_fixture.hpp"

#include <cmath>
#include <stdexcept>
#include <string>

using namespace backfield;
using namespace backfield::io;

namespace {

const std::string kInvented = BACKFIELD_SOURCE_DIR "/tests/data/catalogue";

earth::Nearby near(const std::string& place, const std::string& within, const std::string& catalogue = kInvented) {
  Loaded<earth::Nearby> found = look_nearby({place, within, catalogue, {}, "2026-03-01"});
  INFO(render(found.findings));
  REQUIRE(found.ok());
  return *found.value;
}

}  // namespace

TEST_CASE("Distance and bearing are those of the geodesic, and the longest runway comes first", "[io][nearby]") {
  const earth::Nearby n = near("ZZEA", "10 NM");
  CHECK(n.centre == "ZZEA Invented Alder, \"East\" Field");
  REQUIRE(n.aerodromes.size() == 4);
  CHECK_FALSE(n.aerodromes[0].bearing);
  const earth::NearbyAerodrome& b = n.aerodromes[1];
  CHECK(b.id == "ZZEB");
  // 0.1 degree of the parallel of 17.5 S: a cos(17.5) / sqrt(1 - e2 sin2(17.5)) 0.1 pi / 180 = 10,619.9433 m (WGS 84),
  // which the geodesic shortens by 0.1 mm.
  CHECK(std::abs(in_metres(b.distance) - 10619.9433) < 0.001);
  REQUIRE(b.bearing);
  CHECK(b.bearing->deg() == Approx(90).margin(0.02));
  CHECK_FALSE(n.nearest_beyond);

  const Scratch scratch;
  // A second runway at the home of the fixture, half as long, comes first in the file and second in the answer.
  const std::string shorter =
      "ZZDA,0,0.005,100,Home,ZZ,118.9,2,1826,98,grass,no,18,0.0025,0.005,180,,,36,-0.0025,"
      "0.005,0,,\n";
  const earth::Nearby two = near("ZZDA", "1 km", scratch.write("c.csv", kHead + kColumns + shorter + kHome));
  REQUIRE(two.aerodromes.at(0).runways.size() == 2);
  CHECK(two.aerodromes[0].runways[0].ends[0].designator == "09");
}

TEST_CASE("The age of the data is counted in days, and is none without a day", "[io][nearby]") {
  const Scratch scratch;
  const std::string path = scratch.write("c.csv", kHead + kColumns + kHome);
  CHECK(near("ZZDA", "1 km", path).age_days == 13);  // 2026-02-16 to 2026-03-01
  const Loaded<earth::Nearby> undated = look_nearby({"ZZDA", "1 km", path, {}, ""});
  REQUIRE(undated.ok());
  CHECK_FALSE(undated.value->age_days);
  CHECK(report::nearby_text(*undated.value).find("age of the data is not") != std::string::npos);
}

TEST_CASE("All that is wrong with a question is said at once", "[io][nearby]") {
  const Loaded<earth::Nearby> none = look_nearby({"ZZEA", "20", "/no/such/catalogue", {"/no/such/file"}, ""});
  CHECK_FALSE(none.ok());
  REQUIRE(none.findings.size() == 3);
  CHECK(none.findings[0].key == "--within");
  CHECK(none.findings[1].file == "/no/such/file");
  CHECK(none.findings[2].file == "/no/such/catalogue");
}

TEST_CASE("Words of what is near round lengths down and bearings to three digits", "[report][nearby]") {
  earth::Nearby n = near("17.5 S, 180 E", "6 NM");
  REQUIRE(n.aerodromes.size() == 2);
  n.aerodromes[1].bearing = earth::true_degrees(359.6);
  n.aerodromes[1].runways[0].ends[0].pavement = metres(999.9);
  const std::string text = report::nearby_text(n);
  CHECK(text.find("ZZEB, 5.7 NM on 000 deg true: Invented Birch") != std::string::npos);
  CHECK(text.find("09/27: 999 m x 18 m; surface grass (\"GRASS / SOD\"); no lights stated") != std::string::npos);
  const std::string json = report::nearby_json(n);
  CHECK(json.find("\"bearing_deg_true\": 359.6") != std::string::npos);
  CHECK(json.find("\"pavement_m\": 999.9") != std::string::npos);
  n.aerodromes[0].distance = metres(std::nan(""));
  CHECK_THROWS_AS(report::nearby_json(n), std::logic_error);
  CHECK_THROWS_AS(report::nearby_text(n), std::logic_error);
}
