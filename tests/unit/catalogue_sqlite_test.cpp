// The data package's SQLite form, on databases invented here; their aerodromes' ids begin with ZZ.

#include "tests/tools/catalogue_fixture.hpp"

#include <sqlite3.h>

#include <algorithm>
#include <iterator>
#include <string>
#include <vector>

using namespace backfield;
using namespace backfield::io;

namespace {

class Database {
 public:
  explicit Database(const std::string& path) {
    REQUIRE(sqlite3_open(path.c_str(), &db_) == SQLITE_OK);
    run("CREATE TABLE airports(id INTEGER PRIMARY KEY, icao, name, type, latitude, longitude, elevation_ft, "
        "country_code, updated_at)");
    run("CREATE TABLE runways(id INTEGER PRIMARY KEY, airport_id, length_ft, width_ft, surface, lighted)");
    run("CREATE TABLE runway_ends(id INTEGER PRIMARY KEY, runway_id, ident, heading_degT, latitude_deg, longitude_deg, "
        "displaced_threshold_ft, elevation_ft)");
    run("CREATE TABLE frequencies(airport_id, tower, unicom, atis, ground, approach)");
  }
  ~Database() { sqlite3_close(db_); }
  Database(const Database&) = delete;
  Database& operator=(const Database&) = delete;

  void run(const std::string& sql) {
    char* message = nullptr;
    INFO(sql);
    REQUIRE(sqlite3_exec(db_, sql.c_str(), nullptr, nullptr, &message) == SQLITE_OK);
  }
  void aerodrome(const std::string& icao, const std::string& type = "small_airport",
                 const std::string& name = "'Field'", const std::string& place = "45, 0.005, 100") {
    ++aerodrome_;
    run("INSERT INTO airports VALUES(" + std::to_string(aerodrome_) + ",'" + icao + "'," + name + ",'" + type + "'," +
        place + ",'ZZ','2026-02-16 17:16:16')");
  }
  void runway(const std::string& length_width, const std::string& surface = "grass") {
    ++runway_;
    run("INSERT INTO runways VALUES(" + std::to_string(runway_) + "," + std::to_string(aerodrome_) + "," +
        length_width + ",'" + surface + "',0)");
  }
  /// values: ident, heading, latitude, longitude, displaced threshold, elevation
  void end(const std::string& values) {
    run("INSERT INTO runway_ends VALUES(NULL," + std::to_string(runway_) + "," + values + ")");
  }
  /// An aerodrome with one runway of two ends.
  void field(const std::string& icao, const std::string& length_width, const std::string& end1, const std::string& end2,
             const std::string& surface = "grass", const std::string& type = "small_airport") {
    aerodrome(icao, type);
    runway(length_width, surface);
    end(end1);
    end(end2);
  }

 private:
  sqlite3* db_ = nullptr;
  int aerodrome_ = 0;
  int runway_ = 0;
};

// At 45 degrees north 0.01 degree of longitude is 788.5 m = 2,587 ft (WGS 84, prime vertical radius 6,388,838 m).
const std::string kWest = "'09',90,45,0,NULL,100";
const std::string kEast = "'27',270,45,0.01,NULL,110";

}  // namespace

TEST_CASE("Every kind of dirty runway is survived and rejected with its reason", "[io][catalogue][sqlite]") {
  const Scratch scratch;
  const std::string path = scratch.path("a b#?%20.sqlite");  // a name that a URI would take apart
  struct Row {
    std::string id;
    RunwayFault fault;
  };
  std::vector<Row> expected;
  {
    Database db(path);
    db.run("BEGIN");
    const auto reject = [&](RunwayFault fault, const std::string& length_width, const std::string& end1,
                            const std::string& end2, const std::string& surface = "grass",
                            const std::string& type = "small_airport") {
      const std::string id = "ZZ" + std::to_string(expected.size());
      db.field(id, length_width, end1, end2, surface, type);
      expected.push_back({id, fault});
    };
    using F = RunwayFault;
    reject(F::aerodrome_closed, "2587,98", kWest, kEast, "grass", "closed");
    reject(F::not_for_land_planes, "2587,98", kWest, kEast, "grass", "heliport");
    reject(F::not_for_land_planes, "2587,98", kWest, kEast, "water", "seaplane_base");
    reject(F::not_for_land_planes, "2587,98", kWest, kEast, "grass", "balloonport");
    reject(F::not_for_land_planes, "2587,98", kWest, kEast, "grass", "");
    reject(F::water, "2587,98", kWest, kEast, "water");
    reject(F::length_out_of_range, "0,98", kWest, kEast);
    reject(F::length_out_of_range, "30,30", kWest, kEast);
    reject(F::length_out_of_range, "-2587,98", kWest, kEast);
    reject(F::length_out_of_range, "9e99,98", kWest, kEast);
    reject(F::unreadable, "NULL,98", kWest, kEast);
    reject(F::unreadable, "'long',98", kWest, kEast);
    reject(F::unreadable, "2587,98", "'09',NULL,45,0,NULL,100", kEast);
    reject(F::unreadable, "2587,98", "'09',361,45,0,NULL,100", kEast);
    reject(F::unreadable, "2587,98", "'09',90,95,0,NULL,100", kEast);
    reject(F::unreadable, "2587,98", "'09',90,45,181,NULL,100", kEast);
    reject(F::unreadable, "2587,98", "'09',90,9e999,0,NULL,100", kEast);
    reject(F::unreadable, "2587,98", "'09',90,x'00',0,NULL,100", kEast);
    reject(F::unreadable, "2587,98", "'09',90,45,0,-10,100", kEast);
    reject(F::unreadable, "2587,98", "'09',90,45,0,'some',100", kEast);
    reject(F::unreadable, "2587,98", "'',90,45,0,NULL,100", kEast);
    reject(F::length_mismatch, "2587,98", kWest, "'27',270,45,0,NULL,110");         // both ends at one point
    reject(F::length_mismatch, "2587,98", kWest, "'27',270,45,8.2,NULL,110");       // hundreds of kilometres
    reject(F::length_mismatch, "2587,98", kWest, "'27',270,-45,-179.99,NULL,110");  // nearly antipodal
    reject(F::length_mismatch, "5600,98", kWest, kEast);                            // half the length
    reject(F::length_mismatch, "2800,98", kWest, kEast);                            // 213 ft off
    reject(F::ends_swapped, "2587,98", "'27',270,45,0,NULL,100", "'09',90,45,0.01,NULL,110");
    reject(F::heading_mismatch, "2587,98", kWest, "'09',90,45,0.01,NULL,110");  // both headings alike
    reject(F::heading_mismatch, "2587,98", kWest, "'27',241,45,0.01,NULL,110");
    reject(F::heading_mismatch, "2587,98", "'09',110,45,0,NULL,100", kEast);
    reject(F::designator_mismatch, "2587,98", "'27',90,45,0,NULL,100", "'09',270,45,0.01,NULL,110");
    reject(F::designator_mismatch, "2587,98", "'1',90,45,0,NULL,100", kEast);
    reject(F::displacement, "2587,98", "'09',90,45,0,2100,100", kEast);
    reject(F::slope, "2587,98", kWest, "'27',270,45,0.01,NULL,500");
    db.aerodrome("ZZNONE");
    db.runway("2587,98");
    expected.push_back({"ZZNONE", F::no_ends});
    db.aerodrome("ZZONE");
    db.runway("2587,98");
    db.end(kWest);
    expected.push_back({"ZZONE", F::one_end});
    db.aerodrome("ZZTHREE");
    db.runway("2587,98");
    for (int i = 0; i < 3; ++i) db.end(kWest);
    expected.push_back({"ZZTHREE", F::too_many_ends});
    db.aerodrome("ZZFAR", "small_airport", "'Far'", "45.2, 0.005, 100");  // 12 NM from its runway
    db.runway("2587,98");
    db.end(kWest);
    db.end(kEast);
    expected.push_back({"ZZFAR", F::far_from_aerodrome});
    db.run("INSERT INTO runways VALUES(9001, 8001, 2587, 98, 'grass', 0)");            // of no aerodrome
    db.run("INSERT INTO runway_ends VALUES(NULL, 9002, '09', 90, 45, 0, NULL, 100)");  // of no runway
    db.run("COMMIT");
  }
  const Catalogue catalogue = opened(path);
  for (const Row& row : expected) {
    const Loaded<CatalogueAerodrome> a = catalogue.find(row.id);
    INFO(row.id << ": expected " << describe(row.fault));
    REQUIRE(a.ok());
    CHECK(a.value->runways.empty());
    REQUIRE(a.value->rejected.size() == 1);
    CHECK(describe(a.value->rejected[0].fault) == describe(row.fault));
    CHECK(a.value->left_out == 1);
  }
  const auto all = catalogue.all();
  REQUIRE(all.ok());
  CHECK(all.value->size() == expected.size());
  const auto near = catalogue.within({degrees(45), degrees(0)}, nautical_miles(50));
  REQUIRE(near.ok());
  CHECK(near.value->empty());
}

TEST_CASE("Odd but sound runways are kept, and odd figures do not go further", "[io][catalogue][sqlite]") {
  const Scratch scratch;
  const std::string path = scratch.path("odd.sqlite");
  {
    Database db(path);
    db.field("ZZW0", "2587,0", kWest, kEast);
    db.field("ZZW1", "2587,7075", kWest, kEast, "concrete");
    db.field("ZZN", "2587,98", "'E',90,45,0,NULL,NULL", "'W',270,45,0.01,NULL,110", "");
    db.field("ZZT", "2587,98", "'09T',90,45,0,NULL,-20", "'27T',270,45,0.01,NULL,-10", "metal");
    db.field("ZZ360", "2586,98", "'36',360,45,0.005,NULL,100", "'18',180,45.00709,0.005,NULL,100", "dirt");
    db.field("ZZ0", "2586,98", "'36',0,45,0.005,NULL,100", "'18',180,45.00709,0.005,NULL,100", "PEM");
    db.field("ZZSTEEP", "2587,98", kWest, "'27',270,45,0.01,NULL,300");
    db.field("ZZHIGH", "2587,98", "'09',90,45,0,NULL,500", "'27',270,45,0.01,NULL,500");
    db.aerodrome("ZZNAME", "small_airport",
                 "'A' || char(9) || ' <b>&\"B' || char(160) || 'C' || char(1076) || x'FF' || char(10)");
    db.runway("2587,98", "gravel");
    db.end(kWest);
    db.end(kEast);
    db.run("INSERT INTO frequencies(airport_id, unicom) VALUES(9, '122.8')");
    db.aerodrome("ZZLOST", "small_airport", "'Lost'", "'north', 0, 100");
  }
  const Catalogue catalogue = opened(path);
  const auto get = [&](const std::string& id) {
    const Loaded<CatalogueAerodrome> a = catalogue.find(id);
    INFO(id << "\n" << render(a.findings));
    REQUIRE(a.ok());
    REQUIRE(a.value->runways.size() == 1);
    return *a.value;
  };
  const earth::LocalFrame frame({degrees(45), degrees(0)});
  CHECK_FALSE(get("ZZW0").runways[0].width);
  CHECK_FALSE(get("ZZW1").runways[0].width);
  CHECK(get("ZZN").runways[0].name() == "E/W");
  CHECK_FALSE(get("ZZN").runways[0].slope());
  CHECK(runway_ends(get("ZZN"), frame)[1].slope == 0.0);
  CHECK(catalogue_assumptions(get("ZZN"))[0] ==
        "ZZN E/W: taken as level, and E as high as the aerodrome, 100 ft: the open catalogue does not say");
  CHECK(in_feet(runway_ends(get("ZZT"), frame)[0].elevation.above_sea_level) == Approx(-20));
  CHECK(runway_ends(get("ZZT"), frame)[0].surface == earth::Surface::unknown);
  CHECK(get("ZZ360").runways[0].ends[0].bearing.deg() == Approx(0).margin(1e-6));
  CHECK(get("ZZ0").runways[0].surface == CatalogueSurface::unknown);
  CHECK(catalogue_assumptions(get("ZZSTEEP"))[0] ==
        "ZZSTEEP 09/27: the open catalogue's elevations make a slope of 7.7 %: check it");
  CHECK(catalogue_assumptions(get("ZZHIGH"))[0] ==
        "ZZHIGH 09/27: elevation of 09, 500 ft, is far from the aerodrome's, 100 ft: check it");
  CHECK(get("ZZNAME").name == "A <b>&\"B C\xD0\xB4?");
  CHECK(get("ZZNAME").frequency == "122.8 MHz");
  CHECK_FALSE(catalogue.find("ZZLOST").ok());
  const auto all = catalogue.all();
  REQUIRE(all.ok());
  CHECK(all.value->size() == 9);
  REQUIRE(all.findings.size() == 1);
  CHECK(all.findings[0].severity == Severity::warning);
}

TEST_CASE("Both forms of the catalogue say the same of the same runway", "[io][catalogue][sqlite]") {
  const Scratch scratch;
  const std::string sqlite = scratch.path("same.sqlite");
  {
    Database db(sqlite);
    db.aerodrome("ZZDA", "medium_airport", "'Home, \"old\" field'", "0, 0.005, 100");
    db.runway("3652,98", "asphalt");
    db.run("UPDATE runways SET lighted = 1");
    db.end("'09',90,0,0,NULL,100");
    db.end("'27',270,0,0.01,300,120");
    db.run("INSERT INTO frequencies(airport_id, tower, unicom) VALUES(1, '118.9', '122.8')");
  }
  const Loaded<CatalogueAerodrome> a = opened(sqlite).find("ZZDA");
  const Loaded<CatalogueAerodrome> b = opened(scratch.write("c.csv", kHead + kColumns + kHome)).find("ZZDA");
  REQUIRE((a.ok() && b.ok()));
  CHECK(a.value->name == b.value->name);
  CHECK(a.value->frequency == b.value->frequency);
  REQUIRE((a.value->runways.size() == 1 && b.value->runways.size() == 1));
  const CatalogueRunway& x = a.value->runways[0];
  const CatalogueRunway& y = b.value->runways[0];
  CHECK(x.name() == y.name());
  CHECK(x.length == y.length);
  CHECK(x.width == y.width);
  CHECK(x.surface == y.surface);
  CHECK(x.lit == y.lit);
  CHECK(x.slope() == y.slope());
  for (std::size_t i = 0; i < 2; ++i) {
    CHECK(x.ends[i].bearing.deg() == y.ends[i].bearing.deg());
    CHECK(x.ends[i].displaced == y.ends[i].displaced);
    CHECK(x.ends[i].elevation == y.ends[i].elevation);
  }
}

TEST_CASE("A damaged, cut-off or foreign SQLite file is refused by name and never written", "[io][catalogue][sqlite]") {
  const Scratch scratch;
  const std::string path = scratch.path("whole.sqlite");
  {
    Database db(path);
    for (int i = 0; i < 200; ++i) db.field("ZZ" + std::to_string(i), "2587,98", kWest, kEast);
  }
  std::ifstream in(path, std::ios::binary);
  const std::string whole((std::istreambuf_iterator<char>(in)), {});
  REQUIRE(whole.size() > 16384);
  CHECK(refusal(scratch.write("cut.sqlite", whole.substr(0, whole.size() - 4096))) ==
        "an SQLite file of " + std::to_string(whole.size() - 4096) + " bytes that is cut off");
  CHECK(refusal(scratch.write("head.sqlite", whole.substr(0, 40))) == "an SQLite file of 40 bytes that is cut off");

  std::string scrambled = whole;
  std::fill(scrambled.begin() + 4096, scrambled.end(), '\xA5');
  const Loaded<Catalogue> damaged = Catalogue::open(scratch.write("scrambled.sqlite", scrambled));
  REQUIRE_FALSE(damaged.ok());
  CHECK(damaged.findings[0].found.find("a damaged SQLite file") == 0);

  const auto lacking = [&](const std::string& sql) {
    const std::string file = scratch.path("lacking.sqlite");
    fs::remove(file);
    {
      Database db(file);
      db.run(sql);
    }
    return refusal(file);
  };
  CHECK(lacking("DROP TABLE runway_ends") == "no table \"runway_ends\"");
  CHECK(lacking("ALTER TABLE runways RENAME COLUMN length_ft TO length_m") ==
        "table \"runways\" without column \"length_ft\"");
  CHECK(lacking("DROP TABLE frequencies") == "no table \"frequencies\"");

  const Catalogue catalogue = opened(path);
  CHECK(catalogue.find("ZZ7").ok());
  CHECK_FALSE(catalogue.find("ZZ7' OR 1=1 --").ok());
  std::ifstream again(path, std::ios::binary);
  CHECK(std::string((std::istreambuf_iterator<char>(again)), {}) == whole);
  CHECK_FALSE(fs::exists(path + "-journal"));
  CHECK_FALSE(fs::exists(path + "-wal"));
}
