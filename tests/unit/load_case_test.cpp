#include "backfield/io/load.hpp"
#include "backfield/io/render_finding.hpp"

#include "src/io/read_weather.hpp"
#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <fstream>

using namespace backfield;

namespace {

const std::string kGood = BACKFIELD_SOURCE_DIR "/tests/data/good/";

decision::Case load(const std::string& path) {
  const auto loaded = io::load_case(path);
  INFO(io::render(loaded.findings));
  REQUIRE(loaded.ok());
  return *loaded.value;
}

bool says(const std::vector<std::string>& sentences, const std::string& part) {
  return std::any_of(sentences.begin(), sentences.end(),
                     [&part](const std::string& s) { return s.find(part) != std::string::npos; });
}

/// A case at an aerodrome of the catalogue, with `runways` as given. What the tests state there is invented.
std::string catalogue_case(const std::string& runways) {
  return "backfield: case/1\n"
         "title: From the catalogue\n"
         "invented: yes\n"
         "aircraft: " BACKFIELD_SOURCE_DIR
         "/aircraft/trainer.yaml\n"
         "mass: 1050 kg\n"
         "departure: {aerodrome: LSZB, runway: \"14L\", from: full length, climb: v_y, track: straight}\n"
         "catalogue: {file: shipped, aerodromes_within: 20 NM}\n" +
         runways +
         "weather: {wind: calm, oat: 15 C, qnh: 1013 hPa}\n"
         "altimeter: qnh\n"
         "policy: plain\n";
}

}  // namespace

TEST_CASE("A plain case reads as it is written", "[io][case]") {
  const decision::Case c = load(kGood + "case.yaml");
  CHECK(c.title == "Long runway, headwind");
  CHECK(c.invented);
  CHECK(c.aircraft.name == "Generic trainer (invented)");
  CHECK(c.aircraft.file == "../../../aircraft/trainer.yaml");
  CHECK(c.mass.si() == 1070.0);
  CHECK(c.departure.end.designator == "36");
  CHECK(c.departure.start.si() == 0.0);
  CHECK(c.departure.start_name == "full length");
  CHECK(c.departure.track.legs.empty());
  CHECK(c.departure.climb == flight::ClimbSpeed::v_y);
  CHECK(in_feet(c.elevation.above_sea_level) == Approx(200.0));
  CHECK(c.options.size() == 2);
  CHECK(in_hectopascals(c.weather.qnh) == Approx(1013.0));
  CHECK(in_celsius(c.weather.oat) == Approx(15.0));
  CHECK(in_knots(c.weather.wind.mean) == Approx(15.0));
  CHECK(c.weather.wind.from.deg() == Approx(0.0).margin(1e-9));
  CHECK_FALSE(c.weather.wind.gust);
  CHECK_FALSE(c.weather.wind.variable);
  CHECK(c.altimeter == decision::AltimeterSetting::qnh);
  CHECK(c.turnback_trained);
  CHECK(c.ground_ahead.landable == decision::GroundAhead::Landable::yes);
  CHECK(c.policy.name == "plain");
  CHECK(c.policy.file == "plain");
  CHECK(c.attributions == std::vector<std::string>{"ZZDA: invented"});
  CHECK(c.assumptions.size() == 2);
  CHECK(says(c.assumptions, "indicated airspeed is taken as calibrated"));
}

TEST_CASE("A case with a report, winds aloft, an intersection and turns reads as it is written", "[io][case]") {
  const decision::Case c = load(kGood + "metar.yaml");
  CHECK(in_kilograms(c.mass) == Approx(1043.262451));
  CHECK(c.departure.start.si() == 700.0);
  CHECK(c.departure.start_name == "B");
  REQUIRE(c.departure.track.legs.size() == 2);
  CHECK(in_feet(c.departure.track.legs[0].from_height.above_datum) == Approx(500.0));
  CHECK(c.departure.track.legs[0].track.deg() == Approx(270.0));
  CHECK_FALSE(c.departure.track.legs[0].turn_right);
  CHECK(c.landmark->from_brake_release.si() == 2500.0);
  CHECK(c.weather.wind.from.deg() == Approx(340.0));
  CHECK(in_knots(c.weather.wind.gust.value()) == Approx(20.0));
  CHECK(c.weather.wind.sector->first.deg() == Approx(310.0));
  CHECK(in_hectopascals(c.weather.qnh) == Approx(1023.0));
  REQUIRE(c.weather.aloft.size() == 2);
  CHECK(in_feet(c.weather.aloft[0].height.above_datum) == Approx(1000.0));
  CHECK(in_feet(c.weather.aloft[1].height.above_datum) == Approx(2800.0));  // 3,000 ft less the elevation, 200 ft
  CHECK(c.weather.aloft[1].wind.from().deg() == Approx(355.0));
  CHECK(c.altimeter == decision::AltimeterSetting::qfe);
  CHECK_FALSE(c.turnback_trained);
  CHECK(c.ground_ahead.landable == decision::GroundAhead::Landable::unknown);
  CHECK(c.options.size() == 4);
  CHECK(says(c.assumptions, "does not say \"turnback: trained\""));
  CHECK(says(c.assumptions, "ground ahead: taken as unknown"));
  CHECK(says(c.assumptions, "the table of pressure altitude starts at 0 ft; its lowest row is used at -65 ft"));
  CHECK(says(c.assumptions, "runway 27: no lda stated"));
}

TEST_CASE("A magnetic wind is turned by the variation of the case", "[io][case]") {
  std::ifstream in(kGood + "case.yaml");
  std::string text((std::istreambuf_iterator<char>(in)), {});
  const auto replace = [&text](const std::string& from, const std::string& to) {
    REQUIRE(text.find(from) != std::string::npos);
    text.replace(text.find(from), from.size(), to);
  };
  replace("../../../aircraft/", BACKFIELD_SOURCE_DIR "/aircraft/");
  replace("home.yaml", kGood + "strip.yaml");
  replace("ZZDA", "ZZDB");
  replace("\"36\"", "\"09\"");
  replace("360 deg true 15 kt", "270 deg magnetic 15 kt gusting 22 kt varying 240 deg to 300 deg");
  replace("altimeter:", "variation: 8 deg W\naltimeter:");
  const test::TemporaryDirectory folder;
  const decision::Case c = load(folder.write("case.yaml", text));
  CHECK(c.weather.wind.from.deg() == Approx(262.0));
  CHECK(c.weather.wind.sector->first.deg() == Approx(232.0));
  CHECK(c.weather.wind.sector->second.deg() == Approx(292.0));
  CHECK(in_degrees(c.magnetic_variation) == Approx(-8.0));
  CHECK(says(c.assumptions, "runway 09: no toda stated, taken as the tora"));
  CHECK(c.departure.end.toda->si() == 650.0);
}

TEST_CASE("The wind that a person types has one meaning", "[io][case]") {
  CHECK_FALSE(io::parse_wind("calm").value->from);
  CHECK(in_knots(io::parse_wind("variable 3 kt").value->mean) == Approx(3.0));
  CHECK(in_knots(io::parse_wind("360 deg true 15kt gusting 25kt").value->gust.value()) == Approx(25.0));
  CHECK(io::parse_wind("040 deg magnetic 5 m/s").value->from->magnetic);
  CHECK_FALSE(io::parse_wind("").ok());
  CHECK_FALSE(io::parse_wind("calm 3 kt").ok());
  CHECK_FALSE(io::parse_wind("360 deg true").ok());
  CHECK_FALSE(io::parse_wind("360 deg true 15").ok());
  CHECK_FALSE(io::parse_wind("360 deg true -15 kt").ok());
  CHECK_FALSE(io::parse_wind("variable 3 kt varying 010 deg to 030 deg").ok());
  CHECK(io::parse_wind("360 deg true 15 kt from the north").hint == "\"from\" does not belong there");
}

TEST_CASE("Runways of the catalogue are options that are not briefed until the case states them", "[io][case]") {
  const test::TemporaryDirectory folder;
  const auto without = io::load_case(folder.write("without.yaml", catalogue_case("")));
  REQUIRE(without.findings.size() == 1);
  CHECK(without.findings[0].key == "departure.runway");
  CHECK(without.findings[0].accepted == "a runway whose tora is stated");
  CHECK(without.findings[0].hint == "the catalogue has no declared distances: state them under \"runways\"");

  const std::string stated =
      "runways:\n"
      "  - {aerodrome: LSZB, runway: \"14L\", surface: paved, tora: 640 m, toda: 640 m, asda: 640 m, lda: 600 m}\n";
  const decision::Case c = load(folder.write("stated.yaml", catalogue_case(stated)));
  CHECK(c.departure.end.provenance == earth::Provenance::catalogue_and_case);
  CHECK(c.departure.end.lda->si() == 600.0);
  const auto unstated = std::count_if(c.options.begin(), c.options.end(), [](const earth::RunwayEnd& end) {
    return end.provenance == earth::Provenance::catalogue && !end.lda;
  });
  CHECK(unstated + 1 == static_cast<std::ptrdiff_t>(c.options.size()));
  CHECK(c.attributions.size() == 1);

  const std::string too_long =
      "runways: [{aerodrome: LSZB, runway: \"14L\", surface: paved, tora: 640 m, toda: 640 m, lda: 7000 m}]\n";
  const auto refused = io::load_case(folder.write("long.yaml", catalogue_case(too_long)));
  REQUIRE(refused.findings.size() == 1);
  CHECK(refused.findings[0].key == "runways[1].lda");
}

TEST_CASE("An error in a file that a case names refuses the case and names that file", "[io][case]") {
  const test::TemporaryDirectory folder;
  (void)folder.write("strip.yaml", "backfield: aerodrome/1\n");
  std::string text = catalogue_case("");
  text.replace(text.find("catalogue: {"), text.find("weather:") - text.find("catalogue: {"),
               "aerodromes: [strip.yaml]\n");
  const auto loaded = io::load_case(folder.write("case.yaml", text));
  CHECK_FALSE(loaded.ok());
  REQUIRE(loaded.findings.size() == 7);
  CHECK(loaded.findings[0].file == (folder.path() / "strip.yaml").string());
  CHECK(loaded.findings[0].key == "id");
}
