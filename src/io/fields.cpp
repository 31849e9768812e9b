#include "fields.hpp"

#include "backfield/base/contract.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace backfield::io {
namespace {

std::string clipped(const std::string& text) {
  constexpr std::size_t kLongest = 80;
  if (text.size() <= kLongest) return text;
  std::size_t end = kLongest;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
  return text.substr(0, end) + "...";
}

std::string quote(const std::string& text) { return '"' + clipped(text) + '"'; }

/// Optimal string alignment distance: insertions, deletions, substitutions and swaps of neighbours.
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i) d[i][0] = i;
  for (std::size_t j = 0; j <= b.size(); ++j) d[0][j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t cost = a[i - 1] == b[j - 1] ? 0 : 1;
      d[i][j] = std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, d[i - 1][j - 1] + cost});
      const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
      if (swapped) d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
    }
  }
  return d[a.size()][b.size()];
}

std::string with_unit(double value, std::string_view unit) {
  return plain(value) + (unit.empty() ? "" : " ") + std::string(unit);
}

}  // namespace

std::string_view nearest(std::string_view typed, const std::vector<std::string_view>& names) {
  std::string_view best;
  if (typed.size() > 60) return best;
  std::size_t least = std::max<std::size_t>(2, typed.size() / 3) + 1;
  for (const std::string_view name : names) {
    const std::size_t distance = edit_distance(typed, name);
    // One letter typed for another would make any short word near any other.
    if (distance < least && distance < name.size()) {
      least = distance;
      best = name;
    }
  }
  return best;
}

std::string plain(double value) {
  std::string text = fmt::format("{:.4f}", value);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text == "-0" ? "0" : text;
}

void drop_notes(std::vector<Finding>& findings) {
  findings.erase(
      std::remove_if(findings.begin(), findings.end(), [](const Finding& f) { return f.severity == Severity::note; }),
      findings.end());
}

void Reading::add(Severity severity, Place place, std::string key, Remark remark) {
  Finding finding;
  finding.severity = severity;
  finding.file = document_.file;
  finding.line = place.line;
  finding.column = place.column;
  finding.key = std::move(key);
  finding.found = std::move(remark.found);
  finding.accepted = std::move(remark.accepted);
  finding.hint = std::move(remark.hint);
  if (place.column > 0) finding.excerpt = document_.excerpt(place);
  findings_.push_back(std::move(finding));
}

std::vector<Finding> Reading::take() {
  if (failed()) drop_notes(findings_);
  std::stable_sort(findings_.begin(), findings_.end(), [](const Finding& a, const Finding& b) {
    return std::pair(a.line, a.column) < std::pair(b.line, b.column);
  });
  append(findings_, std::move(nested_));
  return std::move(findings_);
}

Place Value::place() const { return is_text() ? node_->place : key_place_; }

std::string Value::found() const {
  switch (node_->kind) {
    case Node::Kind::null:
      return "nothing";
    case Node::Kind::text:
      return quote(node_->text);
    case Node::Kind::list: {
      const std::size_t size = node_->items.size();
      if (size == 0) return "an empty list";
      return "a list of " + std::to_string(size) + (size == 1 ? " item" : " items");
    }
    case Node::Kind::map:
      return "a map";
  }
  return {};
}

void Value::refuse(std::string accepted, std::string hint) const {
  reading_->add(Severity::error, place(), path_, {found(), std::move(accepted), std::move(hint)});
}

void Value::warn(std::string accepted, std::string hint) const {
  reading_->add(Severity::warning, place(), path_, {found(), std::move(accepted), std::move(hint)});
}

void Value::assume(std::string sentence) const {
  reading_->add(Severity::note, key_place_, path_, {std::move(sentence), {}, {}});
}

std::optional<std::string> Value::text(const std::string& accepted) const {
  if (is_text() && raw().find_first_not_of(' ') != std::string::npos) return raw();
  refuse(accepted);
  return std::nullopt;
}

std::optional<double> Value::si(Dimension dimension, const Range& range) const {
  if (!is_text()) {
    refuse(accepted_quantity(dimension));
    return std::nullopt;
  }
  const Parsed<double> parsed = parse_quantity(raw(), dimension);
  if (!parsed.ok()) {
    refuse(accepted_quantity(dimension), parsed.hint);
    return std::nullopt;
  }
  const auto limit = [&](double v) { return to_si(v, range.unit, dimension); };
  // A value typed at a limit in another unit may miss it by rounding.
  const double slack = 1e-9 * (1.0 + std::abs(*parsed.value));
  const auto outside = [&](double low, double high) {
    return *parsed.value < limit(low) - slack || *parsed.value > limit(high) + slack;
  };
  if (outside(range.low, range.high)) {
    std::string hint;
    // Slips that are common enough to be named: a setting in inches typed as hPa, a temperature in F typed as C.
    if (dimension == Dimension::pressure) {
      // 29.92, or 2992 as it stands in some reports
      for (const double inches : {*parsed.value / 100.0, *parsed.value / 10000.0}) {
        const double meant = to_si(inches, "inHg", Dimension::pressure);
        if (meant < limit(range.low) || meant > limit(range.high)) continue;
        hint = "an altimeter setting in inches is written \"" + plain(inches) + " inHg\"";
      }
    }
    if (dimension == Dimension::temperature && raw().find('C') != std::string::npos) {
      hint = "a temperature in Fahrenheit is written with \" F\"";
    }
    refuse(with_unit(range.low, range.unit) + " to " + with_unit(range.high, range.unit), hint);
    return std::nullopt;
  }
  if (outside(range.usual_low, range.usual_high)) {
    warn("usually " + with_unit(range.usual_low, range.unit) + " to " + with_unit(range.usual_high, range.unit),
         "check that this is meant");
  }
  return *parsed.value;
}

std::optional<bool> Value::yes_or_no() const {
  if (is_text() && (raw() == "true" || raw() == "false")) return raw() == "true";
  return choice<bool>({{"yes", true}, {"no", false}});
}

std::optional<Bearing> Value::bearing() const {
  const Parsed<Bearing> parsed = is_text() ? parse_bearing(raw()) : Parsed<Bearing>{};
  if (!parsed.ok()) refuse(kAcceptedBearing, parsed.hint);
  return parsed.value;
}

std::vector<Value> Value::items(const std::string& accepted) const {
  std::vector<Value> values;
  if (!is_list() || node_->items.empty()) {
    refuse(accepted);
    return values;
  }
  for (std::size_t i = 0; i < node_->items.size(); ++i) {
    const Node& item = node_->items[i];
    values.emplace_back(*reading_, item, path_ + "[" + std::to_string(i + 1) + "]", item.place);
  }
  return values;
}

std::optional<earth::Geodetic> read_position(const Value& value) {
  const Parsed<earth::Geodetic> parsed = value.is_text() ? parse_position(value.raw()) : Parsed<earth::Geodetic>{};
  if (!parsed.ok()) value.refuse(kAcceptedPosition, parsed.hint);
  return parsed.value;
}

std::optional<Angle> read_variation(const Value& value) {
  const Parsed<Angle> parsed = value.is_text() ? parse_variation(value.raw()) : Parsed<Angle>{};
  if (!parsed.ok() || std::abs(in_degrees(*parsed.value)) > 60.0) {
    value.refuse(std::string(kAcceptedVariation) + ", at most 60 deg", parsed.hint);
    return std::nullopt;
  }
  if (std::abs(in_degrees(*parsed.value)) > 30.0) value.warn("usually at most 30 deg", "check that this is meant");
  return parsed.value;
}

void Value::refuse_choice(const std::vector<std::string_view>& names) const {
  const std::string_view near = is_text() ? nearest(raw(), names) : std::string_view{};
  refuse(Fields::listed(names), near.empty() ? std::string{} : "did you mean \"" + std::string(near) + "\"?");
}

Fields::Fields(const Value& map, std::vector<std::string_view> known) : map_(map), known_(std::move(known)) {
  if (!map_.is_map()) {
    map_.refuse("the keys " + listed(known_));
    return;
  }
  for (const Node::Key& key : map_.node().keys) {
    if (std::find(known_.begin(), known_.end(), key.name) != known_.end()) continue;
    const std::string_view near = nearest(key.name, known_);
    map_.reading().add(Severity::error, key.place, map_.path().empty() ? key.name : map_.path() + "." + key.name,
                       {"an unknown key", listed(known_),
                        near.empty() ? std::string{} : "did you mean \"" + std::string(near) + "\"?"});
  }
}

std::optional<Value> Value::child(std::string_view key) const {
  if (!is_map()) return std::nullopt;
  for (std::size_t i = 0; i < node_->keys.size(); ++i) {
    if (node_->keys[i].name != key) continue;
    return Value(*reading_, node_->items[i], path_.empty() ? std::string(key) : path_ + "." + std::string(key),
                 node_->keys[i].place);
  }
  return std::nullopt;
}

std::optional<Value> Fields::get(std::string_view key) const {
  require(std::find(known_.begin(), known_.end(), key) != known_.end(), "only known keys are asked for");
  return map_.child(key);
}

void Fields::missing(std::string_view key, const std::string& accepted, const std::string& hint) const {
  const std::string path = map_.path().empty() ? std::string(key) : map_.path() + "." + std::string(key);
  // The first line of the file has nothing to do with a key that is missing from the whole of it.
  const Place place = map_.path().empty() ? Place{map_.key_place().line, 0} : map_.key_place();
  map_.reading().add(Severity::error, place, path, {"nothing", accepted, hint});
}

std::optional<Value> Fields::need(std::string_view key, const std::string& accepted) const {
  std::optional<Value> value = get(key);
  if (value || !map_.is_map()) return value;
  // A misspelt key has been refused already, with this one as its hint.
  const auto& keys = map_.node().keys;
  const bool misspelt = std::any_of(keys.begin(), keys.end(), [&](const Node::Key& typed) {
    return std::find(known_.begin(), known_.end(), typed.name) == known_.end() && nearest(typed.name, known_) == key;
  });
  if (!misspelt) missing(key, accepted);
  return value;
}

std::optional<double> Fields::need_number(std::string_view key, const Range& range) const {
  const auto value = need(key, accepted_quantity(Dimension::number));
  return value ? value->si(Dimension::number, range) : std::nullopt;
}

std::optional<std::string> Fields::need_text(std::string_view key, const std::string& accepted) const {
  const auto value = need(key, accepted);
  return value ? value->text(accepted) : std::nullopt;
}

std::optional<std::string> Fields::get_text(std::string_view key, const std::string& accepted) const {
  const auto value = get(key);
  return value ? value->text(accepted) : std::nullopt;
}

std::string Fields::listed(const std::vector<std::string_view>& names) {
  std::string text;
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (i > 0) text += i + 1 == names.size() ? " or " : ", ";
    text += names[i];
  }
  return text;
}

bool is_kind(const Value& root, std::string_view kind) {
  const std::string wanted = "\"backfield: " + std::string(kind) + "\" as the first line";
  Reading& reading = root.reading();
  if (!root.is_map()) {
    reading.add(Severity::error, {1, 1}, "", {root.is_list() ? "a list" : "a text", wanted, {}});
    return false;
  }
  const Node& node = root.node();
  if (node.keys.empty() || node.keys.front().name != "backfield") {
    reading.add(Severity::error, node.keys.empty() ? Place{1, 1} : node.keys.front().place, "",
                {node.keys.empty() ? "nothing" : "the first key " + quote(node.keys.front().name), wanted, {}});
    return false;
  }
  const Value value(reading, node.items.front(), "backfield", node.keys.front().place);
  if (value.is_text() && value.raw() == kind) return true;
  std::string hint;
  static const Words<std::string_view> kinds{
      {"case/1", "a case"}, {"aircraft/1", "an aircraft"}, {"aerodrome/1", "an aerodrome"}, {"policy/1", "a policy"}};
  for (const auto& [name, noun] : kinds) {
    if (value.is_text() && value.raw() == name) hint = "this file is " + std::string(noun) + " file";
  }
  value.refuse(std::string(kind), hint);
  return false;
}

}  // namespace backfield::io
