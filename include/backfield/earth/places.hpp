#pragma once
// Many places, asked for in the order of their distance.

#include "backfield/earth/position.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

namespace backfield::earth {

/// A set of places that does not change, e.g. all aerodromes of the world.
///
///   const Places places(points);
///   Places::Outwards near = places.from(home, nautical_miles(20));
///   while (const auto next = near.next()) use(points[next->index], next->away);
class Places {
 public:
  /// Throws std::logic_error unless every latitude lies in -90..90 degrees and all are finite.
  explicit Places(const std::vector<Geodetic>& places);

  struct Near {
    std::size_t index = 0;  ///< into the places given
    Geodesic away;          ///< length and true bearing at the centre, of the shortest geodesic on WGS 84
  };

  /// The places of a set in the order of their distance from a centre, one after another; equal distances in the order
  /// given. Exact: the same as sorting by the geodesic of every place, which is computed only for those that may come
  /// next. Refers to no one else's data.
  class Outwards {
   public:
    /// The next place, or nullopt when there is no further one within the radius.
    std::optional<Near> next();

   private:
    friend class Places;
    struct Candidate {
      double chord_m;
      std::size_t index;
      Geodetic place;
    };
    Geodetic centre_;
    Length radius_;
    std::vector<Candidate> by_chord_;  // heap, shortest chord on top
    std::vector<Near> by_length_;      // heap, shortest geodesic on top
  };

  /// radius      >= 0; those at exactly this distance are included. 20,004 km reach all of the Earth.
  /// Holds on every latitude: the antimeridian and the poles are places like others. At a pole the bearing is counted
  /// from the meridian of the centre's longitude, as everywhere on that meridian.
  /// test        tests/laws/places_test.cpp, against sorting by every geodesic
  [[nodiscard]] Outwards from(Geodetic centre, Length radius) const;

 private:
  struct Point {
    std::array<double, 3> m;  // Earth-centred, Earth-fixed, on the ellipsoid
    Geodetic place;
  };
  std::vector<Point> points_;
};

}  // namespace backfield::earth
