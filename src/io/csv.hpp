#pragma once
// Comma-separated values by RFC 4180, as the forms of the open catalogue use them.

#include "backfield/base/finding.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace backfield::io {

struct CsvField {
  std::string text;
  int column = 0;  ///< 1-based, in bytes of the record
};

/// The fields of one record. Empty when a quote is not closed or stands astray.
std::vector<CsvField> split_record(std::string_view record);

/// Takes the next record, without its line break, off `rest`. Line breaks within quotes belong to the record.
/// lines       how many lines of the file it takes
std::string_view next_record(std::string_view& rest, int& lines);

/// Takes one line off `rest`, without LF or CR LF.
std::string_view next_line(std::string_view& rest);

/// A finite decimal number that fills the whole text: no blanks, no other base, no sign but a minus.
std::optional<double> number_in(std::string_view text);

/// A file whose first record names its columns; other columns are of no interest, and their order does not matter.
///
///   CsvTable table("runways.csv", text, {"length_ft", "surface"}, {});
///   while (table.next()) use(table.number(0), table.text(1));
///   if (table.trouble()) ...
///
/// Holds a view of the text given.
class CsvTable {
 public:
  /// needed      columns that must be there; numbered from 0 in this order
  /// optional    columns that may be missing, numbered on; where missing they read as empty
  CsvTable(std::string file, std::string_view text, const std::vector<std::string_view>& needed,
           const std::vector<std::string_view>& optional);

  /// Goes to the next record; false at the end, or when there is trouble. Empty lines are passed over.
  bool next();
  /// Why reading had to stop: a column missing, a quote not closed, a record with another number of fields than the
  /// header (a file that was cut off ends in one).
  [[nodiscard]] const std::optional<Finding>& trouble() const { return trouble_; }
  /// The same, and lets reading go on after a record that had to be left out.
  [[nodiscard]] std::optional<Finding> take_trouble() { return std::exchange(trouble_, std::nullopt); }

  /// Whether the header names a column.
  [[nodiscard]] bool has(std::size_t column) const { return place_[column].has_value(); }
  /// What else it names.
  [[nodiscard]] const std::vector<std::string>& unknown_columns() const { return unknown_; }
  /// A finding about a field of this record, or about the header.
  [[nodiscard]] Finding about(std::size_t column, Severity severity, std::string accepted, std::string hint = {}) const;
  [[nodiscard]] Finding about_header(std::string found, std::string accepted, std::string hint = {}) const;

  [[nodiscard]] int line() const { return line_; }
  [[nodiscard]] std::string text(std::size_t column) const;
  /// As it stands there.
  [[nodiscard]] const std::string& raw(std::size_t column) const;
  /// None when the field is empty; NaN, with a remark, when what stands there is no number.
  [[nodiscard]] std::optional<double> number_if_any(std::size_t column);
  [[nodiscard]] double number(std::size_t column);
  /// "1" or "0"; an empty field is no. Anything else is none, with a remark.
  [[nodiscard]] std::optional<bool> flag(std::size_t column);
  /// Records a warning about a field of this record.
  void remark(std::size_t column, std::string accepted, std::string hint = {});
  /// What was remarked since the last call, all of it warnings.
  [[nodiscard]] std::vector<Finding> take_remarks();

 private:
  [[nodiscard]] Finding about_record(std::string found, std::string accepted) const;

  std::string file_;
  std::string_view rest_;
  std::string_view record_;
  std::vector<std::string_view> names_;
  std::vector<std::optional<std::size_t>> place_;  // of each named column in a record
  std::vector<std::string> unknown_;
  std::string header_;
  std::size_t width_ = 0;
  int line_ = 1;
  int next_line_ = 1;
  std::vector<CsvField> fields_;
  std::vector<Finding> remarks_;
  std::optional<Finding> trouble_;
};

}  // namespace backfield::io
