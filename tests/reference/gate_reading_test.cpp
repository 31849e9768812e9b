// Altimeter readings of gates. The figure for a cold day is the hydrostatic equation's in a column of standard lapse
// rate, as cold-temperature altimeter correction tables are computed (ICAO Doc 8168, PANS-OPS Vol. I, gives the same
// method; its table was not opened, so the number is checked against the equation worked by hand below).

#include "backfield/decision/assess.hpp"

#include <catch2/catch.hpp>

#include <cmath>

using namespace backfield;
using decision::GateKind;

namespace {

decision::Case at(Length elevation, Temperature oat, decision::AltimeterSetting setting) {
  decision::Case c;
  c.elevation = {elevation};
  c.weather.qnh = hectopascals(1013.25);
  c.weather.oat = oat;
  c.altimeter = setting;
  return c;
}

}  // namespace

TEST_CASE("At -20 C, 800 ft above a sea-level field read 911 ft", "[decision][reference]") {
  const auto c = at(feet(0), celsius(-20), decision::AltimeterSetting::qnh);
  // Pressure ratio of the cold column: (1 - L h / T)^(g/RL); the altimeter turns it back with T0: h0 = h T0 / T.
  const double by_hand = 800.0 * 288.15 / 253.15;
  CHECK(by_hand == Approx(910.6).margin(0.1));
  CHECK(in_feet(decision::altimeter_reading(c, feet(800), GateKind::opens)) == Approx(911.0).margin(1.0));
}

TEST_CASE("A correction that would lower an opening or raise a closing edge is not taken", "[decision][reference]") {
  const auto cold = at(feet(500), celsius(-20), decision::AltimeterSetting::qnh);
  const auto hot = at(feet(500), celsius(40), decision::AltimeterSetting::qnh);
  CHECK(in_feet(decision::altimeter_reading(cold, feet(700), GateKind::opens)) > 1200.0 + 50.0);
  CHECK(in_feet(decision::altimeter_reading(cold, feet(700), GateKind::closes)) == Approx(1200.0));
  CHECK(in_feet(decision::altimeter_reading(hot, feet(700), GateKind::opens)) == Approx(1200.0));
  CHECK(in_feet(decision::altimeter_reading(hot, feet(700), GateKind::closes)) < 1200.0 - 30.0);
}

TEST_CASE("QFE reads height, QNH adds the elevation", "[decision][reference]") {
  const auto standard = celsius(15.0 - 1.98);  // ISA at 1,000 ft: no correction either way
  const auto qnh = at(feet(1000), standard, decision::AltimeterSetting::qnh);
  const auto qfe = at(feet(1000), standard, decision::AltimeterSetting::qfe);
  CHECK(in_feet(decision::altimeter_reading(qnh, feet(700), GateKind::opens)) == Approx(1700.0).margin(1.0));
  CHECK(in_feet(decision::altimeter_reading(qfe, feet(700), GateKind::opens)) == Approx(700.0).margin(1.0));
}

TEST_CASE("Opening edges round up and closing edges down, exact steps stay", "[decision]") {
  CHECK(in_feet(decision::rounded(feet(1201), GateKind::opens, feet(50))) == Approx(1250.0));
  CHECK(in_feet(decision::rounded(feet(1249), GateKind::closes, feet(50))) == Approx(1200.0));
  CHECK(in_feet(decision::rounded(feet(1250), GateKind::opens, feet(50))) == Approx(1250.0));
  CHECK(in_feet(decision::rounded(feet(1250), GateKind::closes, feet(50))) == Approx(1250.0));
  CHECK(in_feet(decision::rounded(feet(1237), GateKind::opens, feet(0))) == Approx(1237.0));
}
