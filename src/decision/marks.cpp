#include "marks.hpp"

#include <algorithm>

namespace backfield::decision {

MarksOnRoll marks_on_roll(const Departure& departure, const RollOut& roll) {
  MarksOnRoll marks;
  for (const earth::RunwayMark& mark : departure.end.marks) {
    const Length from_release = mark.from_start - departure.start;
    if (from_release.si() <= 0.0 || from_release >= roll.available) continue;
    marks.stated = true;
    if (!marks.rotate_by && from_release >= roll.roll_worst) marks.rotate_by = MarkOnRoll{mark.name, from_release};
    const bool stops = roll.last_stop && from_release <= *roll.last_stop;
    if (stops && !roll.stop_fits_to_lift_off) marks.stop_before = MarkOnRoll{mark.name, from_release};
  }
  return marks;
}

std::optional<LandingExit> exit_after(const earth::RunwayEnd& end, Length needed) {
  if (!end.lda) return std::nullopt;
  for (const earth::RunwayMark& mark : end.marks) {
    const Length from_threshold = mark.from_start - end.displaced;
    if (from_threshold < needed || from_threshold > *end.lda) continue;
    return LandingExit{mark.name, mark.side.value_or(earth::MarkSide::both), *end.lda - from_threshold};
  }
  return std::nullopt;
}

}  // namespace backfield::decision
