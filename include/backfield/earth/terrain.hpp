#pragma once
// How high the ground is, from posts on a regular grid of latitude and longitude.
//
// Between posts the surface is bilinear in latitude and longitude: continuous everywhere, through every post, and never
// above the highest of the four posts about a place. Pieces (files) are put together into one grid before anything is
// asked, so there are no edges between them. Places are asked for by their geographic position, heights are above mean
// sea level as the posts are, and neither knows a tangent plane: the curvature of the Earth, 280 m at 60 km, needs no
// correction (tests/reference/terrain_test.cpp).
//
// A place without data is never flat: where one of the four posts about it is void or outside of all pieces, the
// surface that paths are judged by lies at kUnknownGround, and it rises to there from one spacing away.

#include "backfield/earth/altitude.hpp"
#include "backfield/earth/elevation_posts.hpp"
#include "backfield/earth/position.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace backfield::earth {

/// How far the place that is looked up may be from the one that was asked for (tests/reference/terrain_test.cpp).
inline constexpr Length kTerrainPlaceError = metres(0.5);
/// Above anything on Earth.
inline constexpr Length kUnknownGround = metres(20'000);

class Terrain {
 public:
  /// origin      of the local frame; latitude within kTerrainLatitude
  /// pieces      at least one, all on one grid, spacings 0.0002 to 0.1 degrees; where two have a post the higher
  /// counts.
  /// Throws std::logic_error otherwise. Takes 3 bytes for each post of the rectangle about all pieces, 5 where heights
  /// are not whole metres.
  Terrain(Geodetic origin, const std::vector<ElevationPosts>& pieces);

  /// Of the ground below a place in the local frame; none where it is not known.
  ///
  /// accuracy    of bilinear interpolation at a place off by kTerrainPlaceError; 1 mm of rounding
  [[nodiscard]] std::optional<Altitude> elevation(Position place) const;

  /// The surface over a stretch of a straight: c0 + c1 t + c2 t^2 (m above mean sea level), t the share of the
  /// straight.
  struct Piece {
    double from, to;  ///< shares
    double c0, c1, c2;
    bool known;
    [[nodiscard]] double at(double t) const { return c0 + t * (c1 + t * c2); }
  };
  /// The pieces of a straight in the local frame, in their order, from one line of the grid to the next.
  ///
  /// aside_m     the surface is raised, by posts, so far that at every place it is no lower than the true one anywhere
  ///             within this distance plus kTerrainPlaceError; no more than one spacing
  /// pieces      are added at its end
  void along(Position a, Position b, double aside_m, std::vector<Piece>& pieces) const;
  /// Nothing that `along` finds there is higher; quickly. Infinite where something is unknown.
  [[nodiscard]] double highest_m(Position a, Position b, double aside_m) const;
  /// No two posts are nearer to each other.
  [[nodiscard]] Length spacing() const { return spacing_; }

 private:
  struct Node {
    double x = 0.0, y = 0.0;  ///< columns from the west, rows from the south
  };
  [[nodiscard]] std::optional<Node> grid(Position place) const;
  [[nodiscard]] float height(std::ptrdiff_t column, std::ptrdiff_t row) const;  ///< NaN: unknown
  struct Post {
    double height_m;
    bool known;
  };
  [[nodiscard]] Post raised(std::ptrdiff_t column, std::ptrdiff_t row, double aside_m) const;
  void lay_lattice(const LocalFrame& frame, double west, double south);
  void find_slopes(double south);
  void find_cells(double south, std::ptrdiff_t row, std::vector<std::uint8_t>& cells) const;
  [[nodiscard]] bool beside_void(std::ptrdiff_t column, std::ptrdiff_t row) const;
  void find_blocks();

  double step_north_ = 0.0, step_east_ = 0.0;  // degrees
  Length spacing_;
  std::ptrdiff_t rows_ = 0, columns_ = 0;
  PostHeights heights_;               // from the south, each row from the west
  std::vector<std::uint8_t> slopes_;  // steepest of all cells within two spacings, rounded up; 255: unknown
  struct Block {
    float highest = 0.0F;  // infinite: not all known
    float slope = 0.0F;
  };
  std::vector<Block> blocks_;
  std::ptrdiff_t block_columns_ = 0, block_rows_ = 0;
  std::vector<Node> lattice_;  // grid coordinates of places 2 km apart in the local frame
};

}  // namespace backfield::earth
