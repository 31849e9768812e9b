#include "csv.hpp"

#include "catalogue_source.hpp"

#include <algorithm>
#include <charconv>
#include <utility>

namespace backfield::io {
namespace {

constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
constexpr std::size_t kLongestExcerpt = 200;

std::string_view without_line_break(std::string_view line) {
  if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
  return line;
}

}  // namespace

std::string_view next_line(std::string_view& rest) {
  const std::size_t end = rest.find('\n');
  const std::string_view line = rest.substr(0, end);
  rest.remove_prefix(end == rest.npos ? rest.size() : end + 1);
  return without_line_break(line);
}

std::string_view next_record(std::string_view& rest, int& lines) {
  bool quoted = false;
  lines = 1;
  std::size_t end = 0;
  for (; end < rest.size(); ++end) {
    if (rest[end] == '"') quoted = !quoted;  // a doubled quote opens again what it has closed
    if (rest[end] != '\n') continue;
    if (!quoted) break;
    ++lines;
  }
  const std::string_view record = rest.substr(0, end);
  rest.remove_prefix(std::min(end + 1, rest.size()));
  return without_line_break(record);
}

std::vector<CsvField> split_record(std::string_view record) {
  std::vector<CsvField> fields;
  std::size_t i = 0;
  while (true) {
    CsvField field;
    field.column = static_cast<int>(i) + 1;
    if (i < record.size() && record[i] == '"') {
      for (++i;; ++i) {
        if (i >= record.size()) return {};
        if (record[i] == '"' && (i + 1 >= record.size() || record[i + 1] != '"')) break;
        if (record[i] == '"') ++i;
        field.text += record[i];
      }
      ++i;
      if (i < record.size() && record[i] != ',') return {};
    } else {
      const std::size_t end = std::min(record.find(',', i), record.size());
      field.text = record.substr(i, end - i);
      if (field.text.find('"') != std::string::npos) return {};
      i = end;
    }
    fields.push_back(std::move(field));
    if (i >= record.size()) return fields;
    ++i;
  }
}

std::optional<double> number_in(std::string_view text) {
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

CsvTable::CsvTable(std::string file, std::string_view text, const std::vector<std::string_view>& needed,
                   const std::vector<std::string_view>& optional)
    : file_(std::move(file)), rest_(text), names_(needed) {
  names_.insert(names_.end(), optional.begin(), optional.end());
  if (rest_.substr(0, kByteOrderMark.size()) == kByteOrderMark) rest_.remove_prefix(kByteOrderMark.size());
  int lines = 0;
  record_ = next_record(rest_, lines);
  next_line_ = 1 + lines;
  const std::vector<CsvField> header = split_record(record_);
  width_ = header.size();
  header_ = one_line(record_.substr(0, kLongestExcerpt));
  for (const CsvField& field : header) {
    const std::string name = one_line(field.text);
    if (std::find(names_.begin(), names_.end(), name) == names_.end()) unknown_.push_back(name);
  }
  for (std::size_t i = 0; i < names_.size(); ++i) {
    const auto at =
        std::find_if(header.begin(), header.end(), [&](const CsvField& f) { return one_line(f.text) == names_[i]; });
    if (at != header.end()) {
      place_.emplace_back(static_cast<std::size_t>(at - header.begin()));
    } else if (i >= needed.size()) {
      place_.emplace_back();
    } else {
      trouble_ = about_record("no column \"" + std::string(names_[i]) + "\"",
                              "a first line that names the columns, that one among them");
      return;
    }
  }
}

bool CsvTable::next() {
  while (!trouble_ && !rest_.empty()) {
    line_ = next_line_;
    int lines = 0;
    record_ = next_record(rest_, lines);
    next_line_ += lines;
    if (record_.empty()) continue;
    fields_ = split_record(record_);
    if (fields_.size() == width_) return true;
    trouble_ = about_record(
        fields_.empty() ? "a quote that is not closed or stands astray" : std::to_string(fields_.size()) + " fields",
        std::to_string(width_) + " fields, as in the first line");
    trouble_->hint = "was the file cut off? fetch it again";
  }
  return false;
}

const std::string& CsvTable::raw(std::size_t column) const {
  static const std::string kEmpty;
  return place_[column] ? fields_[*place_[column]].text : kEmpty;
}

std::string CsvTable::text(std::size_t column) const { return one_line(raw(column)); }

std::optional<double> CsvTable::number_if_any(std::size_t column) {
  if (raw(column).empty()) return std::nullopt;
  const std::optional<double> value = number_in(raw(column));
  if (!value) remark(column, "a number");
  return value.value_or(kUnreadable);
}

double CsvTable::number(std::size_t column) { return number_if_any(column).value_or(kUnreadable); }

std::optional<bool> CsvTable::flag(std::size_t column) {
  const std::string& text = raw(column);
  if (text == "1") return true;
  if (text == "0" || text.empty()) return false;
  remark(column, "1 or 0");
  return std::nullopt;
}

Finding CsvTable::about_record(std::string found, std::string accepted) const {
  Finding finding = file_error(file_, std::move(found), std::move(accepted));
  finding.line = line_;
  finding.excerpt = one_line(record_.substr(0, kLongestExcerpt));
  return finding;
}

Finding CsvTable::about_header(std::string found, std::string accepted, std::string hint) const {
  Finding finding = file_error(file_, std::move(found), std::move(accepted), std::move(hint));
  finding.line = 1;
  finding.excerpt = header_;
  return finding;
}

Finding CsvTable::about(std::size_t column, Severity severity, std::string accepted, std::string hint) const {
  Finding finding = about_record('"' + text(column) + '"', std::move(accepted));
  finding.severity = severity;
  finding.key = names_[column];
  finding.hint = std::move(hint);
  if (place_[column]) finding.column = fields_[*place_[column]].column;
  return finding;
}

void CsvTable::remark(std::size_t column, std::string accepted, std::string hint) {
  remarks_.push_back(about(column, Severity::warning, std::move(accepted), std::move(hint)));
}

std::vector<Finding> CsvTable::take_remarks() { return std::exchange(remarks_, {}); }

}  // namespace backfield::io
