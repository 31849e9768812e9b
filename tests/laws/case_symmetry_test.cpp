// One departure, seen otherwise, has one answer: turned as a whole, mirrored, with its runways listed in another order,
// or put somewhere else on Earth.
//
// Windows are compared edge by edge, 2 ft. Those back to the departure's own direction rest on full circles, whose yes
// and no alternate within a foot or two of the need: there holes of less than 15 ft are passed over. Which side is
// briefed says nothing where both open alike and no wind blows across.

#include "tests/tools/case_flights.hpp"
#include "tests/tools/case_transforms.hpp"
#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <regex>
#include <tuple>

using namespace backfield;
using namespace backfield::test;
using decision::Answer;
using flight::Side;

namespace {

constexpr double kOff_ft = 2.0;
constexpr Length kHole = feet(15);
constexpr Speed kNoCrosswind = knots(0.1);

const std::vector<std::string> kReference{"long-runway-headwind", "long-runway-calm", "hot-and-high",
                                          "short-strip-strong-wind"};

struct Tally {
  int windows = 0;
  double worst_ft = 0.0, worst_round_ft = 0.0;
};

Side other(Side side) { return side == Side::left ? Side::right : Side::left; }

/// Worlds that are each other's mirror image.
std::string mirror_of(const std::string& world) {
  const std::map<std::string, std::string> pairs{
      {"backed", "veered"}, {"light air left", "light air right"}, {"sector, first end", "sector, second end"}};
  for (const auto& [a, b] : pairs) {
    if (world == a) return b;
    if (world == b) return a;
  }
  return world;
}

struct Edges {
  Interval<Length> heights;
  decision::Limit lower, upper;
};
using Key = std::tuple<std::string, std::string, Side, std::string, long>;  // aerodrome, runway, side, world, bank
struct Windows {
  bool round = false;  ///< back to the departure's own direction
  std::vector<Edges> edges;
};

std::map<Key, Windows> windows_of(const Answer& a, const decision::Case& c, bool mirrored) {
  std::map<Key, Windows> all;
  for (const decision::RunwayOption& o : a.options) {
    const double turn = earth::turn_between(c.departure.end.track, o.end.track).si();
    for (const decision::SideAnswer& side : o.sides) {
      for (const decision::Window& w : side.windows) {
        Windows& mine = all[{w.aerodrome, w.runway, mirrored ? other(w.side) : w.side,
                             mirrored ? mirror_of(w.world) : w.world, std::lround(in_degrees(w.bank))}];
        mine.round = std::cos(turn) > 0.5;
        if (mine.round && !mine.edges.empty() && w.heights.low - mine.edges.back().heights.high < kHole) {
          mine.edges.back().heights.high = w.heights.high;
          mine.edges.back().upper = w.upper;
        } else {
          mine.edges.push_back({w.heights, w.lower, w.upper});
        }
      }
    }
  }
  return all;
}

double apart_ft(const Interval<Length>& a, const Interval<Length>& b) {
  return std::max(std::abs(in_feet(a.low - b.low)), std::abs(in_feet(a.high - b.high)));
}

std::string name_of(const earth::RunwayEnd& end) { return end.aerodrome + " " + end.designator; }

/// `seen` is `c` seen otherwise.
void compare(const decision::Case& c, const Answer& a, const decision::Case& seen, bool mirrored, Tally& tally) {
  const Answer b = decision::assess(seen);
  const auto before = windows_of(a, c, false);
  auto after = windows_of(b, seen, mirrored);
  for (const auto& [key, mine] : before) {
    const auto& [aerodrome, runway, side, world, bank] = key;
    CAPTURE(aerodrome, runway, flight::name_of(side), world, bank);
    const std::vector<Edges>& theirs = after[key].edges;
    CHECK(theirs.size() == mine.edges.size());
    for (std::size_t i = 0; i < std::min(theirs.size(), mine.edges.size()); ++i) {
      const double off = apart_ft(mine.edges[i].heights, theirs[i].heights);
      double& worst = mine.round ? tally.worst_round_ft : tally.worst_ft;
      worst = std::max(worst, off);
      ++tally.windows;
      CHECK(off < kOff_ft);
      CHECK(mine.edges[i].lower == theirs[i].lower);
      CHECK(mine.edges[i].upper == theirs[i].upper);
    }
  }
  CHECK(before.size() == after.size());

  REQUIRE(a.options.size() == b.options.size());
  for (std::size_t i = 0; i < a.options.size(); ++i) {
    CHECK(name_of(a.options[i].end) == name_of(b.options[i].end));
    for (std::size_t s = 0; s < a.options[i].sides.size(); ++s) {
      CHECK(a.options[i].sides[s].common.size() == b.options[i].sides[mirrored ? 1 - s : s].common.size());
    }
  }
  const Speed across = earth::components(decision::bracket(c).front().surface_wind(), c.departure.end.track).from_right;
  const bool either_side = std::abs(across.si()) < kNoCrosswind.si();
  REQUIRE(a.briefed.size() == b.briefed.size());
  for (std::size_t i = 0; i < a.briefed.size(); ++i) {
    CHECK(a.briefed[i].option == b.briefed[i].option);
    CHECK(apart_ft(a.briefed[i].window.heights, b.briefed[i].window.heights) < kOff_ft);
    if (!either_side) CHECK((mirrored ? other(a.briefed[i].side) : a.briefed[i].side) == b.briefed[i].side);
  }
  REQUIRE(a.gates.size() == b.gates.size());
  for (std::size_t i = 0; i < a.gates.size(); ++i) {
    CHECK(a.gates[i].kind == b.gates[i].kind);
    CHECK(std::abs(in_feet(a.gates[i].height - b.gates[i].height)) < kOff_ft);
  }
}

void report(const char* how, const Tally& t) {
  WARN(how << ": windows compared " << t.windows << ", edges apart at most " << t.worst_ft
           << " ft, back to the departure's own "
           << "direction " << t.worst_round_ft << " ft");
}

std::vector<std::string> cases() {
#ifdef __SANITIZE_ADDRESS__
  return {"cases/long-runway-headwind/case.yaml"};
#else
  return all_cases();
#endif
}

std::string text_of(const std::filesystem::path& path) {
  std::ifstream in(path);
  return {std::istreambuf_iterator<char>(in), {}};
}

/// An aerodrome file whose places are moved with the frame about `from` to that about `to`, and turned about it. A
/// bearing belongs to the position above it.
std::string moved(const std::string& text, const earth::LocalFrame& from, const earth::LocalFrame& to, Angle right) {
  static const std::regex line(R"re(position: "([0-9.]+) N, ([0-9.]+) E"|bearing: ([0-9.]+) deg true)re");
  std::string out;
  earth::Geodetic old_place{};
  earth::Position place{};
  auto rest = text.cbegin();
  for (std::sregex_iterator it(text.begin(), text.end(), line), end; it != end; ++it) {
    out.append(rest, (*it)[0].first);
    rest = (*it)[0].second;
    char bytes[80];
    if ((*it)[3].matched) {
      const earth::TrueDirection bearing = from.to_local(old_place, earth::true_degrees(std::stod((*it)[3].str())));
      std::snprintf(bytes, sizeof bytes, "bearing: %.7f deg true", to.to_geodetic(place, bearing.turned(right)).deg());
    } else {
      old_place = {degrees(std::stod((*it)[1].str())), degrees(std::stod((*it)[2].str()))};
      const earth::Position p = from.to_local(old_place);
      const earth::TrueDirection away = earth::TrueDirection(radians(std::atan2(p.east.si(), p.north.si())));
      place = earth::offset({}, away.turned(right), earth::distance({}, p));
      const earth::Geodetic g = to.to_geodetic(place);
      std::snprintf(bytes, sizeof bytes, R"(position: "%.9f N, %.9f E")", in_degrees(g.latitude),
                    in_degrees(g.longitude));
    }
    out += bytes;
  }
  return out.append(rest, text.cend());
}

/// The case of a folder, its aerodromes moved to another origin and turned, a wind in whole degrees turned with them.
decision::Case moved_case(const std::filesystem::path& file, earth::Geodetic origin, int right_deg) {
  const TemporaryDirectory folder;
  const earth::LocalFrame from(load_case(file.string()).origin);
  const earth::LocalFrame to(origin);
  const std::filesystem::path source = std::filesystem::path(BACKFIELD_SOURCE_DIR) / file.parent_path();
  for (const auto& entry : std::filesystem::directory_iterator(source)) {
    if (entry.path().extension() != ".yaml") continue;
    const std::string text = text_of(entry.path());
    const bool aerodrome = text.starts_with("backfield: aerodrome/1");
    static_cast<void>(
        folder.write(entry.path().filename().string(), aerodrome ? moved(text, from, to, degrees(right_deg)) : text));
  }
  std::string text = text_of(source / file.filename());
  const auto replace = [&](const std::string& what, const std::string& with) {
    if (const auto at = text.find(what); at != std::string::npos) text.replace(at, what.size(), with);
  };
  replace("../../aircraft/", (std::filesystem::path(BACKFIELD_SOURCE_DIR) / "aircraft/").string());
  if (right_deg > 0) replace("360 deg true", std::to_string(right_deg) + " deg true");
  return load_case(folder.write("moved.yaml", text));
}

}  // namespace

TEST_CASE("Turned, mirrored or listed in another order a case has the same answer", "[decision][law]") {
  Tally turned;
  Tally mirror;
  Tally listed;
  for (const std::string& file : cases()) {
    CAPTURE(file);
    const decision::Case c = load_case(file);
    const Answer before = decision::assess(c);
    std::vector<double> angles{161.7};
    if (c.policy.name == "plain") angles = {37.3, 161.7, 283.9};
    // A grid of elevations stays where it is.
    if (c.ground.terrain == nullptr) {
      for (const double deg : angles) {
        CAPTURE(deg);
        compare(c, before, rotated(c, degrees(deg)), false, turned);
      }
      Tally here;
      compare(c, before, mirrored(c), true, here);
      // Edges are found in time, so what a bit of rounding moves grows with the climb.
      const decision::WorldReport& plan = before.worlds.front();
      const double climb_fpm = in_feet_per_minute(plan.scanned_height / plan.scanned_to);
      CHECK(here.worst_ft < 0.05 * std::max(1.0, climb_fpm / 1000.0));
      mirror.windows += here.windows;
      mirror.worst_ft = std::max(mirror.worst_ft, here.worst_ft);
      mirror.worst_round_ft = std::max(mirror.worst_round_ft, here.worst_round_ft);
    }
    compare(c, before, relisted(c), false, listed);
  }
  report("turned", turned);
  report("mirrored", mirror);
  report("listed", listed);
  CHECK(turned.worst_ft < 0.5);
  CHECK(listed.worst_ft == 0.0);
  CHECK(listed.worst_round_ft == 0.0);
}

// The last bits of a crosswind that is none do not decide.
TEST_CASE("Turning a case with the wind straight down the runway keeps the side briefed", "[decision][law]") {
  const decision::Case c = load_case("cases/long-runway-headwind/case.yaml");
  const Answer before = decision::assess(c);
  const Answer after = decision::assess(rotated(c, degrees(0.6)));
  REQUIRE(before.briefed.size() == 1);
  REQUIRE(after.briefed.size() == 1);
  CHECK(before.briefed.front().side == after.briefed.front().side);
}

TEST_CASE("A case is the same at 0, 45 and 60 degrees north", "[decision][law]") {
  Tally tally;
  std::vector<std::pair<std::string, int>> files;  // and by how much it is turned
  for (const std::string& name : kReference) files.emplace_back("cases/" + name + "/case.yaml", 8);
#ifndef __SANITIZE_ADDRESS__
  files.emplace_back("cases/long-runway-headwind/default.yaml", 8);
  files.emplace_back("cases/demo/case.yaml", 0);
#endif
  for (const auto& [file, right_deg] : files) {
    const decision::Case c = load_case(file);
    const Answer before = decision::assess(c);
    for (const double latitude : {0.0, 45.0, 60.0}) {
      CAPTURE(file, latitude);
      const decision::Case there = moved_case(file, {degrees(latitude), degrees(15.5)}, right_deg);
      CHECK(in_degrees(there.origin.latitude) == Approx(latitude).margin(1e-6));
      CHECK(there.departure.end.track.deg() ==
            Approx(c.departure.end.track.turned(degrees(right_deg)).deg()).margin(1e-5));
      compare(c, before, there, false, tally);
    }
  }
  report("moved", tally);
}
