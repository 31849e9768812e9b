#include "backfield/io/load.hpp"
#include "backfield/io/render_finding.hpp"

#include "src/io/read_aerodrome.hpp"
#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <fstream>
#include <sstream>

using namespace backfield;

namespace {

/// An aerodrome at a place of its own, with a table of obstacles beside it.
class Strip {
 public:
  explicit Strip(std::string position = "0.0 N, 0.0 E") : position_(std::move(position)) {}
  [[nodiscard]] Loaded<io::AerodromeFile> with(const std::string& table,
                                               const std::string& obstacles = "{file: o.csv}") const {
    std::ofstream(directory_.path() / "o.csv") << table;
    std::ofstream(directory_.path() / "strip.yaml")
        << "backfield: aerodrome/1\nid: ZZST\nname: Strip (invented)\ninvented: yes\nsource: invented\n"
        << "elevation: 200 ft\nposition: \"" << position_ << "\"\nvariation: 0 deg E\nrunways:\n"
        << "  - {length: 900 m, surface: paved, lit: no, ends: [{designator: \"36\", position: \"" << position_
        << "\", bearing: 360 deg true, displaced_threshold: 0 m, tora: 900 m, toda: 900 m, asda: 900 m, lda: 900 m}, "
        << "{designator: \"18\", displaced_threshold: 0 m, tora: 900 m, toda: 900 m, asda: 900 m, lda: 900 m}]}\n"
        << "obstacles: " << obstacles << "\n";
    return io::load_aerodrome((directory_.path() / "strip.yaml").string());
  }

 private:
  test::TemporaryDirectory directory_;
  std::string position_;
};

std::vector<Finding> of(const std::vector<Finding>& findings, Severity severity) {
  std::vector<Finding> some;
  for (const Finding& f : findings) {
    if (f.severity == severity) some.push_back(f);
  }
  return some;
}

bool assumes(const std::vector<Finding>& findings, const std::string& words) {
  for (const Finding& f : of(findings, Severity::note)) {
    if (f.found.find(words) != std::string::npos) return true;
  }
  return false;
}

}  // namespace

TEST_CASE("A table of obstacles reads as the same obstacles stated one by one", "[io][obstacles]") {
  const Strip strip;
  const auto table = strip.with(
      "longitude,name,top_m,latitude,half_width_m\r\n-0.005,mast,150,0.01,20\r\n0.01,\"mill, old\",95.5,-0.02,0\r\n");
  const auto stated = strip.with("",
                                 "[{name: mast, position: \"0.0100 N, 0.0050 W\", top: 150 m, half_width: 20 m}, "
                                 "{name: \"mill, old\", position: \"0.02 S, 0.01 E\", top: 95.5 m, half_width: 0 m}]");
  REQUIRE(table.ok());
  REQUIRE(stated.ok());
  CHECK(of(table.findings, Severity::warning).empty());
  const auto& a = table.value->ground.obstacles;
  const auto& b = stated.value->ground.obstacles;
  REQUIRE(a.size() == 2);
  REQUIRE(b.size() == 2);
  for (std::size_t i = 0; i < 2; ++i) {
    CHECK(a[i].name == b[i].name);
    CHECK(earth::distance(a[i].position, b[i].position).si() < 1e-6);
    CHECK(a[i].top.above_sea_level.si() == Approx(b[i].top.above_sea_level.si()));
    CHECK(a[i].half_width.si() == b[i].half_width.si());
  }
  CHECK(assumes(table.findings, "obstacles: 2 read from o.csv"));
}

TEST_CASE("Feet are feet, and a half width that is not stated is said", "[io][obstacles]") {
  const auto loaded =
      Strip().with("name,latitude,longitude,top_ft,half_width_ft,lit\nmast,0.01,0,1000,100,yes\nmill,0.02,0,500,,no\n");
  REQUIRE(loaded.ok());
  const auto& o = loaded.value->ground.obstacles;
  REQUIRE(o.size() == 2);
  CHECK(o[0].top.above_sea_level.si() == Approx(304.8));
  CHECK(o[0].half_width.si() == Approx(30.48));
  CHECK(o[1].half_width.si() == 0.0);
  CHECK(assumes(loaded.findings, "no half width stated for 1, taken as points"));
  CHECK(assumes(loaded.findings, "columns not used: lit"));
}

TEST_CASE("A table and stated obstacles go together", "[io][obstacles]") {
  const auto loaded =
      Strip().with("name,latitude,longitude,top_m\nmill,0.02,0,150\n",
                   "[{name: mast, position: \"0.01 N, 0.005 W\", top: 150 m, half_width: 20 m}, {file: o.csv}]");
  REQUIRE(loaded.ok());
  CHECK(loaded.value->ground.obstacles.size() == 2);
}

TEST_CASE("Swapped latitude and longitude are told from a place that is far off", "[io][obstacles]") {
  const auto swapped = Strip("47.0 N, 8.0 E").with("name,latitude,longitude,top_m\nmast,8.01,47.01,150\n");
  REQUIRE_FALSE(swapped.ok());
  const auto errors = of(swapped.findings, Severity::error);
  REQUIRE(errors.size() == 1);
  CHECK(errors[0].line == 2);
  CHECK(errors[0].column == 6);
  CHECK(errors[0].key == "latitude");
  CHECK(errors[0].hint.find("swapped") != std::string::npos);

  const auto far = Strip("47.0 N, 8.0 E").with("name,latitude,longitude,top_m\nmast,49.01,8.01,150\n");
  const auto others = of(far.findings, Severity::error);
  REQUIRE(others.size() == 1);
  CHECK(others[0].hint.find("swapped") == std::string::npos);

  // Where the longitude is no latitude, too.
  const auto east = Strip("10.0 N, 120.0 E").with("name,latitude,longitude,top_m\nmast,120.01,10.01,150\n");
  REQUIRE(of(east.findings, Severity::error).size() == 1);
  CHECK(of(east.findings, Severity::error)[0].hint.find("swapped") != std::string::npos);
}

TEST_CASE("Two obstacles of one place are warned of, and both are kept", "[io][obstacles]") {
  const auto loaded =
      Strip().with("name,latitude,longitude,top_m\nmast,0.01,0,150\nmill,0.02,0,150\nMast,0.01003,0,140\n");
  REQUIRE(loaded.ok());
  CHECK(loaded.value->ground.obstacles.size() == 3);
  const auto warnings = of(loaded.findings, Severity::warning);
  REQUIRE(warnings.size() == 1);
  CHECK(warnings[0].line == 4);
  CHECK(warnings[0].hint.find("\"mast\"") != std::string::npos);
  // 0.0001 degrees are 11 m: two obstacles.
  const auto apart = Strip().with("name,latitude,longitude,top_m\nmast,0.01,0,150\nmast,0.0101,0,150\n");
  CHECK(of(apart.findings, Severity::warning).empty());
}

TEST_CASE("A top below the aerodrome is warned of where it stands", "[io][obstacles]") {
  const auto loaded = Strip().with("name,latitude,longitude,top_m\nmast,0.01,0,60\n");
  REQUIRE(loaded.ok());
  const auto warnings = of(loaded.findings, Severity::warning);
  REQUIRE(warnings.size() == 1);
  CHECK(warnings[0].key == "top_m");
  CHECK(warnings[0].line == 2);
}

TEST_CASE("A row with too many fields does not hide what is wrong in the next", "[io][obstacles]") {
  const auto loaded = Strip().with("name,latitude,longitude,top_m\nmill, old,0.01,0,60\nmast,north,0,150\n");
  const auto errors = of(loaded.findings, Severity::error);
  REQUIRE(errors.size() == 2);
  CHECK(errors[0].line == 2);
  CHECK(errors[1].line == 3);
}

TEST_CASE("A table without a row is refused", "[io][obstacles]") {
  CHECK_FALSE(Strip().with("name,latitude,longitude,top_m\n").ok());
  CHECK_FALSE(Strip().with("").ok());
}

TEST_CASE("A table that would take minutes is refused at once", "[io][obstacles]") {
  std::string table = "name,latitude,longitude,top_m\n";
  const auto add = [&table](int i) { table += "m," + std::to_string(0.0002 * i) + ",0.1,150\n"; };
  for (int i = 0; i < 1000; ++i) add(i);
  CHECK(Strip().with(table).ok());
  for (int i = 1000; i < 1010; ++i) add(i);
  const auto errors = of(Strip().with(table).findings, Severity::error);
  REQUIRE(errors.size() == 1);
  CHECK(errors[0].found == "more than 1000 obstacles");
}

TEST_CASE("Blanks about names and numbers do not matter, other separators are told", "[io][obstacles]") {
  const auto loaded = Strip().with("name, latitude, longitude, top_m\nmast, 0.01, 0.02, 150\n");
  REQUIRE(loaded.ok());
  CHECK(loaded.value->ground.obstacles.front().name == "mast");
  const auto errors = of(Strip().with("name;latitude;longitude;top_m\nmast;0,01;0,02;150\n").findings, Severity::error);
  REQUIRE(errors.size() == 1);
  CHECK(errors[0].hint.find("separated by commas") != std::string::npos);
}
