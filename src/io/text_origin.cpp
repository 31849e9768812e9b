#include "text_origin.hpp"

#include <algorithm>

namespace backfield::io {

std::optional<TextOrigin> text_origin(const Value& value) {
  TextOrigin origin;
  const Document& document = value.reading().document();
  const Place place = value.node().place;
  origin.file = document.file;
  origin.key = value.path();
  origin.line = place.line;
  origin.column = place.column;
  const std::string line = document.excerpt(place);
  const auto at = static_cast<std::size_t>(std::max(place.column - 1, 0));
  const char first = at < line.size() ? line[at] : ' ';
  if (first == '"' || first == '\'') ++origin.column;
  const bool block = first == '|';
  const auto begin = static_cast<std::size_t>(std::max(origin.column - 1, 0));
  const bool as_typed = begin < line.size() && line.compare(begin, value.raw().size(), value.raw()) == 0;
  if (!block && !as_typed) return std::nullopt;
  if (block) {
    const std::string next = document.excerpt({place.line + 1, 1});
    const std::size_t indent = next.find_first_not_of(' ');
    ++origin.line;
    origin.indent = indent == std::string::npos ? 0 : static_cast<int>(indent);
    origin.column = origin.indent + 1;
  }
  return origin;
}

Finding finding_at(std::string_view text, std::size_t at, const TextOrigin& origin) {
  Finding f;
  f.file = origin.file;
  f.key = origin.key;
  at = std::min(at, text.size());
  const std::string_view before = text.substr(0, at);
  const std::size_t line_start = before.rfind('\n') == before.npos ? 0 : before.rfind('\n') + 1;
  const int lines_before = static_cast<int>(std::count(before.begin(), before.end(), '\n'));
  // What stands left of the text in its file is not known here; blanks keep the columns right.
  const int left = lines_before == 0 ? origin.column - 1 : origin.indent;
  f.line = origin.line + lines_before;
  f.column = left + static_cast<int>(at - line_start) + 1;
  std::string_view line = text.substr(line_start, text.find('\n', at) - line_start);
  if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
  f.excerpt = std::string(static_cast<std::size_t>(left), ' ') + std::string(line);
  return f;
}

void tell(const Value& value, const std::optional<TextOrigin>& origin, const std::vector<Finding>& findings) {
  for (const Finding& f : findings) {
    if (f.severity == Severity::note) continue;
    const Place place = origin ? Place{f.line, f.column} : value.place();
    value.reading().add(f.severity, place, value.path(), {f.found, f.accepted, f.hint});
  }
}

}  // namespace backfield::io
