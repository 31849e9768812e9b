#include "ground_ahead_json.hpp"

namespace backfield::report::as_json {
namespace {

Json area(const decision::ReachedArea& a) {
  return {{"name", a.name},
          {"not_counted", text_or_null(a.not_counted)},
          {"failure_heights", list(a.heights, [](const Interval<Length>& h) {
             return Json{{"from_height_ft", ft(h.low)}, {"to_height_ft", ft(h.high)}};
           })}};
}

}  // namespace

Json ground_ahead(const decision::GroundAheadAnswer& ground) {
  const auto choice = [&ground](const decision::GapGround::Choice& c) {
    return Json{{"name", ground.areas[c.area].name},
                {"margin_m", m(c.margin)},
                {"at_height_ft", ft(c.at_height)},
                {"right_of_departure_track_deg", deg(c.bearing)}};
  };
  const auto gap = [&choice](const decision::GapGround& g) {
    return Json{{"best_first", list(g.choices, choice)},
                {"reached_s", s(g.reached)},
                {"straight_ahead", or_null(g.under, [](const decision::GroundShares& under) {
                   return Json{{"landable_share", ratio(under.landable)},
                               {"avoid_share", ratio(under.avoid)},
                               {"unknown_share", ratio(under.unknown)}};
                 })}};
  };
  return {{"file", ground.file}, {"areas", list(ground.areas, area)}, {"beside_gaps", list(ground.gaps, gap)}};
}

}  // namespace backfield::report::as_json
