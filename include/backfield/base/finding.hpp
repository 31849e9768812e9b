#pragma once
// What a reader has to say about its input, and a value that carries it.
//
// Three kinds of trouble have three mechanisms here:
//   input is wrong         -> Finding, all of them at once, in a Loaded<T>
//   the honest answer is no -> an ordinary value (Lookup, Outcome), never an exception
//   the program is wrong   -> contract.hpp, std::logic_error

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace backfield {

enum class Severity { error, warning, note };

/// One thing found in an input, complete enough to be mended without opening a manual.
struct Finding {
  Severity severity = Severity::error;
  std::string file;      ///< path as the user gave it
  int line = 0;          ///< 1-based; 0 when the finding is about the whole file
  int column = 0;        ///< 1-based; 0 when unknown
  std::string key;       ///< dotted path of the key, e.g. "weather.wind"; may be empty
  std::string found;     ///< what stands there
  std::string accepted;  ///< what would be accepted there
  std::string hint;      ///< how to mend it; may be empty
  std::string excerpt;   ///< the offending source line, without its newline; may be empty
};

/// A value read from outside, or the reasons why there is none. Warnings may accompany a value.
template <class T>
struct Loaded {
  std::optional<T> value;
  std::vector<Finding> findings;

  [[nodiscard]] bool ok() const { return value.has_value(); }
};

inline bool has_error(const std::vector<Finding>& findings) {
  for (const Finding& finding : findings) {
    if (finding.severity == Severity::error) return true;
  }
  return false;
}

inline void append(std::vector<Finding>& to, std::vector<Finding> from) {
  for (Finding& finding : from) to.push_back(std::move(finding));
}

}  // namespace backfield
