#pragma once
// Obstacles and areas to avoid, as keys of an aerodrome or a case file.

#include "fields.hpp"

#include "backfield/earth/ground.hpp"
#include "backfield/earth/runway.hpp"

namespace backfield::io {

/// A position in the local frame. Nullopt after a complaint, as of one that is too far off, or without a frame.
std::optional<earth::Position> read_place(const Value& value, const earth::LocalFrame* frame);

/// In the local frame; none where it is not on Earth or farther off than things on the ground may be.
std::optional<earth::Position> near_place(const earth::LocalFrame& frame, double latitude_deg, double longitude_deg);
/// Would the two figures the other way round be a place nearby? Of a place that is not.
bool near_if_swapped(const earth::LocalFrame& frame, double latitude_deg, double longitude_deg);

/// Reads `obstacles` and `avoid`.
/// frame       null when its origin could not be read; then only the plain fields are checked, and nothing is returned
/// elevation   of the aerodrome: what an area's ground is taken for where the file does not say
/// ends        of the aerodrome; no area may cover a threshold
earth::Ground read_ground(const Fields& fields, const earth::LocalFrame* frame, earth::Altitude elevation,
                          const std::vector<earth::RunwayEnd>& ends);

inline constexpr Length kThinnestArea = metres(1);  ///< an outline thinner than this on average is a line

/// What is wrong with an area that covers a threshold, as a hint; empty: it covers none.
std::string threshold_in(const earth::AvoidArea& area, const std::vector<earth::RunwayEnd>& ends);

/// The same things in another frame.
earth::Ground moved(const earth::Ground& ground, const earth::LocalFrame& from, const earth::LocalFrame& to);

}  // namespace backfield::io
