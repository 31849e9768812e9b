#pragma once
// Numbers with their units, and lines of a given width.

#include "backfield/base/units.hpp"
#include "backfield/earth/runway.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace backfield::report {

using Lines = std::vector<std::string>;

/// One line of printable ASCII: Latin letters lose their accents, other characters become "?", control characters and
/// line breaks a space.
std::string ascii(std::string_view text);
/// The same, cut to a number of columns, with "..." where something is missing.
std::string ascii(std::string_view text, std::size_t most);

enum class Rounding { nearest, up, down };

/// "1,250" or "-0.5"; no minus before a zero. Throws std::logic_error unless finite.
/// A millionth of the last digit is taken as noise, so that rounding up 700 ft that went through metres gives 700.
std::string number(double value, int decimals = 0, Rounding rounding = Rounding::nearest);

std::string ft(Length v, Rounding rounding = Rounding::nearest);
std::string m(Length v, Rounding rounding = Rounding::nearest);
std::string kt(Speed v);
std::string s(Duration v);
std::string deg(Angle v);
std::string percent(double share, int decimals = 0);

/// "tailwind 5 kt", "headwind 12 kt".
std::string along(Speed headwind);
/// "3 kt from left".
std::string across(Speed from_right);
std::string surface(earth::Surface surface);

/// Broken at spaces, but not between a number and its unit, into lines of at most `width` columns; a longer word is
/// cut. `first` starts the first line, as many spaces the others. Never empty.
Lines wrapped(std::string_view text, std::size_t width, std::string_view first = "");

std::string joined(const Lines& parts, std::string_view between);
void append(Lines& to, const Lines& more);

/// Columns two spaces apart, the first one left-aligned, the others right-aligned unless `left` names them; the first
/// row is the head. The first column is cut where the row would be wider than `width`.
Lines table(const std::vector<Lines>& rows, std::size_t width, std::string_view indent = "",
            const std::vector<std::size_t>& left = {});

}  // namespace backfield::report
