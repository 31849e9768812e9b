#include "runway_needs_json.hpp"

namespace backfield::report::as_json {
namespace {

Json take_off_need(const decision::TakeOffNeed& n) {
  return {{"against", n.against},          {"factor", ratio(n.factor)}, {"alone", n.alone}, {"needed_m", m(n.needed)},
          {"available_m", m(n.available)}, {"left_m", m(n.left())},     {"fits", n.fits()}};
}

Json landing_need(const decision::LandingNeed& n) {
  return {{"name", n.name},
          {"use", name_of(n.use)},
          {"factor", ratio(n.factor)},
          {"surface_factor", ratio(n.surface)},
          {"needed_m", m(n.needed)},
          {"available_m", m(n.available)},
          {"left_m", m(n.left())},
          {"fits", n.fits()}};
}

Json mass_and_arm(const aircraft::MassAndArm& what) {
  return {{"mass_kg", tenth(in_kilograms(what.mass))}, {"arm_m", ratio(in_metres(what.arm))}};
}

}  // namespace

Json take_off(const decision::TakeOffRoom& room) {
  const bool assessed = room.not_assessed.empty() && !room.worlds.empty();
  return {{"not_assessed", text_or_null(room.not_assessed)},
          {"fits", assessed ? Json(room.fits()) : Json(nullptr)},
          {"worst_world", assessed ? Json(room.worlds[room.worst].world) : Json(nullptr)},
          {"worlds", list(room.worlds, [](const decision::TakeOffInWorld& w) {
             return Json{{"world", w.world},
                         {"roll_m", m(w.roll)},
                         {"to_50ft_m", m(w.to_50ft)},
                         {"accelerate_stop_m", or_null(w.accelerate_stop, m)},
                         {"needs", list(w.needs, take_off_need)},
                         {"fits", w.fits()}};
           })}};
}

Json marks(const decision::MarksOnRoll& marks) {
  const auto mark = [](const decision::MarkOnRoll& on_roll) {
    return Json{{"name", on_roll.name}, {"from_release_m", m(on_roll.from_release)}};
  };
  return {{"rotate_by", or_null(marks.rotate_by, mark)}, {"stop_before", or_null(marks.stop_before, mark)}};
}

Json powered_landing(const decision::PoweredReturn& back) {
  const bool assessed = !back.worlds.empty();
  Json result{
      {"not_assessed", text_or_null(back.not_assessed)},
      {"mass_kg", tenth(in_kilograms(back.mass))},
      {"fits", assessed ? Json(back.fits()) : Json(nullptr)},
      {"worst_world", assessed ? Json(back.worlds[back.worst].world) : Json(nullptr)},
      {"surface_factor_source", assessed ? text_or_null(back.worlds.front().distance.surface_source) : Json(nullptr)},
      {"findings", back.findings},
      {"worlds", list(back.worlds, [](const decision::PoweredLanding& l) {
         return Json{{"world", l.world},
                     {"dry_m", m(l.distance.dry)},
                     {"headwind_kt", kt(l.headwind)},
                     {"crosswind_from_right_kt", kt(l.crosswind_from_right)},
                     {"threshold_ground_speed_kt", kt(l.threshold_ground_speed)},
                     {"needs", list(l.needs, landing_need)}};
       })}};
  if (back.exit) {
    result["exit"] = {
        {"name", back.exit->name}, {"side", earth::name_of(back.exit->side)}, {"left_m", m(back.exit->left)}};
  }
  return result;
}

Json load_sheet(const std::optional<aircraft::LoadSheet>& sheet) {
  if (!sheet) return nullptr;
  return {{"lines", list(sheet->lines,
                         [](const aircraft::LoadLine& l) {
                           return Json{{"station", l.station},
                                       {"mass_kg", tenth(in_kilograms(l.mass))},
                                       {"arm_m", ratio(in_metres(l.arm))}};
                         })},
          {"take_off", mass_and_arm(sheet->take_off)},
          {"at_return", or_null(sheet->at_return, mass_and_arm)},
          {"tanks_empty", mass_and_arm(sheet->tanks_empty)}};
}

}  // namespace backfield::report::as_json
