#include "src/io/yaml_document.hpp"

#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>

using namespace backfield;
using io::Document;
using io::Node;
using io::parse_document;

namespace {

std::string first_found(const Document& document) {
  REQUIRE_FALSE(document.findings.empty());
  return document.findings.front().found;
}

}  // namespace

TEST_CASE("Keys and values know their line and column, both counted from one", "[io][yaml]") {
  const Document document = parse_document("a: 1\nmap:\n  key:   value\n", "x.yaml");
  REQUIRE(document.readable);
  const Node& map = document.root.items[1];
  CHECK(document.root.keys[1].place.line == 2);
  CHECK(document.root.keys[1].place.column == 1);
  CHECK(map.keys[0].place.line == 3);
  CHECK(map.keys[0].place.column == 3);
  CHECK(map.items[0].place.column == 10);
  CHECK(document.excerpt(map.items[0].place) == "  key:   value");
}

TEST_CASE("Columns count characters, not bytes", "[io][yaml]") {
  const Document document = parse_document("{\"Z\xC3\xBCrich\": value}\n", "x.yaml");
  REQUIRE(document.readable);
  CHECK(document.root.items[0].place.column == 12);
}

TEST_CASE("Values stay the text that was typed", "[io][yaml]") {
  const Document document = parse_document("a: 010\nb: yes\nc: .nan\nd: '09'\ne: 0x1F\n", "x.yaml");
  REQUIRE(document.readable);
  CHECK(document.root.items[0].text == "010");
  CHECK(document.root.items[1].text == "yes");
  CHECK(document.root.items[2].text == ".nan");
  CHECK(document.root.items[3].text == "09");
  CHECK(document.root.items[4].text == "0x1F");
}

TEST_CASE("Windows line ends and a byte order mark are harmless", "[io][yaml]") {
  const Document document = parse_document(
      "\xEF\xBB\xBF"
      "a: 1\r\nb: two\r\n",
      "x.yaml");
  REQUIRE(document.readable);
  CHECK(document.root.items[1].text == "two");
  CHECK(document.root.keys[1].place.column == 1);
  CHECK(document.lines[1] == "b: two");
}

TEST_CASE("Duplicate keys are found at every depth", "[io][yaml]") {
  const Document document = parse_document("a:\n  - {b: 1, c: 2, b: 3}\n", "x.yaml");
  REQUIRE(document.findings.size() == 1);
  CHECK(document.findings[0].key == "a[1].b");
  CHECK(document.findings[0].line == 2);
  CHECK(document.findings[0].column == 18);
}

TEST_CASE("A self-reference and an alias bomb are refused before they are walked", "[io][yaml]") {
  CHECK(first_found(parse_document("a: &a {b: *a}\n", "x.yaml")) == "an anchor (&)");
  std::string bomb = "a0: &a0 [x, x, x]\n";
  for (int i = 1; i < 30; ++i) {
    const std::string before = "*a" + std::to_string(i - 1);
    bomb += "a" + std::to_string(i) + ": &a" + std::to_string(i) + " [" + before + ", " + before + "]\n";
  }
  CHECK(first_found(parse_document(bomb, "x.yaml")) == "an anchor (&)");
}

TEST_CASE("Nesting is accepted to 32 levels and refused beyond, however deep", "[io][yaml]") {
  const auto nested = [](std::size_t levels) { return std::string(levels, '[') + std::string(levels, ']') + "\n"; };
  CHECK(parse_document(nested(32), "x.yaml").readable);
  CHECK(first_found(parse_document(nested(33), "x.yaml")) == "nesting deeper than 32 levels");
  CHECK(first_found(parse_document(nested(200'000), "x.yaml")) == "nesting deeper than 32 levels");
}

TEST_CASE("Bytes that are not UTF-8 are refused", "[io][yaml]") {
  // RFC 3629: an overlong slash, a surrogate, a value above U+10FFFF, a lone continuation, a cut-off character
  for (const char* bytes : {"\xC0\xAF", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\x80", "\xE2\x82"}) {
    CHECK(first_found(parse_document(std::string("a: ") + bytes + "\n", "x.yaml")) == "a byte that is not UTF-8");
  }
  // U+00FC, U+20AC, U+1F6E9
  for (const char* bytes : {"\xC3\xBC", "\xE2\x82\xAC", "\xF0\x9F\x9B\xA9"}) {
    CHECK(parse_document(std::string("a: ") + bytes + "\n", "x.yaml").readable);
  }
}

TEST_CASE("A file of more than a megabyte is refused unread, one of exactly a megabyte is read", "[io][yaml]") {
  std::string bytes = "a: 1\n#";
  bytes.resize(io::kLargestFile, 'x');
  const test::TemporaryDirectory folder;
  CHECK(io::read_document(folder.write("just.yaml", bytes)).readable);
  const Document document = io::read_document(folder.write("large.yaml", bytes + 'x'));
  CHECK_FALSE(document.readable);
  CHECK(first_found(document) == "a file of 1000001 bytes");
  CHECK(document.findings.front().accepted == "at most 1000000 bytes");
  CHECK(document.findings.front().hint == "it was not read");
}

TEST_CASE("A missing file, a directory and an endless device are refused", "[io][yaml]") {
  CHECK(first_found(io::read_document("no/such/file.yaml")) == "no such file");
  CHECK(first_found(io::read_document(std::filesystem::temp_directory_path().string())) == "a directory");
  if (std::filesystem::exists("/dev/zero")) {
    CHECK(first_found(io::read_document("/dev/zero")) == "more than it may hold");
  }
}

TEST_CASE("No prefix of a good file, and no file with a byte replaced, breaks the parser", "[io][yaml][robust]") {
  std::ifstream in(BACKFIELD_SOURCE_DIR "/tests/data/good/metar.yaml", std::ios::binary);
  const std::string good((std::istreambuf_iterator<char>(in)), {});
  REQUIRE(good.size() > 500);
  for (std::size_t length = 0; length < good.size(); ++length) {
    const Document document = parse_document(good.substr(0, length), "x.yaml");
    CHECK(document.readable == document.findings.empty());
  }
  for (std::size_t i = 0; i < good.size(); ++i) {
    for (const char c : {'\0', '\n', ':', '-', '[', '{', '"', '&', '*', '!', '%', '\x80', ' '}) {
      std::string changed = good;
      changed[i] = c;
      const Document document = parse_document(changed, "x.yaml");
      CHECK((document.readable || !document.findings.empty()));
    }
  }
}
