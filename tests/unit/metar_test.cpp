#include "backfield/io/metar.hpp"
#include "backfield/io/render_finding.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <string>
#include <utility>

// References named beside the checks:
//   FM 15   WMO-No. 306, Manual on Codes, Vol. I.1, Part A, FM 15 METAR, 1995 edition with supplement No. 3
//   FMH-1   Federal Meteorological Handbook No. 1, FCM-H1-1995
// Reports from ZZDA and ZZDB are invented.

using namespace backfield;
using io::Metar;
using io::parse_metar;

namespace {

Metar read(const std::string& text) {
  const Loaded<Metar> loaded = parse_metar(text);
  INFO(text << "\n" << io::render(loaded.findings));
  REQUIRE(loaded.ok());
  return *loaded.value;
}

Metar read_quietly(const std::string& text) {
  const Loaded<Metar> loaded = parse_metar(text);
  INFO(text << "\n" << io::render(loaded.findings));
  REQUIRE(loaded.ok());
  REQUIRE(loaded.findings.empty());
  return *loaded.value;
}

/// The first error's group, which must make the report unreadable.
std::string refused(const std::string& text) {
  const Loaded<Metar> loaded = parse_metar(text);
  INFO(text);
  REQUIRE_FALSE(loaded.ok());
  REQUIRE(has_error(loaded.findings));
  for (const Finding& f : loaded.findings) {
    if (f.severity == Severity::error) return f.found;
  }
  return {};
}

std::string warned(const std::string& text) {
  const Loaded<Metar> loaded = parse_metar(text);
  INFO(text << "\n" << io::render(loaded.findings));
  REQUIRE(loaded.ok());
  REQUIRE(loaded.findings.size() == 1);
  REQUIRE(loaded.findings[0].severity == Severity::warning);
  return loaded.findings[0].found;
}

std::string with_wind(const std::string& wind) { return "METAR ZZDA 121650Z " + wind + " 9999 05/03 Q1013"; }
std::string with_temperature(const std::string& t) { return "METAR ZZDA 121650Z 24012KT 9999 " + t + " Q1013"; }
std::string with_pressure(const std::string& p) { return "METAR ZZDA 121650Z 24012KT 9999 05/03 " + p; }

double knots_of(Speed v) { return in_knots(v); }

}  // namespace

TEST_CASE("A whole report gives every part of itself", "[io][metar]") {
  const Metar m = read_quietly(
      "METAR COR ZZDA 121650Z AUTO 22018G34KT 190V260 8000 R24L/P1500 -SHRA FEW008 SCT020CB BKN/// 11/M02 Q0998 RERA "
      "WS R24 NOSIG=\n");
  CHECK(m.raw ==
        "METAR COR ZZDA 121650Z AUTO 22018G34KT 190V260 8000 R24L/P1500 -SHRA FEW008 SCT020CB BKN/// 11/M02 Q0998 RERA "
        "WS R24 NOSIG");
  CHECK(m.station == "ZZDA");
  CHECK(m.day == 12);
  CHECK(m.hour == 16);
  CHECK(m.minute == 50);
  CHECK(m.automatic);
  CHECK(m.corrected);
  REQUIRE(m.wind);
  CHECK(m.wind->from.deg() == Approx(220));
  CHECK(knots_of(m.wind->mean) == Approx(18));
  REQUIRE(m.wind->gust);
  CHECK(knots_of(*m.wind->gust) == Approx(34));
  CHECK_FALSE(m.wind->variable);
  REQUIRE(m.wind->sector);
  CHECK(m.wind->sector->first.deg() == Approx(190));
  CHECK(m.wind->sector->second.deg() == Approx(260));
  REQUIRE(m.visibility);
  CHECK(in_metres(*m.visibility) == 8000.0);
  CHECK_FALSE(m.cavok);
  REQUIRE(m.clouds.size() == 3);
  CHECK(m.clouds[0].amount == io::CloudLayer::Amount::few);
  CHECK(in_feet(m.clouds[0].base.value()) == Approx(800));
  CHECK(m.clouds[1].amount == io::CloudLayer::Amount::scattered);
  CHECK_FALSE(m.clouds[2].base);
  CHECK(in_celsius(m.temperature.value()) == Approx(11));
  CHECK(in_celsius(m.dew_point.value()) == Approx(-2));
  CHECK(in_hectopascals(m.qnh.value()) == Approx(998));
}

TEST_CASE("QNH is read as written, for both letters (FM 15 reg. 15.12; FMH-1 11.5.1)", "[io][metar]") {
  CHECK(in_hectopascals(*read_quietly(with_pressure("Q0995")).qnh) == Approx(995));  // issued for 995.6 hPa
  CHECK(in_inches_of_mercury(*read_quietly(with_pressure("A2991")).qnh) == Approx(29.91));
  CHECK(in_inches_of_mercury(*read_quietly(with_pressure("A3027")).qnh) == Approx(30.27));
  CHECK(in_inches_of_mercury(*read_quietly(with_pressure("A2924")).qnh) == Approx(29.24));  // issued for 29.248
}

TEST_CASE("Temperatures below zero carry M, M00 included (FM 15 reg. 15.11; FMH-1 12.6.10)", "[io][metar]") {
  const auto temperature = [](const std::string& group) {
    return in_celsius(*read_quietly(with_temperature(group)).temperature);
  };
  CHECK(temperature("M09/M10") == Approx(-9));
  CHECK(temperature("09/08") == Approx(9));
  CHECK(temperature("M00/M01") == Approx(0).margin(1e-9));
  CHECK(temperature("00/M02") == Approx(0).margin(1e-9));
  const Metar m = read_quietly(with_temperature("04/M02"));
  CHECK(in_celsius(*m.temperature) == Approx(4));
  CHECK(in_celsius(*m.dew_point) == Approx(-2));
  const Metar no_dew_point = read_quietly(with_temperature("02/"));
  CHECK(in_celsius(*no_dew_point.temperature) == Approx(2));
  CHECK_FALSE(no_dew_point.dew_point);
}

TEST_CASE("Tenths from the remarks replace the rounded temperature (FMH-1 12.7.2, 2.6.3)", "[io][metar]") {
  // 12.7.2: 2.6 and -1.5 degrees are 03/M01 in the body (2.6.3 rounds -1.5 to -1) and T00261015 in the remarks.
  const Metar m = read_quietly("METAR ZZDA 121650Z 24012KT 10SM CLR 03/M01 A2992 RMK AO2 SLP132 T00261015");
  CHECK(in_celsius(*m.temperature) == Approx(2.6));
  CHECK(in_celsius(*m.dew_point) == Approx(-1.5));
  // 2.6.3: 1.5 -> 2, -1.5 -> -1, 1.3 -> 1, -2.6 -> -3; each remark must be taken to agree with its body.
  const std::pair<std::string, std::string> rounded[] = {
      {"02/", "T0015"}, {"M01/", "T1015"}, {"01/", "T0013"}, {"M03/", "T1026"}};
  for (const auto& [body, remark] : rounded) {
    const Metar agreed = read_quietly("METAR ZZDA 121650Z 24012KT 10SM " + body + " A2992 RMK " + remark);
    CHECK(in_celsius(*agreed.temperature) == Approx((remark[1] == '1' ? -0.1 : 0.1) * std::stoi(remark.substr(2))));
  }
  CHECK(refused("METAR ZZDA 121650Z 24012KT 10SM 13/M01 A2992 RMK T00261015") == "\"T00261015\"");
  CHECK(warned("METAR ZZDA 121650Z 24012KT 10SM 03/M01 A2992 RMK T0026101") == "\"T0026101\"");
  // A body without temperature, and tenths in the remarks.
  CHECK(in_celsius(*read_quietly("METAR ZZDA 121650Z 24012KT 10SM ///// A2992 RMK T00261015").temperature) ==
        Approx(2.6));
}

TEST_CASE("Calm is a variable wind of zero (FM 15 reg. 15.5.4)", "[io][metar]") {
  const Metar m = read_quietly(with_wind("00000KT"));
  REQUIRE(m.wind);
  CHECK(m.wind->variable);
  CHECK(m.wind->mean == knots(0));
  CHECK_FALSE(m.wind->gust);
}

TEST_CASE("Wind from north is 360, and 000 with a speed is refused (FM 15 reg. 15.5.1, 15.5.4)", "[io][metar]") {
  CHECK(read_quietly(with_wind("36005KT")).wind->from.deg() == Approx(0).margin(1e-9));
  CHECK(refused(with_wind("00005KT")) == "\"00005KT\"");
}

TEST_CASE("VRB is read at any speed (FM 15 reg. 15.5.2; FMH-1 5.4 has another limit)", "[io][metar]") {
  for (const char* wind : {"VRB03KT", "VRB06KT", "VRB15KT"}) {
    const Metar m = read_quietly(with_wind(wind));
    CHECK(m.wind->variable);
    CHECK(m.wind->mean > knots(0));
  }
}

TEST_CASE("The sector turns clockwise, also through north (FM 15 reg. 15.5.3)", "[io][metar]") {
  const Metar m = read_quietly(with_wind("36012KT 350V050"));
  REQUIRE(m.wind->sector);
  CHECK(m.wind->sector->first.deg() == Approx(350));
  CHECK(m.wind->sector->second.deg() == Approx(50));
  CHECK(read_quietly(with_wind("21010KT 180V240")).wind->sector);
  CHECK(read_quietly(with_wind("15012KT 120V190")).wind->sector);
  CHECK(refused(with_wind("24012KT 280V210")) == "\"280V210\"");
  CHECK(refused(with_wind("24012KT 210V370")) == "\"210V370\"");
  CHECK(refused("METAR ZZDA 121650Z 24012KT 9999 210V280 05/03 Q1013") == "\"210V280\"");
}

TEST_CASE("A gust is above the mean, by ten knots or not (FM 15 reg. 15.5.5)", "[io][metar]") {
  CHECK(knots_of(*read_quietly(with_wind("18015G22KT")).wind->gust) == Approx(22));  // peak-to-lull rule of FMH-1
  CHECK(knots_of(*read_quietly(with_wind("21010G30KT")).wind->gust) == Approx(30));
  CHECK(knots_of(*read_quietly(with_wind("27025G40KT")).wind->gust) == Approx(40));
  CHECK(knots_of(*read_quietly(with_wind("VRB03G40KT")).wind->gust) == Approx(40));
  CHECK(refused(with_wind("24012G08KT")) == "\"24012G08KT\"");
  CHECK(refused(with_wind("24012G12KT")) == "\"24012G12KT\"");
}

TEST_CASE("100 kt and more is P99KT, of which the least is taken, loudly (FM 15 reg. 15.5.6)", "[io][metar]") {
  CHECK(warned(with_wind("240P99KT")) == "\"240P99KT\"");
  CHECK(knots_of(read(with_wind("240P99KT")).wind->mean) == Approx(100));
  CHECK(in_metres_per_second(read(with_wind("240P49MPS")).wind->mean) == Approx(50));
  CHECK(read(with_wind("240P199KMH")).wind->mean == kilometres_per_hour(200));
  CHECK(knots_of(*read(with_wind("24080GP99KT")).wind->gust) == Approx(100));
  CHECK(refused(with_wind("240P12KT")) == "\"240P12KT\"");
}

TEST_CASE("Three-digit speeds and the three units are read (FM 15, symbolic form)", "[io][metar]") {
  const Metar m = read_quietly(with_wind("180100G120KT"));
  CHECK(knots_of(m.wind->mean) == Approx(100));
  CHECK(knots_of(*m.wind->gust) == Approx(120));
  CHECK(knots_of(read_quietly(with_wind("09010MPS")).wind->mean) == Approx(19.4).margin(0.05));
  CHECK(in_metres_per_second(read_quietly(with_wind("24036KMH")).wind->mean) == Approx(10));
}

// The lists of the test suite of the library python-metar, test/test_metar.py, commit 5570c4a.
TEST_CASE("Wind groups that another decoder's tests accept are accepted", "[io][metar]") {
  CHECK(read_quietly(with_wind("09010KT")).wind->from.deg() == Approx(90));
  CHECK(knots_of(read_quietly(with_wind("090010KT")).wind->mean) == Approx(10));
  CHECK_FALSE(read_quietly(with_wind("/////KT")).wind);
  CHECK_FALSE(read_quietly(with_wind("MMMMMKT")).wind);
}

TEST_CASE("Wind groups that another decoder's tests reject are rejected", "[io][metar]") {
  CHECK(refused(with_wind("90010KT")) == "\"90010KT\"");
  CHECK(refused(with_wind("9010KT")) == "\"9010KT\"");
  CHECK(refused(with_wind("09010 KT")) == "\"09010\"");
  CHECK(refused(with_wind("09010MPH")) == "\"09010MPH\"");
  CHECK(refused(with_wind("VAR10KT")) == "\"VAR10KT\"");
  CHECK(refused(with_wind("21010KT 180-240")) == "\"180-240\"");
}

TEST_CASE("A wind that cannot be read is never quietly missing", "[io][metar]") {
  for (const char* wind : {"3600KT", "400010KT", "37012KT", "24012", "240/12KT", "24O12KT", "24012KTS", "24012G2KT",
                           "P99KT", "240999KT", "VRBKT", "24012kt", "WIND", "24012K", "2401"}) {
    CAPTURE(wind);
    CHECK(refused(with_wind(wind)) == "\"" + std::string(wind) + "\"");
  }
  refused(with_wind("2401 2KT"));
  CHECK(refused(with_wind("24012KT 26014KT")) == "\"26014KT\"");
  CHECK(refused("METAR ZZDA 121650Z CAVOK 24012KT 05/03 Q1013") == "\"24012KT\"");
}

TEST_CASE("A partly missing wind counts as missing, loudly", "[io][metar]") {
  CHECK(warned(with_wind("///05KT")) == "\"///05KT\"");
  CHECK_FALSE(read(with_wind("///05KT")).wind);
  CHECK_FALSE(read(with_wind("240//KT")).wind);
  CHECK(warned(with_wind("24512KT")) == "\"24512KT\"");  // not a step of ten degrees, but legible
}

TEST_CASE("A temperature that cannot be read is never quietly missing", "[io][metar]") {
  for (const char* group :
       {"50/60", "5/3", "05-03", "O5/03", "05/03/", "M5/M8", "-05/-08", "0503", "61/20", "05/M", "M05", "05.2/03"}) {
    CAPTURE(group);
    CHECK(refused(with_temperature(group)) == "\"" + std::string(group) + "\"");
  }
  CHECK(refused(with_temperature("05/03 06/03")) == "\"06/03\"");
}

TEST_CASE("A pressure that cannot be read is never quietly missing", "[io][metar]") {
  for (const char* group :
       {"Q0013", "A992", "Q1O13", "Q10113", "QNH1013", "1013", "A29.92", "Q2992", "A1013", "Q", "2992INS", "Q///"}) {
    CAPTURE(group);
    CHECK(refused(with_pressure(group)) == "\"" + std::string(group) + "\"");
  }
  CHECK(refused(with_pressure("Q1013 Q1014")) == "\"Q1014\"");
  CHECK(refused(with_pressure("Q1013 A2982")) == "\"A2982\"");
  CHECK(refused(with_pressure("A2992 Q1012")) == "\"Q1012\"");  // 29.92 inHg is 1013.2 hPa, which rounds down to 1013
  // 29.92 inHg is 1013.2 hPa and rounds down to Q1013; the note tells which of them is used.
  const Loaded<Metar> both = parse_metar(with_pressure("Q1013 A2992"));
  REQUIRE(both.ok());
  REQUIRE(both.findings.size() == 1);
  CHECK(both.findings[0].severity == Severity::note);
  CHECK(in_inches_of_mercury(*both.value->qnh) == Approx(29.92));
}

TEST_CASE("What is reported as missing, or left out, is absent and no error", "[io][metar]") {
  CHECK_FALSE(read_quietly(with_pressure("Q////")).qnh);
  CHECK_FALSE(read_quietly(with_temperature("/////")).temperature);
  const Metar bare = read_quietly("ZZDA 121650Z CAVOK");
  CHECK_FALSE(bare.wind);
  CHECK_FALSE(bare.temperature);
  CHECK_FALSE(bare.qnh);
  CHECK(bare.cavok);
  CHECK_FALSE(read_quietly("ZZDA 121650Z AUTO ///// //// // ////// ///// Q////").wind);
}

TEST_CASE("CAVOK and 9999 stand for 10 km or more (FM 15 reg. 15.6.4, 15.10)", "[io][metar]") {
  CHECK(in_metres(*read_quietly(with_wind("24012KT")).visibility) == 10000.0);
  const Metar m = read_quietly("ZZDA 121650Z 24012KT CAVOK 05/03 Q1013");
  CHECK(in_metres(*m.visibility) == 10000.0);
  CHECK(m.clouds.empty());
}

TEST_CASE("Visibility in statute miles is whole, a fraction or both", "[io][metar]") {
  const auto miles = [](const std::string& group) {
    return in_metres(*read_quietly("ZZDA 121650Z 24012KT " + group + " 05/03 A2992").visibility) / 1609.344;
  };
  CHECK(miles("10SM") == Approx(10));
  CHECK(miles("2 1/2SM") == Approx(2.5));
  CHECK(miles("M1/4SM") == Approx(0.25));
  CHECK(miles("P6SM") == Approx(6));
}

TEST_CASE("Cloud amounts follow the oktas of FM 15 reg. 15.9", "[io][metar]") {
  using Amount = io::CloudLayer::Amount;
  const Metar m = read_quietly("ZZDA 121650Z 24012KT 9999 FEW010 SCT020TCU BKN030 OVC100 05/03 Q1013");
  REQUIRE(m.clouds.size() == 4);
  CHECK(m.clouds[2].amount == Amount::broken);
  CHECK(m.clouds[3].amount == Amount::overcast);
  CHECK(in_feet(*m.clouds[3].base) == Approx(10000));
  const Metar fog = read_quietly("ZZDA 121650Z 00000KT 0100 FG VV002 05/05 Q1013");
  REQUIRE(fog.clouds.size() == 1);
  CHECK(fog.clouds[0].amount == Amount::vertical_visibility);
  CHECK(in_feet(*fog.clouds[0].base) == Approx(200));
}

TEST_CASE("Trends and remarks are not the weather of now", "[io][metar]") {
  const Metar m = read_quietly(
      "ZZDA 121650Z 24012KT 9999 05/03 Q1013 BECMG FM1730 30025G40KT TEMPO 1500 TSRA RMK 24030KT SLP162 PK WND "
      "28045/15 Q0013 50/60 lower");
  CHECK(m.wind->from.deg() == Approx(240));
  CHECK_FALSE(m.wind->gust);
  CHECK(in_celsius(*m.temperature) == Approx(5));
  CHECK(in_hectopascals(*m.qnh) == Approx(1013));
}

TEST_CASE("An unknown group is noted when nothing is missing, and an error when something is", "[io][metar]") {
  const Loaded<Metar> complete = parse_metar("ZZDA 121650Z 24012KT 9999 05/03 Q1013 BLU R99");
  REQUIRE(complete.ok());
  REQUIRE(complete.findings.size() == 1);
  CHECK(complete.findings[0].severity == Severity::note);
  CHECK(complete.findings[0].found == "group \"BLU\" of the report is not read");
  CHECK(refused("ZZDA 121650Z 24012KT 9999 05/03 BLU") == "\"BLU\"");
}

TEST_CASE("Station and time must be there and be possible", "[io][metar]") {
  CHECK(refused("METAR SBGR 312559Z 36010KT 9999 20/10 Q1013") == "\"312559Z\"");
  CHECK(refused("METAR ZZDA 001200Z 36010KT 9999 20/10 Q1013") == "\"001200Z\"");
  CHECK(refused("METAR ZZDA 321200Z 36010KT 9999 20/10 Q1013") == "\"321200Z\"");
  CHECK(refused("METAR ZZDA 121260Z 36010KT 9999 20/10 Q1013") == "\"121260Z\"");
  CHECK(refused("METAR ZZDA 121650 36010KT 9999 20/10 Q1013") == "\"121650\"");
  CHECK(refused("METAR ZZDA 36010KT 9999 20/10 Q1013") == "\"36010KT\"");
  CHECK(refused("METAR 121650Z 36010KT 9999 20/10 Q1013") == "\"121650Z\"");
  CHECK(refused("METAR ZZDA") == "\"ZZDA\"");
}

TEST_CASE("Nothing, NIL, lower case and two reports are refused", "[io][metar]") {
  CHECK(refused("") == "an empty report");
  CHECK(refused(" \n=") == "an empty report");
  CHECK(refused("METAR") == "\"METAR\"");
  CHECK(refused("NIL") == "\"NIL\"");
  CHECK(refused("METAR ZZDA 121650Z NIL=") == "\"NIL\"");
  CHECK(refused("metar zzda 121650z 24012kt 9999 05/03 q1013") == "\"metar\"");
  CHECK(refused(with_pressure("q1013")) == "\"q1013\"");
  CHECK(refused(with_pressure("Q1013= METAR ZZDB 121650Z")) == "\"METAR\"");
  CHECK(refused(std::string(100000, 'A')) == "100000 characters");
}

TEST_CASE("No bytes make the reader fall over, and what it refuses it explains", "[io][metar]") {
  const std::string report = "METAR ZZDA 121650Z 24012G25KT 210V280 9999 FEW030 05/03 Q1013 RMK T00520031=";
  for (std::size_t i = 0; i < report.size(); ++i) {
    for (const char c : {'\0', ' ', '/', '9', 'M', 'Q', '\n', '\xff'}) {
      std::string damaged = report;
      damaged[i] = c;
      const Loaded<Metar> loaded = parse_metar(damaged);
      CAPTURE(damaged);
      CHECK(loaded.ok() != has_error(loaded.findings));
    }
    const Loaded<Metar> cut = parse_metar(report.substr(0, i));
    CHECK(cut.ok() != has_error(cut.findings));
  }
}

TEST_CASE("A single damaged character in wind, temperature or pressure never loses the value quietly", "[io][metar]") {
  const std::string report = "ZZDA 121650Z 24012KT 9999 05/03 Q1013";
  for (std::size_t i = report.find("24012"); i < report.size(); ++i) {
    for (const char c : {'O', '-', '.', 'X', ' ', '?', '\t'}) {
      std::string damaged = report;
      damaged[i] = c;
      const Loaded<Metar> loaded = parse_metar(damaged);
      CAPTURE(damaged);
      if (!loaded.ok()) continue;
      CHECK(loaded.value->wind);
      CHECK(loaded.value->temperature);
      CHECK(loaded.value->qnh);
    }
  }
}

TEST_CASE("A finding points at the group, on its own line of the file", "[io][metar]") {
  const io::TextOrigin origin{"case.yaml", 12, 10, 4, "weather.metar"};
  const Loaded<Metar> one = parse_metar("METAR ZZDA 121650Z 3600KT 9999 05/03 Q1013", origin);
  REQUIRE(one.findings.size() == 1);
  CHECK(io::render(one.findings) ==
        "case.yaml:12:29: weather.metar: found \"3600KT\", accepted a wind group such as 24012KT, 24012G25KT, VRB03KT, "
        "00000KT or /////KT (KT, MPS or KMH)\n"
        "   12 |          METAR ZZDA 121650Z 3600KT 9999 05/03 Q1013\n"
        "      |                             ^~~~~~\n");
  const Loaded<Metar> two = parse_metar("METAR ZZDA 121650Z 24012KT\n9999 05/03 Q0013", origin);
  REQUIRE(two.findings.size() == 1);
  CHECK(two.findings[0].line == 13);
  CHECK(two.findings[0].column == 4 + 12);
}

TEST_CASE("The ceiling is the lowest broken or overcast layer, or vertical visibility", "[io][metar]") {
  const auto ceiling = [](const std::string& sky) {
    const Metar m = read("ZZDA 121650Z 24012KT 9999 " + sky + " 16/09 Q1013");
    return m.ceiling ? std::to_string(std::lround(in_feet(*m.ceiling))) + " " + m.ceiling_group
                     : std::string(m.sky_known ? "none" : "not known");
  };
  CHECK(ceiling("FEW009 SCT012 BKN020 OVC040") == "2000 BKN020");  // FM 15, reg. 15.9: BKN 5-7, OVC 8 oktas
  CHECK(ceiling("OVC009") == "900 OVC009");
  CHECK(ceiling("BKN020 BKN012CB") == "1200 BKN012CB");
  CHECK(ceiling("VV002") == "200 VV002");  // FM 15, reg. 15.9.1.4: hundreds of feet, as layers are
  CHECK(ceiling("OVC000") == "0 OVC000");
  CHECK(ceiling("FEW009 SCT012") == "none");
  for (const std::string clear : {"NSC", "SKC", "CLR", "NCD"}) CHECK(ceiling(clear) == "none");
  CHECK(ceiling("") == "not known");
  CHECK(ceiling("//////") == "not known");
  CHECK(ceiling("BKN///") == "not known");
  CHECK(ceiling("VV///") == "not known");
  CHECK(ceiling("FEW009 OVC///") == "not known");
  CHECK(ceiling("///007 BKN020") == "700 ///007");  // of unknown amount: it may be one
  CHECK(ceiling("BKN/// OVC020") == "2000 OVC020");
  CHECK(read("ZZDA 121650Z 24012KT CAVOK 16/09 Q1013").sky_known);
  CHECK_FALSE(read("ZZDA 121650Z 24012KT CAVOK 16/09 Q1013").ceiling);
  CHECK_FALSE(read("ZZDA 121650Z 24012KT 9999 FEW030 16/09 Q1013 TEMPO BKN005").ceiling);
}

TEST_CASE("Rain, now or recent, at the aerodrome makes runways wet", "[io][metar]") {
  const auto weather = [](const std::string& group) {
    const Metar m = read("ZZDA 121650Z 24012KT 9000 " + group + " FEW030 06/05 Q1013");
    return m.precipitation + (m.frozen ? " frozen" : "");
  };
  // FM 15, code table 4678.
  for (const std::string wet : {"RA", "-RA", "+SHRA", "DZ", "-DZ", "TSRA", "RERA", "RETSRA"})
    CHECK(weather(wet) == wet);
  for (const std::string ice :
       {"SN", "-SHSN", "RASN", "FZRA", "-FZDZ", "GR", "SHGS", "PL", "SG", "UP", "RESN", "BLSN"}) {
    CHECK(weather(ice) == ice + " frozen");
  }
  for (const std::string dry : {"BR", "FG", "FZFG", "VCSH", "VCTS", "TS", "HZ", "DRDU", "BLSA", "SQ"})
    CHECK(weather(dry).empty());
  CHECK(weather("BR -RA") == "-RA");
  CHECK(read("ZZDA 121650Z 24012KT 9999 FEW030 16/09 Q1013 BECMG RA").precipitation.empty());
}
