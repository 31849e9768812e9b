#include "backfield/io/winds_aloft.hpp"

#include "backfield/io/load.hpp"
#include "backfield/io/render_finding.hpp"

#include "src/io/read_winds_aloft.hpp"
#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

// References named beside the checks:
//   Navy    US Navy training texts P-304 and P-1246, winds-aloft forecasts
//   Wiki    en.wikipedia.org, "Winds aloft"
//   AC      FAA AC 00-45, winds and temperatures aloft forecast (from memory)
// Stations and forecasts are invented.

using namespace backfield;
using io::parse_winds_aloft;
using io::WindsAloft;

namespace {

const std::string kHeader = "FT  3000    6000    9000   12000   18000   24000  30000  34000  39000\n";

WindsAloft read(const std::string& text) {
  const Loaded<WindsAloft> loaded = parse_winds_aloft(text, "ZZD");
  INFO(text << io::render(loaded.findings));
  REQUIRE(loaded.ok());
  return *loaded.value;
}

/// One group at one level.
WindsAloft::Level group(const std::string& text, int level_ft) {
  const WindsAloft forecast = read("FT " + std::to_string(level_ft) + "\nZZD " + text + "\n");
  REQUIRE(forecast.levels.size() == 1);
  return forecast.levels[0];
}

void check(const WindsAloft::Level& level, int from, int kt, std::optional<int> temperature) {
  CHECK(level.from.deg() == Approx(from));
  CHECK(in_knots(level.speed) == Approx(kt));
  CHECK(level.temperature_c == temperature);
  CHECK_FALSE(level.light_and_variable);
}

std::string complaint(const std::string& text) {
  const Loaded<WindsAloft> loaded = parse_winds_aloft(text, "ZZD");
  CHECK_FALSE(loaded.ok());
  return io::render(loaded.findings);
}

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("Published groups are decoded as published", "[io][winds_aloft][reference]") {
  check(group("2435", 3000), 240, 35, std::nullopt);    // Navy
  check(group("2435+07", 6000), 240, 35, 7);            // Navy
  check(group("274650", 30000), 270, 46, -50);          // Navy
  check(group("7345", 9000), 230, 145, std::nullopt);   // Navy
  check(group("731960", 34000), 230, 119, -60);         // Wiki
  check(group("1712+05", 6000), 170, 12, 5);            // Navy
  check(group("2332+02", 9000), 230, 32, 2);            // Navy
  const WindsAloft::Level light = group("9900", 3000);  // Navy: light and variable, less than 5 kt
  CHECK(light.light_and_variable);
  CHECK(light.speed.si() == 0.0);
}

TEST_CASE("199 kt stands for more and is said", "[io][winds_aloft][reference]") {
  const Loaded<WindsAloft> loaded = parse_winds_aloft("FT 9000\nZZD 7399\n", "ZZD");  // Navy: 199 kt or more
  REQUIRE(loaded.ok());
  check(loaded.value->levels[0], 230, 199, std::nullopt);
  REQUIRE(loaded.findings.size() == 1);
  CHECK(loaded.findings[0].severity == Severity::warning);
}

TEST_CASE("A sign is there to 24,000 ft and left out above", "[io][winds_aloft]") {
  check(group("2542-27", 24000), 250, 42, -27);
  check(group("2603+00", 6000), 260, 3, 0);
  const WindsAloft::Level light = group("990045", 30000);
  CHECK(light.light_and_variable);
  CHECK(light.temperature_c == -45);
  CHECK(has(complaint("FT 24000\nZZD 254227\n"), "up to 24000 ft a temperature has its sign"));
  CHECK(has(complaint("FT 30000\nZZD 2542-27\n"), "six digits"));
  CHECK(has(complaint("FT 30000\nZZD 2542\n"), "six digits"));
}

TEST_CASE("Blank groups are told by their columns", "[io][winds_aloft]") {
  const WindsAloft forecast = read(kHeader + "ZZD              2820-01 2725-08\n");
  REQUIRE(forecast.levels.size() == 2);
  CHECK(in_feet(forecast.levels[0].altitude) == Approx(9000));
  CHECK(in_feet(forecast.levels[1].altitude) == Approx(12000));
  // Without a temperature its columns may be blank, or the group may stand at their end.
  CHECK(in_feet(read(kHeader + "ZZD         1706 1908+06\n").levels[0].altitude) == Approx(6000).margin(1e-9));
  CHECK(in_feet(read(kHeader + "ZZD      1706    1908+06\n").levels[0].altitude) == Approx(6000).margin(1e-9));
  const WindsAloft hole = read(kHeader + "ZZD 0818 9900+09         2510-03 2426-14 2442-25 245741 245950 246158\n");
  REQUIRE(hole.levels.size() == 8);
  CHECK(in_feet(hole.levels[2].altitude) == Approx(12000));
  CHECK(parse_winds_aloft(kHeader + "ZZD 0818 9900+09         2510-03\n", "ZZD").findings.size() ==
        1);                                       // is warned about
  CHECK_FALSE(hole.levels[2].pressure_altitude);  // AC: true altitudes to 12,000 ft
  CHECK(hole.levels[3].pressure_altitude);        // AC: pressure altitudes from 18,000 ft up
}

TEST_CASE("With a group for every level the order is enough", "[io][winds_aloft]") {
  CHECK(read("FT 3000 6000 9000\nZZD 0818 0920+09 3520+03\n").levels.size() == 3);
}

TEST_CASE("Lost blanks are an error, not another level", "[io][winds_aloft]") {
  CHECK(has(complaint("FT 3000 6000 9000\nZZD 0920+09 3520+03\n"), "ZZD, group \"0920+09\" under no level"));
  CHECK(has(complaint(kHeader + " ZZD 0818 0920+09\n"), "under no level"));
  CHECK(has(complaint(kHeader + "ZZD\t0818\n"), "a tab"));
  CHECK(has(complaint("FT 3000 6000\nZZD 0818 0920+09 3520+03\n"), "3 groups"));
}

TEST_CASE("A malformed group is named with station and level", "[io][winds_aloft]") {
  for (const std::string bad : {"271", "27144", "2714*05", "2714+5", "2714+055", "27I4", "2714+O5", "271405", "27-14",
                                "0012", "3714", "5012", "8714", "9901", "9850", "0000", "M", "+05"}) {
    const std::string said = complaint("FT 6000 9000\nZZD " + bad + " 2714+05\n");
    INFO(bad << "\n" << said);
    CHECK(has(said, "ZZD, group \"" + bad + "\" at 6000 ft"));
    CHECK(has(said, "four digits"));
  }
}

TEST_CASE("A text without its header or its station is told what it lacks", "[io][winds_aloft]") {
  CHECK(has(complaint(""), "a line that begins with FT"));
  CHECK(has(complaint("ZZD 0818\n"), "without a header"));
  CHECK(has(complaint(kHeader + "ZZC 0818\nZZE 0818\n"), "ZZC, ZZE"));
  CHECK(has(complaint("FT 6000 3000\nZZD 0818 2714+05\n"), "rising"));
  CHECK(has(complaint("FT 3OOO\nZZD 0818\n"), "level \"3OOO\""));
  CHECK(has(complaint("FT\nZZD 0818\n"), "without levels"));
  CHECK(has(complaint("FT 3000\nZZD 0818\nZZD 0919\n"), "a second line"));
}

TEST_CASE("A forecast joins the report's wind, both true", "[io][winds_aloft][case]") {
  const auto loaded = io::load_case(BACKFIELD_SOURCE_DIR "/tests/data/good/winds_aloft.yaml");
  INFO(io::render(loaded.findings));
  REQUIRE(loaded.ok());
  const decision::Weather& weather = loaded.value->weather;
  CHECK(weather.wind.from.deg() == Approx(340.0));
  REQUIRE(weather.aloft.size() == 7);
  CHECK(in_feet(weather.aloft[0].height.above_datum) == Approx(2800.0));  // 3,000 ft less the elevation, 200 ft
  CHECK(weather.aloft[0].wind.from().deg() == Approx(80.0));
  CHECK(in_knots(weather.aloft[0].wind.speed()) == Approx(18.0));
  CHECK(weather.aloft[1].wind.speed().si() == 0.0);
  CHECK(weather.aloft[3].wind.from().deg() == Approx(230.0));
  CHECK(in_knots(weather.aloft[3].wind.speed()) == Approx(145.0));
  // 18,000 ft of pressure: QNH is 0.25 hPa below standard, 7 ft; at 200 ft 16 C are 1.4 C over standard, half a per
  // cent.
  CHECK(in_feet(weather.aloft[3].height.above_datum + loaded.value->elevation.above_sea_level) ==
        Approx(18000.0).margin(120.0));
  CHECK(in_feet(weather.aloft[3].height.above_datum + loaded.value->elevation.above_sea_level) > 18040.0);
  const auto& said = loaded.value->assumptions;
  CHECK(std::any_of(said.begin(), said.end(), [](const auto& s) { return has(s, "6000 ft: light and variable"); }));
  CHECK(std::any_of(said.begin(), said.end(), [](const auto& s) { return has(s, "winds aloft of ZZD taken as"); }));
}

TEST_CASE("Levels nearer to the aerodrome than 1,500 ft are left out and said", "[io][winds_aloft]") {
  const test::TemporaryDirectory directory;
  const std::string path =
      directory.write("forecast.yaml", "station: ZZD\ntext: |\n  FT 3000 6000\n  ZZD 0818 0920+09\n");
  const auto read_at = [&path](Length elevation) {
    const io::Document document = io::read_document(path);
    io::Reading reading(document);
    decision::Weather weather;
    const earth::Air air(hectopascals(1013.25), {elevation}, celsius(15), earth::DensityRule::aerodrome);
    io::read_winds_aloft(io::Value::root(reading), air, std::nullopt, weather);
    std::string said;
    for (const Finding& f : reading.take()) said += f.found + "\n";
    return std::pair(weather.aloft.size(), said);
  };
  CHECK(read_at(feet(1500)).first == 2);  // 3,000 ft is 1,500 ft above
  const auto [levels, said] = read_at(feet(1501));
  CHECK(levels == 1);
  CHECK(has(said, "winds aloft at 3000 ft left out: less than 1500 ft above the aerodrome"));
  const auto none = read_at(feet(5000));
  CHECK(none.first == 0);
  CHECK(has(none.second, "3000 ft, 6000 ft left out"));
  CHECK(has(none.second, "the surface wind is all there is"));
}

TEST_CASE("A forecast for another time of the day is warned about", "[io][winds_aloft]") {
  const test::TemporaryDirectory directory;
  const auto warned = [&](const std::string& use, std::optional<earth::UtcClock> departure) {
    const std::string path =
        directory.write("forecast.yaml", "station: ZZD\ntext: |\n  VALID 121800Z   FOR USE " + use +
                                             ". TEMPS NEG ABV 24000\n  FT 3000 6000\n  ZZD 0818 0920+09\n");
    const io::Document document = io::read_document(path);
    io::Reading reading(document);
    decision::Weather weather;
    const earth::Air air(hectopascals(1013.25), {feet(0)}, celsius(15), earth::DensityRule::aerodrome);
    io::read_winds_aloft(io::Value::root(reading), air, departure ? earth::utc(*departure) : std::nullopt, weather);
    return has(io::render(reading.take()), "a forecast for use at the departure's time");
  };
  CHECK_FALSE(warned("1400-2100Z", std::nullopt));
  CHECK_FALSE(warned("1400-2100Z", earth::UtcClock{2026, 11, 12, 14, 0}));
  CHECK_FALSE(warned("1400-2100Z", earth::UtcClock{2026, 11, 12, 21, 0}));
  CHECK(warned("1400-2100Z", earth::UtcClock{2026, 11, 12, 13, 59}));
  CHECK(warned("1400-2100Z", earth::UtcClock{2026, 11, 12, 22, 0}));
  CHECK(warned("1400-2100Z", earth::UtcClock{2026, 11, 27, 18, 0}));        // the day of the month is another one
  CHECK_FALSE(warned("2100-0600Z", earth::UtcClock{2026, 11, 12, 23, 0}));  // over midnight
  CHECK_FALSE(warned("2100-0600Z", earth::UtcClock{2026, 11, 12, 5, 0}));
  CHECK(warned("2100-0600Z", earth::UtcClock{2026, 11, 12, 12, 0}));
  CHECK(has(complaint("VALID 12180Z FOR USE 1400-2100Z\nFT 3000\nZZD 0818\n"), "VALID 121800Z"));
  CHECK(has(complaint("VALID 121800Z FOR USE 14-21Z\nFT 3000\nZZD 0818\n"), "FOR USE 1400-2100Z"));
  CHECK(has(complaint("VALID 121800Z FOR USE 1400-9900Z\nFT 3000\nZZD 0818\n"), "FOR USE 1400-2100Z"));
  CHECK(has(complaint("VALID 121800Z FOR USE\nFT 3000\nZZD 0818\n"), "FOR USE 1400-2100Z"));
}
