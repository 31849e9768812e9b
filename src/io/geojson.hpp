#pragma once
// The form of a GeoJSON file (RFC 7946): a FeatureCollection of Polygons and MultiPolygons, longitude first.
//
// JSON is read by the reader of the YAML files, whose subset it is for anything a map program writes, so that what is
// wrong has a line and a column; every complaint about a feature also says its number and its name. Members that RFC
// 7946 does not define are allowed beside its own (6.1) and not read; within `properties` the words are ours.

#include "fields.hpp"

#include "backfield/earth/position.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace backfield::io {

/// Corners in the order of the file; the last, which repeats the first there, is left out.
using GeodeticRing = std::vector<earth::Geodetic>;

struct GeoPolygon {
  Value coordinates;                ///< for complaints
  std::vector<GeodeticRing> rings;  ///< the outline, then holes
};

struct GeoFeature {
  std::size_t number = 0;  ///< from 1, in the order of the file
  Value properties;
  std::vector<GeoPolygon> polygons;
};

/// Where a document is no JSON (RFC 8259): an error at that place. YAML allows more than JSON does.
std::optional<Finding> not_json(const Document& document);

/// Features whose form is right. Refused with the reason: another type than FeatureCollection, Feature, Polygon or
/// MultiPolygon; a ring that is not closed or has fewer than four positions (3.1.6); places beyond +-90 and +-180
/// degrees; an edge across the antimeridian (3.1.9); a `crs` other than WGS 84 (4).
std::vector<GeoFeature> read_features(const Value& root);

/// Adds number and name of the feature to the hint of each finding about one.
void name_features(const Value& root, std::vector<Finding>& findings);

}  // namespace backfield::io
