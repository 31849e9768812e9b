#include "yaml_document.hpp"

#include "read_file.hpp"

#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/parser.h>

#include <optional>
#include <set>
#include <sstream>

namespace backfield::io {
namespace {

/// What stops the building of a tree.
struct Refused {
  Place place;
  std::string found, accepted, hint;
};

Finding finding_of(const Document& document, const Refused& refused) {
  Finding finding;
  finding.file = document.file;
  finding.line = refused.place.line;
  finding.column = refused.place.column;
  finding.found = refused.found;
  finding.accepted = refused.accepted;
  finding.hint = refused.hint;
  finding.excerpt = document.excerpt(refused.place);
  return finding;
}

/// Length of the UTF-8 character at `i`, or 0 when the bytes there are none. (RFC 3629: no overlong forms, no
/// surrogates, nothing above U+10FFFF.)
std::size_t utf8_length(const std::string& bytes, std::size_t i) {
  const auto byte = [&](std::size_t k) { return k < bytes.size() ? static_cast<unsigned char>(bytes[k]) : 0U; };
  const auto tail = [&](std::size_t k) { return byte(k) >= 0x80U && byte(k) <= 0xBFU; };
  const unsigned b = byte(i);
  const unsigned next = byte(i + 1);
  if (b < 0x80U) return 1;
  if (b >= 0xC2U && b <= 0xDFU) return tail(i + 1) ? 2 : 0;
  if (b >= 0xE0U && b <= 0xEFU) {
    const bool in_range = tail(i + 1) && !(b == 0xE0U && next < 0xA0U) && !(b == 0xEDU && next > 0x9FU);
    return in_range && tail(i + 2) ? 3 : 0;
  }
  if (b >= 0xF0U && b <= 0xF4U) {
    const bool in_range = tail(i + 1) && !(b == 0xF0U && next < 0x90U) && !(b == 0xF4U && next > 0x8FU);
    return in_range && tail(i + 2) && tail(i + 3) ? 4 : 0;
  }
  return 0;
}

/// Refuses bytes that are not UTF-8 text. Control characters are refused too: in an error message they could rewrite
/// the terminal.
void check_encoding(const std::string& bytes) {
  if (bytes.size() >= 2 && (bytes.compare(0, 2, "\xFF\xFE") == 0 || bytes.compare(0, 2, "\xFE\xFF") == 0)) {
    throw Refused{{}, "UTF-16 text", "UTF-8 text", "save the file as UTF-8"};
  }
  Place place{1, 1};
  for (std::size_t i = 0; i < bytes.size();) {
    const std::size_t length = utf8_length(bytes, i);
    if (length == 0) {
      throw Refused{{place.line, 0}, "a byte that is not UTF-8", "UTF-8 text", "save the file as UTF-8"};
    }
    const auto c = static_cast<unsigned char>(bytes[i]);
    const bool line_end = c == '\n' || (c == '\r' && i + 1 < bytes.size() && bytes[i + 1] == '\n');
    const bool second_control_set = length == 2 && c == 0xC2U && static_cast<unsigned char>(bytes[i + 1]) < 0xA0U;
    if ((c < 0x20U && c != '\t' && !line_end) || c == 0x7FU || second_control_set) {
      throw Refused{{place.line, 0}, "a control character", "plain text", {}};
    }
    if (c == '\n') {
      place = {place.line + 1, 1};
    } else {
      ++place.column;
    }
    i += length;
  }
}

std::vector<std::string> split_lines(const std::string& bytes) {
  std::vector<std::string> lines;
  std::istringstream in(bytes);
  for (std::string line; std::getline(in, line);) {
    if (!line.empty() && line.back() == '\r') line.pop_back();
    lines.push_back(line);
  }
  return lines;
}

/// Builds the tree; throws Refused at the first thing that a data file should not hold.
class TreeBuilder : public YAML::EventHandler {
 public:
  explicit TreeBuilder(const std::vector<std::string>& lines) : lines_(lines) {}

  Node take() { return std::move(root_); }
  [[nodiscard]] bool has_root() const { return has_root_; }

  /// yaml-cpp counts from 0 and in bytes.
  [[nodiscard]] Place place_of(const YAML::Mark& mark) const {
    if (mark.is_null()) return {};
    Place place{mark.line + 1, 1};
    if (static_cast<std::size_t>(mark.line) >= lines_.size()) return place;
    const std::string& line = lines_[static_cast<std::size_t>(mark.line)];
    for (std::size_t i = 0; i < static_cast<std::size_t>(mark.column); ++i) {
      const bool continues = i < line.size() && (static_cast<unsigned char>(line[i]) & 0xC0U) == 0x80U;
      if (!continues) ++place.column;
    }
    return place;
  }

  void OnDocumentStart(const YAML::Mark& mark) override {
    if (has_root_) {
      throw Refused{place_of(mark), "a second document or stray text", "one YAML document in one file",
                    "is the indentation of this line right?"};
    }
  }
  void OnDocumentEnd() override {}
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t /*anchor*/) override {
    throw Refused{place_of(mark), "an alias (*)", "the value itself", "write it out where it is used"};
  }
  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override { add(mark, "", anchor, Node::Kind::null, {}); }
  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override {
    add(mark, tag, anchor, Node::Kind::text, value);
  }
  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value /*style*/) override {
    open(mark, tag, anchor, Node::Kind::list);
  }
  void OnSequenceEnd() override { close(); }
  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value /*style*/) override {
    open(mark, tag, anchor, Node::Kind::map);
  }
  void OnMapEnd() override { close(); }

 private:
  struct Open {
    Node node;
    std::optional<Node::Key> key;  // of the value to come, in a map
  };

  [[nodiscard]] bool key_is_due() const {
    return !open_.empty() && open_.back().node.kind == Node::Kind::map && !open_.back().key;
  }

  void check(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor) const {
    if (anchor != YAML::NullAnchor) {
      throw Refused{place_of(mark), "an anchor (&)", "a plain value", "write the value out where it is used"};
    }
    // "?" and "!" are what yaml-cpp calls a plain and a quoted value without a tag.
    if (!tag.empty() && tag != "?" && tag != "!") {
      throw Refused{place_of(mark), "a tag (!)", "a plain value", "leave the tag out"};
    }
  }

  void add(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, Node::Kind kind,
           const std::string& text) {
    check(mark, tag, anchor);
    if (key_is_due()) {
      if (kind != Node::Kind::text) {
        throw Refused{place_of(mark), "a key without a name", "a name before the colon", {}};
      }
      open_.back().key = Node::Key{text, place_of(mark)};
      return;
    }
    Node node;
    node.kind = kind;
    node.place = place_of(mark);
    node.text = text;
    put(std::move(node));
  }

  void open(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, Node::Kind kind) {
    check(mark, tag, anchor);
    if (key_is_due()) throw Refused{place_of(mark), "a list or a map as a key", "a name before the colon", {}};
    if (open_.size() >= static_cast<std::size_t>(kDeepestNesting)) {
      throw Refused{place_of(mark),
                    "nesting deeper than " + std::to_string(kDeepestNesting) + " levels",
                    "the levels that the format needs",
                    {}};
    }
    open_.emplace_back();
    open_.back().node.kind = kind;
    open_.back().node.place = place_of(mark);
  }

  void close() {
    Node node = std::move(open_.back().node);
    open_.pop_back();
    put(std::move(node));
  }

  void put(Node node) {
    if (open_.empty()) {
      root_ = std::move(node);
      has_root_ = true;
      return;
    }
    Open& parent = open_.back();
    if (parent.node.kind == Node::Kind::map) {
      parent.node.keys.push_back(std::move(*parent.key));
      parent.key.reset();
    }
    parent.node.items.push_back(std::move(node));
  }

  const std::vector<std::string>& lines_;
  std::vector<Open> open_;
  Node root_;
  bool has_root_ = false;
};

void find_duplicates(Document& document, const Node& node, const std::string& path) {
  std::set<std::string_view> seen;
  for (std::size_t i = 0; i < node.items.size(); ++i) {
    std::string inner = path;
    if (node.kind == Node::Kind::map) {
      const Node::Key& key = node.keys[i];
      inner += (path.empty() ? "" : ".") + key.name;
      if (!seen.insert(key.name).second) {
        Finding finding = finding_of(document, {key.place, "the key \"" + key.name + "\" a second time",
                                                "each key once", "remove or rename one of the two"});
        finding.key = inner;
        document.findings.push_back(std::move(finding));
      }
    } else {
      inner += "[" + std::to_string(i + 1) + "]";
    }
    find_duplicates(document, node.items[i], inner);
  }
}

}  // namespace

std::string Document::excerpt(Place place) const {
  if (place.line < 1 || static_cast<std::size_t>(place.line) > lines.size()) return {};
  return lines[static_cast<std::size_t>(place.line) - 1];
}

Document parse_document(std::string bytes, std::string file) {
  Document document;
  document.file = std::move(file);
  document.bytes = std::move(bytes);
  const auto refuse = [&document](const Refused& refused) {
    document.findings.push_back(finding_of(document, refused));
    return document;
  };
  try {
    check_encoding(document.bytes);
  } catch (const Refused& refused) { return refuse(refused); }
  // Some editors put a byte order mark before UTF-8, where it means nothing.
  const bool marked = document.bytes.compare(0, 3, "\xEF\xBB\xBF") == 0;
  const std::string text = marked ? document.bytes.substr(3) : document.bytes;
  document.lines = split_lines(text);
  TreeBuilder builder(document.lines);
  try {
    std::istringstream in(text);
    YAML::Parser parser(in);
    while (parser.HandleNextDocument(builder)) {}
  } catch (const Refused& refused) { return refuse(refused); } catch (const YAML::Exception& broken) {
    return refuse({builder.place_of(broken.mark), "text that is not YAML", "a well-formed YAML file", broken.msg});
  }
  if (!builder.has_root()) return refuse({{}, "an empty file", "a file whose first key is \"backfield\"", {}});
  document.root = builder.take();
  document.readable = true;
  find_duplicates(document, document.root, "");
  return document;
}

Document read_document(const std::string& path) {
  Loaded<std::string> bytes = read_file(path, kLargestFile);
  if (!bytes.ok()) {
    Document document;
    document.file = path;
    document.findings = std::move(bytes.findings);
    return document;
  }
  return parse_document(std::move(*bytes.value), path);
}

}  // namespace backfield::io
