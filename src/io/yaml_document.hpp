#pragma once
// A YAML file as a plain tree in which every key and value knows where it stands.
//
// The tree is built from the parser's events, not from its own nodes: those lose duplicate keys, have no place for a
// key, follow aliases without end, turn `010` into 8 and `.nan` into a number. Here every value stays the text that was
// typed, and what is not wanted in a data file (aliases, tags, several documents, deep nesting) is refused by name.

#include "backfield/base/finding.hpp"

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace backfield::io {

inline constexpr std::size_t kLargestFile = 1'000'000;  // bytes; the largest shipped file has 20,000
inline constexpr int kDeepestNesting = 32;              // levels; the deepest shipped file has 8

/// Line and column, 1-based, counted in characters; 0 when unknown.
struct Place {
  int line = 0;
  int column = 0;
};

struct Node {
  enum class Kind { null, text, list, map };
  struct Key {
    std::string name;
    Place place;
  };

  Kind kind = Kind::null;
  Place place;
  std::string text;         ///< of a text
  std::vector<Key> keys;    ///< of a map, in the order of the file, one for each of `items`
  std::vector<Node> items;  ///< of a list or a map
};

struct Document {
  std::string file;  ///< as it was asked for
  std::string bytes;
  std::vector<std::string> lines;  ///< without line ends
  Node root;
  bool readable = false;          ///< `root` holds what the file says
  std::vector<Finding> findings;  ///< errors of form: those that made it unreadable, and duplicate keys

  [[nodiscard]] std::string excerpt(Place place) const;
};

Document read_document(const std::string& path);
/// The same for text that is at hand; `file` is only a name.
Document parse_document(std::string bytes, std::string file);

}  // namespace backfield::io
