#include "backfield/io/render_finding.hpp"

#include <algorithm>

namespace backfield::io {
namespace {

bool continues_character(char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }

/// Byte offset of a 1-based column counted in characters.
std::size_t byte_of_column(const std::string& line, int column) {
  std::size_t byte = 0;
  for (int seen = 1; seen < column && byte < line.size(); ++seen) {
    ++byte;
    while (byte < line.size() && continues_character(line[byte])) ++byte;
  }
  return byte;
}

std::string caret_lines(const Finding& finding) {
  constexpr std::size_t kWidest = 140;  // of an excerpt; a line of a megabyte would bury the message
  const std::string number = std::to_string(finding.line);
  const std::string gutter(std::max<std::size_t>(number.size(), 5), ' ');
  const std::size_t at = byte_of_column(finding.excerpt, finding.column);
  if (finding.excerpt.size() > kWidest && at >= kWidest) return {};

  const std::string shown = finding.excerpt.size() > kWidest
                                ? finding.excerpt.substr(0, byte_of_column(finding.excerpt, kWidest)) + "..."
                                : finding.excerpt;
  std::string text = gutter.substr(number.size()) + number + " | " + shown + "\n";
  if (finding.column == 0) return text;
  text += gutter + " | ";
  for (std::size_t i = 0; i < at; ++i) {
    if (!continues_character(finding.excerpt[i])) text += finding.excerpt[i] == '\t' ? '\t' : ' ';
  }
  // The mark is as wide as what was found, or as the key, where one of them stands there word for word.
  std::size_t width = 1;
  const std::string bare = finding.found.size() > 2 && finding.found.front() == '"'
                               ? finding.found.substr(1, finding.found.size() - 2)
                               : finding.found;
  const std::string key = finding.key.substr(finding.key.rfind('.') + 1);
  for (const std::string& form : {finding.found, bare, "'" + bare + "'", key}) {
    if (!form.empty() && finding.excerpt.compare(at, form.size(), form) == 0) {
      width = static_cast<std::size_t>(
          std::count_if(form.begin(), form.end(), [](char c) { return !continues_character(c); }));
      break;
    }
  }
  return text + "^" + std::string(width - 1, '~') + "\n";
}

}  // namespace

std::string render(const Finding& finding) {
  std::string text = finding.file;
  if (finding.line > 0) {
    text += ":" + std::to_string(finding.line);
    if (finding.column > 0) text += ":" + std::to_string(finding.column);
  }
  text += ": ";
  if (finding.severity == Severity::warning) text += "warning: ";
  if (finding.severity == Severity::note) text += "note: ";
  if (!finding.key.empty()) text += finding.key + ": ";
  text += (finding.severity == Severity::note ? "" : "found ") + finding.found;
  if (!finding.accepted.empty()) text += ", accepted " + finding.accepted;
  text += "\n";
  if (!finding.excerpt.empty() && finding.severity != Severity::note) text += caret_lines(finding);
  if (!finding.hint.empty()) text += "  hint: " + finding.hint + "\n";
  return text;
}

std::string render(const std::vector<Finding>& findings) {
  std::string text;
  for (const Finding& finding : findings) text += render(finding);
  return text;
}

}  // namespace backfield::io
