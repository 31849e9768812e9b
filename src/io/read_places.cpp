#include "read_places.hpp"

#include "read_aerodrome.hpp"
#include "read_figure.hpp"

#include "backfield/io/catalogue.hpp"
#include "backfield/io/shipped_data.hpp"

#include <algorithm>

namespace backfield::io {
namespace {

bool read_files(const Fields& root, Parts& parts) {
  const auto value = root.get("aerodromes");
  if (!value) return true;
  bool complete = true;
  for (const Value& item : value->items("a list of paths of aerodrome files")) {
    const std::string accepted = "the path of an aerodrome file";
    const auto path = item.text(accepted);
    auto loaded =
        path ? load_named(item, beside(root.map().reading().document(), *path), load_aerodrome, accepted, parts)
             : std::nullopt;
    if (!loaded) {
      complete = false;
      continue;
    }
    if (find_aerodrome(parts, loaded->aerodrome.id) != nullptr) {
      item.refuse("each aerodrome once", loaded->aerodrome.id + " is there already");
      continue;
    }
    parts.attributions.push_back(loaded->aerodrome.id + ": " + loaded->aerodrome.attribution);
    parts.aerodromes.push_back(std::move(*loaded));
  }
  return complete && !parts.aerodromes.empty();
}

/// The same shape for both sources, each in the frame of its own reference point.
AerodromeFile as_file(const CatalogueAerodrome& found) {
  AerodromeFile file;
  file.aerodrome.id = found.id;
  file.aerodrome.name = found.name;
  file.aerodrome.reference_point = found.reference;
  file.aerodrome.elevation = found.elevation;
  file.aerodrome.ends = runway_ends(found, earth::LocalFrame(found.reference));
  return file;
}

/// Findings about the catalogue's own lines are nested ones; an id that is not there belongs to the case, which has
/// already been told what aerodromes it has.
bool read_catalogue(const Fields& root, const std::string& home_id, Parts& parts) {
  const auto value = root.get("catalogue");
  if (!value) return true;
  const Fields fields(*value, {"file", "aerodromes_within"});
  const auto named = fields.need_text("file", "shipped, or the path of a catalogue file or directory");
  const auto radius = fields.need_quantity<Length>("aerodromes_within", Dimension::length, {0, 60, "NM"});
  if (!named) return false;
  const std::string path = *named == "shipped"
                               ? (shipped_data_directory() / "cases" / "open-data" / "runways.csv").string()
                               : beside(root.map().reading().document(), *named);
  const auto catalogue = load_named(*fields.get("file"), path, Catalogue::open,
                                    "shipped, or the path of a catalogue file or directory", parts);
  if (!catalogue) return false;

  std::vector<CatalogueAerodrome> found;
  if (!home_id.empty() && find_aerodrome(parts, home_id) == nullptr) {
    Loaded<CatalogueAerodrome> home = catalogue->find(home_id);
    if (home.ok()) {
      append(parts.nested, std::move(home.findings));
      found.push_back(std::move(*home.value));
    }
  }
  const AerodromeFile* own_home = find_aerodrome(parts, home_id);
  if (radius && (own_home != nullptr || !found.empty())) {
    const earth::Geodetic centre = own_home != nullptr ? own_home->aerodrome.reference_point : found.front().reference;
    Loaded<std::vector<CatalogueAerodrome>> near = catalogue->within(centre, *radius);
    append(parts.nested, std::move(near.findings));
    if (!near.ok()) return false;
    for (CatalogueAerodrome& aerodrome : *near.value) {
      if (find_aerodrome(parts, aerodrome.id) != nullptr || aerodrome.id == home_id) continue;
      found.push_back(std::move(aerodrome));
    }
  }
  for (const CatalogueAerodrome& aerodrome : found) {
    for (const std::string& sentence : catalogue_assumptions(aerodrome)) fields.get("file")->assume(sentence);
    parts.aerodromes.push_back(as_file(aerodrome));
  }
  if (!found.empty()) parts.attributions.push_back(catalogue->attribution());
  return true;
}

/// One entry of `runways`: what the case states about an end that the catalogue gave the geometry of.
void read_statement(const Value& value, Parts& parts) {
  const Fields fields(value,
                      {"aerodrome", "runway", "surface", "lit", "tora", "toda", "asda", "lda", "displaced_threshold"});
  const auto id = fields.need_text("aerodrome", "the identifier of an aerodrome");
  const auto designator = fields.need_text("runway", "a runway designator");
  const auto surface = fields.need_choice("surface", surface_words());
  if (!id || !designator) return;
  std::vector<std::string_view> ids;
  for (AerodromeFile& file : parts.aerodromes) {
    ids.push_back(file.aerodrome.id);
    if (file.aerodrome.id != *id) continue;
    std::vector<std::string_view> names;
    for (earth::RunwayEnd& end : file.aerodrome.ends) {
      names.push_back(end.designator);
      if (end.designator != *designator) continue;
      if (end.provenance == earth::Provenance::stated) {
        fields.get("runway")->refuse("a runway from the catalogue",
                                     "the aerodrome file of " + *id + " states this one");
        return;
      }
      if (end.provenance == earth::Provenance::catalogue_and_case) {
        fields.get("runway")->refuse("each runway once");
        return;
      }
      end.provenance = earth::Provenance::catalogue_and_case;
      end.surface = surface.value_or(earth::Surface::unknown);
      if (const auto lit = fields.get("lit")) end.lit = lit->yes_or_no().value_or(false);
      read_declared(fields, end);
      if (!end.lda) value.assume("runway " + end.designator + ": no lda stated, so no landing on it is briefed");
      return;
    }
    fields.get("runway")->refuse(names.empty() ? "an aerodrome with a usable runway" : Fields::listed(names));
    return;
  }
  fields.get("aerodrome")->refuse(ids.empty() ? "an aerodrome of this case" : Fields::listed(ids));
}

}  // namespace

std::string beside(const Document& document, const std::string& path) {
  return (std::filesystem::path(document.file).parent_path() / path).lexically_normal().string();
}

const AerodromeFile* find_aerodrome(const Parts& parts, const std::string& id) {
  const auto found = std::find_if(parts.aerodromes.begin(), parts.aerodromes.end(),
                                  [&id](const AerodromeFile& file) { return file.aerodrome.id == id; });
  return found == parts.aerodromes.end() ? nullptr : &*found;
}

bool read_places(const Fields& root, const std::string& home_id, Parts& parts) {
  if (!root.has("aerodromes") && !root.has("catalogue")) {
    root.missing("aerodromes", "a list of paths of aerodrome files", "or \"catalogue: {file: shipped, ...}\"");
    return false;
  }
  const bool files = read_files(root, parts);
  const bool catalogue = read_catalogue(root, home_id, parts);
  const auto statements = root.get("runways");
  if (statements && files && catalogue) {
    for (const Value& item : statements->items("a list of {aerodrome, runway, surface, lda, ...}")) {
      read_statement(item, parts);
    }
  }
  return files && catalogue;
}

}  // namespace backfield::io
