// The source's own CSV files, as anyone can fetch them: airports.csv, runways.csv, airport-frequencies.csv.
//
// Columns are found by their names, which are written here from memory; a name that is not there is an error that says
// so. All three are read when the catalogue is opened. A record that is none (a quote left open, another number of
// fields than the header's) is an error: the file is damaged, and who knows what is missing. A figure that cannot be
// read is a warning with file, line and column; it costs its runway, never a claim.

#include "catalogue_source.hpp"
#include "csv.hpp"
#include "read_file.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <filesystem>
#include <unordered_map>

namespace backfield::io {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kLargest = 100'000'000;  // the world's aerodromes take about 15 MB

// The order of these is that of the names below them.
namespace airport {
enum Column : std::size_t { id, ident, type, name, latitude, longitude, elevation, country, icao, gps };
}
const std::vector<std::string_view> kAirportColumns = {"id",           "ident",         "type",         "name",
                                                       "latitude_deg", "longitude_deg", "elevation_ft", "iso_country"};
const std::vector<std::string_view> kAirportCodes = {"icao_code", "gps_code"};

namespace runway {
enum Column : std::size_t { airport, ident, length, width, surface, lit, closed, low, high = low + 6 };
}
const std::vector<std::string_view> kRunwayColumns = {
    "airport_ref",      "airport_ident",   "length_ft",
    "width_ft",         "surface",         "lighted",
    "closed",           "le_ident",        "le_latitude_deg",
    "le_longitude_deg", "le_heading_degT", "le_displaced_threshold_ft",
    "le_elevation_ft",  "he_ident",        "he_latitude_deg",
    "he_longitude_deg", "he_heading_degT", "he_displaced_threshold_ft",
    "he_elevation_ft"};

namespace frequency {
enum Column : std::size_t { airport, type, mhz };
}
const std::vector<std::string_view> kFrequencyColumns = {"airport_ref", "type", "frequency_mhz"};

struct Service {
  std::string_view type;
  std::string_view service;
};
// Types of the frequencies that a pilot near an aerodrome asks for; others (company, maintenance ...) are left out.
constexpr std::array kServices = {
    Service{"TWR", "tower"},        Service{"AFIS", "information"}, Service{"FIS", "information"},
    Service{"INFO", "information"}, Service{"RDO", "information"},  Service{"A/G", "information"},
    Service{"CTAF", "traffic"},     Service{"UNICOM", "traffic"},   Service{"UNIC", "traffic"},
    Service{"MULTICOM", "traffic"}, Service{"ATIS", "ATIS"},        Service{"GND", "ground"},
    Service{"APP", "approach"}};

EndRow end_row(CsvTable& table, std::size_t first) {
  EndRow end;
  end.designator = table.text(first);
  end.latitude_deg = table.number(first + 1);
  end.longitude_deg = table.number(first + 2);
  end.heading_deg = table.number(first + 3);
  end.displaced_ft = table.number_if_any(first + 4);
  end.elevation_ft = table.number_if_any(first + 5);
  return end;
}

/// An end of which no place is written is not there.
bool has_place(const CsvTable& table, std::size_t first) {
  return !table.raw(first + 1).empty() || !table.raw(first + 2).empty();
}

class CsvFiles final : public CatalogueSource {
 public:
  std::optional<Finding> read_airports(const std::string& path, std::string_view text) {
    CsvTable table(path, text, kAirportColumns, kAirportCodes);
    int repeated = 0;
    while (table.next()) {
      using namespace airport;
      AerodromeRows a;
      a.id = table.text(ident);
      a.kind = kind_named(table.text(type));
      a.name = table.text(name);
      a.country = table.text(country);
      a.latitude_deg = table.number(latitude);
      a.longitude_deg = table.number(longitude);
      a.elevation_ft = table.number(elevation);
      a.remarks = table.take_remarks();
      const std::string key = table.text(id);
      if (!at_.try_emplace(key, aerodromes_.size()).second) {
        note_once(repeated, path, table.line(), "id \"" + key + "\" a second time", "each id once");
        continue;
      }
      by_code_[a.id].push_back(aerodromes_.size());
      for (const std::size_t code : {icao, gps}) {
        const std::string text_of_code = table.text(code);
        if (text_of_code.empty() || text_of_code == a.id) continue;
        std::vector<std::size_t>& known = by_other_code_[text_of_code];
        if (known.empty() || known.back() != aerodromes_.size()) known.push_back(aerodromes_.size());
      }
      aerodromes_.push_back(std::move(a));
    }
    add_count(repeated, "row", "the first one counts");
    return table.trouble();
  }

  std::optional<Finding> read_runways(const std::string& path, std::string_view text) {
    CsvTable table(path, text, kRunwayColumns, {});
    int astray = 0;
    while (table.next()) {
      using namespace runway;
      AerodromeRows* aerodrome = aerodrome_of(table, path, runway::airport, astray);
      if (aerodrome == nullptr) continue;
      RunwayRow row;
      row.length_ft = table.number(length);
      row.width_ft = table.number(width);
      row.surface = table.text(surface);
      row.lit = table.flag(lit).value_or(false);
      row.closed = table.flag(closed).value_or(true);  // a mark that cannot be read costs the runway
      for (const std::size_t first : {std::size_t{low}, std::size_t{high}}) {
        if (has_place(table, first)) row.ends.push_back(end_row(table, first));
      }
      append(aerodrome->remarks, table.take_remarks());
      aerodrome->runways.push_back(std::move(row));
    }
    add_count(astray, "runway", "left out");
    return table.trouble();
  }

  std::optional<Finding> read_frequencies(const std::string& path, std::string_view text) {
    CsvTable table(path, text, kFrequencyColumns, {});
    int astray = 0;
    while (table.next()) {
      using namespace frequency;
      const std::string type_here = table.text(type);
      const auto is_type = [&type_here](const Service& s) { return s.type == type_here; };
      const auto known = std::find_if(kServices.begin(), kServices.end(), is_type);
      AerodromeRows* aerodrome = aerodrome_of(table, path, frequency::airport, astray);
      if (known == kServices.end() || aerodrome == nullptr || table.raw(mhz).empty()) continue;
      aerodrome->frequencies.push_back({std::string(known->service), table.text(mhz)});
    }
    add_count(astray, "frequency", "left out");
    return table.trouble();
  }

  [[nodiscard]] Loaded<std::vector<AerodromeRows>> rows(const Selection& selection) const override {
    if (!selection.id && !selection.keys) return {aerodromes_, {}};
    std::vector<AerodromeRows> found;
    if (selection.keys) {
      for (const AerodromeKey key : *selection.keys) found.push_back(aerodromes_.at(static_cast<std::size_t>(key)));
      return {std::move(found), {}};
    }
    auto known = by_code_.find(*selection.id);
    if (known == by_code_.end()) {
      known = by_other_code_.find(*selection.id);
      if (known == by_other_code_.end()) return {std::move(found), {}};
    }
    if (known->second.size() > 1) return {std::nullopt, {ambiguous(*selection.id, known->second)}};
    found.push_back(aerodromes_[known->second.front()]);
    return {std::move(found), {}};
  }

  [[nodiscard]] Loaded<std::vector<AerodromePlace>> places() override { return {places_of(aerodromes_), {}}; }

  std::vector<Finding> warnings;

 private:
  /// The aerodrome a row belongs to, or null.
  AerodromeRows* aerodrome_of(const CsvTable& table, const std::string& path, std::size_t column, int& astray) {
    const auto at = at_.find(table.text(column));
    if (at != at_.end()) return &aerodromes_[at->second];
    note_once(astray, path, table.line(), "airport_ref \"" + table.text(column) + '"', "an id of airports.csv");
    return nullptr;
  }

  /// A warning about the first of its kind; add_count says how many there were.
  void note_once(int& count, const std::string& path, int line, std::string found, std::string accepted) {
    if (++count > 1) return;
    Finding f = file_error(path, std::move(found), std::move(accepted));
    f.severity = Severity::warning;
    f.line = line;
    warnings.push_back(std::move(f));
  }
  void add_count(int count, const std::string& what, const std::string& treatment) {
    if (count > 0) {
      warnings.back().hint = std::to_string(count) + " such " + what + (count > 1 ? "s: " : ": ") + treatment;
    }
  }

  [[nodiscard]] Finding ambiguous(const std::string& code, const std::vector<std::size_t>& which) const {
    std::string ids;
    for (const std::size_t i : which) ids += (ids.empty() ? "" : ", ") + aerodromes_[i].id;
    return file_error(file, "\"" + one_line(code) + "\", a code of several aerodromes", "one of their ids: " + ids);
  }

  std::vector<AerodromeRows> aerodromes_;
  std::unordered_map<std::string, std::size_t> at_;  // by airports.csv's id
  std::unordered_map<std::string, std::vector<std::size_t>> by_code_, by_other_code_;
};

std::string day_of(fs::file_time_type time) {
  const auto day = std::chrono::floor<std::chrono::days>(std::chrono::file_clock::to_sys(time));
  const std::chrono::year_month_day date(day);
  const auto two = [](unsigned n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  return std::to_string(static_cast<int>(date.year())) + "-" + two(static_cast<unsigned>(date.month())) + "-" +
         two(static_cast<unsigned>(date.day()));
}

}  // namespace

LoadedSource open_catalogue_csv(const std::string& directory) {
  const auto path_of = [&directory](const char* name) { return (fs::path(directory) / name).string(); };
  const std::string airports = path_of("airports.csv");
  const std::string runways = path_of("runways.csv");
  const std::string frequencies = path_of("airport-frequencies.csv");
  if (!fs::exists(airports) || !fs::exists(runways)) {
    return {std::nullopt,
            {file_error(directory,
                        std::string("a directory without ") + (fs::exists(airports) ? "runways" : "airports") + ".csv",
                        "the source's airports.csv and runways.csv in one directory, or the path of a catalogue file",
                        "airport-frequencies.csv may lie beside them")}};
  }
  auto files = std::make_shared<CsvFiles>();
  files->file = directory;
  files->attribution = "Aerodrome data: OurAirports (ourairports.com), public domain";
  files->stamp_kind = StampKind::file;
  files->hint_when_not_found = "ids are written in capitals, mostly the ICAO location indicator";

  fs::file_time_type oldest = fs::file_time_type::max();
  const auto read = [&](const std::string& path, auto take) -> std::vector<Finding> {
    const Loaded<std::string> text = read_file(path, kLargest);
    if (!text.value) return text.findings;
    std::error_code failed;
    if (const auto time = fs::last_write_time(path, failed); !failed) oldest = std::min(oldest, time);
    if (std::optional<Finding> trouble = take(path, *text.value)) return {*trouble};
    return {};
  };
  std::vector<Finding> trouble =
      read(airports, [&](const auto& path, std::string_view text) { return files->read_airports(path, text); });
  if (trouble.empty()) {
    trouble = read(runways, [&](const auto& path, std::string_view text) { return files->read_runways(path, text); });
  }
  if (trouble.empty() && fs::exists(frequencies)) {
    trouble =
        read(frequencies, [&](const auto& path, std::string_view text) { return files->read_frequencies(path, text); });
  }
  if (!trouble.empty()) return {std::nullopt, std::move(trouble)};
  files->stamped = day_of(oldest);
  if (!fs::exists(frequencies)) {
    Finding f = file_error(frequencies, "no such file", "airport-frequencies.csv beside the other two",
                           "no frequencies are known");
    f.severity = Severity::warning;
    files->warnings.push_back(std::move(f));
  }
  std::vector<Finding> warnings = std::move(files->warnings);
  return {std::move(files), std::move(warnings)};
}

}  // namespace backfield::io
