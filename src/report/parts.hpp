#pragma once
// What several pages of the brief ask of a case and its answer.

#include "format.hpp"

#include "backfield/decision/answer.hpp"

#include <optional>
#include <string>
#include <vector>

namespace backfield::report {

/// The two together, as every block of the brief needs them.
struct Brief {
  const decision::Case& the_case;
  const decision::Answer& answer;
};

/// "ZZDA 36".
std::string name_of(const earth::RunwayEnd& end);
/// "QNH" or "QFE".
std::string setting(const decision::Case& the_case);

/// The briefed windows in the order of the climb.
std::vector<decision::BriefedWindow> in_climb_order(const decision::Answer& answer);
const earth::RunwayEnd& end_of(const decision::Answer& answer, const decision::BriefedWindow& window);
/// Whether its larger turn is more than the small turn of the policy.
bool is_turnback(const decision::Case& the_case, const decision::BriefedWindow& window);
bool any_turnback(const Brief& brief);
/// The gate at which the runway ahead ends.
const decision::Gate* end_of_runway_ahead(const decision::Answer& answer);

/// The number of words, and of those with a digit in them.
struct Count {
  int words = 0;
  int numbers = 0;
};
Count count(const std::string& spoken);

/// Page two and those after it: heading and body, not yet cut into pages.
struct Section {
  std::string heading;
  Lines lines;
};
Section options_and_numbers(const Brief& brief);
Section assumptions(const Brief& brief);

/// Page one without its last line, and what had to move from it to page two.
struct FirstPage {
  Lines lines;
  Lines moved;
};
FirstPage first_page(const Brief& brief);

/// What the power that is left is good for: a few lines for page one, all of it for those that follow.
Lines power_left_on_page(const Brief& brief);
Lines power_left_in_full(const Brief& brief);
/// How to come back with power: page one, and those that follow.
Lines return_on_page(const Brief& brief);
Lines return_in_full(const Brief& brief);
/// Cloud and night: what is void and why; empty where the case says nothing of them.
Lines sky_in_full(const Brief& brief);
/// "2026-11-27 16:40 UTC".
std::string utc_of(earth::Instant t);
/// That every window needs the propeller feathered, and what is left without; empty where nothing is to be feathered.
Lines feathering_on_page(const Brief& brief);
/// ", x1.25 = 455 m of 1,800 m TORA: fits"; empty where it does not, or is not assessed.
std::string take_off_fits(const decision::TakeOffRoom& room);
/// The loud lines of page one where it does not fit; none otherwise.
Lines take_off_does_not_fit(const decision::TakeOffRoom& room);
/// Which of the stated areas are reached, and what lies beside each gap; nothing where none are stated.
Lines ground_ahead_in_full(const Brief& brief);
/// Blocks of the pages that follow.
Lines powered_line(const Brief& brief);
Lines take_off_room(const Brief& brief);
Lines powered_landing(const decision::RunwayOption& option);
/// LDA over what a landing without power needs.
Lines length_ratio(const decision::RunwayOption& option);
Lines load_sheet(const decision::Case& the_case);
/// What the policy charges take-offs and landings with power.
Lines runway_rules(const decision::Policy& policy);

/// "full length", or "from B".
std::string start_of(const decision::Case& the_case);
/// Of an aeroplane with more than one engine: "both engines" or "all engines".
std::string every_engine(const decision::Case& the_case);
/// "on one engine", or "with one engine out" where more than one are left.
std::string on_one_engine(const decision::Case& the_case);
/// The take-off path from v_1; nothing of an aeroplane without one.
Lines take_off_path_in_full(const Brief& brief);
/// Drift-down, and v_mca against the stall; nothing where neither is computed.
Lines engine_out_height_in_full(const Brief& brief);
/// Title lines: what, where, which aeroplane.
Lines title(const decision::Case& the_case);
/// One to a line, or all in one paragraph.
Lines cautions(const decision::Answer& answer, bool one_paragraph = false);
/// One line for each gap.
Lines gap_lines(const Brief& brief);
/// Height edges with their datum: "783 to 1,741 ft above aerodrome"; open above ends in "and above".
std::string heights(const Interval<Length>& edges, bool open_above);
/// "landing flap from 1,150 to 1,400 ft above aerodrome; a slip ...": what failures at these heights of a window need
/// on the final. Empty: nothing.
std::string needed_on_final(const decision::HeightLoss& loss, const Interval<Length>& window, bool open_above);
/// "7 to 61 s after lift-off".
std::string times(const Interval<Duration>& edges);

}  // namespace backfield::report
