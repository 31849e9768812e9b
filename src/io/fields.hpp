#pragma once
// Reading a parsed YAML file field by field, so that every complaint names file, line, column and dotted key path, and
// so that one bad field never hides the next.

#include "yaml_document.hpp"

#include "backfield/io/quantity.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace backfield::io {

/// What a number may be: outside low..high it is refused, outside usual_low..usual_high there is a warning. All four in
/// `unit`, which is also the unit they are printed in.
struct Range {
  double low;
  double high;
  std::string_view unit;
  double usual_low = low;
  double usual_high = high;
};

/// A word that may stand in a file and what it means.
template <class T>
using Words = std::vector<std::pair<std::string_view, T>>;

class Fields;

/// What a finding says.
struct Remark {
  std::string found;
  std::string accepted;
  std::string hint;
};

/// What was assumed does not matter while something is refused.
void drop_notes(std::vector<Finding>& findings);

/// One file being read, and what was found in it. Not copied: values refer to it.
class Reading {
 public:
  explicit Reading(const Document& document) : document_(document), findings_(document.findings) {}
  Reading(const Reading&) = delete;
  Reading& operator=(const Reading&) = delete;

  [[nodiscard]] const Document& document() const { return document_; }
  void add(Severity severity, Place place, std::string key, Remark remark);
  /// What was found in a file that this one names.
  void add_nested(std::vector<Finding> findings) { append(nested_, std::move(findings)); }
  [[nodiscard]] bool failed() const { return has_error(findings_) || has_error(nested_); }
  /// Findings in the order of the file, which is the order in which a person fills it in; those of other files after
  /// it.
  [[nodiscard]] std::vector<Finding> take();

 private:
  const Document& document_;
  std::vector<Finding> findings_;
  std::vector<Finding> nested_;
};

/// A value at its place. Every reader returns nullopt after it has recorded why.
class Value {
 public:
  Value(Reading& reading, const Node& node, std::string path, Place key_place)
      : reading_(&reading), node_(&node), path_(std::move(path)), key_place_(key_place) {}
  static Value root(Reading& reading) { return {reading, reading.document().root, "", {1, 1}}; }

  [[nodiscard]] bool is_text() const { return node_->kind == Node::Kind::text; }
  [[nodiscard]] bool is_list() const { return node_->kind == Node::Kind::list; }
  [[nodiscard]] bool is_map() const { return node_->kind == Node::Kind::map; }
  [[nodiscard]] const Node& node() const { return *node_; }
  [[nodiscard]] const std::string& path() const { return path_; }
  [[nodiscard]] const std::string& raw() const { return node_->text; }
  [[nodiscard]] Place place() const;
  [[nodiscard]] Place key_place() const { return key_place_; }
  [[nodiscard]] Reading& reading() const { return *reading_; }

  /// Records an error about this value, or a warning.
  void refuse(std::string accepted, std::string hint = {}) const;
  void warn(std::string accepted, std::string hint = {}) const;
  /// Records something that a reader had to assume, as a plain sentence.
  void assume(std::string sentence) const;

  [[nodiscard]] std::optional<std::string> text(const std::string& accepted) const;
  [[nodiscard]] std::optional<double> si(Dimension dimension, const Range& range) const;
  [[nodiscard]] std::optional<bool> yes_or_no() const;
  [[nodiscard]] std::optional<Bearing> bearing() const;
  /// What stands under a key of a map whose keys have been judged; none where it is absent. Readers ask `Fields`.
  [[nodiscard]] std::optional<Value> child(std::string_view key) const;
  /// The items of a list with at least one; a finding when it is none.
  [[nodiscard]] std::vector<Value> items(const std::string& accepted) const;

  template <class T>
  [[nodiscard]] std::optional<T> choice(const Words<T>& words) const {
    std::vector<std::string_view> names;
    for (const auto& [name, meaning] : words) {
      if (is_text() && raw() == name) return meaning;
      names.push_back(name);
    }
    refuse_choice(names);
    return std::nullopt;
  }

  template <class Q>
  [[nodiscard]] std::optional<Q> quantity(Dimension dimension, const Range& range) const {
    const std::optional<double> value = si(dimension, range);
    if (!value) return std::nullopt;
    return Q::from_si(*value);
  }

 private:
  void refuse_choice(const std::vector<std::string_view>& names) const;
  [[nodiscard]] std::string found() const;

  Reading* reading_;
  const Node* node_;
  std::string path_;
  Place key_place_;
};

/// The keys of a map. Keys outside `known` are refused at once, with the nearest known one as a hint.
class Fields {
 public:
  Fields(const Value& map, std::vector<std::string_view> known);

  [[nodiscard]] bool is_map() const { return map_.is_map(); }
  [[nodiscard]] bool has(std::string_view key) const { return get(key).has_value(); }
  [[nodiscard]] const Value& map() const { return map_; }
  [[nodiscard]] std::optional<Value> get(std::string_view key) const;
  /// Like get, but an absent key is an error that says what should stand there.
  [[nodiscard]] std::optional<Value> need(std::string_view key, const std::string& accepted) const;
  /// Records that a key is missing.
  void missing(std::string_view key, const std::string& accepted, const std::string& hint = {}) const;

  // One line for each kind of field. "need_" records an absent key as an error.
  template <class Q>
  [[nodiscard]] std::optional<Q> need_quantity(std::string_view key, Dimension d, const Range& range) const {
    const auto value = need(key, accepted_quantity(d));
    return value ? value->quantity<Q>(d, range) : std::nullopt;
  }
  template <class Q>
  [[nodiscard]] std::optional<Q> get_quantity(std::string_view key, Dimension d, const Range& range) const {
    const auto value = get(key);
    return value ? value->quantity<Q>(d, range) : std::nullopt;
  }
  [[nodiscard]] std::optional<double> need_number(std::string_view key, const Range& range) const;
  [[nodiscard]] std::optional<std::string> need_text(std::string_view key, const std::string& accepted) const;
  [[nodiscard]] std::optional<std::string> get_text(std::string_view key, const std::string& accepted) const;
  /// A list of quantities, each above the one before; what is wrong in it is recorded and left out.
  template <class Q>
  [[nodiscard]] std::vector<Q> need_rising(std::string_view key, Dimension d, const Range& range,
                                           const std::string& accepted) const {
    std::vector<Q> all;
    const auto value = need(key, accepted);
    if (!value) return all;
    for (const Value& item : value->items(accepted)) {
      const auto one = item.quantity<Q>(d, range);
      if (!one) continue;
      if (!all.empty() && *one <= all.back()) item.refuse("a value above the one before it");
      all.push_back(*one);
    }
    return all;
  }
  template <class T>
  [[nodiscard]] std::optional<T> need_choice(std::string_view key, const Words<T>& words) const {
    std::vector<std::string_view> names;
    for (const auto& word : words) names.push_back(word.first);
    const auto value = need(key, listed(names));
    return value ? value->choice(words) : std::nullopt;
  }
  template <class T>
  [[nodiscard]] std::optional<T> get_choice(std::string_view key, const Words<T>& words) const {
    const auto value = get(key);
    return value ? value->choice(words) : std::nullopt;
  }

  /// "a, b or c"
  static std::string listed(const std::vector<std::string_view>& names);

 private:
  Value map_;
  std::vector<std::string_view> known_;
};

/// Latitude and longitude.
std::optional<earth::Geodetic> read_position(const Value& value);

/// Magnetic variation, east positive; more than 60 degrees is refused.
std::optional<Angle> read_variation(const Value& value);

/// The name most like `typed` among `names`, or an empty view when none is near.
std::string_view nearest(std::string_view typed, const std::vector<std::string_view>& names);

/// A number in words of a person: at most four decimals, no trailing zeros.
std::string plain(double value);

/// Checks that the file's first key is "backfield" with the kind that is due, e.g. "aircraft/1". A file of another kind
/// is refused by its name.
bool is_kind(const Value& root, std::string_view kind);

}  // namespace backfield::io
