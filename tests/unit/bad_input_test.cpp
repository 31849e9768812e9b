// Every file in tests/data/bad, one trap each, against the words that a person is told. The words stand in
// tests/data/bad/findings.txt; a change there is a change of what the program says and is to be read as one. Run with
// BACKFIELD_APPROVE=1 in the environment, the first test writes them down anew, and fails so that nobody takes that for
// a pass.
//
//   text    not a plain YAML file
//   form    keys, types or units that the format does not have (these fail the JSON Schemas too)
//   sense   right in form, wrong against each other or against the day (these pass the schemas)

#include "backfield/io/load.hpp"
#include "backfield/io/render_finding.hpp"

#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

namespace fs = std::filesystem;
using namespace backfield;

namespace {

/// Blocks of findings.txt by file name; a block begins with "== <file>".
std::map<std::string, std::string> expected_findings() {
  std::map<std::string, std::string> blocks;
  std::ifstream in(BACKFIELD_SOURCE_DIR "/tests/data/bad/findings.txt");
  std::string name;
  for (std::string line; std::getline(in, line);) {
    if (line.rfind("== ", 0) == 0) {
      name = line.substr(3);
    } else {
      blocks[name] += line + "\n";
    }
  }
  return blocks;
}

std::vector<std::string> bad_files() {
  std::vector<std::string> files;
  for (const char* folder : {"form", "sense", "text"}) {
    for (const auto& entry : fs::directory_iterator(fs::path("bad") / folder)) files.push_back(entry.path().string());
  }
  std::sort(files.begin(), files.end());
  return files;
}

}  // namespace

TEST_CASE("Every bad file is refused in the words written down for it", "[io][bad]") {
  fs::current_path(BACKFIELD_SOURCE_DIR "/tests/data");  // so that the messages name short paths
  const auto files = bad_files();
  if (std::getenv("BACKFIELD_APPROVE") != nullptr) {
    std::ofstream out("bad/findings.txt");
    for (const std::string& file : files) out << "== " << file << '\n' << io::render(io::check(file));
    FAIL("tests/data/bad/findings.txt has been written: read what changed");
  }
  const auto expected = expected_findings();
  CHECK(files.size() == expected.size());
  for (const std::string& file : files) {
    CAPTURE(file);
    const std::vector<Finding> findings = io::check(file);
    CHECK(has_error(findings));
    REQUIRE(expected.count(file) == 1);
    CHECK(io::render(findings) == expected.at(file));
  }
}

TEST_CASE("A file with an error gives no value, whatever reader it is given to", "[io][bad]") {
  fs::current_path(BACKFIELD_SOURCE_DIR "/tests/data");
  for (const std::string& file : bad_files()) {
    CAPTURE(file);
    CHECK_FALSE(io::load_case(file).ok());
    CHECK_FALSE(io::load_aircraft(file).ok());
    CHECK_FALSE(io::load_aerodrome(file).ok());
    CHECK_FALSE(io::load_policy(file).ok());
  }
}

TEST_CASE("A file of another kind is refused by what it is", "[io][bad]") {
  fs::current_path(BACKFIELD_SOURCE_DIR "/tests/data");
  const auto loaded = io::load_aircraft("good/case.yaml");
  REQUIRE(loaded.findings.size() == 1);
  CHECK(io::render(loaded.findings) ==
        "good/case.yaml:1:12: backfield: found \"case/1\", accepted aircraft/1\n"
        "    1 | backfield: case/1\n"
        "      |            ^~~~~~\n"
        "  hint: this file is a case file\n");
}

TEST_CASE("Leaving out or spoiling any one line of a good file gives a value or an error, never both or neither",
          "[io][bad][robust]") {
  const fs::path good = fs::path(BACKFIELD_SOURCE_DIR) / "tests/data/good";
  const test::TemporaryDirectory temporary;
  const fs::path& folder = temporary.path();
  fs::create_directories(folder / "a/b/c");
  fs::copy(good, folder / "a/b/c", fs::copy_options::recursive);
  fs::create_directories(folder / "aircraft");
  fs::copy(fs::path(BACKFIELD_SOURCE_DIR) / "aircraft/trainer.yaml", folder / "aircraft/trainer.yaml");
  int refused = 0;
  for (const char* name : {"metar.yaml", "strip.yaml", "constants.yaml", "small_table.yaml"}) {
    std::ifstream in(good / name);
    std::vector<std::string> lines;
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    for (std::size_t i = 0; i < lines.size(); ++i) {
      for (int way = 0; way < 3; ++way) {
        const fs::path changed = folder / "a/b/c" / "changed.yaml";
        std::ofstream out(changed);
        for (std::size_t k = 0; k < lines.size(); ++k) {
          const std::size_t colon = lines[k].rfind(": ");
          if (k != i) out << lines[k] << '\n';
          if (k == i && way == 1) out << lines[k].substr(0, colon == std::string::npos ? 0 : colon + 1) << '\n';
          if (k == i && way == 2) out << lines[k].substr(0, colon == std::string::npos ? 0 : colon + 1) << " [x, 1]\n";
        }
        out.close();
        CAPTURE(name, i + 1, way);
        const std::vector<Finding> findings = io::check(changed.string());
        const bool value = io::load_case(changed.string()).ok() || io::load_aerodrome(changed.string()).ok() ||
                           io::load_aircraft(changed.string()).ok();
        CHECK(value != has_error(findings));
        refused += has_error(findings) ? 1 : 0;
      }
    }
  }
  CHECK(refused > 150);
}
