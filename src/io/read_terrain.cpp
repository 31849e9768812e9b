#include "read_terrain.hpp"

#include "elevation_posts.hpp"

#include "backfield/io/elevation_posts.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>

namespace backfield::io {
namespace {

constexpr const char* kAccepted = "flat, {files: [a list of .hgt or .asc files]} or {folder: the path of a folder}";
constexpr double kOffAndSaid_m = 15.0;      // between terrain and the stated elevation; tiles are as good as that
constexpr double kOffAndRefused_m = 100.0;  // of another place, or in feet
constexpr std::size_t kNamed = 3;
constexpr double kNorthPerDegree_km = 111.0;

/// A file to be read, and the value that asked for it.
struct Wanted {
  Value value;
  std::string path;
};

std::string name_of_file(const std::string& path) { return std::filesystem::path(path).filename().string(); }

std::vector<Wanted> listed_files(const Value& list) {
  std::vector<Wanted> wanted;
  for (const Value& item : list.items("a list of .hgt or .asc files")) {
    const auto path = item.text("the path of a .hgt or .asc file");
    if (path) wanted.push_back({item, beside(list.reading().document(), *path)});
  }
  return wanted;
}

/// A tile that is named like one and lies out of reach: a folder may hold a continent.
bool is_elsewhere(const std::string& path, earth::Geodetic origin) {
  const auto corner = corner_of_hgt(path);
  if (!corner) return false;
  earth::ElevationPosts outline;
  outline.south_west = *corner;
  outline.step_north = outline.step_east = degrees(0.1);
  outline.rows = outline.columns = 11;
  outline.heights_m = {outline.rows * outline.columns, 0.0F};
  return earth::within_reach(origin, outline).rows == 0;
}

/// In the order of their names, so that the answer does not depend on the file system.
std::vector<Wanted> files_of_folder(const Value& value, earth::Geodetic origin) {
  const std::string accepted = "the path of a folder with .hgt or .asc files";
  const auto text = value.text(accepted);
  if (!text) return {};
  const std::string folder = beside(value.reading().document(), *text);
  std::error_code failed;
  std::vector<std::string> paths;
  for (std::filesystem::directory_iterator at(folder, failed), end; !failed && at != end; at.increment(failed)) {
    const std::string path = at->path().string();
    if (ends_like(path, ".hgt") || ends_like(path, ".asc")) paths.push_back(path);
  }
  if (failed) {
    value.refuse(accepted, "there is no folder " + folder + " that can be read");
    return {};
  }
  std::sort(paths.begin(), paths.end());
  std::vector<Wanted> wanted;
  for (const std::string& path : paths) {
    if (!is_elsewhere(path, origin)) wanted.push_back({value, path});
  }
  if (wanted.empty()) {
    value.refuse(accepted,
                 paths.empty() ? "there is none in " + folder : "all of them lie more than 60 km from the aerodrome");
  }
  return wanted;
}

/// Nothing after a complaint.
std::vector<earth::ElevationPosts> read_pieces(const std::vector<Wanted>& wanted, earth::Geodetic origin,
                                               Parts& parts) {
  std::vector<earth::ElevationPosts> pieces;
  for (const Wanted& file : wanted) {
    const auto loaded =
        load_named(file.value, file.path, read_elevation_posts, "the path of a .hgt or .asc file", parts);
    if (!loaded) return {};
    pieces.push_back(earth::within_reach(origin, *loaded));
    if (pieces.back().rows == 0) {
      file.value.refuse("terrain within 60 km of the aerodrome",
                        name_of_file(file.path) + " lies elsewhere: is a letter or a sign wrong?");
      return {};
    }
    if (!earth::on_one_grid(pieces.front(), pieces.back())) {
      file.value.refuse("files whose posts lie on one grid",
                        name_of_file(file.path) + " does not continue that of " + name_of_file(wanted.front().path));
      return {};
    }
  }
  return pieces;
}

std::string source_of(const std::vector<Wanted>& wanted, const earth::ElevationPosts& posts) {
  std::vector<std::string> names;
  for (std::size_t i = 0; i < std::min(wanted.size(), kNamed); ++i) names.push_back(name_of_file(wanted[i].path));
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
  if (wanted.size() > kNamed) text += " and " + std::to_string(wanted.size() - kNamed) + " more";
  return text + ", posts " + plain(std::round(in_degrees(posts.step_north) * kNorthPerDegree_km * 1000.0)) +
         " m apart north to south";
}

/// A wrong tile, or one in feet, shows at the runway; what is stated there is more exact than any grid.
bool agrees(const Value& value, const earth::Terrain& terrain, const decision::Case& place) {
  const earth::RunwayEnd& end = place.departure.end;
  if (end.designator.empty()) return true;
  const auto found = terrain.elevation(end.threshold());
  const std::string where = "at the threshold of " + end.designator;
  if (!found) {
    value.refuse("terrain that is known about the aerodrome", "there is none " + where);
    return false;
  }
  const double stated_m = end.elevation.above_sea_level.si();
  const double off = found->above_sea_level.si() - stated_m;
  if (std::abs(off) <= kOffAndSaid_m) return true;
  const std::string hint = where + " the terrain is " + plain(std::round(std::abs(off))) + " m " +
                           (off > 0.0 ? "higher" : "lower") + " than the stated " + plain(std::round(stated_m)) + " m";
  if (std::abs(off) > kOffAndRefused_m) {
    value.refuse("terrain in metres, within 100 m of the stated elevation", hint);
    return false;
  }
  value.warn("terrain within 15 m of the stated elevation", hint);
  return true;
}

}  // namespace

StatedTerrain read_terrain(const Fields& root, const decision::Case* place, Parts& parts) {
  StatedTerrain result;
  const auto value = root.get("terrain");
  if (!value) {
    root.map().assume("no terrain stated: ground taken as flat at aerodrome elevation, not checked");
    return result;
  }
  if (value->is_text() && value->raw() == "flat") {
    value->assume("terrain stated as flat: ground taken as flat at aerodrome elevation, not checked");
    result.basis = decision::TerrainBasis::flat;
    return result;
  }
  if (!value->is_map()) {
    value->refuse(kAccepted);
    return result;
  }
  const Fields fields(*value, {"files", "folder"});
  const auto files = fields.get("files");
  const auto folder = fields.get("folder");
  if (files.has_value() == folder.has_value()) {
    value->refuse("either files or folder");
    return result;
  }
  if (place == nullptr) {
    if (files) (void)listed_files(*files);
    return result;
  }
  if (std::abs(place->origin.latitude.si()) > earth::kTerrainLatitude.si()) {
    value->refuse("terrain for an aerodrome between 80 S and 80 N",
                  "nearer to a pole a grid of latitude and longitude is not read");
    return result;
  }
  const std::vector<Wanted> wanted = files ? listed_files(*files) : files_of_folder(*folder, place->origin);
  const std::vector<earth::ElevationPosts> pieces = read_pieces(wanted, place->origin, parts);
  if (pieces.empty()) return result;
  auto terrain = std::make_shared<const earth::Terrain>(place->origin, pieces);
  if (!agrees(*value, *terrain, *place)) return result;
  result = {decision::TerrainBasis::posts, source_of(wanted, pieces.front()), std::move(terrain)};
  return result;
}

}  // namespace backfield::io
