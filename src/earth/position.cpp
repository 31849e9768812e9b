#include "backfield/earth/position.hpp"

#include "backfield/base/contract.hpp"

#include <GeographicLib/Geodesic.hpp>
#include <algorithm>

// An azimuthal equidistant frame is the geodesic's length and initial azimuth in polar form, so GeographicLib's
// Geodesic is all it takes; its reduced length also gives the scale across the geodesic, which bearings need.

namespace backfield::earth {
namespace {

const GeographicLib::Geodesic& wgs84() { return GeographicLib::Geodesic::WGS84(); }

// degrees(90) read back may exceed 90 by rounding, and GeographicLib answers NaN beyond 90.
constexpr double kLatitudeSlack_deg = 1e-9;

double latitude_deg(Geodetic place) {
  const double deg = in_degrees(place.latitude);
  require(std::abs(deg) <= 90.0 + kLatitudeSlack_deg, "a latitude lies in -90..90 degrees");
  return std::clamp(deg, -90.0, 90.0);
}

double longitude_deg(Geodetic place) {
  const double deg = in_degrees(place.longitude);
  require(std::isfinite(deg), "a longitude is finite");
  return deg;
}

/// The geodesic from the origin of a frame to a place.
struct Ray {
  double length_m;
  double azimuth_at_origin;  // rad
  double azimuth_at_place;   // rad
  double scale_across;       // true length over length in the frame, across the ray
};

double scale_across(double reduced_length_m, double length_m) {
  // d^2/6R^2 is below 1e-13 within 5 m, where the quotient of two roundings would be worse than 1.
  return length_m < 5.0 ? 1.0 : reduced_length_m / length_m;
}

Ray ray_to(Geodetic origin, Geodetic place) {
  double s_m, azi1_deg, azi2_deg, m12_m, m12_forward, m12_back;
  wgs84().Inverse(latitude_deg(origin), longitude_deg(origin), latitude_deg(place), longitude_deg(place), s_m, azi1_deg,
                  azi2_deg, m12_m, m12_forward, m12_back);
  return {s_m, degrees(azi1_deg).si(), degrees(azi2_deg).si(), scale_across(m12_m, s_m)};
}

/// As ray_to, from the place in the frame.
Ray ray_to(Geodetic origin, Position place, Geodetic& end) {
  const double s_m = std::hypot(place.east.si(), place.north.si());
  require(std::isfinite(s_m), "a position is finite");
  const double azi1 = std::atan2(place.east.si(), place.north.si());
  double lat_deg, lon_deg, azi2_deg, m12_m;
  wgs84().Direct(latitude_deg(origin), longitude_deg(origin), in_degrees(radians(azi1)), s_m, lat_deg, lon_deg,
                 azi2_deg, m12_m);
  end = {degrees(lat_deg), degrees(lon_deg)};
  return {s_m, azi1, degrees(azi2_deg).si(), scale_across(m12_m, s_m)};
}

}  // namespace

LocalFrame::LocalFrame(Geodetic origin) : origin_(origin) {
  latitude_deg(origin);
  longitude_deg(origin);
}

Position LocalFrame::to_local(Geodetic place) const {
  const Ray ray = ray_to(origin_, place);
  return {metres(ray.length_m * std::sin(ray.azimuth_at_origin)),
          metres(ray.length_m * std::cos(ray.azimuth_at_origin))};
}

Geodetic LocalFrame::to_geodetic(Position place) const {
  Geodetic end;
  ray_to(origin_, place, end);
  return end;
}

TrueDirection LocalFrame::to_local(Geodetic place, TrueDirection bearing_there) const {
  const Ray ray = ray_to(origin_, place);
  const double off_ray = bearing_there.angle().si() - ray.azimuth_at_place;
  return TrueDirection(
      radians(ray.azimuth_at_origin + std::atan2(std::sin(off_ray) / ray.scale_across, std::cos(off_ray))));
}

TrueDirection LocalFrame::to_geodetic(Position place, TrueDirection bearing_in_frame) const {
  Geodetic end;
  const Ray ray = ray_to(origin_, place, end);
  const double off_ray = bearing_in_frame.angle().si() - ray.azimuth_at_origin;
  return TrueDirection(
      radians(ray.azimuth_at_place + std::atan2(std::sin(off_ray) * ray.scale_across, std::cos(off_ray))));
}

Geodesic geodesic(Geodetic from, Geodetic to) {
  const Ray ray = ray_to(from, to);
  return {metres(ray.length_m), TrueDirection(radians(ray.azimuth_at_origin))};
}

Geodetic destination(Geodetic from, TrueDirection bearing, Length length) {
  require(std::isfinite(length.si()), "a length is finite");
  double lat_deg, lon_deg;
  wgs84().Direct(latitude_deg(from), longitude_deg(from), bearing.deg(), length.si(), lat_deg, lon_deg);
  return {degrees(lat_deg), degrees(lon_deg)};
}

}  // namespace backfield::earth
