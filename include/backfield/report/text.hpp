#pragma once
// The brief on paper, and the part of it that is said aloud.
//
// Everything printed is in the case or in the answer; nothing is judged here. Text that people typed is brought to one
// line of printable ASCII first, so a file cannot draw on the reader's terminal.

#include "backfield/decision/answer.hpp"

#include <string>

namespace backfield::report {

inline constexpr std::size_t kPageLines = 66;    // Letter at six lines to the inch; A4 has 70
inline constexpr std::size_t kPageColumns = 80;  // fits both widths at ten or twelve characters to the inch

/// The printed brief, ASCII, lines ending in a newline.
///
/// Page one has at most kPageLines lines of at most kPageColumns columns, and is complete in itself: who, today's
/// conditions, what to say, the gates, the roll, the speeds, the options in the order in which they come, the gaps, the
/// warnings and all cautions. Where it would be too long, whole blocks move to page two, and a line says so;
/// conditions, spoken brief, gates, the line about the turnback and cautions never move. The pages after it (numbers,
/// assumptions) are numbered too, hold no more lines than page one, and each begins with a form feed.
///
/// Edges of windows and distances needed are rounded to the unfavourable side, to 1 ft and 1 m; readings of the
/// altimeter stand as the answer rounded them.
///
/// An answer that is a refusal is printed as title, refusal and cautions only.
///
/// fails       std::logic_error for a number that is not finite, and where the cautions leave no room for page one
/// test        tests/unit/report_test.cpp
std::string text(const decision::Case& the_case, const decision::Answer& answer);

inline constexpr int kMostSpokenWords = 80;   // read calmly, 40 seconds
inline constexpr int kMostSpokenNumbers = 4;  // as many as are kept in mind

/// The spoken brief: one line, at most kMostSpokenWords words and kMostSpokenNumbers numbers.
///
/// A word is what stands between spaces. A number is a word with a digit in it; each of them is a reading of the
/// altimeter. Names (runways, marks, notes) are spelled digit by digit, "one eight left", and do not count as numbers:
/// they are heard as names. No other number is spelled out to get round the limit.
///
/// What does not fit is left out in this order: the sentence on partial power, the note on the ground, further windows
/// (the page then is named). A window is spoken with both its edges or not at all.
std::string spoken_brief(const decision::Case& the_case, const decision::Answer& answer);

}  // namespace backfield::report
