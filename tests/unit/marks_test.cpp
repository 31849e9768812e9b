#include "backfield/decision/assess.hpp"
#include "backfield/io/load.hpp"
#include "backfield/report/text.hpp"

#include "src/io/read_aerodrome.hpp"
#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <sstream>

namespace fs = std::filesystem;
using namespace backfield;

namespace {

/// The good case with other marks on runway 36 of its aerodrome, 2,400 m long.
Loaded<decision::Case> with_marks(const std::string& marks, const std::string& from = "full length",
                                  const std::string& runway = "36") {
  const test::TemporaryDirectory directory;
  const auto copy = [&](const std::string& name, const std::vector<std::pair<std::string, std::string>>& changes) {
    std::ifstream in(std::string(BACKFIELD_SOURCE_DIR) + "/tests/data/good/" + name);
    std::ostringstream text;
    text << in.rdbuf();
    std::string changed = text.str();
    for (const auto& [old, now] : changes) {
      const std::size_t at = changed.find(old);
      REQUIRE(at != std::string::npos);
      changed.replace(at, old.size(), now);
    }
    std::ofstream(directory.path() / name) << changed;
  };
  copy("home.yaml", {{"[{name: B, from_start: 700 m}]", marks}});
  copy("case.yaml", {{"../../../aircraft/trainer.yaml", std::string(BACKFIELD_SOURCE_DIR) + "/aircraft/trainer.yaml"},
                     {"from: full length", "from: " + from},
                     {"runway: \"36\"", "runway: \"" + runway + "\""}});
  return io::load_case((directory.path() / "case.yaml").string());
}

const earth::RunwayEnd& end_named(const decision::Case& c, const std::string& designator) {
  for (const earth::RunwayEnd& end : c.options) {
    if (end.designator == designator) return end;
  }
  throw std::logic_error("no such end");
}

constexpr const char* kTwo = "[{name: C, from_start: 1500 m, side: left}, {name: B, from_start: 700 m, side: both}]";

}  // namespace

TEST_CASE("A mark with a side is known from both ends, in the order of each, on the other side from there",
          "[io][marks]") {
  const auto loaded = with_marks(kTwo);
  REQUIRE(loaded.ok());
  const auto& here = end_named(*loaded.value, "36").marks;
  const auto& there = end_named(*loaded.value, "18").marks;
  REQUIRE(here.size() == 2);
  REQUIRE(there.size() == 2);
  CHECK(here[0].name == "B");
  CHECK(in_metres(here[0].from_start) == Approx(700.0));
  CHECK(here[0].side == earth::MarkSide::both);
  CHECK(here[1].side == earth::MarkSide::left);
  CHECK(there[0].name == "C");
  CHECK(in_metres(there[0].from_start) == Approx(900.0));
  CHECK(there[0].side == earth::MarkSide::right);
  CHECK(in_metres(there[1].from_start) == Approx(1700.0));
}

TEST_CASE("A mark without a side is a name for the start of the roll and no more", "[io][marks]") {
  const auto loaded = with_marks("[{name: B, from_start: 700 m}]");
  REQUIRE(loaded.ok());
  CHECK(end_named(*loaded.value, "36").marks.empty());
  CHECK(loaded.value->marks.size() == 1);
  CHECK_FALSE(decision::assess(*loaded.value).roll_out.marks.stated);
}

TEST_CASE("A departure may begin at a mark stated for the other end, and every declared distance is shorter by it",
          "[io][marks]") {
  const auto loaded = with_marks(kTwo, "C", "18");
  REQUIRE(loaded.ok());
  CHECK(in_metres(loaded.value->departure.start) == Approx(900.0));
  const decision::Answer answer = decision::assess(*loaded.value);
  CHECK(in_metres(answer.roll_out.available) == Approx(1500.0));
  for (const decision::TakeOffInWorld& w : answer.take_off.worlds) {
    for (const decision::TakeOffNeed& need : w.needs) CHECK(in_metres(need.available) == Approx(1500.0));
  }
}

TEST_CASE("A name twice at one end is refused, two places for one name are warned of", "[io][marks]") {
  CHECK_FALSE(with_marks("[{name: B, from_start: 700 m}, {name: B, from_start: 900 m, side: left}]").ok());
}

TEST_CASE("Rotation is expected by the first mark not before the longest roll of the bracket", "[decision][marks]") {
  auto loaded = with_marks(kTwo);
  REQUIRE(loaded.ok());
  decision::Case c = *loaded.value;
  const Length roll = decision::assess(c).roll_out.roll_worst;
  const auto rotate_by = [&](Length first) {
    c.departure.end.marks = {{"A", first, earth::MarkSide::left}, {"Z", first + metres(100), earth::MarkSide::left}};
    return decision::assess(c).roll_out.marks.rotate_by.value().name;
  };
  CHECK(rotate_by(roll + metres(1)) == "A");
  CHECK(rotate_by(roll - metres(1)) == "Z");
  c.departure.end.marks = {{"A", roll - metres(1), earth::MarkSide::left}};
  const decision::MarksOnRoll none = decision::assess(c).roll_out.marks;
  CHECK(none.stated);
  CHECK_FALSE(none.rotate_by);
}

TEST_CASE("The mark to stop before is the last one from which a stop still fits", "[decision][marks]") {
  auto loaded = with_marks(kTwo);
  REQUIRE(loaded.ok());
  decision::Case c = *loaded.value;
  const Length roll = decision::assess(c).roll_out.roll_worst;
  for (auto* distance : {&c.departure.end.tora, &c.departure.end.toda, &c.departure.end.asda}) {
    *distance = roll + metres(60);
  }
  const decision::RollOut short_one = decision::assess(c).roll_out;
  REQUIRE(short_one.last_stop);
  REQUIRE_FALSE(short_one.stop_fits_to_lift_off);
  REQUIRE(short_one.last_stop->si() > 30.0);
  const Length last = *short_one.last_stop;
  c.departure.end.marks = {{"A", last - metres(20), earth::MarkSide::left},
                           {"B", last - metres(1), earth::MarkSide::left},
                           {"C", last + metres(1), earth::MarkSide::left}};
  const decision::Answer answer = decision::assess(c);
  REQUIRE(answer.roll_out.marks.stop_before);
  CHECK(answer.roll_out.marks.stop_before->name == "B");
  const std::string text = report::text(c, answer);
  CHECK(text.find("stop before B (") != std::string::npos);
}

TEST_CASE("A landing turns off at the first exit beyond what it needs from the threshold, within the LDA",
          "[decision][marks]") {
  earth::RunwayEnd end;
  end.displaced = metres(100);
  end.lda = metres(1500);
  end.marks = {{"A", metres(300), earth::MarkSide::left},
               {"B", metres(700), earth::MarkSide::right},
               {"C", metres(1650), earth::MarkSide::both}};
  const auto at = decision::exit_after(end, metres(600));
  REQUIRE(at);
  CHECK(at->name == "B");
  CHECK(in_metres(at->left) == Approx(900.0));
  CHECK(at->side == earth::MarkSide::right);
  CHECK(decision::exit_after(end, metres(200))->name == "A");
  CHECK_FALSE(decision::exit_after(end, metres(601)));  // C lies beyond the LDA
  end.lda.reset();
  CHECK_FALSE(decision::exit_after(end, metres(100)));
}

TEST_CASE("Where a landing with power turns off stands with what it leaves", "[report][marks]") {
  auto loaded = with_marks(kTwo);
  REQUIRE(loaded.ok());
  const decision::Answer answer = decision::assess(*loaded.value);
  bool seen = false;
  for (const decision::RunwayOption& o : answer.options) {
    if (!o.powered.exit || !o.powered.fits()) continue;
    seen = true;
    const Length needed = o.powered.worlds[o.powered.worst].deciding().needed;
    CHECK(*o.end.lda - o.powered.exit->left >= needed);
  }
  REQUIRE(seen);
  CHECK(report::text(*loaded.value, answer).find("off at") != std::string::npos);
}
