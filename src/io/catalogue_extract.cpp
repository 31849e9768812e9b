// The compact extract: comment lines with stamp and attribution, then RFC 4180 with a header line, one line a runway.
//
// The text is kept as read, and a search parses only the lines it needs: it looks at id and place of each.
// Measured on the shipped extract of 11,095 lines (GCC 12, -O3, two shared cores): opening it with the first search by
// place 4.6 ms, a search after it 0.2 ms (tests/bench/catalogue_bench.cpp). Parsing and judging every line takes 200
// ms, which a brief that needs a dozen lines should not pay.

#include "catalogue_source.hpp"
#include "csv.hpp"
#include "read_file.hpp"

#include <algorithm>
#include <array>
#include <unordered_map>

namespace backfield::io {
namespace {

constexpr std::size_t kLargest = 4'000'000;  // the shipped one has 1.4 MB
constexpr std::string_view kHeader =
    "id,latitude_deg,longitude_deg,elevation_ft,name,country,frequency_mhz,left_out,length_ft,width_ft,surface,lit,"
    "end1,end1_latitude_deg,end1_longitude_deg,end1_heading_deg,end1_displaced_ft,end1_elevation_ft,"
    "end2,end2_latitude_deg,end2_longitude_deg,end2_heading_deg,end2_displaced_ft,end2_elevation_ft";
constexpr std::size_t kColumns = 24;
constexpr std::size_t kFirstEnd = 12;
constexpr std::size_t kColumnsOfEnd = 6;

std::string_view column_name(std::size_t column) {
  std::string_view rest = kHeader;
  for (std::size_t i = 0; i < column; ++i) rest.remove_prefix(rest.find(',') + 1);
  return rest.substr(0, rest.find(','));
}

/// One line of the file, parsed.
class Record {
 public:
  Record(const std::string& file, int line, std::string_view text) : file_(file), line_(line), text_(text) {
    fields_ = split_record(text);
    if (fields_.size() == kColumns) return;
    const std::string found =
        fields_.empty() ? "a quote that is not closed or stands astray" : std::to_string(fields_.size()) + " fields";
    complain(0, found, std::to_string(kColumns) + " fields, as in the header line");
    fields_.assign(kColumns, {});
  }

  [[nodiscard]] std::string text(std::size_t column) const { return one_line(fields_[column].text); }
  [[nodiscard]] std::optional<double> number_if_any(std::size_t column) {
    const std::string& text = fields_[column].text;
    if (text.empty()) return std::nullopt;
    const std::optional<double> value = number_in(text);
    if (!value && sound()) complain(column, '"' + text + '"', "a number");
    return value;
  }
  [[nodiscard]] double number(std::size_t column) {
    if (fields_[column].text.empty() && sound()) complain(column, "nothing", "a number");
    return number_if_any(column).value_or(kUnreadable);
  }
  [[nodiscard]] bool yes(std::size_t column) {
    const std::string& text = fields_[column].text;
    if (text != "yes" && text != "no" && sound()) complain(column, '"' + text + '"', "yes or no");
    return text == "yes";
  }
  [[nodiscard]] bool sound() const { return !finding_; }
  [[nodiscard]] const std::optional<Finding>& finding() const { return finding_; }

 private:
  void complain(std::size_t column, std::string found, std::string accepted) {
    finding_ = file_error(file_, std::move(found), std::move(accepted), "make the extract again");
    finding_->line = line_;
    if (fields_.size() == kColumns) {
      finding_->column = fields_[column].column;
      finding_->key = column_name(column);
    }
    finding_->excerpt = std::string(text_);
  }

  const std::string& file_;
  int line_;
  std::string_view text_;
  std::vector<CsvField> fields_;
  std::optional<Finding> finding_;
};

EndRow end_row(Record& record, std::size_t first_column) {
  EndRow end;
  end.designator = record.text(first_column);
  end.latitude_deg = record.number(first_column + 1);
  end.longitude_deg = record.number(first_column + 2);
  end.heading_deg = record.number(first_column + 3);
  end.displaced_ft = record.number_if_any(first_column + 4);
  end.elevation_ft = record.number_if_any(first_column + 5);
  return end;
}

AerodromeRows aerodrome_rows(Record& record) {
  AerodromeRows rows;
  rows.id = record.text(0);
  rows.latitude_deg = record.number(1);
  rows.longitude_deg = record.number(2);
  rows.elevation_ft = record.number(3);
  rows.name = record.text(4);
  rows.country = record.text(5);
  if (const std::string mhz = record.text(6); !mhz.empty()) rows.frequencies = {{"tower or traffic", mhz}};
  rows.left_out = static_cast<int>(std::clamp(record.number_if_any(7).value_or(0.0), 0.0, 1e6));
  return rows;
}

RunwayRow runway_row(Record& record) {
  RunwayRow row;
  row.length_ft = record.number(8);
  row.width_ft = record.number(9);
  row.surface = record.text(10);
  row.lit = record.yes(11);
  row.ends = {end_row(record, kFirstEnd), end_row(record, kFirstEnd + kColumnsOfEnd)};
  return row;
}

class Extract final : public CatalogueSource {
 public:
  std::string text;
  std::size_t first_record = 0;  ///< byte offset
  int first_line = 0;            ///< its line number

  [[nodiscard]] Loaded<std::vector<AerodromeRows>> rows(const Selection& selection) const override {
    Loaded<std::vector<AerodromeRows>> result;
    std::vector<AerodromeRows> found;
    std::unordered_map<std::string, std::size_t> place;
    const auto take = [&](Line line) {
      Record record(file, line.number, line_at(line));
      AerodromeRows aerodrome = aerodrome_rows(record);
      RunwayRow runway = runway_row(record);
      if (!record.sound()) {
        result.findings.push_back(*record.finding());
        return;
      }
      if (selection.id && aerodrome.id != *selection.id) return;
      const auto [at, is_new] = place.try_emplace(aerodrome.id, found.size());
      if (is_new) found.push_back(std::move(aerodrome));
      found[at->second].runways.push_back(std::move(runway));
    };
    if (selection.keys) {
      for (const AerodromeKey key : *selection.keys) {
        for (const Line& line : lines_of_.at(static_cast<std::size_t>(key))) take(line);
      }
    } else {
      each_line([&](Line line, std::string_view whole) {
        if (may_match(whole, selection)) take(line);
      });
    }
    if (!has_error(result.findings)) result.value = std::move(found);
    return result;
  }

  /// Looks at the first three fields of every line; a line whose place cannot be read is an error, since it cannot be
  /// told to be far away.
  [[nodiscard]] Loaded<std::vector<AerodromePlace>> places() override {
    Loaded<std::vector<AerodromePlace>> result;
    std::vector<AerodromePlace> places;
    std::unordered_map<std::string, std::size_t> key_of;
    lines_of_.clear();
    each_line([&](Line line, std::string_view whole) {
      std::string id;
      std::optional<earth::Geodetic> where = place_in(whole, id);
      if (!where) {
        Record record(file, line.number, whole);
        const AerodromeRows rows = aerodrome_rows(record);
        if (!record.sound()) {
          result.findings.push_back(*record.finding());
          return;
        }
        id = rows.id;
        if (!is_on_earth(rows.latitude_deg, rows.longitude_deg)) return;
        where = earth::Geodetic{degrees(rows.latitude_deg), degrees(rows.longitude_deg)};
      }
      const auto [at, is_new] = key_of.try_emplace(std::move(id), lines_of_.size());
      if (is_new) {
        places.push_back({static_cast<AerodromeKey>(lines_of_.size()), *where});
        lines_of_.emplace_back();
      }
      lines_of_[at->second].push_back(line);
    });
    if (!has_error(result.findings)) result.value = std::move(places);
    return result;
  }

 private:
  struct Line {
    std::size_t begin = 0;  ///< byte offset
    int number = 0;
  };

  [[nodiscard]] std::string_view line_at(Line line) const {
    std::string_view rest = std::string_view(text).substr(line.begin);
    return next_line(rest);
  }

  template <class Use>
  void each_line(Use use) const {
    std::string_view rest = std::string_view(text).substr(first_record);
    for (int number = first_line; !rest.empty(); ++number) {
      const Line line{text.size() - rest.size(), number};
      const std::string_view whole = next_line(rest);
      if (!whole.empty()) use(line, whole);
    }
  }

  /// Cheap, and true whenever in doubt: a quoted id is left to the record.
  static bool may_match(std::string_view line, const Selection& selection) {
    if (!selection.id || line[0] == '"') return true;
    const std::size_t comma = line.find(',');
    return comma == line.npos || line.substr(0, comma) == *selection.id;
  }

  /// Id and place without parsing the rest; none when they do not stand there plainly.
  static std::optional<earth::Geodetic> place_in(std::string_view line, std::string& id) {
    if (line[0] == '"') return std::nullopt;
    std::array<std::string_view, 3> first;
    for (std::string_view& field : first) {
      const std::size_t comma = line.find(',');
      if (comma == line.npos) return std::nullopt;
      field = line.substr(0, comma);
      line.remove_prefix(comma + 1);
    }
    const std::optional<double> latitude = number_in(first[1]);
    const std::optional<double> longitude = number_in(first[2]);
    if (!latitude || !longitude || !is_on_earth(*latitude, *longitude)) return std::nullopt;
    id = first[0];
    return earth::Geodetic{degrees(*latitude), degrees(*longitude)};
  }

  std::vector<std::vector<Line>> lines_of_;  // by key
};

/// The value of a comment line "# key: value".
std::string comment_value(std::string_view line, std::string_view key) {
  const std::string head = "# " + std::string(key) + ": ";
  return line.substr(0, head.size()) == head ? one_line(line.substr(head.size())) : std::string();
}

}  // namespace

LoadedSource open_catalogue_extract(const std::string& path) {
  Loaded<std::string> text = read_file(path, kLargest);
  if (!text.value) return {std::nullopt, std::move(text.findings)};
  const auto refuse = [&path](int line, std::string found, std::string accepted) -> LoadedSource {
    Finding f = file_error(path, std::move(found), std::move(accepted));
    f.line = line;
    return {std::nullopt, {f}};
  };

  auto extract = std::make_shared<Extract>();
  extract->file = path;
  extract->text = std::move(*text.value);
  extract->hint_when_not_found =
      "the extract holds only aerodromes with a runway whose figures agree with each other; describe another one in an "
      "aerodrome file";
  std::string_view rest = extract->text;
  int line = 1;
  if (next_line(rest) != kExtractFirstLine) {
    return refuse(0, "a file that is no aerodrome catalogue",
                  "an extract that begins with \"" + std::string(kExtractFirstLine) +
                      "\", or the SQLite file of the data package");
  }
  std::string_view header;
  while (!rest.empty()) {
    ++line;
    header = next_line(rest);
    if (header.empty() || header[0] != '#') break;
    if (const std::string value = comment_value(header, "stamped"); !value.empty()) extract->stamped = value;
    if (const std::string value = comment_value(header, "attribution"); !value.empty()) extract->attribution = value;
  }
  if (extract->stamped.empty()) return refuse(1, "no stamp", "a line \"# stamped: \" with the day of the data");
  if (extract->attribution.empty()) {
    return refuse(1, "no attribution", "a line \"# attribution: \" with source and licence");
  }
  if (header != kHeader) { return refuse(line, "another header line", "the columns " + std::string(kHeader)); }
  extract->first_line = line + 1;
  extract->first_record = extract->text.size() - rest.size();
  return {std::move(extract), {}};
}

}  // namespace backfield::io
