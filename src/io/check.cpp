#include "fields.hpp"
#include "lint_aircraft.hpp"
#include "read_aircraft.hpp"

#include "backfield/io/load.hpp"

namespace backfield::io {
namespace {

std::vector<Finding> check_aircraft(const Document& document) {
  Reading reading(document);
  const Value root = Value::root(reading);
  const aircraft::Aircraft aircraft = read_aircraft(root);
  if (!reading.failed()) lint_aircraft(root, aircraft);
  return reading.take();
}

}  // namespace

std::vector<Finding> check(const std::string& path) {
  const Document document = read_document(path);
  if (!document.readable) return document.findings;
  const Node& root = document.root;
  const bool named = root.kind == Node::Kind::map && !root.keys.empty() && root.keys.front().name == "backfield";
  const std::string kind = named ? root.items.front().text : std::string{};
  if (kind == "case/1") return load_case(path).findings;
  if (kind == "aircraft/1") return check_aircraft(document);
  if (kind == "aerodrome/1") return load_aerodrome(path).findings;
  if (kind == "policy/1") return load_policy(path).findings;
  Reading reading(document);
  const Place place = root.keys.empty() ? Place{1, 1} : root.keys.front().place;
  const std::string found = named               ? '"' + kind + '"'
                            : root.keys.empty() ? "no keys"
                                                : "the first key \"" + root.keys.front().name + '"';
  std::string hint;
  const std::string_view near = nearest(kind, {"case/1", "aircraft/1", "aerodrome/1", "policy/1"});
  if (!near.empty()) hint = "did you mean \"" + std::string(near) + "\"?";
  reading.add(Severity::error, place, named ? "backfield" : "",
              {found, "\"backfield: \" and case/1, aircraft/1, aerodrome/1 or policy/1 as the first line", hint});
  return reading.take();
}

}  // namespace backfield::io
