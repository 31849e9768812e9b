// Files of elevations, good and bad. What is said of a bad one is pinned word for word.

#include "backfield/io/elevation_posts.hpp"
#include "backfield/io/render_finding.hpp"

#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <fstream>
#include <functional>
#include <string>

using namespace backfield;

namespace {

const test::TemporaryDirectory& folder() {
  static const test::TemporaryDirectory directory;
  return directory;
}

std::string write(const std::string& name, const std::string& bytes) {
  const std::string path = (folder().path() / name).string();
  std::ofstream(path, std::ios::binary) << bytes;
  return path;
}

/// Row and column from the north-west, from 0.
std::string tile(std::size_t side, const std::function<int(std::size_t, std::size_t)>& height) {
  std::string bytes;
  bytes.reserve(2 * side * side);
  for (std::size_t row = 0; row < side; ++row) {
    for (std::size_t column = 0; column < side; ++column) {
      const auto h = static_cast<std::uint16_t>(height(row, column));
      bytes += static_cast<char>(h >> 8U);
      bytes += static_cast<char>(h & 0xFFU);
    }
  }
  return bytes;
}

/// The one finding, without its path.
std::string said(const Loaded<earth::ElevationPosts>& loaded) {
  CHECK_FALSE(loaded.ok());
  REQUIRE(loaded.findings.size() == 1);
  Finding f = loaded.findings.front();
  CHECK(f.severity == Severity::error);
  f.file = f.file.substr(f.file.rfind('/') + 1);
  return io::render({f});
}

std::string said_of_grid(const std::string& text) { return said(io::read_esri_grid(write("bad.asc", text))); }

const std::string kHeader = "ncols 3\nnrows 2\nxllcorner 7.0\nyllcorner 46.0\ncellsize 0.01\nNODATA_value -9999\n";

}  // namespace

TEST_CASE("A tile of either size gives its posts where its name puts them, the high byte first", "[io][terrain]") {
  for (const std::size_t side : {1201U, 3601U}) {
    const auto height = [side](std::size_t row, std::size_t column) {
      if (row == 5 && column == 7) return -32768;
      return row == side - 1 && column == 0 ? -412 : static_cast<int>(row + 2 * column) % 8000;
    };
    const auto loaded = io::read_hgt(write("S47W008.hgt", tile(side, height)));
    REQUIRE(loaded.ok());
    const earth::ElevationPosts& p = *loaded.value;
    CHECK(p.rows == side);
    CHECK(p.columns == side);
    CHECK(in_degrees(p.south_west.latitude) == -47.0);
    CHECK(in_degrees(p.south_west.longitude) == -8.0);
    CHECK(in_degrees(p.step_north) * static_cast<double>(side - 1) == Approx(1.0).epsilon(1e-14));
    CHECK(std::isnan(p.heights_m[5 * side + 7]));
    CHECK(p.heights_m[0] == 0.0F);
    CHECK(p.heights_m[3 * side + 200] == 403.0F);
    CHECK(p.heights_m[(side - 1) * side] == -412.0F);
    // Half a spacing about the void the ground is unknown, and known beyond it: never 0.
    const double step = in_degrees(p.step_north);
    const earth::Geodetic at_void{degrees(-46.0 - 5 * step), degrees(-8.0 + 7 * step)};
    const earth::Terrain terrain(at_void, {earth::within_reach(at_void, p)});
    CHECK_FALSE(terrain.elevation({metres(0), metres(0)}));
    CHECK(terrain.elevation({metres(0), metres(-2.0 * 111'195.0 * step)})->above_sea_level.si() ==
          Approx(7 + 14).margin(0.1));
  }
}

TEST_CASE("The name of a tile says where it lies", "[io][terrain]") {
  const auto corner = [](const char* name) { return io::corner_of_hgt(name); };
  CHECK(in_degrees(corner("a/N46E007.hgt")->latitude) == 46.0);
  CHECK(in_degrees(corner("n00w180.HGT")->longitude) == -180.0);
  CHECK(in_degrees(corner("S01E179.hgt")->latitude) == -1.0);
  for (const char* bad : {"N46E07.hgt", "46N007E.hgt", "N90E000.hgt", "N46E180.hgt", "S91E000.hgt", "N46X007.hgt",
                          "N4 E007.hgt", "N46E007.hgt.zip", "N-6E007.hgt", ".hgt", ""}) {
    CAPTURE(bad);
    CHECK_FALSE(corner(bad));
  }
}

TEST_CASE("A bad tile is refused in one sentence", "[io][terrain][bad]") {
  CHECK(said(io::read_hgt(write("alps.hgt", ""))) ==
        "alps.hgt: found a name that does not say where the tile lies, accepted the south-west corner, such as "
        "N46E007.hgt\n  hint: N00 to N89 or S01 to S90, then E000 to E179 or W001 to W180\n");
  CHECK(said(io::read_hgt(write("N46E007.hgt", std::string(2884801, '\0')))) ==
        "N46E007.hgt: found a file of 2884801 bytes, accepted 2884802 bytes (1201 x 1201 posts) or 25934402 bytes "
        "(3601 x 3601 posts)\n  hint: a tile that was cut off, or is still compressed, has another size\n");
  CHECK(said(io::read_hgt(write("N46E008.hgt", ""))).find("a file of 0 bytes") != std::string::npos);
  const auto peak = [](std::size_t row, std::size_t column) { return row == 2 && column == 16 ? 9001 : 700; };
  CHECK(said(io::read_hgt(write("N46E009.hgt", tile(1201, peak)))) ==
        "N46E009.hgt: found 9001 m in row 3, column 17, accepted an elevation from -600 to 9000 m, or -32768 for void\n"
        "  hint: each number has its high byte first: are the bytes swapped?\n");
  CHECK_FALSE(io::read_hgt((folder().path() / "N10E010.hgt").string()).ok());
  CHECK(said(io::read_elevation_posts(write("ridge.tif", "x"))) ==
        "ridge.tif: found a name with another ending, accepted a file named .hgt or .asc\n");
}

TEST_CASE("The worked example of a grid is read as its description says", "[io][terrain]") {
  // The layout of the example in Esri's description of the format (4 columns, 6 rows, NODATA -9999, corner 0 0), with
  // a cell size in degrees; heights as there.
  const std::string text =
      "ncols         4\nnrows         6\nxllcorner     0.0\nyllcorner     0.0\ncellsize      0.05\n"
      "NODATA_value  -9999\n-9999 -9999 5 2\n-9999 20 100 36\n3 8 35 10\n32 42 50 6\n88 75 27 9\n13 5 1 -9999\n";
  const auto loaded = io::read_esri_grid(write("example.asc", text));
  REQUIRE(loaded.ok());
  const earth::ElevationPosts& p = *loaded.value;
  CHECK(p.rows == 6);
  CHECK(p.columns == 4);
  CHECK(in_degrees(p.south_west.latitude) == Approx(0.025));  // half a cell inside of the corner
  CHECK(in_degrees(p.south_west.longitude) == Approx(0.025));
  CHECK(std::isnan(p.heights_m[0]));
  CHECK(p.heights_m[5] == 20.0F);
  CHECK(p.heights_m[6] == 100.0F);
  CHECK(p.heights_m[20] == 13.0F);
  CHECK(std::isnan(p.heights_m[23]));
  // By centre, keys in another order and case, rows broken anywhere: the same posts, half a cell farther out.
  const auto other = io::read_esri_grid(write(
      "other.asc", "NROWS 2\r\nncols 2\r\nCellSize 1e-2\r\nxllcenter -180\r\nYLLCENTER -0.5\r\n1 2.5\r\n\r\n-3 4\r\n"));
  REQUIRE(other.ok());
  CHECK(in_degrees(other.value->south_west.longitude) == Approx(-180.0));
  CHECK(in_degrees(other.value->south_west.latitude) == Approx(-0.5));
  REQUIRE(other.value->heights_m.size() == 4);
  CHECK(other.value->heights_m[0] == 1.0F);
  CHECK(other.value->heights_m[1] == 2.5F);
  CHECK(other.value->heights_m[2] == -3.0F);
  CHECK(other.value->heights_m[3] == 4.0F);
}

TEST_CASE("A bad grid is refused in one sentence, with its line and its place in the grid", "[io][terrain][bad]") {
  CHECK(said_of_grid(kHeader + "1 2 3\n4 x5 6\n") ==
        "bad.asc:8:3: found \"x5\" in row 2, column 2, accepted an elevation from -600 to 9000 m, or the "
        "NODATA_value\n");
  CHECK(said_of_grid(kHeader + "1 2 nan\n4 5 6\n").find("\"nan\" in row 1, column 3") != std::string::npos);
  CHECK(said_of_grid(kHeader + "1 2 inf\n4 5 6\n").find("\"inf\" in row 1, column 3") != std::string::npos);
  CHECK(said_of_grid(kHeader + "1 9001 3\n4 5 6\n").find("\"9001\" in row 1, column 2") != std::string::npos);
  CHECK(said_of_grid(kHeader + "1 2 3\n4 5\n") ==
        "bad.asc: found 5 numbers, the last before row 2, column 3, accepted 6: 2 rows of 3\n"
        "  hint: was the file cut off?\n");
  CHECK(said_of_grid(kHeader + "1 2 3\n4 5 6 7\n") == "bad.asc:8:7: found more numbers than 6, accepted 2 rows of 3\n");
  CHECK(said_of_grid("ncols 3\nxllcorner 7\nyllcorner 46\ncellsize 0.01\n1 2 3\n") ==
        "bad.asc: found no nrows, accepted a whole number from 2 to 20000\n");
  CHECK(said_of_grid("ncols 3\nnrows 2\nxllcorner 7\ncellsize 0.01\n1 2 3 4 5 6\n") ==
        "bad.asc: found no yllcorner, accepted yllcorner or yllcenter, one of them\n");
  CHECK(said_of_grid("ncols 3\nnrows 2\nxllcorner 7\nxllcenter 7\nyllcorner 1\ncellsize 0.01\n1 2 3 4 5 6\n") ==
        "bad.asc: found both xllcorner and xllcenter, accepted xllcorner or xllcenter, one of them\n");
  CHECK(said_of_grid("ncols 3\nncols 3\n") == "bad.asc:2:1: found \"ncols\", accepted each key once\n");
  CHECK(said_of_grid("ncols 3.5\n") == "bad.asc:1:7: found \"3.5\", accepted ncols: a whole number from 2 to 20000\n");
  CHECK(said_of_grid("xllcorner 650000\n") ==
        "bad.asc:1:11: found \"650000\", accepted xllcorner: a longitude from -180 to 180 degrees\n"
        "  hint: geographic degrees are needed, not metres of a projection\n");
  CHECK(said_of_grid("cellsize 90\n").find("not metres of a projection") != std::string::npos);
  CHECK(said_of_grid("cellsize\n") ==
        "bad.asc:1:1: found the end of the file, accepted cellsize: 0.0002 to 0.1 degrees\n");
  CHECK(said_of_grid("dx 0.01\n").find("found \"dx\", accepted ncols, nrows") != std::string::npos);
  CHECK(said_of_grid("ncols 20000\nnrows 20000\nxllcorner 7\nyllcorner 46\ncellsize 0.001\n") ==
        "bad.asc: found more than 15 million posts, accepted a smaller part of the grid\n"
        "  hint: 60 km about the aerodrome will do\n");
  CHECK(said_of_grid("ncols 2\nnrows 200\nxllcorner 7\nyllcorner 89.9\ncellsize 0.001\n1")
            .find("rows that go past a pole") != std::string::npos);
  const std::string without = kHeader.substr(0, kHeader.find("NODATA"));
  CHECK(said_of_grid(without + "1 2 3\n4 -9999 6\n").find("the header has no NODATA_value") != std::string::npos);
  CHECK(said_of_grid("").find("no ncols") != std::string::npos);
  CHECK(said_of_grid(std::string("ncols \0 3", 9)).find("found \"?\"") != std::string::npos);
}

TEST_CASE("Whatever is spoilt in a grid, there is a value or one finding", "[io][terrain][robust]") {
  const std::string good = kHeader + "1 2 3\n4 -9999 6\n";
  REQUIRE(io::read_esri_grid(write("good.asc", good)).ok());
  for (std::size_t i = 0; i < good.size(); ++i) {
    for (const char c : {'x', '-', '9', '\n', '\0', '\xff', ' '}) {
      std::string bytes = good;
      bytes[i] = c;
      const auto loaded = io::read_esri_grid(write("spoilt.asc", bytes));
      CAPTURE(i, static_cast<int>(c));
      CHECK(loaded.findings.size() == (loaded.ok() ? 0 : 1));
    }
    const auto cut = io::read_esri_grid(write("cut.asc", good.substr(0, i)));
    CHECK(cut.ok() == (i + 1 >= good.size()));
  }
}
