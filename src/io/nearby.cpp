#include "backfield/io/nearby.hpp"

#include "backfield/io/catalogue.hpp"
#include "backfield/io/load.hpp"
#include "backfield/io/quantity.hpp"
#include "backfield/io/render_finding.hpp"
#include "backfield/io/shipped_data.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>

namespace backfield::io {
namespace {

constexpr double kFurthestNm = 1000.0;
constexpr double kAllOfEarth_m = 20'004'000.0;  // half a meridian is 20,003,932 m (WGS 84)
constexpr double kHere_m = 1.0;                 // nearer than this a bearing says nothing
constexpr double kPole_deg = 90.0 - 1e-9;

Finding wrong(std::string key, const std::string& found, std::string accepted, std::string hint = {}) {
  Finding f;
  f.key = std::move(key);
  f.found = '"' + found + '"';
  f.accepted = std::move(accepted);
  f.hint = std::move(hint);
  return f;
}

/// An id has neither blanks nor commas nor degree signs; what has is meant for a position.
bool is_meant_as_position(const std::string& text) { return text.find_first_of(" ,\xC2") != std::string::npos; }

std::string written(earth::Geodetic place) {
  const double latitude_deg = in_degrees(place.latitude);
  const double longitude_deg = in_degrees(place.longitude);
  return fmt::format("{:.4f} {}, {:.4f} {}", std::abs(latitude_deg), latitude_deg < 0.0 ? "S" : "N",
                     std::abs(longitude_deg), longitude_deg < 0.0 ? "W" : "E");
}

std::string surface_of_own(earth::Surface surface) {
  constexpr std::array<const char*, 9> kWords = {"unknown", "paved", "dry grass", "wet grass",   "gravel",
                                                 "dirt",    "water", "wet paved", "contaminated"};
  return kWords[static_cast<std::size_t>(surface)];
}

std::optional<std::chrono::sys_days> day(const std::string& text) {
  int year = 0;
  unsigned month = 0;
  unsigned of_month = 0;
  if (std::sscanf(text.c_str(), "%d-%u-%u", &year, &month, &of_month) != 3) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(month),
                                         std::chrono::day(of_month)};
  if (!date.ok()) return std::nullopt;
  return std::chrono::sys_days(date);
}

/// Distance and bearing from the centre, and the longest runway first.
earth::NearbyAerodrome placed(earth::NearbyAerodrome a, earth::Geodetic centre) {
  const earth::Geodesic away = earth::geodesic(centre, a.reference);
  a.distance = away.length;
  const bool at_pole = std::abs(in_degrees(centre.latitude)) >= kPole_deg;
  if (!at_pole && in_metres(away.length) >= kHere_m) a.bearing = away.initial_bearing;
  std::stable_sort(a.runways.begin(), a.runways.end(),
                   [](const auto& x, const auto& y) { return x.ends[0].pavement > y.ends[0].pavement; });
  return a;
}

earth::NearbyAerodrome from_catalogue(const CatalogueAerodrome& c) {
  earth::NearbyAerodrome a;
  a.id = c.id;
  a.name = c.name;
  a.country = c.country;
  a.reference = c.reference;
  a.elevation = c.elevation;
  a.frequency = c.frequency;
  for (const CatalogueFrequency& f : c.frequencies) a.frequencies.emplace_back(f.service, f.mhz);
  const std::vector<earth::RunwayEnd> ends = runway_ends(c, earth::LocalFrame(c.reference));
  for (std::size_t i = 0; i < c.runways.size(); ++i) {
    const CatalogueRunway& r = c.runways[i];
    a.runways.push_back(
        {{ends[2 * i], ends[2 * i + 1]}, r.width, std::string(describe(r.surface)), r.surface_as_written});
  }
  a.left_out = c.left_out;
  a.remarks = catalogue_remarks(c);
  for (const RejectedRunway& r : c.rejected) {
    a.remarks.push_back(
        fmt::format("{}: {} left out: {}", c.id, r.name.empty() ? "a runway" : "runway " + r.name, describe(r.fault)));
  }
  return a;
}

earth::NearbyAerodrome from_file(const AerodromeFile& file, const std::vector<Finding>& findings) {
  const earth::Aerodrome& own = file.aerodrome;
  earth::NearbyAerodrome a;
  a.id = own.id;
  a.name = own.name;
  a.reference = own.reference_point;
  a.elevation = own.elevation;
  for (std::size_t i = 0; i + 1 < own.ends.size(); i += 2) {
    a.runways.push_back({{own.ends[i], own.ends[i + 1]}, {}, surface_of_own(own.ends[i].surface), {}});
  }
  if (!own.ends.empty()) a.frequency = own.ends.front().frequency;
  if (!a.frequency.empty()) a.frequencies = {{"stated", a.frequency}};
  a.from_own_file = true;
  a.source = own.attribution;
  for (const Finding& f : findings) {
    if (f.severity == Severity::note) a.remarks.push_back(a.id + ": " + f.found);
  }
  return a;
}

/// One question, answered step by step; each step that fails has said why.
class Search {
 public:
  explicit Search(const NearbyQuestion& question) : question_(question) {}

  Loaded<earth::Nearby> answer() {
    answer_.place = question_.place;
    answer_.catalogue = question_.catalogue;
    read_distance();
    read_own_files();
    open_catalogue();
    if (!has_error(findings_) && find_centre()) collect();
    Loaded<earth::Nearby> result;
    result.findings = std::move(findings_);
    if (!has_error(result.findings)) result.value = std::move(answer_);
    return result;
  }

 private:
  void read_distance() {
    const Parsed<double> within_m = parse_quantity(question_.within, Dimension::length);
    if (!within_m.ok()) {
      findings_.push_back(wrong("--within", question_.within, accepted_quantity(Dimension::length), within_m.hint));
    } else if (!(*within_m.value > 0.0 && in_nautical_miles(metres(*within_m.value)) <= kFurthestNm)) {
      findings_.push_back(wrong("--within", question_.within, fmt::format("above 0 and up to {:.0f} NM", kFurthestNm)));
    } else {
      answer_.within = metres(*within_m.value);
    }
  }

  void read_own_files() {
    for (const std::string& path : question_.own_files) {
      Loaded<AerodromeFile> file = load_aerodrome(path);
      if (file.ok()) {
        earth::NearbyAerodrome a = from_file(*file.value, file.findings);
        if (own_file(a.id) != nullptr) {
          findings_.push_back(wrong("--aerodrome", path, "each aerodrome once", a.id + " is there already"));
        }
        own_.push_back(std::move(a));
      }
      std::erase_if(file.findings, [](const Finding& f) { return f.severity == Severity::note; });
      append(findings_, std::move(file.findings));
    }
  }

  void open_catalogue() {
    const std::string path = question_.catalogue == "shipped"
                                 ? (shipped_data_directory() / "cases" / "open-data" / "runways.csv").string()
                                 : question_.catalogue;
    Loaded<Catalogue> opened = Catalogue::open(path);
    append(findings_, std::move(opened.findings));
    catalogue_ = std::move(opened.value);
    if (!catalogue_) return;
    answer_.attribution = catalogue_->attribution();
    answer_.stamped = catalogue_->stamped();
    answer_.stamped_by_file = catalogue_->stamp_kind() == StampKind::file;
    const auto stamped = day(answer_.stamped);
    const auto today = day(question_.today);
    if (stamped && today) answer_.age_days = static_cast<int>((*today - *stamped).count());
  }

  const earth::NearbyAerodrome* own_file(const std::string& id) const {
    const auto at = std::find_if(own_.begin(), own_.end(), [&id](const auto& a) { return a.id == id; });
    return at == own_.end() ? nullptr : &*at;
  }

  bool find_centre() {
    const std::string& typed = question_.place;
    const Parsed<earth::Geodetic> position = parse_position(typed);
    if (position.ok()) {
      answer_.centre_at = *position.value;
      typed_position_ = true;
      return true;
    }
    if (is_meant_as_position(typed) || typed.empty()) {
      const bool comma = typed.find(',') != std::string::npos;
      findings_.push_back(wrong("PLACE", typed, std::string("the id of an aerodrome, or ") + kAcceptedPosition,
                                comma || typed.empty() ? position.hint : "a comma stands between the two"));
      return false;
    }
    if (const earth::NearbyAerodrome* own = own_file(typed)) {
      answer_.centre_at = own->reference;
      answer_.centre = own->id + " " + own->name;
      return true;
    }
    Loaded<CatalogueAerodrome> found = catalogue_->find(typed);
    append(findings_, std::move(found.findings));
    if (!found.value) return false;
    answer_.centre_at = found.value->reference;
    answer_.centre = found.value->id + " " + found.value->name;
    return true;
  }

  /// The nearest of the catalogue that no own file takes the place of, up to a distance.
  std::optional<earth::NearbyAerodrome> nearest(earth::Geodetic centre, Length within) {
    Loaded<std::vector<Neighbour>> some = catalogue_->nearest(centre, 1 + own_.size(), within);
    append(findings_, std::move(some.findings));
    std::vector<earth::NearbyAerodrome> candidates;
    if (some.value) {
      for (const Neighbour& n : *some.value) {
        if (own_file(n.aerodrome.id) == nullptr) candidates.push_back(placed(from_catalogue(n.aerodrome), centre));
      }
    }
    for (const earth::NearbyAerodrome& own : own_) {
      candidates.push_back(placed(own, centre));
      if (candidates.back().distance > within) candidates.pop_back();
    }
    const auto closest = std::min_element(candidates.begin(), candidates.end(), nearer);
    return closest == candidates.end() ? std::nullopt : std::optional(*closest);
  }

  static bool nearer(const earth::NearbyAerodrome& a, const earth::NearbyAerodrome& b) {
    return a.distance < b.distance;
  }

  void collect() {
    Loaded<Neighbourhood> near = catalogue_->neighbourhood(answer_.centre_at, answer_.within);
    append(findings_, std::move(near.findings));
    if (!near.value) return;
    for (const Neighbour& n : near.value->usable) {
      if (own_file(n.aerodrome.id) != nullptr) continue;
      answer_.aerodromes.push_back(placed(from_catalogue(n.aerodrome), answer_.centre_at));
    }
    for (const earth::NearbyAerodrome& own : own_) {
      earth::NearbyAerodrome a = placed(own, answer_.centre_at);
      if (a.distance <= answer_.within) answer_.aerodromes.push_back(std::move(a));
    }
    std::stable_sort(answer_.aerodromes.begin(), answer_.aerodromes.end(), nearer);
    count(near.value->count);
    if (std::abs(in_degrees(answer_.centre_at.latitude)) >= kPole_deg) {
      answer_.warnings.emplace_back(
          "The place is a pole, where every direction is south or every one north: no bearings.");
    }
    if (!answer_.aerodromes.empty()) return;
    look_for_swapped_figures();
    answer_.nearest_beyond = nearest(answer_.centre_at, metres(kAllOfEarth_m));
  }

  void count(const CatalogueCount& count) {
    for (std::size_t i = 0; i < count.rejected.size(); ++i) {
      if (count.rejected[i] == 0) continue;
      answer_.left_out.emplace_back(std::string(describe(static_cast<RunwayFault>(i))), count.rejected[i]);
    }
    if (count.left_out_before > 0) {
      answer_.left_out.emplace_back("already left out when the extract was made", count.left_out_before);
    }
    std::stable_sort(answer_.left_out.begin(), answer_.left_out.end(),
                     [](const auto& a, const auto& b) { return a.second > b.second; });
  }

  void look_for_swapped_figures() {
    const earth::Geodetic there{answer_.centre_at.longitude, answer_.centre_at.latitude};
    if (!typed_position_ || std::abs(in_degrees(there.latitude)) > 90.0) return;
    if (const auto found = nearest(there, answer_.within)) {
      answer_.warnings.push_back(fmt::format(
          "Nothing is near {}, but {} {} lies {:.1f} NM from {}: are latitude and longitude swapped?",
          written(answer_.centre_at), found->id, found->name, in_nautical_miles(found->distance), written(there)));
    }
  }

  const NearbyQuestion& question_;
  std::vector<Finding> findings_;
  std::vector<earth::NearbyAerodrome> own_;
  std::optional<Catalogue> catalogue_;
  bool typed_position_ = false;
  earth::Nearby answer_;
};

}  // namespace

Loaded<earth::Nearby> look_nearby(const NearbyQuestion& question) { return Search(question).answer(); }

}  // namespace backfield::io
