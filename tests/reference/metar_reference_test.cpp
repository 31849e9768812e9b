// Reports decoded by an independent program, and reports it got wrong.
//
// Source of the first: metar-taf-parser 9.1.3 (npm, MIT), whose answers for 15 reports are in
// tests/data/metar/decoded.json (see tests/data/README.md); every one was checked against WMO-No. 306 FM 15 or FMH-1
// before it was kept. Source of the second: the text of the two standards, named beside each row.
// Tolerance: none beyond rounding of the arithmetic; both sides read the same digits. One exception is stated there.

#include "backfield/io/metar.hpp"
#include "backfield/io/render_finding.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <fstream>
#include <map>
#include <string>

using namespace backfield;
using nlohmann::json;

namespace {

json decoded_reports() {
  std::ifstream file(BACKFIELD_SOURCE_DIR "/tests/data/metar/decoded.json");
  REQUIRE(file.good());
  return json::parse(file)["reports"];
}

Speed speed_in(double value, const std::string& unit) {
  return unit == "MPS" ? metres_per_second(value) : knots(value);
}

void compare_wind(const json& expected, const std::optional<decision::WindReport>& wind) {
  REQUIRE(wind.has_value() == !expected.is_null());
  if (!wind) return;
  const std::string unit = expected["unit"];
  CHECK(wind->mean.si() == Approx(speed_in(expected["speed"], unit).si()).margin(1e-12));
  REQUIRE(wind->gust.has_value() == expected.contains("gust"));
  if (wind->gust) CHECK(wind->gust->si() == Approx(speed_in(expected["gust"], unit).si()));
  const bool calm = expected["speed"] == 0;
  CHECK(wind->variable == (expected["direction"] == "VRB" || calm));
  if (!wind->variable) CHECK(std::cos((wind->from.deg() - expected["degrees"].get<double>()) * kPi / 180) == Approx(1));
  REQUIRE(wind->sector.has_value() == expected.contains("minVariation"));
  if (wind->sector) {
    CHECK(wind->sector->first.deg() == Approx(expected["minVariation"].get<double>()));
    CHECK(wind->sector->second.deg() == Approx(expected["maxVariation"].get<double>()));
  }
}

void compare_temperature(const json& expected, const std::optional<Temperature>& read) {
  REQUIRE(read.has_value() == !expected.is_null());
  // The decoder keeps the body's whole degrees, this program the tenths of the remarks, which round to them.
  if (read) CHECK(in_celsius(*read) == Approx(expected.get<double>()).margin(0.5 + 1e-9));
}

void compare_clouds(const json& expected, const io::Metar& m) {
  using Amount = io::CloudLayer::Amount;
  const std::map<std::string, Amount> amounts = {
      {"FEW", Amount::few}, {"SCT", Amount::scattered}, {"BKN", Amount::broken}, {"OVC", Amount::overcast}};
  std::vector<io::CloudLayer> layers = m.clouds;
  if (!expected["verticalVisibility"].is_null()) {
    REQUIRE(layers.size() == 1);
    CHECK(layers[0].amount == Amount::vertical_visibility);
    CHECK(in_feet(layers[0].base.value()) == Approx(expected["verticalVisibility"].get<double>()));
    layers.clear();
  }
  REQUIRE(layers.size() == expected["clouds"].size());
  for (std::size_t i = 0; i < layers.size(); ++i) {
    CHECK(layers[i].amount == amounts.at(expected["clouds"][i]["quantity"]));
    CHECK(in_feet(layers[i].base.value()) == Approx(expected["clouds"][i]["height"].get<double>()));
  }
}

}  // namespace

TEST_CASE("Every report that an independent decoder reads rightly is read alike", "[io][metar][reference]") {
  const json reports = decoded_reports();
  REQUIRE(reports.size() == 15);
  for (const json& expected : reports) {
    const std::string raw = expected["raw"];
    const Loaded<io::Metar> loaded = io::parse_metar(raw);
    INFO(raw << "\n" << io::render(loaded.findings));
    REQUIRE(loaded.ok());
    const io::Metar& m = *loaded.value;
    CHECK(m.station == expected["station"]);
    CHECK(m.day == expected["day"]);
    CHECK(m.hour == expected["hour"]);
    CHECK(m.minute == expected["minute"]);
    CHECK(m.automatic == expected["auto"].is_boolean());
    CHECK(m.corrected == expected["corrected"].is_boolean());
    CHECK(m.cavok == expected["cavok"].is_boolean());
    compare_wind(expected["wind"], m.wind);
    compare_temperature(expected["temperature"], m.temperature);
    compare_temperature(expected["dewPoint"], m.dew_point);
    REQUIRE(m.qnh.has_value() == !expected["altimeter"].is_null());
    if (m.qnh) {
      const double value = expected["altimeter"]["value"];
      CHECK(m.qnh->si() ==
            Approx((expected["altimeter"]["unit"] == "hPa" ? hectopascals(value) : inches_of_mercury(value)).si()));
    }
    const json& visibility = expected["visibility"];
    REQUIRE(m.visibility.has_value() == !visibility.is_null());
    if (m.visibility) {
      const double value = visibility["value"];
      const double expected_m = visibility["unit"] == "SM" ? value * 1609.344 : value == 9999 ? 10000 : value;
      CHECK(in_metres(*m.visibility) == Approx(expected_m));
    }
    compare_clouds(expected, m);
  }
}

// Reports for which that decoder answers wrongly or drops a group in silence (it turned 180100G120KT into 10 kt).
TEST_CASE("Reports that another decoder misreads in silence are refused by name", "[io][metar][reference]") {
  struct Row {
    const char* raw;
    const char* bad_group;  // why, by the standards
  };
  const Row rows[] = {
      {"YSSY 121630Z P99KT 9999 FEW030 21/12 Q1016", "\"P99KT\""},           // FM 15: ddd stands before P99
      {"NIL", "\"NIL\""},                                                    // FM 15: NIL, no report
      {"", "an empty report"},                                               //
      {"METAR EDDF 121650Z 3600KT 9999 10/10 Q1013", "\"3600KT\""},          // FM 15: dddff has five digits
      {"METAR LIRF 121650Z 35010KT 9999 FEW030 10/10 Q1O13", "\"Q1O13\""},   // letter O
      {"METAR SBGR 312559Z 36010KT 9999 20/10 Q1013", "\"312559Z\""},        // hour 25
      {"METAR EGPF 121650Z 400010KT 9999 10/10 Q1013", "\"400010KT\""},      // direction 400
      {"METAR EDDF 121650Z 2401 2KT 9999 05/03 Q1013", "\"2KT\""},           // torn group
      {"METAR EDDF 121650Z 37012KT 9999 05/03 Q1013", "\"37012KT\""},        // direction 370
      {"METAR EDDF 121650Z 24012G08KT 9999 05/03 Q1013", "\"24012G08KT\""},  // reg. 15.5.5
      {"METAR EDDF 121650Z VRB05G20KT 9999 50/60 Q1013", "\"50/60\""},       // dew point above temperature
      {"METAR EDDF 121650Z 24012KT 9999 5/3 Q1013", "\"5/3\""},              // reg. 15.11: two digits
      {"METAR EDDF 121650Z 24012KT 9999 05/03 A992", "\"A992\""},            // four digits
      {"METAR EDDF 121650Z 24012KT 9999 05/03 Q0013", "\"Q0013\""},          // 13 hPa
      {"metar eddf 121650z 24012kt 9999 05/03 q1013", "\"metar\""},          // capitals
  };
  for (const Row& row : rows) {
    const Loaded<io::Metar> loaded = io::parse_metar(row.raw);
    INFO(row.raw << "\n" << io::render(loaded.findings));
    CHECK_FALSE(loaded.ok());
    bool named = false;
    for (const Finding& f : loaded.findings)
      named = named || (f.severity == Severity::error && f.found == row.bad_group);
    CHECK(named);
  }
}

TEST_CASE("Reports that another decoder misreads but the standards allow are read rightly", "[io][metar][reference]") {
  // Three-digit speeds, FM 15; the decoder cut them to 10 kt and lost the gust.
  const Loaded<io::Metar> strong = io::parse_metar("METAR KSEA 121653Z 180100G120KT 10SM CLR 15/07 A2901");
  REQUIRE(strong.ok());
  CHECK(in_knots(strong.value->wind->mean) == Approx(100));
  CHECK(in_knots(strong.value->wind->gust.value()) == Approx(120));
  // A temperature without a dew point, FMH-1 12.6.10; the decoder lost it.
  const Loaded<io::Metar> no_dew_point = io::parse_metar("METAR KABC 121651Z 31015KT P6SM SKC 05/ A2992");
  REQUIRE(no_dew_point.ok());
  CHECK(in_celsius(no_dew_point.value->temperature.value()) == Approx(5));
  // KMH, FM 15; the decoder called them knots, 1.85 times too strong.
  const Loaded<io::Metar> slow = io::parse_metar("METAR EDDF 121650Z 24030KMH 9999 05/03 Q1013=");
  REQUIRE(slow.ok());
  CHECK(in_knots(slow.value->wind->mean) == Approx(30 / 1.852));
  // Two pressures that agree: 29.92 inHg is 1013.2 hPa, and Q rounds down (reg. 15.12).
  const Loaded<io::Metar> two = io::parse_metar("METAR EDDF 121650Z 24012KT 9999 05/03 Q1013 A2992");
  REQUIRE(two.ok());
  CHECK(in_hectopascals(two.value->qnh.value()) == Approx(1013.2).margin(0.05));
}
