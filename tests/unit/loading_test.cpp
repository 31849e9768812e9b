#include "backfield/aircraft/loading.hpp"

#include "backfield/io/load.hpp"
#include "backfield/io/render_finding.hpp"
#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <fstream>

using namespace backfield;
using aircraft::in_words;
using aircraft::standing_in_envelope;

namespace {

/// Forward limit 2.00 m up to 900 kg, then back to 2.10 m at 1,100 kg; aft limit 2.30 m.
const std::vector<aircraft::MassAndArm> kEnvelope{{kilograms(700), metres(2.00)},
                                                  {kilograms(900), metres(2.00)},
                                                  {kilograms(1100), metres(2.10)},
                                                  {kilograms(1100), metres(2.30)},
                                                  {kilograms(700), metres(2.30)}};

std::string words(double kg, double arm_m) {
  return in_words(standing_in_envelope(kEnvelope, {kilograms(kg), metres(arm_m)}));
}

/// A case at the demonstration aerodrome; `loading` stands where the mass does otherwise.
Loaded<decision::Case> load(const std::string& loading) {
  const test::TemporaryDirectory folder;
  const auto file = folder.path() / "case.yaml";
  std::ofstream(file)
      << "backfield: case/1\ntitle: Loads\ninvented: yes\n"
         "aircraft: " BACKFIELD_SOURCE_DIR "/aircraft/trainer.yaml\n"
      << loading
      << "departure: {aerodrome: ZZVA, runway: \"27\", from: full length, climb: v_y, track: straight}\n"
         "aerodromes: [" BACKFIELD_SOURCE_DIR
         "/cases/demo/vale.yaml]\n"
         "weather: {wind: calm, oat: 15 C, qnh: 1013 hPa}\n"
         "altimeter: qnh\nturnback: trained\nground_ahead: {landable: yes}\npolicy: plain\n";
  return io::load_case(file.string());
}

bool hints(const std::vector<Finding>& findings, const std::string& part) {
  return std::any_of(findings.begin(), findings.end(),
                     [&](const Finding& f) { return f.hint.find(part) != std::string::npos; });
}

}  // namespace

TEST_CASE("Inside the envelope there is nothing to say, nor on its edge", "[aircraft][loading]") {
  CHECK(words(900, 2.15).empty());
  CHECK(words(1100, 2.10).empty());
  CHECK(words(1100, 2.30).empty());
  CHECK(words(700, 2.00).empty());
  CHECK(words(1000, 2.05).empty());
}

TEST_CASE("Outside the envelope the words say by how much and which way", "[aircraft][loading]") {
  CHECK(words(1135, 2.20) == "too heavy by 35 kg");
  CHECK(words(1000, 2.32) == "aft by 2 cm (limits 2.05 to 2.30 m)");
  CHECK(words(800, 1.97) == "forward by 3 cm (limits 2.00 to 2.30 m)");
  CHECK(words(650, 2.10) == "too light by 50 kg");
  // At 2.04 m the sloping limit ends at 980 kg: 900 kg + 0.04/0.10 x 200 kg.
  CHECK(words(1000, 2.04) == "forward by 1 cm (limits 2.05 to 2.30 m), for its arm too heavy by 20 kg");
  CHECK(words(1120, 2.35) == "too heavy by 20 kg, aft by 5 cm (limits 2.10 to 2.30 m)");
}

TEST_CASE("Fuel is burnt from the tanks in the order of the file, and from nothing else", "[aircraft][loading]") {
  aircraft::Loading loading;
  loading.stations = {{"seats", metres(2), kilograms(200), {}},
                      {"left", metres(2), {}, litres(50)},
                      {"right", metres(2), {}, litres(50)}};
  const auto burnt = aircraft::after_burn(loading, {kilograms(150), kilograms(30), kilograms(30)}, kilograms(40));
  CHECK(in_kilograms(burnt[0]) == 150.0);
  CHECK(in_kilograms(burnt[1]) == 0.0);
  CHECK(in_kilograms(burnt[2]) == Approx(20.0));
}

TEST_CASE("A case that states its loads has their sum as its mass", "[io][loading]") {
  const auto loaded = load(
      "loads: {front seats: 150 kg, rear seats: 0 kg, baggage: 22.0462262 lb, tanks: 100 l}\nreturn_after: 30 min\n");
  INFO(io::render(loaded.findings));
  REQUIRE(loaded.ok());
  const decision::Case& c = *loaded.value;
  CHECK(in_kilograms(c.mass) == Approx(700.0 + 150.0 + 10.0 + 72.0));
  REQUIRE(c.load_sheet);
  CHECK(in_metres(c.load_sheet->take_off.arm) == Approx((700.0 + 142.5 + 24.0 + 86.4) / 932.0));
  // 20 l/h for half an hour: 10 l, 7.2 kg.
  REQUIRE(c.return_mass);
  CHECK(in_kilograms(*c.return_mass) == Approx(932.0 - 7.2));
  CHECK(in_metres(c.load_sheet->at_return->arm) == Approx((952.9 - 7.2 * 1.2) / 924.8));
  CHECK(in_kilograms(c.load_sheet->tanks_empty.mass) == Approx(860.0));
}

TEST_CASE("Fuel may be stated by mass or by volume, in any unit that is known", "[io][loading]") {
  const auto mass = [](const std::string& tanks) {
    const auto loaded = load("loads: {front seats: 150 kg, rear seats: 0 kg, baggage: 0 kg, tanks: " + tanks + "}\n");
    INFO(io::render(loaded.findings));
    REQUIRE(loaded.ok());
    return in_kilograms(loaded.value->mass) - 850.0;
  };
  CHECK(mass("60 kg") == Approx(60.0));
  CHECK(mass("132.277357 lb") == Approx(60.0).margin(1e-4));
  CHECK(mass("100 l") == Approx(72.0));
  CHECK(mass("10 USgal") == Approx(37.85411784 * 0.72));
}

TEST_CASE("A load outside the envelope is refused, with how far it is outside", "[io][loading]") {
  auto loaded = load("loads: {front seats: 75 kg, rear seats: 160 kg, baggage: 50 kg, tanks: 80 l}\n");
  CHECK_FALSE(loaded.ok());
  CHECK(hints(loaded.findings, "aft by 3 cm (limits 0.97 to 1.18 m)"));
  loaded = load("loads: {front seats: 200 kg, rear seats: 150 kg, baggage: 50 kg, tanks: 110 l}\n");
  CHECK_FALSE(loaded.ok());
  CHECK(hints(loaded.findings, "too heavy by 80 kg"));
}

TEST_CASE("A mass alone burns too, where the time of the return is stated", "[io][loading]") {
  const auto loaded = load("mass: 1000 kg\nreturn_after: 60 min\n");
  REQUIRE(loaded.ok());
  CHECK(in_kilograms(loaded.value->return_mass.value()) == Approx(1000.0 - 14.4));
  CHECK_FALSE(loaded.value->load_sheet);
}
