#include "read_obstacles.hpp"

#include "catalogue_source.hpp"
#include "csv.hpp"
#include "read_file.hpp"
#include "read_ground.hpp"
#include "read_places.hpp"

#include <cmath>
#include <filesystem>

namespace backfield::io {
namespace {

constexpr Range kTop{-1500, 30000, "ft", -400, 20000};
constexpr Range kHalfWidth{0, 2000, "m", 0, 500};
constexpr std::size_t kLargestFile = 1'000'000;  // bytes, as of every file that people write
constexpr std::size_t kMostObstacles = 1000;     // of a table: an assessment then takes some 40 times as long
const Length kSamePlace = metres(5.0);           // what a position in whole tenths of a second leaves open

constexpr const char* kAcceptedFile = "the path of a .csv file";
constexpr const char* kAcceptedDegrees = "decimal degrees, south and west negative";
constexpr const char* kOnce = "each obstacle once";
constexpr const char* kFromSeaLevel = "the top counts from mean sea level: is this a height above the ground?";

/// The columns, as CsvTable numbers them.
enum Column : std::size_t { kName, kLatitude, kLongitude, kTopFt, kTopM, kHalfWidthFt, kHalfWidthM };
const std::vector<std::string_view> kNeeded{"name", "latitude", "longitude"};
const std::vector<std::string_view> kOptional{"top_ft", "top_m", "half_width_ft", "half_width_m"};

std::string above_aerodrome(earth::Altitude elevation) {
  return "an altitude above the aerodrome's " + plain(std::round(in_feet(elevation.above_sea_level))) + " ft";
}

/// What stands there already: a row was copied, or one thing has two names. Both are kept.
const earth::Obstacle* in_the_same_place(const earth::Ground& ground, earth::Position place) {
  for (const earth::Obstacle& o : ground.obstacles) {
    if (earth::distance(o.position, place) <= kSamePlace) return &o;
  }
  return nullptr;
}
std::string both_kept(const earth::Obstacle& other) {
  return '"' + other.name + "\" stands within 5 m of it; both are kept";
}

void read_stated(const Value& value, const earth::LocalFrame* frame, earth::Altitude elevation, earth::Ground& ground) {
  const Fields fields(value, {"name", "position", "top", "half_width"});
  const auto name = fields.need_text("name", "a name for the brief");
  const auto position = fields.need("position", kAcceptedPosition);
  const auto place = position ? read_place(*position, frame) : std::nullopt;
  const auto top = fields.need_quantity<Length>("top", Dimension::length, kTop);
  const auto half_width = fields.need_quantity<Length>("half_width", Dimension::length, kHalfWidth);
  if (!name || !place || !top || !half_width) return;
  if (*top <= elevation.above_sea_level) fields.get("top")->warn(above_aerodrome(elevation), kFromSeaLevel);
  if (const auto* other = in_the_same_place(ground, *place)) position->warn(kOnce, both_kept(*other));
  ground.obstacles.push_back({*name, *place, {*top}, *half_width});
}

/// One table, row by row.
class Reader {
 public:
  Reader(const std::string& file, std::string_view text, const earth::LocalFrame* frame, earth::Altitude elevation,
         earth::Ground& ground)
      : table_(file, text, kNeeded, kOptional), frame_(frame), elevation_(elevation), ground_(ground) {}

  void read() {
    if (!take_trouble() && header_fits()) {
      do {
        while (table_.next()) read_row();
      } while (take_trouble());  // a row with too many fields does not hide the next
      if (rows_ == 0) add(table_.about_header("no obstacle", "a row for each obstacle"));
    }
  }
  std::vector<Finding> take_findings() { return std::move(findings_); }
  [[nodiscard]] std::size_t rows() const { return rows_; }
  /// How many rows leave the half width open.
  [[nodiscard]] std::size_t points() const { return points_; }
  [[nodiscard]] const std::vector<std::string>& unused() const { return unused_; }

 private:
  bool take_trouble() {
    auto trouble = table_.take_trouble();
    if (!trouble) return false;
    const bool of_header = trouble->line == 1;
    if (of_header && trouble->excerpt.find(',') == std::string::npos) {
      trouble->hint = "columns are separated by commas, decimals by a point";
    }
    if (!of_header && !trouble->hint.empty()) {
      trouble->hint = "a comma within a name needs quotes about it: \"mill, old\"";
    }
    add(std::move(*trouble));
    return true;
  }
  void add(Finding finding) { findings_.push_back(std::move(finding)); }
  void refuse(std::size_t column, std::string accepted, std::string hint = {}) {
    add(table_.about(column, Severity::error, std::move(accepted), std::move(hint)));
  }
  void warn(std::size_t column, std::string accepted, std::string hint) {
    add(table_.about(column, Severity::warning, std::move(accepted), std::move(hint)));
  }

  /// One column for the top, one at most for the half width, and none that looks like a slip of the pen.
  bool header_fits() {
    if (table_.has(kTopFt) == table_.has(kTopM)) {
      add(table_.about_header(
          table_.has(kTopFt) ? "columns \"top_ft\" and \"top_m\"" : "no column \"top_ft\" or \"top_m\"",
          "one column with the altitude of the top above mean sea level, with its unit in the name"));
      return false;
    }
    if (table_.has(kHalfWidthFt) && table_.has(kHalfWidthM)) {
      add(table_.about_header("columns \"half_width_ft\" and \"half_width_m\"", "one of them"));
      return false;
    }
    std::vector<std::string_view> absent;
    for (std::size_t i = 0; i < kOptional.size(); ++i) {
      if (!table_.has(kNeeded.size() + i)) absent.push_back(kOptional[i]);
    }
    for (const std::string& name : table_.unknown_columns()) {
      const std::string_view near = nearest(name, absent);
      if (near.empty() || near.substr(0, 4) == "top_") {
        unused_.push_back(name);
        continue;
      }
      add(table_.about_header("a column \"" + name + "\"", "name, latitude, longitude, top and half width",
                              "did you mean \"" + std::string(near) + "\"?"));
      return false;
    }
    return true;
  }

  std::optional<double> degrees_in(std::size_t column) {
    const auto value = number_in(table_.text(column));
    if (!value) refuse(column, kAcceptedDegrees);
    return value;
  }

  /// A length in one of two columns; `fallback` where nothing stands.
  std::optional<Length> length_in(std::size_t as_feet, std::size_t as_metres, const Range& range,
                                  std::optional<Length> fallback) {
    const std::size_t column = table_.has(as_feet) ? as_feet : as_metres;
    const std::string unit = column == as_feet ? "ft" : "m";
    const std::string text = table_.text(column);
    if (text.empty() && fallback) {
      ++points_;
      return fallback;
    }
    const auto value = number_in(text);
    if (!value) {
      refuse(column, "a number of " + unit + ", without its unit");
      return std::nullopt;
    }
    const Length length = unit == "ft" ? feet(*value) : metres(*value);
    const auto limit = [&](double v) { return Length::from_si(to_si(v, range.unit, Dimension::length)); };
    const auto between = [&](double low, double high) {
      return plain(low) + " to " + plain(high) + " " + std::string(range.unit);
    };
    if (length < limit(range.low) || length > limit(range.high)) {
      refuse(column, between(range.low, range.high));
      return std::nullopt;
    }
    if (length < limit(range.usual_low) || length > limit(range.usual_high)) {
      warn(column, "usually " + between(range.usual_low, range.usual_high), "check that this is meant");
    }
    return length;
  }

  std::optional<earth::Position> place() {
    const auto latitude = degrees_in(kLatitude);
    const auto longitude = degrees_in(kLongitude);
    if (!latitude || !longitude) return std::nullopt;
    if (frame_ == nullptr && is_on_earth(*latitude, *longitude)) return earth::Position{};
    const auto here = frame_ != nullptr ? near_place(*frame_, *latitude, *longitude) : std::nullopt;
    if (here) return here;
    const bool swapped = frame_ != nullptr && near_if_swapped(*frame_, *latitude, *longitude);
    if (!is_on_earth(*latitude, 0.0)) {
      refuse(kLatitude, "-90 to 90 degrees", swapped ? kSwapped : "");
    } else if (!is_on_earth(0.0, *longitude)) {
      refuse(kLongitude, "-180 to 180 degrees", swapped ? kSwapped : "");
    } else {
      refuse(kLatitude, kAcceptedOnGround, swapped ? kSwapped : "is a digit or a sign wrong?");
    }
    return std::nullopt;
  }

  void read_row() {
    if (++rows_ > kMostObstacles) {
      if (rows_ == kMostObstacles + 1) {
        add(table_.about_header("more than " + std::to_string(kMostObstacles) + " obstacles", "at most so many",
                                "leave out those that no path comes near"));
      }
      return;
    }
    const std::string name = table_.text(kName);
    if (name.empty()) refuse(kName, "a name for the brief");
    const auto where = place();
    const auto top = length_in(kTopFt, kTopM, kTop, std::nullopt);
    const auto half_width = length_in(kHalfWidthFt, kHalfWidthM, kHalfWidth, Length{});
    if (name.empty() || !where || !top || !half_width) return;
    if (*top <= elevation_.above_sea_level) {
      warn(table_.has(kTopFt) ? kTopFt : kTopM, above_aerodrome(elevation_), kFromSeaLevel);
    }
    if (frame_ == nullptr) return;
    if (const auto* other = in_the_same_place(ground_, *where)) warn(kName, kOnce, both_kept(*other));
    ground_.obstacles.push_back({name, *where, {*top}, *half_width});
  }

  static constexpr const char* kSwapped = "the other way round it is near: latitude and longitude are swapped";

  CsvTable table_;
  const earth::LocalFrame* frame_;
  earth::Altitude elevation_;
  earth::Ground& ground_;
  std::vector<Finding> findings_;
  std::vector<std::string> unused_;
  std::size_t rows_ = 0;
  std::size_t points_ = 0;
};

void read_table(const Value& map, const earth::LocalFrame* frame, earth::Altitude elevation, earth::Ground& ground) {
  const Fields fields(map, {"file"});
  const auto value = fields.need("file", kAcceptedFile);
  const auto name = value ? value->text(kAcceptedFile) : std::nullopt;
  if (!name) return;
  Reading& reading = map.reading();
  const std::string path = beside(reading.document(), *name);
  std::error_code failed;
  if (!std::filesystem::exists(path, failed)) {
    value->refuse(kAcceptedFile, "there is no file " + path);
    return;
  }
  Loaded<std::string> text = read_file(path, kLargestFile);
  reading.add_nested(std::move(text.findings));
  if (!text.value) return;
  Reader reader(path, *text.value, frame, elevation, ground);
  reader.read();
  reading.add_nested(reader.take_findings());
  std::string said = "obstacles: " + std::to_string(reader.rows()) + " read from " + *name;
  if (reader.points() > 0) {
    said += "; no half width stated for " + std::to_string(reader.points()) + ", taken as points";
  }
  for (const std::string& column : reader.unused()) {
    said += (column == reader.unused().front() ? "; columns not used: " : ", ") + column;
  }
  value->assume(said);
}

}  // namespace

void read_obstacles(const Value& value, const earth::LocalFrame* frame, earth::Altitude elevation,
                    earth::Ground& ground) {
  if (value.is_map()) {
    read_table(value, frame, elevation, ground);
  } else {
    for (const Value& item : value.items("a list of {name, position, top, half_width}, or {file}")) {
      const bool table = item.is_map() && item.child("file").has_value();
      (table ? read_table : read_stated)(item, frame, elevation, ground);
    }
  }
}

}  // namespace backfield::io
