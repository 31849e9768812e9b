// The source's own CSV files: those of tests/data/catalogue and others written here, all of them invented.

#include "src/io/catalogue_source.hpp"
#include "tests/tools/catalogue_fixture.hpp"

#include <algorithm>
#include <string>
#include <vector>

using namespace backfield;
using namespace backfield::io;

namespace {

const std::string kDirectory = BACKFIELD_SOURCE_DIR "/tests/data/catalogue";

std::string rejected(const CatalogueAerodrome& a) {
  std::string text;
  for (const RejectedRunway& r : a.rejected) text += r.name + ": " + std::string(describe(r.fault)) + "; ";
  return text;
}

CatalogueAerodrome found(const Catalogue& catalogue, const std::string& id) {
  const Loaded<CatalogueAerodrome> a = catalogue.find(id);
  INFO(render(a.findings));
  REQUIRE(a.ok());
  return *a.value;
}

const std::string kAirports =
    "id,ident,type,name,latitude_deg,longitude_deg,elevation_ft,iso_country\n1,ZZDA,small_airport,Home,0,0.005,100,"
    "ZZ\n";
const std::string kRunwayHeader =
    "airport_ref,airport_ident,length_ft,width_ft,surface,lighted,closed,le_ident,le_latitude_deg,le_longitude_deg,"
    "le_elevation_ft,le_heading_degT,le_displaced_threshold_ft,he_ident,he_latitude_deg,he_longitude_deg,"
    "he_elevation_ft,he_heading_degT,he_displaced_threshold_ft\n";
const std::string kRunway = "1,ZZDA,3652,98,ASP,1,0,09,0,0,100,90,,27,0,0.01,100,270,\n";

std::string write(const Scratch& scratch, const std::string& airports, const std::string& runways,
                  const std::string& frequencies = "airport_ref,type,frequency_mhz\n") {
  scratch.write("airports.csv", airports);
  scratch.write("runways.csv", runways);
  scratch.write("airport-frequencies.csv", frequencies);
  return scratch.path("");
}

std::string with(std::string text, const std::string& from, const std::string& to) {
  REQUIRE(text.find(from) != std::string::npos);
  return text.replace(text.find(from), from.size(), to);
}

}  // namespace

TEST_CASE("The source's CSV files give aerodromes with runways, surfaces and frequencies", "[io][catalogue][csv]") {
  const Loaded<Catalogue> opened_files = Catalogue::open(kDirectory);
  REQUIRE(opened_files.ok());
  const Catalogue& catalogue = *opened_files.value;
  CHECK(catalogue.attribution() == "Aerodrome data: OurAirports (ourairports.com), public domain");
  CHECK(catalogue.stamp_kind() == StampKind::file);
  CHECK(catalogue.stamped().size() == 10);

  const CatalogueAerodrome a = found(catalogue, "ZZEA");
  CHECK(a.name == "Invented Alder, \"East\" Field");
  CHECK(a.country == "ZZ");
  REQUIRE(a.runways.size() == 1);
  CHECK(a.runways[0].name() == "09/27");
  CHECK(a.runways[0].surface == CatalogueSurface::asphalt);
  CHECK(a.runways[0].surface_as_written == "ASPH-G");
  CHECK(a.runways[0].lit);
  CHECK(in_feet(a.runways[0].ends[1].displaced.value()) == Approx(300));
  CHECK(in_feet(a.runways[0].ends[1].elevation->above_sea_level) == Approx(42));
  CHECK(rejected(a) ==
        "09/27: length below 600 or above 20,000 ft; 09R/27L: runway closed; 09L/27R: headings do not match the "
        "coordinates; 09/27: water; ");
  CHECK(a.frequency == "118.9 MHz");
  REQUIRE(a.frequencies.size() == 2);
  CHECK(a.frequencies[1].service == "ATIS");
  CHECK(a.frequencies[1].mhz == "127.05 MHz");

  const CatalogueAerodrome b = found(catalogue, "ZZEB");
  CHECK(b.name == "Invented Birch");  // a line break within quotes
  CHECK(b.runways[0].surface == CatalogueSurface::grass);
  CHECK(rejected(b) == ": no coordinates of its ends; 18: coordinates of one end only; ");
  CHECK(b.frequency == "122.8 MHz");
  REQUIRE(b.doubtful_frequencies.size() == 1);
  CHECK(b.doubtful_frequencies[0].mhz == "25.43");
  CHECK(catalogue_assumptions(b).front() ==
        "ZZEB: traffic frequency \"25.43\" left out: no aeronautical frequency in MHz");

  CHECK(rejected(found(catalogue, "ZZEC")) == "09/27: aerodrome closed; ");
  CHECK(rejected(found(catalogue, "ZZEH")) == ": not an aerodrome for land planes; ");
}

TEST_CASE("An aerodrome without an elevation has that of its highest end, or is left out", "[io][catalogue][csv]") {
  const Catalogue catalogue = *Catalogue::open(kDirectory).value;
  const CatalogueAerodrome d = found(catalogue, "ZZED");
  CHECK(in_feet(d.elevation.above_sea_level) == Approx(75));
  CHECK(d.elevation_from_ends);
  CHECK(catalogue_assumptions(d).front() ==
        "ZZED: elevation taken from its highest runway end, 75 ft: the open catalogue has none");
  const Loaded<CatalogueAerodrome> q = catalogue.find("ZZEQ");
  CHECK_FALSE(q.ok());
  REQUIRE(q.findings.size() == 1);
  CHECK(q.findings[0].found == "aerodrome \"ZZEQ\" without a usable position or elevation");
}

TEST_CASE("A code finds an aerodrome whose id it is not, unless several have it", "[io][catalogue][csv]") {
  CHECK(found(*Catalogue::open(kDirectory).value, "ZZEE").id == "ZZ-0005");
  const Scratch scratch;
  const std::string airports =
      "gps_code,icao_code,id,ident,type,name,latitude_deg,longitude_deg,elevation_ft,iso_country\n"
      "ZZDX,,1,ZZDA,small_airport,A,0,0,0,ZZ\nZZDX,ZZDX,2,ZZDB,small_airport,B,0,0,0,ZZ\n"
      "ZZDA,,3,ZZDC,small_airport,C,0,0,0,ZZ\n";
  const Catalogue catalogue = opened(write(scratch, airports, kRunwayHeader));
  CHECK(found(catalogue, "ZZDA").name == "A");  // an id comes before codes
  const Loaded<CatalogueAerodrome> several = catalogue.find("ZZDX");
  CHECK_FALSE(several.ok());
  REQUIRE(several.findings.size() == 1);
  CHECK(several.findings[0].accepted == "one of their ids: ZZDA, ZZDB");
}

TEST_CASE("A figure that cannot be read costs its runway and is named with file, row and column",
          "[io][catalogue][csv]") {
  const Catalogue catalogue = *Catalogue::open(kDirectory).value;
  const Loaded<CatalogueAerodrome> e = catalogue.find("ZZ-0005");
  REQUIRE(e.ok());
  CHECK(e.value->runways.size() == 1);
  CHECK(rejected(*e.value) == "08/26: a figure that is missing or cannot be; ");
  REQUIRE(e.findings.size() == 1);
  const Finding& f = e.findings[0];
  CHECK(f.severity == Severity::warning);
  CHECK(f.file == kDirectory + "/runways.csv");
  CHECK(f.line == 13);
  CHECK(f.key == "length_ft");
  CHECK(f.found == "\"long\"");
  CHECK(f.accepted == "a number");

  const Scratch scratch;
  for (const auto& [from, to, key] : std::vector<std::array<std::string, 3>>{{"3652", "nan", "length_ft"},
                                                                             {"3652", "3,652", ""},
                                                                             {"98", "wide", "width_ft"},
                                                                             {",90,", ",E,", "le_heading_degT"},
                                                                             {"0.01", "0.0l", "he_longitude_deg"},
                                                                             {",1,0,", ",1,no,", "closed"}}) {
    CAPTURE(from, to);
    const std::string path = write(scratch, kAirports, kRunwayHeader + with(kRunway, from, to));
    if (key.empty()) {
      CHECK(refusal(path, "runways.csv") == "20 fields");
      continue;
    }
    const Loaded<CatalogueAerodrome> a = opened(path).find("ZZDA");
    REQUIRE(a.ok());
    CHECK(a.value->runways.empty() == (key != "width_ft"));  // nothing depends on the width
    REQUIRE(a.findings.size() == 1);
    CHECK(a.findings[0].line == 2);
    CHECK(a.findings[0].key == key);
  }
}

TEST_CASE("A damaged CSV file is refused with file and row", "[io][catalogue][csv]") {
  const Scratch scratch;
  CHECK(refusal(write(scratch, kAirports, kRunwayHeader + kRunway + "1,ZZDA,36"), "runways.csv") == "3 fields");
  CHECK(refusal(write(scratch, kAirports, kRunwayHeader + "\"1,ZZDA\n"), "runways.csv") ==
        "a quote that is not closed or stands astray");
  CHECK(refusal(write(scratch, kAirports, ""), "runways.csv") == "no column \"airport_ref\"");
  CHECK(refusal(write(scratch, kAirports, with(kRunwayHeader, "closed", "shut")), "runways.csv") ==
        "no column \"closed\"");
  CHECK(refusal(write(scratch, with(kAirports, "elevation_ft", "elevation_m"), kRunwayHeader), "airports.csv") ==
        "no column \"elevation_ft\"");
  CHECK(refusal(write(scratch, kAirports, kRunwayHeader, "airport_ref,type\n"), "airport-frequencies.csv") ==
        "no column \"frequency_mhz\"");
  fs::remove(scratch.path("runways.csv"));
  CHECK(refusal(scratch.path("")) == "a directory without runways.csv");
  fs::create_directory(scratch.path("runways.csv"));
  CHECK(refusal(scratch.path(""), "runways.csv") == "a directory");
}

TEST_CASE("Rows of no aerodrome, ids given twice and missing frequencies are counted and named",
          "[io][catalogue][csv]") {
  const Loaded<Catalogue> files = Catalogue::open(kDirectory);
  REQUIRE(files.findings.size() == 2);
  CHECK(render(files.findings[0]) == kDirectory +
                                         "/runways.csv:17: warning: found airport_ref \"99\", accepted an id of "
                                         "airports.csv\n  hint: 1 such runway: left out\n");
  CHECK(files.findings[1].file == kDirectory + "/airport-frequencies.csv");

  const Scratch scratch;
  const std::string twice = kAirports + "1,ZZDB,small_airport,Other,0,0,0,ZZ\n1,ZZDC,small_airport,Third,0,0,0,ZZ\n";
  write(scratch, twice, kRunwayHeader + kRunway);
  fs::remove(scratch.path("airport-frequencies.csv"));
  const Loaded<Catalogue> warned = Catalogue::open(scratch.path(""));
  REQUIRE(warned.ok());
  REQUIRE(warned.findings.size() == 2);
  CHECK(warned.findings[0].line == 3);
  CHECK(warned.findings[0].hint == "2 such rows: the first one counts");
  CHECK(warned.findings[1].hint == "no frequencies are known");
  CHECK(found(*warned.value, "ZZDA").runways.size() == 1);
  CHECK_FALSE(warned.value->find("ZZDB").ok());
}

TEST_CASE("A byte order mark, CR LF, quotes and columns in another order do not matter", "[io][catalogue][csv]") {
  const Scratch scratch;
  const std::string airports =
      "\xEF\xBB\xBF\"keywords\",\"elevation_ft\",\"iso_country\",\"id\",\"ident\",\"type\",\"name\",\"latitude_deg\","
      "\"longitude_deg\"\r\n\"a, \"\"b\"\"\",\"100\",ZZ,1,\"ZZDA\",\"small_airport\",\"Home \"\"old\"\"\r\nfield\",0,"
      "\"0.005\"\r\n\r\n";
  const Catalogue catalogue = opened(write(scratch, airports, kRunwayHeader + kRunway));
  CHECK(found(catalogue, "ZZDA").name == "Home \"old\" field");
  CHECK(found(catalogue, "ZZDA").runways.size() == 1);
}

TEST_CASE("Neighbours of CSV files are found across the antimeridian and at the pole", "[io][catalogue][csv]") {
  const Catalogue catalogue = *Catalogue::open(kDirectory).value;
  const auto near = catalogue.neighbourhood({degrees(-17.5), degrees(-180)}, nautical_miles(10));
  REQUIRE(near.ok());
  std::string ids;
  for (const Neighbour& n : near.value->usable) ids += n.aerodrome.id + " ";
  CHECK(ids == "ZZEA ZZEB ZZ-0005 ZZED ");
  CHECK(near.value->usable[1].away.initial_bearing.deg() == Approx(90).margin(0.02));
  const CatalogueCount& count = near.value->count;
  CHECK(count.aerodromes == 6);  // ZZEQ, without an elevation, is no aerodrome
  CHECK(count.with_usable_runway == 4);
  CHECK(count.usable_runways == 4);
  CHECK(count.of_unknown_surface == 1);
  CHECK(count.rejected_runways() == 9);
  CHECK(count.rejected[static_cast<std::size_t>(RunwayFault::no_ends)] == 1);
  CHECK(std::any_of(near.findings.begin(), near.findings.end(),
                    [](const Finding& f) { return f.found.find("ZZEQ") != std::string::npos; }));
  const auto first = catalogue.nearest({degrees(-17.5), degrees(-180)}, 2, nautical_miles(10));
  REQUIRE(first.ok());
  REQUIRE(first.value->size() == 2);
  CHECK(first.value->back().aerodrome.id == "ZZEB");
  const auto pole = catalogue.within({degrees(-90), degrees(0)}, nautical_miles(1));
  REQUIRE(pole.ok());
  REQUIRE(pole.value->size() == 1);
  CHECK(pole.value->front().id == "ZZEP");
}

TEST_CASE("Surfaces are read from many spellings, and a mixture or a riddle is unknown", "[io][catalogue][csv]") {
  using S = CatalogueSurface;
  const std::vector<std::pair<std::string, S>> spellings = {
      {"asphalt", S::asphalt},    {"ASP", S::asphalt},       {"ASPH-G", S::asphalt},
      {"Asphalt ", S::asphalt},   {"BIT", S::asphalt},       {"CON", S::concrete},
      {"conc-grvd", S::concrete}, {"CONCRETE", S::concrete}, {"ASPH-CONC", S::asphalt},
      {"GRS", S::grass},          {"GRASS / SOD", S::grass}, {"Turf", S::grass},
      {"TURF-F", S::grass},       {"GRVL", S::gravel},       {"GRE", S::gravel},
      {"dirt", S::dirt},          {"clay", S::dirt},         {"LAT", S::dirt},
      {"PSP", S::metal},          {"WATER", S::water},       {"", S::unknown},
      {"unknown", S::unknown},    {"UNK", S::unknown},       {"ASPH-TURF", S::unknown},
      {"TURF/GRVL", S::unknown},  {"ASPH 60", S::unknown},   {"G", S::unknown},
      {"COP", S::unknown},        {"sand", S::unknown},      {"gr\xC3\xA4s", S::unknown},
      {"PEM", S::unknown},        {"no asphalt", S::unknown}};
  for (const auto& [text, surface] : spellings) {
    CAPTURE(text);
    CHECK(describe(read_surface(text)) == describe(surface));
  }
}
