// Every number of a shipped aircraft file stands under a source with document, condition and uncertainty, and a file
// that lacks one of these anywhere is refused where it is missing. The files are walked as trees, so a group that is
// new to the format cannot be forgotten here.

#include "backfield/io/load.hpp"

#include "src/io/yaml_document.hpp"
#include "tests/tools/fleet.hpp"
#include "tests/tools/temporary_directory.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cctype>
#include <fstream>

using namespace backfield;
using io::Node;

namespace {

Node* child(Node& map, const std::string& name) {
  for (std::size_t i = 0; i < map.keys.size(); ++i) {
    if (map.keys[i].name == name) { return &map.items[i]; }
  }
  return nullptr;
}

void remove(Node& map, const std::string& name) {
  for (std::size_t i = 0; i < map.keys.size(); ++i) {
    if (map.keys[i].name != name) { continue; }
    map.keys.erase(map.keys.begin() + static_cast<std::ptrdiff_t>(i));
    map.items.erase(map.items.begin() + static_cast<std::ptrdiff_t>(i));
    return;
  }
}

bool is_number(const Node& node) {
  const std::string& t = node.text;
  const std::size_t at = !t.empty() && (t[0] == '-' || t[0] == '+') ? 1 : 0;
  return node.kind == Node::Kind::text && at < t.size() && std::isdigit(static_cast<unsigned char>(t[at])) != 0;
}

bool complete(Node& source) {
  for (const char* key : {"document", "condition", "uncertainty"}) {
    const Node* text = child(source, key);
    if (text == nullptr || text->text.find_first_not_of(' ') == std::string::npos) { return false; }
  }
  return true;
}

struct Walk {
  std::size_t numbers = 0;
  std::vector<std::string> without;  ///< paths of numbers that no complete source stands over
  std::vector<std::string> sources;  ///< paths of the groups that have one
};

void walk(Node& node, const std::string& path, bool covered, Walk& found) {
  if (is_number(node)) {
    ++found.numbers;
    if (!covered) { found.without.push_back(path); }
    return;
  }
  if (node.kind == Node::Kind::map) {
    if (Node* source = child(node, "source")) {
      found.sources.push_back(path);
      covered = complete(*source);
    }
  }
  for (std::size_t i = 0; i < node.items.size(); ++i) {
    const bool map = node.kind == Node::Kind::map;
    if (map && node.keys[i].name == "source") { continue; }
    walk(node.items[i], path + "/" + (map ? node.keys[i].name : std::to_string(i)), covered, found);
  }
}

Walk walk(Node root) {
  Walk found;
  walk(root, "", false, found);
  return found;
}

Node& at(Node& root, const std::string& path) {
  Node* node = &root;
  for (std::size_t from = 1; from < path.size();) {
    const std::size_t end = std::min(path.find('/', from), path.size());
    const std::string name = path.substr(from, end - from);
    node = node->kind == Node::Kind::map ? child(*node, name) : &node->items.at(std::stoul(name));
    from = end + 1;
  }
  return *node;
}

/// As YAML again, in one line.
std::string written(const Node& node) {
  if (node.kind == Node::Kind::text) { return '"' + node.text + '"'; }
  const bool map = node.kind == Node::Kind::map;
  std::string text = map ? "{" : "[";
  for (std::size_t i = 0; i < node.items.size(); ++i) {
    text += (i > 0 ? ", " : "") + (map ? node.keys[i].name + ": " : std::string{}) + written(node.items[i]);
  }
  return text + (map ? "}" : "]");
}

std::vector<Finding> findings_of(const Node& root, const test::TemporaryDirectory& folder) {
  const std::string path = (folder.path() / "aircraft.yaml").string();
  std::ofstream(path) << written(root) << '\n';
  return io::load_aircraft(path).findings;
}

std::string dotted(std::string path) {
  std::replace(path.begin(), path.end(), '/', '.');
  return path.substr(1);
}

}  // namespace

TEST_CASE("Every number of a shipped aircraft file has a source, a condition and an uncertainty", "[io][aircraft]") {
  REQUIRE(test::fleet().size() == 6);
  for (const std::string& file : test::fleet()) {
    CAPTURE(file);
    const io::Document document = io::read_document(BACKFIELD_SOURCE_DIR "/aircraft/" + file);
    REQUIRE(document.readable);
    const Walk found = walk(document.root);
    CHECK(found.numbers > 300);
    CHECK(found.without.empty());
    // The walk itself: a group of the top level whose source is gone leaves numbers without one.
    for (const std::string& group : found.sources) {
      if (group.find('/', 1) != std::string::npos) { continue; }
      for (const char* key : {"document", "condition", "uncertainty"}) {
        Node changed = document.root;
        remove(*child(at(changed, group), "source"), key);
        CHECK_FALSE(walk(changed).without.empty());
      }
    }
  }
}

TEST_CASE("An aircraft file that lacks a source, or a part of one, is refused at that place", "[io][aircraft]") {
  const test::TemporaryDirectory folder;
  for (const std::string& file : test::fleet()) {
    const Node root = io::read_document(BACKFIELD_SOURCE_DIR "/aircraft/" + file).root;
    REQUIRE_FALSE(has_error(findings_of(root, folder)));
    const std::vector<std::string> groups = walk(root).sources;
    CHECK(groups.size() >= 15);
    for (const std::string& group : groups) {
      for (const std::string part : {"", "document", "condition", "uncertainty"}) {
        CAPTURE(file, group, part);
        Node changed = root;
        Node& owner = at(changed, group);
        if (part.empty()) {
          remove(owner, "source");
        } else {
          remove(*child(owner, "source"), part);
        }
        const std::string place = dotted(group) + ".source" + (part.empty() ? "" : "." + part);
        const auto findings = findings_of(changed, folder);
        const auto named = [&](const Finding& f) { return f.severity == Severity::error && f.key == place; };
        CHECK(std::count_if(findings.begin(), findings.end(), named) == 1);
        CHECK(std::count_if(findings.begin(), findings.end(),
                            [](const Finding& f) { return f.severity == Severity::error; }) == 1);
      }
    }
  }
}
