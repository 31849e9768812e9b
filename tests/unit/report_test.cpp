#include "backfield/report/json.hpp"
#include "backfield/report/text.hpp"
#include "src/report/format.hpp"
#include "src/report/parts.hpp"

#include <catch2/catch.hpp>

#include <limits>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>

namespace {

using namespace backfield;
using report::Lines;

Lines lines_of(const std::string& text) {
  Lines lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

Lines pages_of(const std::string& text) {
  Lines pages;
  std::istringstream in(text);
  for (std::string page; std::getline(in, page, '\f');) pages.push_back(page);
  return pages;
}

/// All white space as one space, so that a sentence is found wherever its lines break.
std::string flat(const std::string& text) { return std::regex_replace(text, std::regex("\\s+"), " "); }

bool has(const std::string& text, const std::string& sentence) {
  return flat(text).find(sentence) != std::string::npos;
}

earth::RunwayEnd end_named(const std::string& designator, double track_deg) {
  earth::RunwayEnd end;
  end.aerodrome = "ZZDA";
  end.designator = designator;
  end.track = earth::true_degrees(track_deg);
  end.lda = metres(1100);
  end.tora = metres(1100);
  end.surface = earth::Surface::paved;
  end.frequency = "122.800 MHz";
  return end;
}

decision::Case a_case() {
  decision::Case c;
  c.title = "Evening circuit";
  c.file = "case.yaml";
  c.invented = true;
  c.aircraft.name = "Generic trainer";
  c.aircraft.file = "trainer.yaml";
  c.aircraft.checksum = "0123456789abcdef";
  c.aircraft.reference_mass = kilograms(1100);
  c.mass = kilograms(1050);
  c.departure.end = end_named("09L", 90);
  c.departure.start_name = "full length";
  c.elevation = {feet(512)};
  c.weather.qnh = hectopascals(1013.25);
  c.weather.oat = celsius(15);
  c.weather.as_read = "wind 080 deg true 9 kt, oat 15 C, qnh 1013.25 hPa";
  c.turnback_trained = true;
  c.ground_ahead = {decision::GroundAhead::Landable::yes, "fields left of the river", {}, {}};
  c.policy.name = "default";
  c.policy.file = "default";
  c.policy.checksum = "fedcba9876543210";
  c.policy.alignment_height[c.aircraft.kind] = feet(100);
  c.policy.technique.banks = {degrees(30), degrees(45)};
  c.policy.gates.small_turn = degrees(90);
  c.attributions = {"ZZDA: invented"};
  return c;
}

decision::WorldReport world(const std::string& name) {
  decision::WorldReport w;
  w.name = name;
  w.surface_wind = earth::wind_from(earth::true_degrees(80), knots(9));
  w.height_at_departure_end = feet(420);
  w.scanned_to = seconds(300);
  w.scanned_height = feet(3100);
  w.stopped_because = "scan complete";
  w.lowest_speed_over_stall = 1.12;
  return w;
}

decision::Landing landing(const std::string& in_world) {
  return {in_world, metres(120), metres(400), metres(1100), knots(-9), knots(2), knots(61)};
}

decision::RunwayOption option(const earth::RunwayEnd& end, bool reciprocal) {
  decision::RunwayOption o;
  o.end = end;
  o.reciprocal = reciprocal;
  o.distance = metres(1100);
  o.landings = {landing("reported"), landing("strong")};
  o.reasons = {"limit stop: 580 m left"};
  decision::SideAnswer left, right;
  right.side = flight::Side::right;
  for (decision::SideAnswer* side : {&left, &right}) {
    side->why_not_briefed = {"no path found in any world"};
    side->nearest = decision::Nearest{feet(-132.4), feet(900), false};
  }
  o.sides = {left, right};
  return o;
}

/// Nothing works but the runway ahead.
decision::Answer without_window() {
  decision::Answer a;
  a.pressure_altitude = feet(512);
  a.density_altitude = feet(650);
  a.worlds = {world("reported"), world("strong")};
  a.roll_out.available = metres(1100);
  a.roll_out.roll = metres(300.2);
  a.roll_out.roll_worst = metres(340.2);
  a.roll_out.to_50ft = metres(480);
  a.roll_out.to_50ft_worst = metres(520);
  a.roll_out.last_stop = metres(333.9);
  a.roll_out.last_stop_mark = "C2";
  a.roll_out.half_way = metres(550);
  a.roll_out.least_speed_half_way = {knots(36)};
  a.land_ahead.heights = Interval<Length>{metres(0), feet(288.7)};
  a.land_ahead.times = {seconds(0), seconds(24)};
  a.land_ahead.by_world = {{"reported", a.land_ahead.heights}, {"strong", std::nullopt}};
  a.sector = {{feet(0), degrees(30)}, {feet(500), degrees(60)}};
  a.options = {option(end_named("27R", 270), true)};
  a.gaps = {{feet(288.7), std::nullopt, seconds(24), seconds(300), "fields left of the river"}};
  a.gates = {{decision::GateKind::closes, feet(800), feet(288.7), "land ahead on runway 09L", "ahead"}};
  a.speeds = {{"best glide", knots(67)}, {"turn, 30 deg bank", knots(68)}, {"touchdown", knots(51)}};
  a.assumptions = {"no variation stated"};
  a.cautions = {"Planning estimate, not flight-tested.", "Low turnbacks have killed many pilots.",
                "Void if runway, wind, temperature or mass differ."};
  return a;
}

void brief_window(decision::Answer& a, std::size_t of, double low_ft, double high_ft, double turn_deg = 215) {
  decision::BriefedWindow b;
  b.option = of;
  b.window.heights = {feet(low_ft), feet(high_ft)};
  b.window.times = {seconds(low_ft / 12), seconds(high_ft / 12)};
  b.window.larger_turn = degrees(turn_deg);
  b.window.best_surplus = feet(140.9);
  b.opens_reading = feet(std::ceil((low_ft + 512) / 50) * 50);
  b.closes_reading = feet(std::floor((high_ft + 512) / 50) * 50);
  b.tailwind_plan = knots(9);
  b.tailwind_worst = knots(14);
  b.needed_worst = metres(577.3);
  b.available = metres(1100);
  b.touchdown_ground_speed_worst = knots(65);
  const earth::RunwayEnd& end = a.options[of].end;
  const std::string name = end.aerodrome + " " + end.designator + " left";
  a.gates.push_back({decision::GateKind::opens, b.opens_reading, feet(low_ft), "left turn, land " + name, name});
  a.gates.push_back({decision::GateKind::closes, *b.closes_reading, feet(high_ft), "left turn, land " + name, name});
  a.briefed.push_back(b);
}

/// A window back to the departure runway.
decision::Answer with_window() {
  decision::Answer a = without_window();
  brief_window(a, 0, 783.2, 1741.9);
  decision::SideAnswer& left = a.options[0].sides[0];
  left.standing = decision::Standing::briefed;
  left.why_not_briefed.clear();
  left.nearest.reset();
  left.common = {a.briefed[0].window};
  decision::Window w;
  w.aerodrome = "ZZDA";
  w.runway = "27R";
  w.bank = degrees(30);
  w.world = "reported";
  w.heights = {feet(701.2), feet(3100)};
  w.times = {seconds(58), seconds(300)};
  w.upper = decision::Limit::scan_end;
  left.windows = {w};
  a.cancel = decision::CancelLine{feet(950), "the departure end", metres(1100)};
  a.gaps[0].to_height = feet(783.2);
  a.gaps[0].to = seconds(65);
  return a;
}

decision::Answer with_two_windows() {
  decision::Answer a = with_window();
  earth::RunwayEnd crossing = end_named("36", 0);
  crossing.aerodrome = "ZZDB";
  crossing.frequency.clear();
  a.options.push_back(option(crossing, false));
  brief_window(a, 1, 1800, 2600, 80);
  return a;
}

void check_page_one(const decision::Case& c, const decision::Answer& a) {
  const Lines pages = pages_of(report::text(c, a));
  REQUIRE(pages.size() >= 3);
  for (const std::string& page : pages) {
    CHECK(lines_of(page).size() <= 66);
    for (const std::string& line : lines_of(page)) {
      CAPTURE(line);
      CHECK(line.size() <= 80);
      CHECK(line.find_first_not_of(
                " !\"#$%&'()*+,-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[\\]^_`abcdefghijklmnopqrstuvwxyz{|}~") ==
            std::string::npos);
      CHECK((line.empty() || line.back() != ' '));
    }
    CHECK_FALSE(std::regex_search(page, std::regex("\\bsafe|guarantee|you can make it", std::regex::icase)));
  }
  for (const std::string& caution : a.cautions) CHECK(has(pages[0], caution));
  CHECK(has(pages[0], report::spoken_brief(c, a)));
  for (const decision::Gate& gate : a.gates) CHECK(has(pages[0], report::ft(gate.reading)));
  CHECK(lines_of(pages[0]).back().find("Continued: page") == 0);
}

void check_spoken(const std::string& spoken) {
  CAPTURE(spoken);
  // Counted here by another way than the program's.
  const std::regex number("\\S*[0-9]\\S*"), word("\\S+");
  const auto count = [&spoken](const std::regex& what) {
    return std::distance(std::sregex_iterator(spoken.begin(), spoken.end(), what), std::sregex_iterator());
  };
  CHECK(count(word) <= 80);
  CHECK(count(number) <= 4);
}

/// One world, 1.25 within TORA.
decision::TakeOffRoom a_take_off(Length to_50ft, Length tora) {
  decision::TakeOffRoom room;
  room.not_assessed.clear();
  room.worlds = {{"reported", metres(300), to_50ft, metres(610), {{"TORA", true, 1.25, to_50ft * 1.25, tora}}}};
  return room;
}

/// 960 m on a wet runway of 1,520 m.
decision::PoweredReturn a_powered_return() {
  decision::PoweredReturn back;
  back.not_assessed.clear();
  back.mass = kilograms(1010);
  decision::PoweredLanding landing{"reported", {metres(960), 1.15, "a rule"}, knots(9), knots(2), knots(55), {}};
  landing.needs = {{"unfactored", decision::MarginUse::information, 1.0, 1.15, metres(1104), metres(1520)},
                   {"in flight", decision::MarginUse::decides, 1.15, 1.15, metres(1269.6), metres(1520)},
                   {"60 % wet", decision::MarginUse::planning, 1.67, 1.15, metres(1843.7), metres(1520)}};
  back.worlds = {landing};
  back.findings = {"tailwind 10.0 kt, at the 10 kt of the aircraft file"};
  return back;
}

}  // namespace

TEST_CASE("Room for the take-off stands on page one, loudly where there is too little", "[report]") {
  decision::Answer a = with_window();
  a.take_off = a_take_off(metres(520), metres(1100));
  check_page_one(a_case(), a);
  Lines pages = pages_of(report::text(a_case(), a));
  CHECK(has(pages[0], "50 ft at 480 m, at worst 520 m, x1.25 = 650 m of 1,100 m TORA: fits."));
  CHECK(has(pages[1], "reported 300 m 520 m 610 m x1.25 650 m 1,100 m TORA 450 m"));
  a.take_off = a_take_off(metres(520), metres(600));
  check_page_one(a_case(), a);
  pages = pages_of(report::text(a_case(), a));
  CHECK(has(pages[0],
            "*** TAKE-OFF DOES NOT FIT *** 520 m to 50 ft at worst (reported), x1.25 = 650 m of 600 m TORA: "
            "50 m short."));
  CHECK_FALSE(has(pages[0], ": fits"));
}

TEST_CASE("A landing with power says what is left after stopping, and what is planning only", "[report]") {
  decision::Answer a = with_window();
  CHECK(has(report::text(a_case(), a), "With power: not assessed, not computed."));
  a.options[0].powered = a_powered_return();
  const std::string text = report::text(a_case(), a);
  CHECK(has(text, "LANDING WITH POWER, worst wind, x1.15 kept, 1,010 kg: ZZDA 27R stops with 250 m left."));
  CHECK(has(text, "in flight x1.15 x1.32 1,270 m 250 m 1,270 m 250 m decides"));
  CHECK(has(text, "60 % wet x1.67 x1.92 1,844 m -324 m 1,844 m -324 m planning only"));
  CHECK(has(text, "Stops with 250 m left of 1,520 m LDA in the worst wind (reported), x1.15 kept."));
  CHECK(has(text, "with power: tailwind 10.0 kt, at the 10 kt of the aircraft file"));
  a.options[0].powered.worlds[0].needs[1].needed = metres(1530.2);
  CHECK(has(report::text(a_case(), a), "DOES NOT FIT, 11 m short"));
}

TEST_CASE("Page one holds 66 lines of 80 columns, with one window, none or several", "[report]") {
  check_page_one(a_case(), without_window());
  check_page_one(a_case(), with_window());
  check_page_one(a_case(), with_two_windows());
}

TEST_CASE("Page one holds what may not leave it however much people typed, and the rest moves to page two",
          "[report]") {
  const std::string long_text = [] {
    std::string text;
    for (int i = 0; i < 60; ++i) text += "words and more words ";
    return text;
  }();
  decision::Case c = a_case();
  c.title = c.weather.as_read = c.ground_ahead.note = c.departure.start_name = c.aircraft.name = long_text;
  decision::Answer a = with_two_windows();
  a.roll_out.note = a.roll_out.last_stop_mark = a.cancel->place = long_text;
  for (int i = 0; i < 30; ++i) a.warnings.push_back("warning number " + std::to_string(i));
  for (int i = 0; i < 12; ++i) a.gaps.push_back(a.gaps[0]);
  check_page_one(c, a);
  check_spoken(report::spoken_brief(c, a));
  const Lines pages = pages_of(report::text(c, a));
  CHECK(has(pages[0], "WARNINGS: 30, all of them on page 2."));
  CHECK(has(pages[1], "WARNING warning number 29"));
  CHECK(has(report::text(c, a), flat(report::ascii(long_text))));  // whole on a later page

  a.take_off = a_take_off(metres(520), metres(600));
  a.take_off.worlds[0].world = long_text;
  check_page_one(c, a);
  CHECK(has(pages_of(report::text(c, a))[0], "*** TAKE-OFF DOES NOT FIT ***"));

  a.briefed.clear();
  for (decision::SideAnswer& side : a.options[0].sides) side.why_not_briefed = {long_text + name_of(side.side)};
  check_page_one(c, a);
  CHECK(has(pages_of(report::text(c, a))[0], "*** NO TURNBACK TODAY ***"));
}

TEST_CASE("No window is said loudly, with the reason and what is missing", "[report]") {
  const std::string page = pages_of(report::text(a_case(), without_window()))[0];
  CHECK(has(page, "*** NO TURNBACK TODAY *** at any height"));
  CHECK(has(page,
            "ZZDA 27R, left or right turn: no path found in any world; 133 ft missing at best, from 900 ft above "
            "aerodrome."));
  CHECK(has(page, "CANCEL: no line"));
  decision::Answer silent = without_window();
  for (decision::SideAnswer& side : silent.options[0].sides) side.why_not_briefed.clear();
  CHECK(has(report::text(a_case(), silent), "left or right turn: works in no world of the bracket; 133 ft missing"));
  CHECK(has(page, "276 s: 289 ft above aerodrome and up, as far as scanned, 24 to 300 s after lift-off"));
  CHECK(has(page, "No turnback today."));
}

TEST_CASE("A window of a pilot who is not trained is shown as computed, not briefed", "[report]") {
  decision::Answer a = with_window();
  a.briefed.clear();
  a.gates.resize(1);
  a.cancel.reset();
  decision::SideAnswer& left = a.options[0].sides[0];
  left.standing = decision::Standing::computed_only;
  left.why_not_briefed = {"the case does not say that turnbacks are trained"};
  const std::string page = pages_of(report::text(a_case(), a))[0];
  CHECK(has(page, "*** NO TURNBACK TODAY ***"));
  CHECK(has(page, "turnbacks are trained; computed only, not briefed: 784 to 1,741 ft above aerodrome."));
  CHECK_FALSE(has(page, "TURN LEFT"));
}

TEST_CASE("A briefed window is given with both readings, cancel line, turn, wind, distance and speed", "[report]") {
  const std::string page = pages_of(report::text(a_case(), with_window()))[0];
  CHECK(has(page, "TURN LEFT, land on ZZDA 27R: from 1,300 ft to 2,250 ft on the altimeter."));
  CHECK(has(page, "784 to 1,741 ft above aerodrome"));  // inwards
  CHECK(has(page, "larger turn 215 deg; 140 ft to spare at best"));
  CHECK(has(page, "tailwind 9 kt, at worst tailwind 14 kt; needs 578 m at worst of 1,100 m LDA"));
  CHECK(has(page, "OPENS at 1,300 ft (784 ft) left turn, land ZZDA 27R left; upper edge 2,250 ft."));
  CHECK(has(page, "CLOSES at 2,250 ft (1,741 ft)"));
  CHECK(has(page, "CANCEL below 950 ft at the departure end (1,100 m from release): no turnback."));
  CHECK(has(page, "TRAFFIC: you land against runway 09L"));
  CHECK(has(page, "ZZDA 122.800 MHz"));
  CHECK(has(page, "Last stop: 333 m from release; last mark before it C2."));
  CHECK(has(page, "Half-way, 550 m: stop if below 36 kt (70 % of rotation); expect to be airborne."));
  CHECK(has(page, "QNH 1013.3 hPa (29.92 inHg)"));
  CHECK_FALSE(has(page, "NO TURNBACK"));
}

TEST_CASE("A gate that opens always states its upper edge or that none was found", "[report]") {
  decision::Answer a = with_window();
  a.briefed[0].closes_reading.reset();
  a.briefed[0].window.upper = decision::Limit::scan_end;
  a.gates.pop_back();
  CHECK(has(report::text(a_case(), a), "left turn, land ZZDA 27R left; no upper edge as far as scanned."));
  CHECK(has(report::spoken_brief(a_case(), a), "From 1,300 ft up: turn left"));
}

TEST_CASE("A return with a small turn only is no turnback", "[report]") {
  decision::Answer a = with_window();
  a.briefed[0].window.larger_turn = degrees(85);
  const std::string page = pages_of(report::text(a_case(), a))[0];
  CHECK(has(page, "4 TURN LEFT, land on ZZDA 27R"));
  CHECK(has(page, "*** NO TURNBACK TODAY ***"));
  CHECK(has(page, "(1,100 m from release): no return."));
}

TEST_CASE("The spoken brief has at most 80 words and four numbers, and runways are spelled", "[report]") {
  for (const decision::Answer& a : {without_window(), with_window(), with_two_windows()}) {
    check_spoken(report::spoken_brief(a_case(), a));
  }
  CHECK(report::spoken_brief(a_case(), with_window()) ==
        "Runway zero nine left, full length. Anything wrong before C two: stop. Up to 800 ft on the altimeter: land on "
        "the runway ahead. Between 1,300 and 2,250 ft: turn left, runway two seven right. Otherwise land ahead in the "
        "sector: fields left of the river. Below 950 ft at the departure end: no turnback. Partial power: expect total "
        "loss at any moment.");
  // Two windows would make six numbers: the second one stays on the page, and that is said.
  const std::string two = report::spoken_brief(a_case(), with_two_windows());
  CHECK(has(two, "Between 1,300 and 2,250 ft"));
  CHECK(has(two, "Further windows: on the page."));
  CHECK(report::count("Runway zero nine, up to 1,250 ft").numbers == 1);
}

TEST_CASE("A start typed as a distance is not said as a number in disguise", "[report]") {
  decision::Case c = a_case();
  c.departure.start_name = "300 m";
  const std::string spoken = report::spoken_brief(c, with_window());
  CHECK(has(spoken, "not from its begin"));
  CHECK_FALSE(has(spoken, "three zero zero"));
  CHECK(has(report::text(c, with_window()), "from 300 m"));
}

TEST_CASE("The spoken brief is honest about the roll and the runway ahead", "[report]") {
  decision::Answer a = without_window();
  a.roll_out.last_stop.reset();
  CHECK(has(report::spoken_brief(a_case(), a), "No stop fits on the roll."));
  a.roll_out.last_stop = metres(200);
  a.roll_out.last_stop_mark.clear();
  CHECK(has(report::spoken_brief(a_case(), a), "Anything wrong before the last stop point: stop."));
  a.land_ahead.heights.reset();
  CHECK(has(report::spoken_brief(a_case(), a), "Once airborne, no runway is left ahead."));
  CHECK(has(report::text(a_case(), a), "RUNWAY AHEAD: none is left once airborne."));
  a.land_ahead.not_assessed = "no landing distance";
  CHECK(has(report::spoken_brief(a_case(), a), "Runway left ahead: not assessed."));
}

TEST_CASE("QFE is named where it is set", "[report]") {
  decision::Case c = a_case();
  c.altimeter = decision::AltimeterSetting::qfe;
  const std::string page = pages_of(report::text(c, with_window()))[0];
  CHECK(has(page, "altimeter on QFE reads 0 ft there"));
  CHECK(has(page, "GATES: read the altimeter on QFE"));
}

TEST_CASE("The mark of invented data stands for an invented case or aircraft, and for nothing else", "[report]") {
  decision::Case c = a_case();
  c.invented = false;
  CHECK_FALSE(has(report::text(c, with_window()), "*** INVENTED DATA ***"));
  c.aircraft.invented = true;
  CHECK(has(lines_of(report::text(c, with_window()))[0], "*** INVENTED DATA ***"));
}

TEST_CASE("A refusal is printed as title, refusal and cautions only", "[report]") {
  decision::Answer a;
  a.refusal = "take-off distance: outside air temperature, ends at 40 C";
  a.cautions = without_window().cautions;
  const std::string text = report::text(a_case(), a);
  CHECK(pages_of(text).size() == 1);
  CHECK(has(text, "NO ANSWER: take-off distance: outside air temperature, ends at 40 C"));
  CHECK(has(text, "Low turnbacks have killed many pilots."));
  CHECK_FALSE(has(text, "GATES"));
  const auto json = nlohmann::json::parse(report::json(a_case(), a));
  CHECK(json.at("refusal") == a.refusal);
  CHECK_FALSE(json.contains("gates"));
}

TEST_CASE("The pages behind page one carry policy, aircraft, checksums, worlds and assumptions", "[report]") {
  const std::string text = report::text(a_case(), with_window());
  for (const char* what : {"default, file default, checksum fedcba9876543210",
                           "Generic trainer, file trainer.yaml, checksum 0123456789abcdef", "no variation stated",
                           "physics: density local, angle exact, shear on, wind profile, roll rate, entry flown",
                           "ZZDA: invented", "80 deg 9 kt", "rank: limit stop: 580 m left"}) {
    CAPTURE(what);
    CHECK(has(text, what));
  }
}

TEST_CASE("JSON has units in its keys, null where nothing is, and 0.1 as its finest step", "[report][json]") {
  const std::string bytes = report::json(a_case(), with_window());
  CHECK(bytes.find("{\n  \"backfield\": \"brief/1\"") == 0);
  CHECK(bytes.back() == '\n');
  const auto json = nlohmann::json::parse(bytes);
  const auto& window = json.at("windows").at(0);
  CHECK(window.at("lower_height_ft") == 701.2);
  CHECK(window.at("upper_height_ft").is_null());
  CHECK(window.at("open_above") == true);
  CHECK(window.at("limit_upper") == "scan_end");
  const auto& briefed = json.at("briefed_windows").at(0);
  CHECK(briefed.at("runway") == "27R");
  CHECK(briefed.at("opens_reading_ft") == 1300.0);
  CHECK(briefed.at("upper_height_ft") == 1741.9);
  CHECK(json.at("gaps").at(0).at("seconds") == 41.0);
  CHECK(json.at("land_ahead").at("by_world").at(1).at("upper_height_ft").is_null());
  CHECK(json.at("cautions").size() == 3);
  CHECK(json.at("cancel_line").at("reading_ft") == 950.0);
  CHECK(nlohmann::json::parse(report::json(a_case(), without_window())).at("cancel_line").is_null());
}

TEST_CASE("A number that is not finite is a fault of ours, on paper and in JSON", "[report][json]") {
  decision::Answer a = with_window();
  a.roll_out.roll = metres(std::numeric_limits<double>::quiet_NaN());
  CHECK_THROWS_AS(report::text(a_case(), a), std::logic_error);
  CHECK_THROWS_AS(report::json(a_case(), a), std::logic_error);
}

TEST_CASE("Text that is no UTF-8 neither breaks the JSON nor leaves ASCII", "[report][json]") {
  decision::Case c = a_case();
  c.title = "bad \xFF\xC3 \x1B[31m Z\xC3\xBCrich \xE2\x96\x88";
  CHECK_NOTHROW(nlohmann::json::parse(report::json(c, with_window())));
  check_page_one(c, with_window());
  CHECK(has(report::text(c, with_window()), "Zurich ?"));
}

TEST_CASE("Numbers round to the side asked for, group thousands and have no minus before a zero", "[report][format]") {
  CHECK(report::number(1234567.4) == "1,234,567");
  CHECK(report::number(-0.4) == "0");
  CHECK(report::number(-1234.5, 1) == "-1,234.5");
  CHECK(report::number(700.2, 0, report::Rounding::up) == "701");
  CHECK(report::number(700.9, 0, report::Rounding::down) == "700");
  CHECK(report::ft(feet(700), report::Rounding::up) == "700 ft");  // although it went through metres
  CHECK(report::ft(feet(700), report::Rounding::down) == "700 ft");
  CHECK(report::along(knots(-4.6)) == "tailwind 5 kt");
  CHECK(report::across(knots(-4.6)) == "5 kt from left");
}

TEST_CASE("A line breaks between words, but not between a number and its unit", "[report][format]") {
  CHECK(report::wrapped("up to 50 ft", 8) == Lines{"up to", "50 ft"});
  CHECK(report::wrapped("one two", 6, "- ") == Lines{"- one", "  two"});
  CHECK(report::wrapped("abcdefghij", 4) == Lines{"abcd", "efgh", "ij"});
  CHECK(report::wrapped("", 4, "x ") == Lines{"x "});
}

TEST_CASE("A briefed window that needs landing flap or a slip says so, and from where", "[report]") {
  const decision::Case c = a_case();
  decision::Answer a = with_window();
  CHECK_FALSE(has(report::text(c, a), "NEEDS"));
  a.briefed[0].window.height_loss.landing_flap = Interval<Length>{feet(1150.7), feet(1741.9)};
  CHECK(has(report::text(c, a),
            "NEEDS on the final, once aligned: landing flap from 1,150 to 1,742 ft above aerodrome; clean it is too "
            "high there."));
  a.briefed[0].window.height_loss.slip = Interval<Length>{feet(1600), feet(1741.9)};
  CHECK(has(report::text(c, a), "a slip besides from 1,600 to 1,742 ft above aerodrome"));
  check_page_one(c, a);
  const auto json = nlohmann::json::parse(report::json(c, a));
  CHECK(json["briefed_windows"][0]["needs_landing_flap"]["from_height_ft"] == 1150.7);
  CHECK(json["briefed_windows"][0]["needs_slip"]["to_height_ft"] == 1741.9);
  CHECK(json["windows"][0]["needs_slip"].is_null());

  a.options[0].sides[0].windows[0].height_loss.landing_flap = Interval<Length>{feet(1150.7), feet(1741.9)};
  CHECK(has(report::text(c, a), "/end of scan, flap"));
}

TEST_CASE("Where every path is too high the page says by how much", "[report]") {
  decision::Answer a = without_window();
  for (decision::SideAnswer& side : a.options[0].sides) side.nearest->past_end = metres(120.4);
  CHECK(has(report::text(a_case(), a),
            "where too high, the last point that leaves room to stop is passed by 121 m at "
            "best"));
}
