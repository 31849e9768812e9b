#include "parts.hpp"

#include <algorithm>
#include <cmath>

namespace backfield::report {
namespace {

constexpr std::size_t kWidth = 80;
constexpr std::size_t kName = 40;

std::string side_of_track(Angle bearing) {
  const double off = std::round(in_degrees(bearing));
  if (off == 0.0) return "straight ahead";
  return deg(degrees(std::abs(off))) + (off < 0.0 ? " left" : " right");
}

/// Lower edges up and upper edges down: nothing is said to be reached that was not.
std::string heights(const Interval<Length>& h) {
  return number(in_feet(h.low), 0, Rounding::up) + " to " + ft(h.high, Rounding::down);
}

std::string reached(const decision::ReachedArea& area) {
  if (!area.not_counted.empty()) return "not counted: " + ascii(area.not_counted);
  if (area.heights.empty()) return "from no failure in every world of the bracket";
  Lines parts;
  for (const Interval<Length>& h : area.heights) parts.push_back(heights(h));
  return "from failures at " + joined(parts, ", ") + " above aerodrome";
}

std::string choices(const decision::GroundAheadAnswer& ground, const decision::GapGround& beside) {
  if (beside.choices.empty()) return "no stated area is reached";
  const decision::GapGround::Choice& best = beside.choices.front();
  std::string text = "best " + ascii(ground.areas[best.area].name, kName) + ", " + side_of_track(best.bearing) + ", " +
                     m(best.margin, Rounding::down) + " of room to aim at most, from " + ft(best.at_height);
  Lines others;
  for (std::size_t i = 1; i < beside.choices.size(); ++i) {
    others.push_back(ascii(ground.areas[beside.choices[i].area].name, kName));
  }
  return others.empty() ? text : text + "; also " + joined(others, ", ");
}

/// Where a turnback would work and a stated area is reached as well, and the policy takes the ground.
Lines not_taken(const Brief& brief) {
  Lines lines;
  for (const decision::BriefedWindow& b : brief.answer.briefed) {
    if (b.window.lower != decision::Limit::preference || !is_turnback(brief.the_case, b)) continue;
    const decision::RunwayOption& option = brief.answer.options[b.option];
    Interval<Length> both{b.window.heights.low, b.window.heights.low};
    for (const decision::SideAnswer& side : option.sides) {
      for (const decision::CommonWindow& piece : side.common) {
        if (side.side != b.side || !piece.heights.contains(b.window.heights.low)) continue;
        for (const decision::ReachedArea& area : brief.answer.ground_ahead->areas) {
          for (const Interval<Length>& h : area.heights) {
            const auto reached_too = intersect(h, {piece.heights.low, b.window.heights.low});
            if (reached_too) both.low = std::min(both.low, reached_too->low);
          }
        }
      }
    }
    if (both.width() < feet(1)) continue;
    append(lines, wrapped("Not taken: " + name_of(option.end) + " " + flight::name_of(b.side) + " would work from " +
                              heights(both) + " too; the policy prefers the ground ahead that is reached there.",
                          kWidth, "  "));
  }
  return lines;
}

}  // namespace

Lines ground_ahead_in_full(const Brief& brief) {
  if (!brief.answer.ground_ahead) return {};
  const decision::GroundAheadAnswer& ground = *brief.answer.ground_ahead;
  Lines lines =
      wrapped("GROUND AHEAD as stated in " + ascii(ground.file, kName) +
                  ", said beside a gap; it never shortens the gap. Reached means: in every world, by one turn "
                  "within the sector and a straight glide that is clear of what is stated, with room to stop. "
                  "Room to aim is how far apart the aiming points lie that will do. Nearer ground, for which height "
                  "would have to be circled away, is not counted.",
              kWidth);
  for (const decision::ReachedArea& area : ground.areas) {
    append(lines, wrapped(ascii(area.name, kName) + ": " + reached(area) + ".", kWidth, "  "));
  }
  if (brief.answer.night && brief.answer.night->after_take_off) {
    lines.emplace_back("  At night none of it can be seen and chosen.");
  }
  if (brief.answer.cloud && brief.answer.cloud->limit) {
    append(lines, wrapped("Failures from more than " + ft(*brief.answer.cloud->limit, Rounding::down) +
                              " above aerodrome are in cloud, or too near to it: the ground is not in sight there.",
                          kWidth, "  "));
  }
  for (std::size_t i = 0; i < ground.gaps.size(); ++i) {
    const decision::Gap& gap = brief.answer.gaps[i];
    const decision::GapGround& beside = ground.gaps[i];
    std::string text = "Gap from " + ft(gap.from_height) + (gap.to_height ? " to " + ft(*gap.to_height) : " up") +
                       ": " + choices(ground, beside) + ". Some area is reached for " +
                       number(in_seconds(beside.reached), 0, Rounding::down) + " s of " + s(gap.duration()) + ".";
    if (beside.under) {
      text += " Under the glide straight ahead: " + percent(beside.under->landable) + " landable, " +
              percent(beside.under->avoid) + " to be avoided, " + percent(beside.under->unknown) + " not known.";
    }
    append(lines, wrapped(text, kWidth, "  "));
  }
  append(lines, not_taken(brief));
  return lines;
}

}  // namespace backfield::report
