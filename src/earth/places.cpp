// No tree: a chord through the Earth is never longer than the geodesic between its ends, so the chords alone say which
// geodesics have to be computed. A chord takes 1 ns, a geodesic 700; all chords to the 8,548 aerodromes of the shipped
// extract take less than the three or four geodesics that are left to compute (tests/bench/catalogue_bench.cpp).

#include "backfield/earth/places.hpp"

#include "backfield/base/contract.hpp"

#include <algorithm>

namespace backfield::earth {
namespace {

constexpr double kEquatorialRadius_m = 6378137.0;    // WGS 84
constexpr double kFlattening = 1.0 / 298.257223563;  // WGS 84
constexpr double kRounding_m = 1e-6;                 // coordinates of 6e6 m are rounded to 1e-9 m

/// source      EPSG Guidance Note 7-2, geographic to geocentric conversion (EPSG method 9602), height zero
std::array<double, 3> geocentric(Geodetic place) {
  const double eccentricity2 = kFlattening * (2.0 - kFlattening);
  const double sin_lat = std::sin(place.latitude.si());
  const double cos_lat = std::cos(place.latitude.si());
  const double nu = kEquatorialRadius_m / std::sqrt(1.0 - eccentricity2 * sin_lat * sin_lat);
  return {nu * cos_lat * std::cos(place.longitude.si()), nu * cos_lat * std::sin(place.longitude.si()),
          (1.0 - eccentricity2) * nu * sin_lat};
}

double chord_m(const std::array<double, 3>& a, const std::array<double, 3>& b) {
  return std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

void check(Geodetic place) {
  require(std::abs(in_degrees(place.latitude)) <= 90.0 + 1e-9, "a latitude lies in -90..90 degrees");
  require(std::isfinite(place.longitude.si()), "a longitude is finite");
}

/// Orders for heaps, whose top is the greatest: the shortest counts as that, of equals the first one given.
constexpr auto kLongerChord = [](const auto& a, const auto& b) {
  return std::pair(a.chord_m, a.index) > std::pair(b.chord_m, b.index);
};
constexpr auto kLongerGeodesic = [](const Places::Near& a, const Places::Near& b) {
  return std::pair(a.away.length, a.index) > std::pair(b.away.length, b.index);
};

}  // namespace

Places::Places(const std::vector<Geodetic>& places) {
  points_.reserve(places.size());
  for (const Geodetic& place : places) {
    check(place);
    points_.push_back({geocentric(place), place});
  }
}

Places::Outwards Places::from(Geodetic centre, Length radius) const {
  check(centre);
  require(radius >= Length{}, "a radius is not negative");
  Outwards outwards;
  outwards.centre_ = centre;
  outwards.radius_ = radius;
  const std::array<double, 3> here = geocentric(centre);
  for (std::size_t i = 0; i < points_.size(); ++i) {
    const double chord = chord_m(here, points_[i].m);
    if (chord <= in_metres(radius) + kRounding_m) outwards.by_chord_.push_back({chord, i, points_[i].place});
  }
  std::make_heap(outwards.by_chord_.begin(), outwards.by_chord_.end(), kLongerChord);
  return outwards;
}

std::optional<Places::Near> Places::Outwards::next() {
  // A place may come next as soon as no chord is left that is as short as its geodesic.
  while (!by_chord_.empty() &&
         (by_length_.empty() || by_chord_.front().chord_m <= in_metres(by_length_.front().away.length) + kRounding_m)) {
    std::pop_heap(by_chord_.begin(), by_chord_.end(), kLongerChord);
    const Candidate candidate = by_chord_.back();
    by_chord_.pop_back();
    const Geodesic away = geodesic(centre_, candidate.place);
    if (away.length > radius_) continue;
    by_length_.push_back({candidate.index, away});
    std::push_heap(by_length_.begin(), by_length_.end(), kLongerGeodesic);
  }
  if (by_length_.empty()) return std::nullopt;
  std::pop_heap(by_length_.begin(), by_length_.end(), kLongerGeodesic);
  const Near nearest = by_length_.back();
  by_length_.pop_back();
  return nearest;
}

}  // namespace backfield::earth
