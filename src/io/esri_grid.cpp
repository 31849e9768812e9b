#include "csv.hpp"
#include "elevation_posts.hpp"
#include "read_file.hpp"

#include "backfield/io/elevation_posts.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <limits>

namespace backfield::io {
namespace {

constexpr std::size_t kLargest = 200'000'000;
constexpr double kMostSide = 20'000;
constexpr double kMostPosts = 15e6;
constexpr std::size_t kLongestExcerpt = 60;

struct Word {
  std::string_view text;
  int line, column;
};

/// The words of a text between blanks, with where they stand.
class Words {
 public:
  explicit Words(std::string_view text) : rest_(text) {}
  std::optional<Word> next() {
    while (!rest_.empty() && is_blank(rest_.front())) {
      const bool line_ends = rest_.front() == '\n';
      line_ += line_ends ? 1 : 0;
      column_ = line_ends ? 1 : column_ + 1;
      rest_.remove_prefix(1);
    }
    if (rest_.empty()) return std::nullopt;
    std::size_t n = 0;
    while (n < rest_.size() && !is_blank(rest_[n])) ++n;
    const Word word{rest_.substr(0, n), line_, column_};
    rest_.remove_prefix(n);
    column_ += static_cast<int>(n);
    return word;
  }
  [[nodiscard]] int line() const { return line_; }

 private:
  static bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }
  std::string_view rest_;
  int line_ = 1, column_ = 1;
};

/// What can be printed of a word from outside.
std::string shown(std::string_view word) {
  std::string text = "\"";
  for (const char c : word.substr(0, kLongestExcerpt)) text += c >= ' ' && c <= '~' ? c : '?';
  return text + "\"";
}

struct Key {
  std::string_view name, accepted;
  double low, high;
  std::optional<double> value{};
};
enum Index { ncols, nrows, xllcorner, xllcenter, yllcorner, yllcenter, cellsize, nodata, key_count };
constexpr const char* kInDegrees = "geographic degrees are needed, not metres of a projection";

class Grid {
 public:
  Grid(const std::string& path, std::string_view text) : path_(path), words_(text) {}

  Loaded<earth::ElevationPosts> read() {
    earth::ElevationPosts posts;
    if (read_header() && place(posts)) read_heights(posts);
    if (trouble_) return {std::nullopt, {std::move(*trouble_)}};
    return {std::move(posts), {}};
  }

 private:
  bool refuse(std::string found, std::string accepted, std::string hint = {}, const Word* at = nullptr) {
    trouble_ = file_error(path_, std::move(found), std::move(accepted), std::move(hint));
    if (at != nullptr) {
      trouble_->line = at->line;
      trouble_->column = at->column;
    }
    return false;
  }

  /// Keys up to the first word that does not begin with a letter.
  bool read_header() {
    while ((word_ = words_.next()) && std::isalpha(static_cast<unsigned char>(word_->text.front())) != 0) {
      const Word name = *word_;
      const auto key = std::find_if(keys_.begin(), keys_.end(), [&](const Key& k) {
        return k.name.size() == name.text.size() && ends_like(std::string(name.text), std::string(k.name));
      });
      if (key == keys_.end() || key->value) {
        return refuse(shown(name.text),
                      key == keys_.end() ? "ncols, nrows, xllcorner, xllcenter, yllcorner, yllcenter, cellsize or "
                                           "NODATA_value, then numbers"
                                         : "each key once",
                      {}, &name);
      }
      word_ = words_.next();
      key->value = word_ ? number_in(word_->text) : std::nullopt;
      const bool whole = key - keys_.begin() > nrows || (key->value && std::floor(*key->value) == *key->value);
      if (!key->value || *key->value < key->low || *key->value > key->high || !whole) {
        const bool degrees_due = key - keys_.begin() >= xllcorner && key - keys_.begin() <= cellsize;
        return refuse(word_ ? shown(word_->text) : "the end of the file",
                      std::string(key->name) + ": " + std::string(key->accepted),
                      degrees_due && key->value ? kInDegrees : "", word_ ? &*word_ : &name);
      }
    }
    for (const Index i : {ncols, nrows, cellsize}) {
      if (!of(i).value) return refuse("no " + std::string(of(i).name), std::string(of(i).accepted));
    }
    for (const auto& [corner, center] : {std::pair(xllcorner, xllcenter), std::pair(yllcorner, yllcenter)}) {
      if (of(corner).value.has_value() == of(center).value.has_value()) {
        return refuse(of(corner).value ? "both " + std::string(of(corner).name) + " and " + std::string(of(center).name)
                                       : "no " + std::string(of(corner).name),
                      std::string(of(corner).name) + " or " + std::string(of(center).name) + ", one of them");
      }
    }
    if (*of(ncols).value * *of(nrows).value > kMostPosts) {
      return refuse("more than 15 million posts", "a smaller part of the grid", "60 km about the aerodrome will do");
    }
    return true;
  }

  bool place(earth::ElevationPosts& posts) {
    const double cell = *of(cellsize).value;
    const auto first_post = [&](Index corner, Index center) {
      return of(corner).value ? *of(corner).value + 0.5 * cell : *of(center).value;
    };
    posts.columns = static_cast<std::size_t>(*of(ncols).value);
    posts.rows = static_cast<std::size_t>(*of(nrows).value);
    posts.step_north = posts.step_east = degrees(cell);
    const double south = first_post(yllcorner, yllcenter);
    if (south < -90.0 || south + cell * static_cast<double>(posts.rows - 1) > 90.0) {
      return refuse("rows that go past a pole", "latitudes from -90 to 90 degrees", kInDegrees);
    }
    posts.south_west = {degrees(south), degrees(first_post(xllcorner, xllcenter))};
    return true;
  }

  bool read_heights(earth::ElevationPosts& posts) {
    const std::size_t due = posts.rows * posts.columns;
    posts.heights_m.reserve(due);
    for (; word_; word_ = words_.next()) {
      const std::size_t i = posts.heights_m.size();
      if (i == due) {
        return refuse("more numbers than " + std::to_string(due),
                      std::to_string(posts.rows) + " rows of " + std::to_string(posts.columns), {}, &*word_);
      }
      const auto height = number_in(word_->text);
      const bool is_void = height && of(nodata).value && *height == *of(nodata).value;
      if (!height || (!is_void && (*height < kLowestGround_m || *height > kHighestGround_m))) {
        return refuse(shown(word_->text) + " in " + post_name(i, posts.columns),
                      std::string(kAcceptedGround) + ", or the NODATA_value",
                      height && !of(nodata).value ? "the header has no NODATA_value" : "", &*word_);
      }
      posts.heights_m.push_back(is_void ? std::numeric_limits<float>::quiet_NaN() : static_cast<float>(*height));
    }
    const std::size_t count = posts.heights_m.size();
    if (count == due) return true;
    return refuse(std::to_string(count) + " numbers, the last before " + post_name(count, posts.columns),
                  std::to_string(due) + ": " + std::to_string(posts.rows) + " rows of " + std::to_string(posts.columns),
                  "was the file cut off?");
  }

  Key& of(Index i) { return keys_[i]; }

  std::string path_;
  Words words_;
  std::optional<Word> word_;
  std::optional<Finding> trouble_;
  // Small letters: the names are compared in any case.
  std::array<Key, key_count> keys_{{{"ncols", "a whole number from 2 to 20000", 2, kMostSide},
                                    {"nrows", "a whole number from 2 to 20000", 2, kMostSide},
                                    {"xllcorner", "a longitude from -180 to 180 degrees", -180.1, 180.1},
                                    {"xllcenter", "a longitude from -180 to 180 degrees", -180.1, 180.1},
                                    {"yllcorner", "a latitude from -90 to 90 degrees", -90.1, 90.1},
                                    {"yllcenter", "a latitude from -90 to 90 degrees", -90.1, 90.1},
                                    {"cellsize", "0.0002 to 0.1 degrees", 0.0002, 0.1},
                                    {"nodata_value", "a number", -1e40, 1e40}}};
};

}  // namespace

Loaded<earth::ElevationPosts> read_esri_grid(const std::string& path) {
  const Loaded<std::string> bytes = read_file(path, kLargest);
  if (!bytes.ok()) return {std::nullopt, bytes.findings};
  return Grid(path, *bytes.value).read();
}

}  // namespace backfield::io
