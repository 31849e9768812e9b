#include "tests/tools/catalogue_fixture.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

using namespace backfield;
using namespace backfield::io;

namespace {

const std::string kNear = "ZZDB,0.05,0.005,50,Near,ZZ,,,3652,98,grass,no,09,0.05,0,90,,,27,0.05,0.01,270,,\n";
const std::string kFar = "ZZDC,1,0.005,50,Far,ZZ,,,3652,0,,no,09,1,0,90,,50,27,1,0.01,270,,50\n";

}  // namespace

TEST_CASE("The extract gives an aerodrome with both ends, in its own words and units", "[io][catalogue]") {
  const Scratch scratch;
  const Catalogue catalogue = opened(scratch.write("c.csv", kHead + kColumns + kHome + kNear));
  CHECK(catalogue.stamped() == "2026-02-16");
  CHECK(catalogue.attribution() == "Invented aerodromes, no licence needed");
  const Loaded<CatalogueAerodrome> found = catalogue.find("ZZDA");
  REQUIRE(found.ok());
  const CatalogueAerodrome& a = *found.value;
  CHECK(a.name == "Home, \"old\" field");
  CHECK(a.country == "ZZ");
  CHECK(a.frequency == "118.9 MHz");
  CHECK(a.left_out == 2);
  CHECK(a.rejected.empty());
  CHECK(in_feet(a.elevation.above_sea_level) == Approx(100));
  REQUIRE(a.runways.size() == 1);
  const CatalogueRunway& r = a.runways[0];
  CHECK(r.name() == "09/27");
  CHECK(in_feet(r.length) == Approx(3652));
  CHECK(in_feet(r.width.value()) == Approx(98));
  CHECK(r.surface == CatalogueSurface::asphalt);
  CHECK(r.lit);
  CHECK(r.coordinates == EndCoordinates::pavement_ends);
  CHECK(r.ends[0].bearing.deg() == Approx(90));
  CHECK(r.ends[1].bearing.deg() == Approx(270));
  CHECK_FALSE(r.ends[0].displaced);
  CHECK(in_feet(r.ends[1].displaced.value()) == Approx(300));
  CHECK(r.slope().value() == Approx(20.0 / 3652));
}

TEST_CASE("An id that is not there is an error that names it", "[io][catalogue]") {
  const Scratch scratch;
  const Catalogue catalogue = opened(scratch.write("c.csv", kHead + kColumns + kHome));
  for (const char* id : {"ZZD", "ZZDAA", "zzda", "", "0"}) {
    const Loaded<CatalogueAerodrome> none = catalogue.find(id);
    CHECK_FALSE(none.ok());
    REQUIRE(none.findings.size() == 1);
    CHECK(none.findings[0].found == "no aerodrome \"" + std::string(id) + "\"");
  }
}

TEST_CASE("Neighbours come nearest first and no further than asked for", "[io][catalogue]") {
  const Scratch scratch;
  const Catalogue catalogue = opened(scratch.write("c.csv", kHead + kColumns + kFar + kNear + kHome));
  const earth::Geodetic here{degrees(0), degrees(0.005)};
  const auto ids = [&](Length radius) {
    const auto loaded = catalogue.within(here, radius);
    REQUIRE(loaded.ok());
    std::string all;
    for (const CatalogueAerodrome& a : *loaded.value) all += a.id + " ";
    return all;
  };
  // One degree of the meridian from the equator is 110,574.4 m, 0.05 degree 5,528.7 m (WGS 84, meridian arc).
  CHECK(ids(metres(1)) == "ZZDA ");
  CHECK(ids(metres(5528)) == "ZZDA ");
  CHECK(ids(metres(5529.5)) == "ZZDA ZZDB ");
  CHECK(ids(metres(110570)) == "ZZDA ZZDB ");
  CHECK(ids(metres(110580)) == "ZZDA ZZDB ZZDC ");
}

TEST_CASE("Neighbours are found across the antimeridian", "[io][catalogue]") {
  const Scratch scratch;
  const std::string east =
      "ZZDE,10,179.995,0,East,ZZ,,,3597,98,,no,09,10,179.99,90,,0,27,10,-180,270,,0\n";  // 0.01 degree at 10 N, 1,096.5
                                                                                         // m
  const Catalogue catalogue = opened(scratch.write("c.csv", kHead + kColumns + east));
  const auto near = catalogue.within({degrees(10), degrees(-179.99)}, nautical_miles(2));
  REQUIRE(near.ok());
  REQUIRE(near.value->size() == 1);
  CHECK(near.value->front().runways[0].ends[0].bearing.deg() == Approx(90).margin(0.01));
}

TEST_CASE("A line that cannot be read is named with its number, when it is needed", "[io][catalogue]") {
  const Scratch scratch;
  std::string bad = kNear;
  bad.replace(bad.find("3652"), 4, "3,65");
  std::string word = kNear;
  word.replace(word.find("3652"), 4, "long");
  for (const auto& [line, key, found] : std::vector<std::array<std::string, 3>>{
           {word, "length_ft", "\"long\""},
           {bad, "", "25 fields"},
           {"ZZDB,0.05\n", "", "2 fields"},
           {"ZZDB,0.05,\"open\n", "", "a quote that is not closed or stands astray"}}) {
    const std::string path = scratch.write("c.csv", kHead + kColumns + kHome + line);
    const Catalogue catalogue = opened(path);
    const Loaded<CatalogueAerodrome> near = catalogue.find("ZZDB");
    CHECK_FALSE(near.ok());
    REQUIRE(near.findings.size() == 1);
    CHECK(near.findings[0].file == path);
    CHECK(near.findings[0].line == 6);
    CHECK(near.findings[0].key == key);
    CHECK(near.findings[0].found == found);
    CHECK_FALSE(catalogue.all().ok());
    CHECK(catalogue.find("ZZDA").ok());
  }
  for (const char* number : {"nan", "inf", "1e999", "0x10", "12 ", ""}) {
    std::string damaged = kNear;
    damaged.replace(damaged.find("3652"), 4, number);
    CAPTURE(number);
    CHECK_FALSE(opened(scratch.write("c.csv", kHead + kColumns + damaged)).find("ZZDB").ok());
  }
  // A latitude that is no number cannot be told to be outside the band, so every search by place reports it.
  std::string lost = kNear;
  lost.replace(lost.find("0.05"), 4, "O.05");
  CHECK_FALSE(
      opened(scratch.write("c.csv", kHead + kColumns + lost)).within({degrees(60), degrees(0)}, metres(9)).ok());
}

TEST_CASE("What is no catalogue is refused with the reason", "[io][catalogue]") {
  const Scratch scratch;
  CHECK(refusal(scratch.path("missing.csv")) == "no such file");
  CHECK(refusal(scratch.path("")) == "a directory without airports.csv");
  CHECK(refusal(scratch.write("empty.csv", "")) == "a file that is no aerodrome catalogue");
  CHECK(refusal(scratch.write("other.csv", "ident,name\nZZDA,Home\n")) == "a file that is no aerodrome catalogue");
  CHECK(refusal(scratch.write("bare.csv", "# backfield catalogue extract/1\n" + kColumns)) == "no stamp");
  CHECK(refusal(scratch.write("stamp.csv", "# backfield catalogue extract/1\n# stamped: 2026-02-16\n" + kColumns)) ==
        "no attribution");
  CHECK(refusal(scratch.write("columns.csv", kHead + "id,name\n")) == "another header line");
  CHECK(refusal(scratch.write("none.csv", kHead)) == "another header line");
}

TEST_CASE("Thresholds instead of pavement ends are recognised, and worked back to the pavement", "[io][catalogue]") {
  const Scratch scratch;
  // 3,652 ft between the coordinates; 4,252 ft of pavement with 400 and 200 ft displaced.
  const std::string line = "ZZDT,0,0.005,0,T,ZZ,,,4252,98,,no,09,0,0,90,400,0,27,0,0.01,270,200,0\n";
  const Catalogue catalogue = opened(scratch.write("c.csv", kHead + kColumns + line));
  const Loaded<CatalogueAerodrome> a = catalogue.find("ZZDT");
  REQUIRE(a.ok());
  REQUIRE(a.value->runways.size() == 1);
  CHECK(a.value->runways[0].coordinates == EndCoordinates::landing_thresholds);
  const earth::LocalFrame frame({degrees(0), degrees(0)});
  const std::vector<earth::RunwayEnd> ends = runway_ends(*a.value, frame);
  CHECK(in_feet(ends[0].pavement_start.east) == Approx(-400).margin(0.1));
  CHECK(in_feet(ends[0].threshold().east) == Approx(0).margin(0.1));
  CHECK(in_feet(ends[1].pavement_start.east) == Approx(3652.2 + 200).margin(0.5));
  const std::vector<std::string> said = catalogue_assumptions(*a.value);
  CHECK(std::any_of(said.begin(), said.end(),
                    [](const std::string& s) { return s.find("mark the landing thresholds") != s.npos; }));
}

TEST_CASE("Runway ends carry what the catalogue knows and nothing more", "[io][catalogue]") {
  const Scratch scratch;
  const Catalogue catalogue = opened(scratch.write("c.csv", kHead + kColumns + kHome + kNear));
  const Loaded<CatalogueAerodrome> home = catalogue.find("ZZDA");
  REQUIRE(home.ok());
  const earth::LocalFrame frame(home.value->reference);
  const std::vector<earth::RunwayEnd> ends = runway_ends(*home.value, frame);
  REQUIRE(ends.size() == 2);
  CHECK(ends[0].aerodrome == "ZZDA");
  CHECK(ends[0].designator == "09");
  CHECK(ends[0].track.deg() == Approx(90));
  CHECK(in_metres(ends[0].pavement_start.east) == Approx(-556.597).margin(0.01));
  CHECK(ends[0].slope == Approx(20.0 / 3652));
  CHECK(ends[1].slope == Approx(-20.0 / 3652));
  CHECK(in_feet(ends[1].elevation.above_sea_level) == Approx(120));
  CHECK(in_feet(ends[1].displaced) == Approx(300));
  CHECK(in_metres(distance(ends[1].pavement_start, ends[1].threshold())) == Approx(91.44));
  for (const earth::RunwayEnd& end : ends) {
    CHECK(end.provenance == earth::Provenance::catalogue);
    CHECK_FALSE((end.tora || end.toda || end.asda || end.lda));
    CHECK(end.surface == earth::Surface::paved);
    CHECK(end.frequency == "118.9 MHz");
  }
  CHECK(catalogue_assumptions(*home.value) ==
        std::vector<std::string>{"ZZDA 09/27: no displaced threshold assumed at 09: the open catalogue does not say"});

  const Loaded<CatalogueAerodrome> near = catalogue.find("ZZDB");
  REQUIRE(near.ok());
  const std::vector<earth::RunwayEnd> level = runway_ends(*near.value, frame);
  CHECK(level[0].slope == 0.0);
  CHECK_FALSE(std::signbit(level[1].slope));
  CHECK(in_feet(level[0].elevation.above_sea_level) == Approx(50));
  CHECK(level[0].surface == earth::Surface::grass_wet);
  CHECK(
      catalogue_assumptions(*near.value) ==
      std::vector<std::string>{
          "ZZDB 09/27: taken as level, and 09 and 27 as high as the aerodrome, 50 ft: the open catalogue does not say",
          "ZZDB 09/27: no displaced threshold assumed at 09 and 27: the open catalogue does not say",
          "ZZDB 09/27: grass taken as wet: the open catalogue does not say how wet"});
}
