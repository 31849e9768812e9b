#include "backfield/io/render_finding.hpp"

#include <catch2/catch.hpp>

using namespace backfield;

TEST_CASE("A finding names place, key, what stands there, what may, and points at it", "[io][finding]") {
  Finding f;
  f.file = "case.yaml";
  f.line = 14;
  f.column = 9;
  f.key = "weather.wind";
  f.found = "\"270/15\"";
  f.accepted = "a wind";
  f.hint = "mend it";
  f.excerpt = "  wind: 270/15";
  CHECK(io::render(f) ==
        "case.yaml:14:9: weather.wind: found \"270/15\", accepted a wind\n"
        "   14 |   wind: 270/15\n"
        "      |         ^~~~~~\n"
        "  hint: mend it\n");
  f.severity = Severity::warning;
  f.hint.clear();
  f.excerpt.clear();
  CHECK(io::render(f) == "case.yaml:14:9: warning: weather.wind: found \"270/15\", accepted a wind\n");
}

TEST_CASE("A note is a sentence, and a finding about a whole file has no line", "[io][finding]") {
  Finding f;
  f.severity = Severity::note;
  f.file = "case.yaml";
  f.found = "taken as level";
  CHECK(io::render(f) == "case.yaml: note: taken as level\n");
}

TEST_CASE("The caret stands under the character, behind tabs and letters of several bytes", "[io][finding]") {
  Finding f;
  f.file = "x";
  f.line = 100000;
  f.column = 5;
  f.found = "\"\xC3\xBC\xC3\xBC\"";
  f.excerpt = "\t\xC3\xA4\xC3\xB6 \xC3\xBC\xC3\xBC";
  CHECK(io::render(f) ==
        "x:100000:5: found \"\xC3\xBC\xC3\xBC\"\n"
        "100000 | \t\xC3\xA4\xC3\xB6 \xC3\xBC\xC3\xBC\n"
        "       | \t   ^~\n");
}

TEST_CASE("An endless line is cut", "[io][finding]") {
  Finding f;
  f.file = "x";
  f.line = 1;
  f.column = 1;
  f.found = "a line";
  f.excerpt = std::string(100'000, 'a');
  CHECK(io::render(f).size() < 400);
  f.column = 90'000;
  CHECK(io::render(f) == "x:1:90000: found a line\n");
}
