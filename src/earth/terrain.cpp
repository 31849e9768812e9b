#include "backfield/earth/terrain.hpp"

#include "grid_degrees.hpp"

#include "backfield/base/contract.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

// From the local frame to the grid. A geodesic for each place would cost a microsecond, so grid coordinates are kept
// for places of a square lattice, kLattice_m apart, and are bilinear between them. What that misses is an eighth of
// the square of kLattice_m times the bend of a parallel, tan(latitude)/R: 0.45 m on latitude 80.

namespace backfield::earth {
namespace {

constexpr double kLattice_m = 2000.0;
constexpr std::ptrdiff_t kLatticeHalf = 31;  // 62 km to each side
constexpr std::ptrdiff_t kLatticeSide = 2 * kLatticeHalf + 1;
constexpr std::ptrdiff_t kBlock = 16;  // posts
constexpr double kSlopeUnit = 0.125;
// 88 degrees over a whole spacing: no ground, but an error. Posts beside a void are marked by the same number.
constexpr std::uint8_t kUnknownSlope = 255;
constexpr double kLeastStep_deg = 0.0002 * (1.0 - 1e-9);
constexpr double kMostStep_deg = 0.1 * (1.0 + 1e-9);
constexpr double kUnknown = kUnknownGround.si();
constexpr float kVoid = std::numeric_limits<float>::quiet_NaN();
constexpr float kInfinite = std::numeric_limits<float>::infinity();

/// In whole steps; the spacings are of a common grid.
std::ptrdiff_t step_count(double difference_deg, double step_deg) {
  return static_cast<std::ptrdiff_t>(std::round(difference_deg / step_deg));
}

}  // namespace

Terrain::Terrain(Geodetic origin, const std::vector<ElevationPosts>& pieces) {
  require(!pieces.empty(), "terrain has posts");
  require(std::abs(origin.latitude.si()) <= kTerrainLatitude.si(), "terrain lies within 80 degrees of latitude");
  const ElevationPosts& first = pieces.front();
  step_north_ = in_degrees(first.step_north);
  step_east_ = in_degrees(first.step_east);
  for (const double step : {step_north_, step_east_}) {
    require(step >= kLeastStep_deg && step <= kMostStep_deg, "posts are 0.0002 to 0.1 degrees apart");
  }
  const double first_west = east_of(first.south_west, origin);
  const double first_south = in_degrees(first.south_west.latitude);
  struct Place {
    std::ptrdiff_t column, row;  // of the south-west post, in steps from that of the first piece
  };
  std::vector<Place> places;
  constexpr auto kFar = std::numeric_limits<std::ptrdiff_t>::max();
  std::ptrdiff_t west = kFar, east = -kFar, south = kFar, north = -kFar;
  for (const ElevationPosts& p : pieces) {
    require(p.heights_m.size() == p.rows * p.columns && on_one_grid(first, p), "all pieces lie on one grid");
    const Place at{step_count(east_of(p.south_west, origin) - first_west, step_east_),
                   step_count(in_degrees(p.south_west.latitude) - first_south, step_north_)};
    west = std::min(west, at.column);
    east = std::max(east, at.column + static_cast<std::ptrdiff_t>(p.columns));
    south = std::min(south, at.row);
    north = std::max(north, at.row + static_cast<std::ptrdiff_t>(p.rows));
    places.push_back(at);
  }
  columns_ = east - west;
  rows_ = north - south;
  heights_ = PostHeights(static_cast<std::size_t>(columns_ * rows_), kVoid);
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    const auto rows = static_cast<std::ptrdiff_t>(pieces[k].rows);
    const auto columns = static_cast<std::ptrdiff_t>(pieces[k].columns);
    for (std::ptrdiff_t row = 0; row < rows; ++row) {
      const auto from = static_cast<std::size_t>((rows - 1 - row) * columns);
      const auto to = static_cast<std::size_t>((places[k].row + row - south) * columns_ + places[k].column - west);
      for (std::size_t i = 0; i < pieces[k].columns; ++i) {
        heights_.set(to + i, std::fmax(heights_[to + i], pieces[k].heights_m[from + i]));  // a number beats a void
      }
    }
  }
  const double grid_west = first_west + static_cast<double>(west) * step_east_;
  const double grid_south = first_south + static_cast<double>(south) * step_north_;
  const double poleward =
      std::max(std::abs(grid_south), std::abs(grid_south + static_cast<double>(rows_ - 1) * step_north_));
  spacing_ = metres(std::min(step_north_ * kNorthPerDegree_m,
                             step_east_ * kEastPerDegree_m * std::max(0.0, std::cos(degrees(poleward).si()))));
  lay_lattice(LocalFrame(origin), grid_west, grid_south);
  find_slopes(grid_south);
  find_blocks();
}

void Terrain::lay_lattice(const LocalFrame& frame, double west, double south) {
  lattice_.reserve(kLatticeSide * kLatticeSide);
  for (std::ptrdiff_t n = -kLatticeHalf; n <= kLatticeHalf; ++n) {
    for (std::ptrdiff_t e = -kLatticeHalf; e <= kLatticeHalf; ++e) {
      const Geodetic g =
          frame.to_geodetic({metres(kLattice_m * static_cast<double>(e)), metres(kLattice_m * static_cast<double>(n))});
      lattice_.push_back(
          {(east_of(g, frame.origin()) - west) / step_east_, (in_degrees(g.latitude) - south) / step_north_});
    }
  }
}

std::optional<Terrain::Node> Terrain::grid(Position place) const {
  const double e = place.east.si() / kLattice_m + static_cast<double>(kLatticeHalf);
  const double n = place.north.si() / kLattice_m + static_cast<double>(kLatticeHalf);
  constexpr auto kLast = static_cast<double>(kLatticeSide - 1);
  if (!(e >= 0.0 && n >= 0.0 && e < kLast && n < kLast)) return std::nullopt;
  const auto i = static_cast<std::size_t>(e);
  const auto j = static_cast<std::size_t>(n);
  const double u = e - static_cast<double>(i);
  const double v = n - static_cast<double>(j);
  const Node* south = lattice_.data() + j * kLatticeSide + i;
  const Node* north = south + kLatticeSide;
  const auto mix = [u, v](double sw, double se, double nw, double ne) {
    return (1.0 - v) * ((1.0 - u) * sw + u * se) + v * ((1.0 - u) * nw + u * ne);
  };
  return Node{mix(south[0].x, south[1].x, north[0].x, north[1].x), mix(south[0].y, south[1].y, north[0].y, north[1].y)};
}

float Terrain::height(std::ptrdiff_t column, std::ptrdiff_t row) const {
  if (column < 0 || row < 0 || column >= columns_ || row >= rows_) return kVoid;
  return heights_[static_cast<std::size_t>(row * columns_ + column)];
}

/// Of every cell whose four posts are known, then for each post the steepest within two cells to every side.
void Terrain::find_slopes(double south) {
  const auto width = static_cast<std::size_t>(columns_);
  slopes_.assign(heights_.size(), 0);
  // The cells about post (i, j), two to every side, have their south-west posts at i - 2 .. i + 1.
  constexpr std::ptrdiff_t kRows = 4;
  std::array<std::vector<std::uint8_t>, kRows> widened;  // of the last rows of cells
  for (std::vector<std::uint8_t>& row : widened) row.assign(width, 0);
  std::vector<std::uint8_t> cells(width, 0);
  for (std::ptrdiff_t j = 0; j <= rows_; ++j) {
    std::vector<std::uint8_t>& here = widened[static_cast<std::size_t>(j % kRows)];
    std::fill(here.begin(), here.end(), std::uint8_t{0});
    if (j + 1 < rows_) {
      find_cells(south, j, cells);
      for (std::ptrdiff_t i = 0; i < columns_; ++i) {
        for (std::ptrdiff_t k = std::max<std::ptrdiff_t>(0, i - 2); k <= std::min(i + 1, columns_ - 1); ++k) {
          auto& most = here[static_cast<std::size_t>(i)];
          most = std::max(most, cells[static_cast<std::size_t>(k)]);
        }
      }
    }
    if (j == 0) continue;
    for (std::ptrdiff_t i = 0; i < columns_; ++i) {
      std::uint8_t& slope = slopes_[static_cast<std::size_t>((j - 1) * columns_ + i)];
      for (const std::vector<std::uint8_t>& row : widened) slope = std::max(slope, row[static_cast<std::size_t>(i)]);
      if (beside_void(i, j - 1)) slope = kUnknownSlope;
    }
  }
}

/// Of the cells north of a row of posts, none beyond the last column; 0 where one of the four posts is unknown.
void Terrain::find_cells(double south, std::ptrdiff_t j, std::vector<std::uint8_t>& cells) const {
  const double lat = std::max(std::abs(south + static_cast<double>(j) * step_north_),
                              std::abs(south + static_cast<double>(j + 1) * step_north_));
  const double east_m = step_east_ * kEastPerDegree_m * std::cos(degrees(lat).si());
  const double north_m = step_north_ * kNorthPerDegree_m;
  std::fill(cells.begin(), cells.end(), std::uint8_t{0});
  for (std::ptrdiff_t i = 0; i + 1 < columns_; ++i) {
    const double sw = height(i, j), se = height(i + 1, j), nw = height(i, j + 1), ne = height(i + 1, j + 1);
    if (std::isnan(sw + se + nw + ne)) continue;
    const double east = std::max(std::abs(se - sw), std::abs(ne - nw)) / east_m;
    const double north = std::max(std::abs(nw - sw), std::abs(ne - se)) / north_m;
    const double slope = std::ceil(std::hypot(east, north) / kSlopeUnit);
    cells[static_cast<std::size_t>(i)] = static_cast<std::uint8_t>(std::min(slope, static_cast<double>(kUnknownSlope)));
  }
}

/// Is it, or a neighbour, unknown?
bool Terrain::beside_void(std::ptrdiff_t column, std::ptrdiff_t row) const {
  for (std::ptrdiff_t j = row - 1; j <= row + 1; ++j) {
    for (std::ptrdiff_t i = column - 1; i <= column + 1; ++i) {
      if (std::isnan(height(i, j))) return true;
    }
  }
  return false;
}

/// Blocks overlap by a post: the cells between two of them belong to the southern and western one.
void Terrain::find_blocks() {
  block_columns_ = (columns_ + kBlock - 1) / kBlock;
  block_rows_ = (rows_ + kBlock - 1) / kBlock;
  blocks_.assign(static_cast<std::size_t>(block_columns_ * block_rows_), {-kInfinite, 0.0F});
  for (std::ptrdiff_t b = 0; b < block_columns_ * block_rows_; ++b) {
    Block& block = blocks_[static_cast<std::size_t>(b)];
    const std::ptrdiff_t column = b % block_columns_ * kBlock;
    const std::ptrdiff_t row = b / block_columns_ * kBlock;
    for (std::ptrdiff_t j = row; j <= row + kBlock; ++j) {
      for (std::ptrdiff_t i = column; i <= column + kBlock; ++i) {
        const Post p = raised(i, j, 0.0);
        block.highest = std::max(block.highest, p.known ? static_cast<float>(p.height_m) : kInfinite);
        if (!p.known) continue;
        block.slope =
            std::max(block.slope, static_cast<float>(kSlopeUnit * slopes_[static_cast<std::size_t>(j * columns_ + i)]));
      }
    }
  }
}

Terrain::Post Terrain::raised(std::ptrdiff_t column, std::ptrdiff_t row, double aside_m) const {
  const auto h = static_cast<double>(height(column, row));
  if (std::isnan(h)) return {kUnknown, false};
  const std::uint8_t slope = slopes_[static_cast<std::size_t>(row * columns_ + column)];
  if (slope == kUnknownSlope) return {kUnknown, false};
  return {h + kSlopeUnit * static_cast<double>(slope) * aside_m, true};
}

std::optional<Altitude> Terrain::elevation(Position place) const {
  const auto g = grid(place);
  if (!g) return std::nullopt;
  const auto i = static_cast<std::ptrdiff_t>(std::floor(g->x));
  const auto j = static_cast<std::ptrdiff_t>(std::floor(g->y));
  const double u = g->x - static_cast<double>(i);
  const double v = g->y - static_cast<double>(j);
  const auto mix = [](double share, double a, double b) { return share == 0.0 ? a : a + share * (b - a); };
  const double south = mix(u, height(i, j), height(i + 1, j));
  const double m = v == 0.0 ? south : mix(v, south, mix(u, height(i, j + 1), height(i + 1, j + 1)));
  return std::isnan(m) ? std::nullopt : std::optional(Altitude{metres(m)});
}

double Terrain::highest_m(Position a, Position b, double aside_m) const {
  const auto from = grid(a);
  const auto to = grid(b);
  if (!from || !to) return std::numeric_limits<double>::infinity();
  const auto block_of = [](double x) { return static_cast<std::ptrdiff_t>(std::floor(std::floor(x) / kBlock)); };
  double highest = -std::numeric_limits<double>::infinity();
  double slope = 0.0;
  for (std::ptrdiff_t j = block_of(std::min(from->y, to->y)); j <= block_of(std::max(from->y, to->y)); ++j) {
    for (std::ptrdiff_t i = block_of(std::min(from->x, to->x)); i <= block_of(std::max(from->x, to->x)); ++i) {
      if (i < 0 || j < 0 || i >= block_columns_ || j >= block_rows_) return std::numeric_limits<double>::infinity();
      const Block& block = blocks_[static_cast<std::size_t>(j * block_columns_ + i)];
      highest = std::max(highest, static_cast<double>(block.highest));
      slope = std::max(slope, static_cast<double>(block.slope));
    }
  }
  return highest + slope * (aside_m + kTerrainPlaceError.si());
}

void Terrain::along(Position a, Position b, double aside_m, std::vector<Piece>& pieces) const {
  const auto from = grid(a);
  const auto to = grid(b);
  if (!from || !to) {
    pieces.push_back({0.0, 1.0, kUnknown, 0.0, 0.0, false});
    return;
  }
  const double raise_m = aside_m + kTerrainPlaceError.si();
  const double dx = to->x - from->x;
  const double dy = to->y - from->y;
  // The share at which the next line of the grid is crossed.
  struct Lines {
    double start, change, next;
    [[nodiscard]] double crossing() const { return change == 0.0 ? 2.0 : (next - start) / change; }
    void go_on() { next += change > 0.0 ? 1.0 : -1.0; }
  };
  const auto lines = [](double start, double change) {
    return Lines{start, change, change > 0.0 ? std::floor(start) + 1.0 : std::ceil(start) - 1.0};
  };
  Lines columns = lines(from->x, dx);
  Lines rows = lines(from->y, dy);
  for (double t = 0.0; t < 1.0;) {
    const double end = std::min({columns.crossing(), rows.crossing(), 1.0});
    if (columns.crossing() <= end) columns.go_on();
    if (rows.crossing() <= end) rows.go_on();
    if (end <= t) continue;
    const double middle = 0.5 * (t + end);
    const auto i = static_cast<std::ptrdiff_t>(std::floor(from->x + dx * middle));
    const auto j = static_cast<std::ptrdiff_t>(std::floor(from->y + dy * middle));
    const Post sw = raised(i, j, raise_m), se = raised(i + 1, j, raise_m);
    const Post nw = raised(i, j + 1, raise_m), ne = raised(i + 1, j + 1, raise_m);
    const double u = from->x - static_cast<double>(i);
    const double v = from->y - static_cast<double>(j);
    const double east = se.height_m - sw.height_m;
    const double north = nw.height_m - sw.height_m;
    const double twist = ne.height_m - nw.height_m - east;
    pieces.push_back({t, end, sw.height_m + east * u + north * v + twist * u * v,
                      east * dx + north * dy + twist * (u * dy + v * dx), twist * dx * dy,
                      sw.known && se.known && nw.known && ne.known});
    t = end;
  }
}

}  // namespace backfield::earth
