#include "elevation_posts.hpp"
#include "read_file.hpp"

#include "backfield/io/elevation_posts.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <limits>

namespace backfield::io {
namespace {

constexpr std::array<std::size_t, 2> kSides{1201, 3601};
constexpr int kVoid = -32768;
constexpr std::size_t kBytes = 2;  // of a post

/// Digits only; no sign, no blank.
std::optional<int> digits(const std::string& text) {
  int value = 0;
  for (const char c : text) {
    if (c < '0' || c > '9') return std::nullopt;
    value = 10 * value + (c - '0');
  }
  return value;
}

}  // namespace

std::string post_name(std::size_t index, std::size_t columns) {
  return "row " + std::to_string(index / columns + 1) + ", column " + std::to_string(index % columns + 1);
}

bool ends_like(const std::string& path, const std::string& ending) {
  if (path.size() < ending.size()) return false;
  return std::equal(ending.begin(), ending.end(), path.end() - static_cast<std::ptrdiff_t>(ending.size()),
                    [](char e, char p) { return e == std::tolower(static_cast<unsigned char>(p)); });
}

std::optional<earth::Geodetic> corner_of_hgt(const std::string& path) {
  const std::string name = std::filesystem::path(path).filename().string();
  if (name.size() != 11 || !ends_like(name, ".hgt")) return std::nullopt;
  const auto ns = std::toupper(static_cast<unsigned char>(name[0]));
  const auto ew = std::toupper(static_cast<unsigned char>(name[3]));
  const auto lat = digits(name.substr(1, 2));
  const auto lon = digits(name.substr(4, 3));
  if (!lat || !lon || (ns != 'N' && ns != 'S') || (ew != 'E' && ew != 'W')) return std::nullopt;
  const int south = ns == 'N' ? *lat : -*lat;
  const int west = ew == 'E' ? *lon : -*lon;
  if (south < -90 || south > 89 || west < -180 || west > 179) return std::nullopt;
  return earth::Geodetic{degrees(south), degrees(west)};
}

Loaded<earth::ElevationPosts> read_hgt(const std::string& path) {
  const auto refuse = [&path](std::string found, std::string accepted, std::string hint = {}) {
    return Loaded<earth::ElevationPosts>{std::nullopt,
                                         {file_error(path, std::move(found), std::move(accepted), std::move(hint))}};
  };
  const auto corner = corner_of_hgt(path);
  if (!corner) {
    return refuse("a name that does not say where the tile lies", "the south-west corner, such as N46E007.hgt",
                  "N00 to N89 or S01 to S90, then E000 to E179 or W001 to W180");
  }
  const std::size_t largest = kSides.back() * kSides.back() * kBytes;
  const Loaded<std::string> bytes = read_file(path, largest);
  if (!bytes.ok()) return {std::nullopt, bytes.findings};
  const std::size_t size = bytes.value->size();
  const auto* side = std::find_if(kSides.begin(), kSides.end(), [&](std::size_t n) { return n * n * kBytes == size; });
  if (side == kSides.end()) {
    return refuse("a file of " + std::to_string(size) + " bytes",
                  "2884802 bytes (1201 x 1201 posts) or 25934402 bytes (3601 x 3601 posts)",
                  "a tile that was cut off, or is still compressed, has another size");
  }
  earth::ElevationPosts posts;
  posts.south_west = *corner;
  posts.step_north = posts.step_east = degrees(1.0 / static_cast<double>(*side - 1));
  posts.rows = posts.columns = *side;
  posts.heights_m.reserve(*side * *side);
  for (std::size_t i = 0; i < *side * *side; ++i) {
    const auto high = static_cast<std::uint8_t>((*bytes.value)[kBytes * i]);
    const auto low = static_cast<std::uint8_t>((*bytes.value)[kBytes * i + 1]);
    const auto height = static_cast<std::int16_t>(static_cast<std::uint16_t>(high << 8U | low));
    if (height == kVoid) {
      posts.heights_m.push_back(std::numeric_limits<float>::quiet_NaN());
    } else if (height < kLowestGround_m || height > kHighestGround_m) {
      return refuse(std::to_string(height) + " m in " + post_name(i, *side),
                    std::string(kAcceptedGround) + ", or -32768 for void",
                    "each number has its high byte first: are the bytes swapped?");
    } else {
      posts.heights_m.push_back(static_cast<float>(height));
    }
  }
  return {std::move(posts), {}};
}

Loaded<earth::ElevationPosts> read_elevation_posts(const std::string& path) {
  if (ends_like(path, ".hgt")) return read_hgt(path);
  if (ends_like(path, ".asc")) return read_esri_grid(path);
  return {std::nullopt, {file_error(path, "a name with another ending", "a file named .hgt or .asc")}};
}

}  // namespace backfield::io
