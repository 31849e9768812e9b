// What `check` says about aircraft files that can be read: nothing about the shipped ones, and a word about each slip
// of the pen. One engine's part of the climb: FAA-P-8740-66, Flying Light Twins Safely, as quoted, says that at least
// 80 percent is lost with 50 percent of the power; v_r against v_mca, 1.05, and v_2, 1.1: CS-23 (amendments 1 to 4)
// 23.51, v_mca at most 1.2 stall: 23.149, from memory. The ranges by class are common practice.

#include "backfield/io/load.hpp"
#include "backfield/io/render_finding.hpp"

#include "tests/tools/fleet.hpp"
#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <fstream>
#include <sstream>

using namespace backfield;

namespace {

std::string content(const std::string& path) {
  std::ifstream in(path);
  std::ostringstream text;
  text << in.rdbuf();
  REQUIRE_FALSE(text.str().empty());
  return text.str();
}

/// "key: accepted; hint" of each warning, or of each note its sentence.
std::vector<std::string> said(const std::vector<Finding>& findings, Severity severity) {
  std::vector<std::string> lines;
  for (const Finding& f : findings) {
    if (f.severity != severity) continue;
    lines.push_back(severity == Severity::note ? f.found : f.key + ": " + f.accepted + "; " + f.hint);
  }
  return lines;
}

/// A shipped file with one spot changed, checked.
std::vector<Finding> check_with(const std::string& file, const std::string& from, const std::string& to) {
  std::string text = content(BACKFIELD_SOURCE_DIR "/" + file);
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  REQUIRE(text.find(from, at + 1) == std::string::npos);
  text.replace(at, from.size(), to);
  const test::TemporaryDirectory temporary;
  const std::string path = (temporary.path() / "changed.yaml").string();
  std::ofstream(path) << text;
  return io::check(path);
}

struct Trap {
  const char* file;
  const char* from;
  const char* to;
  std::vector<std::string> warnings;
};

}  // namespace

TEST_CASE("The shipped aircraft are checked without a word but what they estimate", "[io][lint]") {
  CHECK(test::fleet() == std::vector<std::string>{"light-jet.yaml", "light-twin.yaml", "retractable.yaml",
                                                  "trainer.yaml", "turboprop.yaml", "twin-turboprop.yaml"});
  for (const std::string& file : test::fleet()) {
    CAPTURE(file);
    const std::vector<Finding> findings = io::check(BACKFIELD_SOURCE_DIR "/aircraft/" + file);
    CHECK_FALSE(has_error(findings));
    CHECK(said(findings, Severity::warning).empty());
    const std::vector<std::string> notes{
        "the aircraft file has no airspeed correction: indicated airspeed is taken as calibrated",
        "estimated: landing.float"};
    CHECK(said(findings, Severity::note) == notes);
  }
}

TEST_CASE("What a file estimates, and what it leaves out, is listed", "[io][lint]") {
  const auto notes = said(io::check(BACKFIELD_SOURCE_DIR "/cases/overweight-jet-wet/aircraft.yaml"), Severity::note);
  REQUIRE(notes.size() == 3);
  CHECK(notes[1] == "estimated: glide, climb.v_y, one_engine_out.climb, landing.float");
  CHECK(notes[2] ==
        "not stated: climb.v_x (no climb at v_x), loading (no loads, balance is not checked), "
        "one_engine_out.accelerate_stop (made up from the rolls), one_engine_out.accelerate_go (made up where it "
        "climbs before it is clean)");
}

TEST_CASE("A single number that would hold in any air is warned of", "[io][lint]") {
  const std::string valid =
      "{mass: [4700 kg, 4800 kg], pressure_altitude: [-1000 ft, 10000 ft], "
      "temperature: [-30 C, 40 C]}";
  const std::string rate = "value: 900 ft/min\n    law: constant\n    valid: ";
  const auto warnings = [&](const std::string& instead) {
    return said(check_with("cases/overweight-jet-wet/aircraft.yaml", rate + valid, rate + instead), Severity::warning);
  };
  const auto sentence = [](const std::string& open) {
    return "one_engine_out.climb.valid: usually limits of mass, pressure_altitude and temperature; without limits of " +
           open + " it holds on any day: state what the number was found in";
  };
  CHECK(warnings(valid).empty());
  CHECK(warnings("{}") == std::vector<std::string>{sentence("mass, pressure_altitude, temperature")});
  CHECK(warnings("{mass: [4700 kg, 4800 kg], pressure_altitude: [-1000 ft, 10000 ft]}") ==
        std::vector<std::string>{sentence("temperature")});
}

TEST_CASE("What a source leaves open is said", "[io][lint]") {
  const auto notes_with = [](const std::string& to) {
    const std::string whole = R"(condition: "best glide speed", uncertainty: "20 %")";
    const auto notes = said(check_with("aircraft/trainer.yaml", whole, to), Severity::note);
    return notes.size() < 2 ? std::string{} : notes.back();
  };
  CHECK(notes_with(R"(condition: "not stated", uncertainty: "20 %")") == "no condition stated: handling");
  CHECK(notes_with(R"(condition: "best glide speed", uncertainty: "not stated")") == "no uncertainty stated: handling");
  CHECK(notes_with(R"(condition: "best glide speed", uncertainty: "small")") ==
        "an uncertainty without a figure: handling");
  CHECK(notes_with(R"(condition: "best glide speed", uncertainty: "3 deg/s")") == "estimated: landing.float");
}

TEST_CASE("A slip of the pen that makes no contradiction is warned of", "[io][lint]") {
  const std::vector<Trap> traps{
      {"aircraft/light-twin.yaml",
       "v_r: 76 kt",
       "v_r: 72 kt",
       {"speeds.v_r: usually at least 1.05 x v_mca, which is 70 kt; an engine may fail just after rotation"}},
      {"aircraft/light-twin.yaml",
       "v_yse: 95 kt",
       "v_yse: 102 kt",
       {"one_engine_out.v_yse: usually at most v_y, which is 100 kt; best on one engine is usually slower, not "
        "faster"}},
      {"aircraft/light-twin.yaml",
       "v_mca: 70 kt",
       "v_mca: 79 kt",
       {"one_engine_out.v_mca: usually at most v_r; an engine that fails after rotation could not be held",
        "one_engine_out.v_mca: usually at most 1.2 x stall_clean, which is 65 kt; check that this is meant"}},
      {"aircraft/light-twin.yaml",
       "unfeathered: 300 ft/min",
       "unfeathered: 0 ft/min",
       {"one_engine_out.unfeathered: usually at least 50 ft/min; a windmilling propeller costs hundreds of feet per "
        "minute"}},
      {"aircraft/light-twin.yaml",
       "[ 905,  750,",
       "[1620,  750,",
       {"one_engine_out.climb: usually at most half of climb.v_y; at 1600 kg, 0 ft, -20 C only 42 % of the climb is "
        "lost with half of the power: all-engine figures typed here?"}},
      {"aircraft/twin-turboprop.yaml",
       "v_2: 109 kt",
       "v_2: 97 kt",
       {"one_engine_out.v_2: usually at least v_r, which is 98 kt; v_1, v_r and v_2 follow each other"}},
      {"aircraft/twin-turboprop.yaml",
       "stall_landing: 75 kt",
       "stall_landing: 62 kt",
       {"speeds.stall_landing: usually at least 0.7 x stall_clean, which is 90 kt; check that this is meant",
        "speeds.v_ref: usually at most 1.48 x stall_landing, which is 62 kt; miles per hour typed as knots?",
        "speeds.touchdown: usually at most 1.3 x stall_landing, which is 62 kt; check that this is meant"}},
      {"aircraft/light-jet.yaml",
       "v_mca: 85 kt",
       "v_mca: 104 kt",
       {"one_engine_out.v_mca: usually at most v_r; an engine that fails after rotation could not be held",
        "one_engine_out.v_2: usually at least 1.1 x v_mca, which is 104 kt; check that this is meant"}},
      {"aircraft/trainer.yaml",
       "v_ref: 60 kt",
       "v_ref: 69 kt",
       {"speeds.v_ref: usually at most 1.48 x stall_landing, which is 44 kt; miles per hour typed as knots?"}},
      {"aircraft/trainer.yaml",
       "touchdown: 52 kt",
       "touchdown: 45 kt",
       {"speeds.touchdown: usually at least 1.05 x stall_landing, which is 44 kt; a roll from a slower touchdown than "
        "is flown is too short"}},
      {"aircraft/trainer.yaml",
       "best_glide: 68 kt",
       "best_glide: 86 kt",
       {"speeds.best_glide: usually at most 1.7 x stall_clean, which is 50 kt; miles per hour typed as knots?"}},
      {"aircraft/retractable.yaml",
       "ratio: 10.5",
       "ratio: 15",
       {"glide.ratio: usually for this class 7 to 13; here 15; check that this is meant"}},
      {"aircraft/retractable.yaml",
       "ratio: 10.5",
       "ratio: 6",
       {"glide.ratio: usually for this class 7 to 13; here 6; check that this is meant",
        "glide.ratio: usually a sink at best glide, at sea level, of 500 to 1400 ft/min; here 1435 ft/min; look at "
        "best_glide, its unit, and the ratio"}},
      {"cases/long-runway-calm/aircraft.yaml",
       "value: 700 ft/min",
       "value: 3.6 ft/min",
       {"climb.v_y.value: usually for this class at max_take_off, sea level and 15 C 250 to 1600 ft/min; here 4 "
        "ft/min; metres per second typed as feet per minute?",
        "climb.v_y.value: usually a useful power over mass of 45 to 170 W/kg; here 42 W/kg; it follows from the rate "
        "of climb, v_y and the glide ratio: look at their units"}},
      {"cases/twin-and-ridge/aircraft.yaml",
       "value: 1250 ft/min",
       "value: 2800 ft/min",
       {"climb.v_y.value: usually for this class at max_take_off, sea level and 15 C 900 to 2000 ft/min; here 2800 "
        "ft/min; check that this is meant"}},
      {"cases/twin-and-ridge/aircraft.yaml",
       "climb: {value: 230 ft/min",
       "climb: {value: 900 ft/min",
       {"one_engine_out.climb.value: usually at most half of climb.v_y; at 2150 kg, 0 ft, 15 C only 28 % of the climb "
        "is lost with half of the power: all-engine figures typed here?"}}};
  for (const Trap& trap : traps) {
    CAPTURE(trap.file, trap.to);
    const std::vector<Finding> findings = check_with(trap.file, trap.from, trap.to);
    CHECK_FALSE(has_error(findings));
    CHECK(said(findings, Severity::warning) == trap.warnings);
  }
}
