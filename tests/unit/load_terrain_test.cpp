#include "backfield/earth/terrain.hpp"
#include "backfield/io/load.hpp"

#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace fs = std::filesystem;
using namespace backfield;
using decision::TerrainBasis;

namespace {

/// The good case with its aerodrome in a folder of its own, so that terrain can be put beside it.
class Place {
 public:
  Place() {
    write("home.yaml", text_of("tests/data/good/home.yaml"));
    case_ = text_of("tests/data/good/case.yaml");
    put(case_, "../../../aircraft/trainer.yaml", std::string(BACKFIELD_SOURCE_DIR) + "/aircraft/trainer.yaml");
  }
  void write(const std::string& name, const std::string& text) const {
    fs::create_directories((directory_.path() / name).parent_path());
    std::ofstream(directory_.path() / name) << text;
  }
  /// Nine posts half a degree about a place, all of one height.
  void grid(const std::string& name, double west, double south, int height_m) const {
    std::ostringstream text;
    text << "ncols 3\nnrows 3\nxllcenter " << west << "\nyllcenter " << south << "\ncellsize 0.1\n";
    for (int i = 0; i < 9; ++i) text << height_m << '\n';
    write(name, text.str());
  }
  void change_aerodrome(const std::string& from, const std::string& to) const {
    std::string text = text_of("tests/data/good/home.yaml");
    while (text.find(from) != std::string::npos) put(text, from, to);
    write("home.yaml", text);
  }
  [[nodiscard]] Loaded<decision::Case> load(const std::string& terrain) const {
    std::string text = case_;
    if (!terrain.empty()) put(text, "weather:", "terrain: " + terrain + "\nweather:");
    write("case.yaml", text);
    return io::load_case((directory_.path() / "case.yaml").string());
  }

 private:
  static std::string text_of(const std::string& path) {
    std::ifstream in(std::string(BACKFIELD_SOURCE_DIR) + "/" + path);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
  }
  static void put(std::string& text, const std::string& from, const std::string& to) {
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    text.replace(at, from.size(), to);
  }
  test::TemporaryDirectory directory_;
  std::string case_;
};

bool assumes(const decision::Case& c, const std::string& words) {
  return std::any_of(c.assumptions.begin(), c.assumptions.end(),
                     [&](const std::string& a) { return a.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("Without a word about terrain the ground is flat, and that is said; so it is when the case says it",
          "[io][terrain]") {
  const Place place;
  const auto silent = place.load("");
  REQUIRE(silent.ok());
  CHECK(silent.value->terrain == TerrainBasis::not_stated);
  CHECK(assumes(*silent.value, "no terrain stated"));
  CHECK(silent.value->ground.terrain == nullptr);
  const auto flat = place.load("flat");
  REQUIRE(flat.ok());
  CHECK(flat.value->terrain == TerrainBasis::flat);
  CHECK(assumes(*flat.value, "terrain stated as flat"));
  CHECK_FALSE(assumes(*flat.value, "no terrain stated"));
  CHECK(flat.value->ground.terrain == nullptr);
}

TEST_CASE("Files and folders of terrain are read beside the case", "[io][terrain]") {
  const Place place;
  place.grid("t/west.asc", -0.2, -0.1, 61);
  place.grid("t/east.asc", 0.0, -0.1, 61);
  place.write("t/N46E007.hgt", "too far away to be opened");
  place.write("t/notes.txt", "not terrain");
  for (const char* terrain : {"{files: [t/west.asc, t/east.asc]}", "{folder: t}"}) {
    const auto loaded = place.load(terrain);
    CAPTURE(terrain);
    REQUIRE(loaded.ok());
    CHECK(loaded.findings.size() == place.load("flat").findings.size() - 1);  // which notes that it is flat
    CHECK(loaded.value->terrain == TerrainBasis::posts);
    CHECK(loaded.value->terrain_source.find("west.asc") != std::string::npos);
    CHECK(loaded.value->terrain_source.find("posts 11100 m apart") != std::string::npos);
    REQUIRE(loaded.value->ground.terrain);
    CHECK(loaded.value->ground.terrain->elevation({metres(15'000), metres(0)})->above_sea_level.si() == Approx(61.0));
    CHECK_FALSE(loaded.value->ground.terrain->elevation({metres(30'000), metres(0)}));
    CHECK_FALSE(assumes(*loaded.value, "flat"));
  }
}

TEST_CASE("Terrain that is not quite as high as the runway is warned of, and of another place refused",
          "[io][terrain]") {
  const Place place;  // 200 ft, 61 m
  const auto with = [&](int height_m) {
    place.grid("t.asc", -0.1, -0.1, height_m);
    return place.load("{files: [t.asc]}");
  };
  const auto warned = [](const Loaded<decision::Case>& loaded) {
    return std::any_of(loaded.findings.begin(), loaded.findings.end(), [](const Finding& f) {
      return f.severity == Severity::warning && f.hint.find("the terrain is") != std::string::npos;
    });
  };
  CHECK(with(70).ok());
  CHECK_FALSE(warned(with(70)));
  CHECK(with(80).ok());
  CHECK(warned(with(80)));
  CHECK(warned(with(40)));
  CHECK_FALSE(with(200).ok());
  CHECK_FALSE(with(-200).ok());
}

TEST_CASE("Near a pole terrain is refused", "[io][terrain]") {
  const Place place;
  place.grid("t.asc", -0.1, 80.4, 61);
  place.change_aerodrome("position: \"0.0 N, 0.0 E\"", "position: \"80.5 N, 0.0 E\"");
  const auto loaded = place.load("{files: [t.asc]}");
  CHECK_FALSE(loaded.ok());
  CHECK(std::any_of(loaded.findings.begin(), loaded.findings.end(),
                    [](const Finding& f) { return f.accepted == "terrain for an aerodrome between 80 S and 80 N"; }));
}
