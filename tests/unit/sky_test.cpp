// Cloud and night: what they take away from a plan that is otherwise the same.

#include "backfield/decision/assess.hpp"
#include "backfield/io/load.hpp"
#include "backfield/io/render_finding.hpp"

#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <fstream>
#include <sstream>

using namespace backfield;
using decision::Answer;
using decision::Case;
using decision::CloudReport;

namespace {

const std::string kRoot = BACKFIELD_SOURCE_DIR;

/// A turboprop whose way back, plain policy, opens at 1,330 ft and does not close.
Case base_case() {
  const auto loaded = io::load_case(kRoot + "/cases/feathering/case.yaml");
  INFO(io::render(loaded.findings));
  REQUIRE(loaded.ok());
  return *loaded.value;
}

Answer under(std::optional<CloudReport> cloud) {
  Case c = base_case();
  c.weather.cloud = std::move(cloud);
  return decision::assess(c, 1);
}
Answer under(Length base) { return under(CloudReport{CloudReport::Kind::base, base, "stated"}); }

Answer at(const earth::UtcClock& time, bool lit, earth::Provenance provenance = earth::Provenance::stated) {
  Case c = base_case();
  c.departure.time = earth::utc(time);
  for (earth::RunwayEnd& end : c.options) {
    end.lit = lit;
    end.provenance = provenance;
  }
  c.departure.end.lit = lit;
  return decision::assess(c, 1);
}

bool says(const std::vector<std::string>& sentences, const std::string& part) {
  return std::any_of(sentences.begin(), sentences.end(),
                     [&part](const std::string& s) { return s.find(part) != std::string::npos; });
}

bool says_why(const Answer& a, const std::string& part) {
  return std::any_of(a.options.begin(), a.options.end(), [&](const auto& o) {
    return std::any_of(o.sides.begin(), o.sides.end(), [&](const auto& s) { return says(s.why_not_briefed, part); });
  });
}

bool opens(const Answer& a) {
  return std::any_of(a.gates.begin(), a.gates.end(), [](const auto& g) { return g.kind == decision::GateKind::opens; });
}

/// The good case with lines of its own instead of its wind, at home.
std::string case_with(const test::TemporaryDirectory& directory, const std::string& weather,
                      const std::string& time = "", const std::string& policy = "plain",
                      const std::string& home = kRoot + "/tests/data/good/home.yaml") {
  return directory.write("case.yaml", "backfield: case/1\ntitle: Sky\ninvented: yes\naircraft: " + kRoot +
                                          "/aircraft/trainer.yaml\nmass: 1050 kg\ndeparture: {aerodrome: ZZDA, runway: "
                                          "\"36\", from: full length, climb: v_y, track: straight" +
                                          time + "}\naerodromes: [" + home + "]\nweather: {" + weather +
                                          "}\naltimeter: qnh\nturnback: trained\npolicy: " + policy + "\n");
}

const std::string kReport = "metar: \"ZZDA 121650Z 34012KT 9999 ";

}  // namespace

TEST_CASE("A window ends at the cloud limit and says so", "[decision][sky]") {
  const Answer open = under(std::nullopt);
  const Answer cut = under(feet(1800));
  REQUIRE(open.briefed.size() == 1);
  REQUIRE(cut.briefed.size() == 1);
  CHECK_FALSE(open.cloud);
  CHECK(open.briefed[0].window.open_above());
  const decision::CommonWindow& w = cut.briefed[0].window;
  CHECK(w.heights.low == open.briefed[0].window.heights.low);
  CHECK(in_feet(w.heights.high) == Approx(1800.0));
  CHECK(w.upper == decision::Limit::cloud);
  CHECK(w.times.high < open.briefed[0].window.times.high);
  CHECK(w.best_surplus < open.briefed[0].window.best_surplus);
  REQUIRE(cut.briefed[0].closes_reading);
  CHECK(in_feet(*cut.briefed[0].closes_reading) <= 1850.0 + 1e-6);  // on QNH, 50 ft of elevation
  REQUIRE(cut.cloud);
  REQUIRE(cut.cloud->parts.size() == 4);
  CHECK_FALSE(cut.cloud->parts[0].whole);
  CHECK(in_feet(cut.cloud->parts[0].from) == Approx(1800.0));
  CHECK_FALSE(cut.cloud->parts[0].to);
  CHECK(cut.cloud->parts[2].whole);  // runway 36 again opens at 2,765 ft
  CHECK(says(cut.warnings, "no return is planned from above 1800 ft"));
}

TEST_CASE("The margin of the policy is kept from the base", "[decision][sky]") {
  Case c = base_case();
  c.weather.cloud = CloudReport{CloudReport::Kind::base, feet(1800), "stated"};
  c.policy.cloud->below_base = feet(300);
  const Answer a = decision::assess(c, 1);
  REQUIRE(a.briefed.size() == 1);
  CHECK(in_feet(a.briefed[0].window.heights.high) == Approx(1500.0));
  c.policy.cloud->below_base = feet(2000);  // more than there is
  const Answer none = decision::assess(c, 1);
  CHECK(none.briefed.empty());
  CHECK(says(none.warnings, "no return is planned from any height"));
}

TEST_CASE("A lower base never leaves more of a window", "[decision][sky]") {
  Length last = feet(1e5);
  for (const double base : {2600.0, 2000.0, 1400.0, 1330.0, 1300.0, 900.0, 0.0}) {
    const Answer a = under(feet(base));
    const Length high = a.briefed.empty() ? Length{} : a.briefed[0].window.heights.high;
    CHECK(high <= last);
    CHECK(in_feet(high) <= base);
    CHECK(a.briefed.empty() == !opens(a));
    last = high;
  }
}

TEST_CASE("A gate above the base is void", "[decision][sky]") {
  const Answer a = under(feet(900));
  CHECK(a.briefed.empty());
  CHECK_FALSE(a.cancel);
  CHECK(says_why(a, "cloud base 900 ft: nothing is planned from above 900 ft"));
  REQUIRE(a.cloud->parts.size() == 4);
  CHECK(std::all_of(a.cloud->parts.begin(), a.cloud->parts.end(), [](const auto& p) { return p.whole; }));
  CHECK(a.cloud->circuit_in_cloud);
  CHECK(says(a.warnings, "nor a circuit at 1000 ft, whatever power is left"));
  CHECK(std::none_of(a.options.begin(), a.options.end(), [](const auto& o) { return o.circuit.has_value(); }));
  CHECK_FALSE(a.cloud->runway_ahead_in_cloud);  // ahead it is 36 ft
  CHECK(under(feet(20)).cloud->runway_ahead_in_cloud);
}

TEST_CASE("What is not known takes nothing away and is said", "[decision][sky]") {
  const Answer a = under(CloudReport{CloudReport::Kind::not_known, {}, "the METAR does not say"});
  REQUIRE(a.briefed.size() == 1);
  CHECK(a.briefed[0].window.open_above());
  CHECK_FALSE(a.cloud->limit);
  CHECK(says(a.warnings, "the cloud base is not known (the METAR does not say): no window is limited by it"));
  const Answer none = under(CloudReport{CloudReport::Kind::none, {}, "stated"});
  CHECK(none.briefed.size() == 1);
  CHECK_FALSE(says(none.warnings, "cloud"));
}

TEST_CASE("At night a runway without lights drops out, by day it does not", "[decision][sky]") {
  const earth::UtcClock noon{2026, 11, 27, 12, 0};
  const earth::UtcClock evening{2026, 11, 27, 20, 0};
  CHECK(at(noon, false).briefed.size() == 1);
  CHECK_FALSE(at(noon, false).night->after_take_off);
  CHECK(at(noon, false).night->unlit.empty());
  CHECK(at(evening, true).briefed.size() == 1);
  CHECK(at(evening, true).night->unlit.empty());
  CHECK(says(at(evening, true).warnings, "night: the ground ahead cannot be seen and chosen"));
  const Answer dark = at(evening, false);
  CHECK(dark.briefed.empty());
  CHECK(dark.night->after_take_off);
  CHECK(dark.night->unlit.size() == 2);
  CHECK(says_why(dark, "night, and it is not lit"));
  CHECK(says(dark.warnings, "no return to what is not lit: ZZDA 36, ZZDA 18"));
  CHECK(says(dark.warnings, "nor the runway ahead, which has no lights"));
  CHECK(std::none_of(dark.options.begin(), dark.options.end(), [](const auto& o) { return o.circuit.has_value(); }));
}

TEST_CASE("Lights that nobody states count as none", "[decision][sky]") {
  const Answer a = at({2026, 11, 27, 20, 0}, false, earth::Provenance::catalogue_and_case);
  CHECK(a.briefed.empty());
  CHECK(says_why(a, "no lights are stated for it"));
  CHECK(says(a.warnings, "(lights not stated)"));
}

TEST_CASE("Night that falls during the climb counts, and so does that of a later return", "[decision][sky]") {
  // At 0 N 0 E the sun is 6 degrees down at 18:14 UTC that day.
  const Answer before = at({2026, 11, 27, 17, 50}, false);
  CHECK_FALSE(before.night->after_take_off);
  const Answer during = at({2026, 11, 27, 18, 5}, false);
  CHECK(during.night->sun_at_departure > degrees(-6));
  CHECK(during.night->after_take_off);
  CHECK(during.briefed.empty());
  Case c = base_case();
  c.departure.time = earth::utc({2026, 11, 27, 15, 0});
  c.return_after = minutes(240);
  for (earth::RunwayEnd& end : c.options) end.lit = false;
  const Answer later = decision::assess(c, 1);
  CHECK(later.briefed.size() == 1);
  CHECK(later.night->on_return);
  CHECK(says(later.warnings, "night at the return with power"));
}

TEST_CASE("Polar day and polar night have no change", "[decision][sky]") {
  const auto far_north = [](const earth::UtcClock& time) {
    Case c = base_case();
    c.origin.latitude = degrees(80);  // the frame stays where it is: only the sun asks
    c.departure.time = earth::utc(time);
    return *decision::assess(c, 1).night;
  };
  CHECK_FALSE(far_north({2026, 6, 21, 0, 0}).after_take_off);
  CHECK_FALSE(far_north({2026, 6, 21, 0, 0}).change);
  CHECK(far_north({2026, 12, 21, 12, 0}).after_take_off);
  CHECK_FALSE(far_north({2026, 12, 21, 12, 0}).change);
}

TEST_CASE("A case reads its cloud base from the report or from itself", "[io][sky]") {
  const test::TemporaryDirectory directory;
  const auto load = [&](const std::string& weather) {
    const auto loaded = io::load_case(case_with(directory, weather));
    INFO(io::render(loaded.findings));
    REQUIRE(loaded.ok());
    return loaded.value->weather.cloud;
  };
  const auto broken = load(kReport + "FEW005 BKN012 16/09 Q1013\"");
  REQUIRE(broken);
  CHECK(in_feet(broken->base) == Approx(1200.0));
  CHECK(broken->source == "BKN012 of the METAR");
  CHECK_FALSE(load(kReport + "FEW030 16/09 Q1013\""));
  CHECK(load(kReport + "16/09 Q1013\"")->kind == CloudReport::Kind::not_known);
  CHECK_FALSE(load("wind: calm, oat: 15 C, qnh: 1013 hPa"));
  const auto stated = load("wind: calm, oat: 15 C, qnh: 1013 hPa, cloud_base: 900 ft");
  CHECK(in_feet(stated->base) == Approx(900.0));
  CHECK(load(kReport + "16/09 Q1013\", cloud_base: 900 ft")->kind == CloudReport::Kind::base);
  CHECK(load(kReport + "16/09 Q1013\", cloud_base: none")->kind == CloudReport::Kind::none);
}

TEST_CASE("Rain in the report makes dry runways wet unless the case says otherwise", "[io][sky]") {
  const test::TemporaryDirectory directory;
  const auto load = [&](const std::string& weather) { return io::load_case(case_with(directory, weather)); };
  const auto rain = load(kReport + "-RA FEW030 16/09 Q1013\"");
  REQUIRE(rain.ok());
  CHECK(rain.value->departure.end.surface == earth::Surface::wet_paved);
  for (const earth::RunwayEnd& end : rain.value->options) CHECK(end.surface == earth::Surface::wet_paved);
  CHECK(says(rain.value->assumptions, "runways are taken as wet: -RA of the METAR"));

  const auto dry = load(kReport + "-RA FEW030 16/09 Q1013\", surface: dry");
  REQUIRE(dry.ok());
  CHECK(dry.value->departure.end.surface == earth::Surface::paved);
  CHECK(io::render(dry.findings).find("wet, by -RA of the METAR") != std::string::npos);

  const auto wet = load("wind: calm, oat: 15 C, qnh: 1013 hPa, surface: wet");
  REQUIRE(wet.ok());
  CHECK(wet.value->departure.end.surface == earth::Surface::wet_paved);
  const auto snow = load(kReport + "SN FEW030 01/M01 Q1013\"");
  REQUIRE(snow.ok());
  CHECK(snow.value->departure.end.surface == earth::Surface::wet_paved);
  CHECK(io::render(snow.findings).find("contaminated?") != std::string::npos);
  CHECK(load(kReport + "FEW030 16/09 Q1013\"").value->departure.end.surface == earth::Surface::paved);
}

TEST_CASE("A report that is not of about the departure's time is warned about", "[io][sky]") {
  const test::TemporaryDirectory directory;
  const auto warned = [&](const std::string& time) {
    const auto loaded = io::load_case(case_with(directory, kReport + "FEW030 16/09 Q1013\"", ", time: " + time));
    INFO(io::render(loaded.findings));
    REQUIRE(loaded.ok());
    return io::render(loaded.findings).find("a report within 3 h") != std::string::npos;
  };
  CHECK_FALSE(warned("2026-11-12T17:20Z"));  // the report is of 16:50 on the 12th
  CHECK_FALSE(warned("2026-11-12T14:00Z"));
  CHECK(warned("2026-11-12T20:00Z"));
  CHECK(warned("2026-11-13T16:50Z"));
  CHECK(warned("2026-11-27T16:50Z"));
}

TEST_CASE("A policy that does not know cloud or night is refused where the case does", "[io][sky]") {
  const test::TemporaryDirectory directory;
  std::ifstream in(kRoot + "/cases/policy/plain.yaml");
  std::string policy;
  for (std::string line; std::getline(in, line);) {
    if (line.rfind("cloud:", 0) != 0 && line.rfind("night:", 0) != 0) policy += line + "\n";
  }
  const std::string old = directory.write("old.yaml", policy);
  const auto said = [&](const std::string& weather, const std::string& time) {
    const auto loaded = io::load_case(case_with(directory, weather, time, old));
    return loaded.ok() ? std::string("fine") : io::render(loaded.findings);
  };
  const std::string fields = "wind: calm, oat: 15 C, qnh: 1013 hPa";
  CHECK(said(fields, "") == "fine");
  CHECK(said(kReport + "FEW030 16/09 Q1013\"", "") == "fine");
  CHECK(said(fields + ", cloud_base: 900 ft", "").find("cloud: {below_base") != std::string::npos);
  CHECK(said(kReport + "OVC009 16/09 Q1013\"", "").find("OVC009 of the METAR") != std::string::npos);
  CHECK(said(fields, ", time: 2026-11-12T17:20Z").find("night: {sun_below") != std::string::npos);
}
