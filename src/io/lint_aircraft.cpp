#include "lint_aircraft.hpp"

#include "read_figure.hpp"

#include "backfield/aircraft/power.hpp"

#include <cmath>

namespace backfield::io {
namespace {

using aircraft::Aircraft;
using aircraft::AircraftClass;

constexpr const char* kMeant = "check that this is meant";

/// What an aeroplane of a class usually does at its maximum mass in the standard atmosphere at sea level. Common
/// practice, drawn wide: a figure outside was more often typed in another unit than flown.
struct Usual {
  Interval<double> climb_ftmin;  ///< all engines, at v_y
  Interval<double> glide_ratio;  ///< clean, propellers feathered where they can be
  Interval<double> sink_ftmin;   ///< at best glide
  Interval<double> power;        ///< useful power over mass, W/kg; of a jet thrust over weight
};
Usual usual_of(AircraftClass kind) {
  switch (kind) {
    case AircraftClass::single_piston_fixed_gear:
      return {{250, 1600}, {7, 13}, {400, 1200}, {45, 170}};
    case AircraftClass::single_piston_retractable:
      return {{350, 1800}, {7, 13}, {500, 1400}, {60, 200}};
    case AircraftClass::single_turboprop:
      return {{700, 3500}, {9, 18}, {500, 1600}, {80, 260}};
    case AircraftClass::light_twin:
      return {{900, 2000}, {8, 14}, {600, 1600}, {80, 200}};
    case AircraftClass::twin_turboprop:
      return {{1200, 3500}, {8, 16}, {600, 1900}, {90, 280}};
    case AircraftClass::light_jet:
      return {{2000, 4500}, {10, 16}, {700, 2200}, {0.15, 0.45}};
  }
  return {};
}

/// A value of the file with its place, by keys from the root.
Value at(const Value& root, std::initializer_list<std::string_view> keys) {
  Value value = root;
  for (const std::string_view key : keys) value = *value.child(key);
  return value;
}

/// Where the number of a figure stands: under "value", or the whole of a figure with a table.
Value number_of(const Value& figure) { return figure.child("value").value_or(figure); }

std::string rounded(double value, double step) { return plain(std::round(value / step) * step); }

// ---- speeds
// ----------------------------------------------------------------------------------------------------------

class Speeds {
 public:
  Speeds(const Value& root, const Aircraft& aircraft) : root_(root), a_(aircraft) {}

  void judge() const {
    const aircraft::Speeds& s = a_.speeds;
    at_least("speeds", "stall_landing", s.stall_landing, 0.7, "stall_clean", s.stall_clean, kMeant);
    at_least("speeds", "touchdown", s.touchdown, 1.05, "stall_landing", s.stall_landing,
             "a roll from a slower touchdown than is flown is too short");
    at_most("speeds", "touchdown", s.touchdown, 1.3, "stall_landing", s.stall_landing, kMeant);
    at_most("speeds", "v_ref", s.v_ref, 1.48, "stall_landing", s.stall_landing, "miles per hour typed as knots?");
    at_most("speeds", "best_glide", s.best_glide, 1.7, "stall_clean", s.stall_clean, "miles per hour typed as knots?");
    at_most("speeds", "v_r", s.v_r, 1.4, "stall_clean", s.stall_clean, "miles per hour typed as knots?");
    if (a_.one_engine_out) judge_twin(*a_.one_engine_out);
  }

 private:
  /// v_r and v_2 against v_mca: CS-23 amendments 1 to 4, 23.51, and CS-25.107; v_mca against the stall: 23.149. From
  /// memory; the margins of 23.51 hold for the stall in the configuration of the take-off, which the file does not
  /// have.
  void judge_twin(const aircraft::OneEngineOut& engine_out) const {
    const aircraft::Speeds& s = a_.speeds;
    const Cas climb = engine_out.climb_speed;
    if (s.v_r >= engine_out.v_mca) {  // else the reader has warned of it
      at_least("speeds", "v_r", s.v_r, 1.05, "v_mca", engine_out.v_mca, "an engine may fail just after rotation");
    }
    at_most("one_engine_out", "v_mca", engine_out.v_mca, 1.2, "stall_clean", s.stall_clean, kMeant);
    if (a_.kind == AircraftClass::light_twin) {
      at_most("one_engine_out", "v_yse", climb, 1, "v_y", s.v_y, "best on one engine is usually slower, not faster");
      at_least("one_engine_out", "v_yse", climb, 1.2, "stall_clean", s.stall_clean, kMeant);
      return;
    }
    at_least("one_engine_out", "v_2", climb, 1, "v_r", s.v_r, "v_1, v_r and v_2 follow each other");
    at_least("one_engine_out", "v_2", climb, 1.1, "v_mca", engine_out.v_mca, kMeant);
    at_least("one_engine_out", "v_2", climb, 1.2, "stall_landing", s.stall_landing, kMeant);
  }

  void at_least(std::string_view group, std::string_view key, Cas speed, double factor, const std::string& of, Cas base,
                const std::string& hint) const {
    if (speed.value.si() < factor * base.value.si() - kSlack) warn(group, key, "least", factor, of, base, hint);
  }
  void at_most(std::string_view group, std::string_view key, Cas speed, double factor, const std::string& of, Cas base,
               const std::string& hint) const {
    if (speed.value.si() > factor * base.value.si() + kSlack) warn(group, key, "most", factor, of, base, hint);
  }
  void warn(std::string_view group, std::string_view key, const std::string& which, double factor,
            const std::string& of, Cas base, const std::string& hint) const {
    const std::string times = factor == 1.0 ? std::string{} : plain(factor) + " x ";
    at(root_, {group, key})
        .warn("usually at " + which + " " + times + of + ", which is " + rounded(in_knots(base.value), 0.1) + " kt",
              hint);
  }

  static constexpr double kSlack = 1e-6;  // m/s, rounding
  const Value& root_;
  const Aircraft& a_;
};

// ---- climb and glide
// -------------------------------------------------------------------------------------------------

void outside(const Value& place, const std::string& what, double found, double step, const Interval<double>& usual,
             const std::string& unit, const std::string& hint) {
  if (usual.contains(found)) return;
  place.warn("usually " + what + " " + plain(usual.low) + " to " + plain(usual.high) + unit,
             "here " + rounded(found, step) + unit + "; " + hint);
}

void lint_glide(const Value& root, const Aircraft& a, const Usual& usual) {
  const Value ratio = at(root, {"glide", "ratio"});
  outside(ratio, "for this class", a.polar.glide_ratio, 0.1, usual.glide_ratio, "", kMeant);
  outside(ratio, "a sink at best glide, at sea level, of",
          in_feet_per_minute(a.speeds.best_glide.value) / a.polar.glide_ratio, 1, usual.sink_ftmin, " ft/min",
          "look at best_glide, its unit, and the ratio");
}

void lint_climb(const Value& root, const Aircraft& a, const Usual& usual) {
  const Value place = number_of(at(root, {"climb", "v_y"}));
  const aircraft::Performance heavy(a, a.max_take_off_mass);
  const aircraft::Conditions c{a.max_take_off_mass, {metres(0.0)}, earth::kSeaLevelTemperature, 1.0};
  const Lookup<double> rate = a.climb_rate_v_y.at(c);
  if (!rate.usable()) {
    place.assume("not compared with what is usual: the figure does not cover max_take_off at sea level and 15 C");
    return;
  }
  const double climb = in_feet_per_minute(metres_per_second(rate.value));
  outside(place, "for this class at max_take_off, sea level and 15 C", climb, 1, usual.climb_ftmin, " ft/min",
          climb < usual.climb_ftmin.low ? "metres per second typed as feet per minute?" : kMeant);
  const aircraft::Thrust thrust = aircraft::thrust_left(heavy, c, {aircraft::PowerLeft::all, 0.0, 1.0}).value;
  const std::string hint = "it follows from the rate of climb, v_y and the glide ratio: look at their units";
  if (a.is_jet()) {
    outside(place, "a thrust over weight of", thrust.thrust, 0.01, usual.power, "", hint);
  } else {
    outside(place, "a useful power over mass of", thrust.power_mps * kStandardGravity, 1, usual.power, " W/kg", hint);
  }
}

/// Half of the power is more than half of the climb: what is left after drag is lost first. FAA-P-8740-66, Flying Light
/// Twins Safely, as quoted: at least 80 percent of the climb for 50 percent of the power.
void lint_one_engine_out(const Value& root, const Aircraft& a) {
  if (!a.one_engine_out) return;
  const aircraft::Figure& one = a.one_engine_out->climb_rate;
  const aircraft::Figure& all = a.climb_rate_v_y;
  std::vector<aircraft::Conditions> nodes = common_nodes(one, all);
  const aircraft::Conditions heavy{a.max_take_off_mass, {metres(0.0)}, earth::kSeaLevelTemperature, 1.0};
  if (nodes.empty() && one.at(heavy).usable() && all.at(heavy).usable()) nodes.push_back(heavy);
  const Value climb = number_of(at(root, {"one_engine_out", "climb"}));
  if (nodes.empty()) climb.assume("not compared with climb.v_y: they cover nothing in common");
  const aircraft::Conditions* worst = nullptr;
  double least_lost = 0.5;
  for (const aircraft::Conditions& c : nodes) {
    const double full = all.at(c).value;
    if (full <= 0.0) continue;
    const double lost = 1.0 - one.at(c).value / full;
    if (lost >= least_lost) continue;
    least_lost = lost;
    worst = &c;
  }
  if (worst) {
    climb.warn("usually at most half of climb.v_y",
               "at " + words_of(*worst) + " only " + rounded(100.0 * least_lost, 1) +
                   " % of the climb is lost with half of the power: all-engine figures typed here?");
  }
  const Speed propeller = a.one_engine_out->lost_unfeathered;
  if (!a.is_jet() && in_feet_per_minute(propeller) < 50.0) {
    at(root, {"one_engine_out", "unfeathered"})
        .warn("usually at least 50 ft/min", "a windmilling propeller costs hundreds of feet per minute");
  }
}

/// A single number that the file lets hold in any air: a climb at sea level in winter would serve a hot afternoon at
/// 8000 ft. The float alone may be open, it hardly depends on the day. A table ends at its last row anyway.
void lint_validity(const Value& value, const std::string& path) {
  for (const Node::Key& key : value.node().keys) {
    const Value below = *value.child(key.name);
    const std::string name = path.empty() ? key.name : path + "." + key.name;
    if (key.name != "valid") {
      if (below.node().kind == Node::Kind::map) { lint_validity(below, name); }
      continue;
    }
    if (path == "landing.float") { continue; }
    std::string open;
    for (const char* axis : {"mass", "pressure_altitude", "temperature"}) {
      if (!below.child(axis)) { open += (open.empty() ? "" : ", ") + std::string(axis); }
    }
    if (open.empty()) { continue; }
    below.warn("usually limits of mass, pressure_altitude and temperature",
               "without limits of " + open + " it holds on any day: state what the number was found in");
  }
}

// ---- what is estimated, and what is not there
// --------------------------------------------------------------------------

/// Paths of everything under `node` that has a source with (or without) what `wanted` looks for.
template <class Wanted>
void collect(const Node& node, const std::string& path, const Wanted& wanted, std::vector<std::string>& paths) {
  for (std::size_t i = 0; i < node.items.size() && node.kind == Node::Kind::map; ++i) {
    const std::string& name = node.keys[i].name;
    if (name == "source") {
      if (wanted(node.items[i])) paths.push_back(path);
    } else {
      std::string below = path;
      below += (path.empty() ? "" : ".") + name;
      collect(node.items[i], below, wanted, paths);
    }
  }
}

std::string joined(const std::vector<std::string>& names) {
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
  return text;
}

/// Notes what is estimated and what its source leaves open: a word for it, or an uncertainty without a figure.
void note_sources(const Value& root) {
  const auto text = [](const Node& source, std::string_view key) -> std::string {
    for (std::size_t i = 0; i < source.keys.size(); ++i) {
      if (source.keys[i].name == key) { return source.items[i].text; }
    }
    return {};
  };
  const auto note = [&](const char* what, const auto& wanted) {
    std::vector<std::string> paths;
    collect(root.node(), "", wanted, paths);
    if (!paths.empty()) { root.assume(what + joined(paths)); }
  };
  const auto open = [](const std::string& words) { return words == "not stated" || words == "unknown"; };
  note("estimated: ", [&](const Node& source) {
    const std::string estimate = text(source, "estimate");
    return estimate == "yes" || estimate == "true";
  });
  note("no condition stated: ", [&](const Node& source) { return open(text(source, "condition")); });
  note("no uncertainty stated: ", [&](const Node& source) { return open(text(source, "uncertainty")); });
  note("an uncertainty without a figure: ", [&](const Node& source) {
    const std::string words = text(source, "uncertainty");
    return !open(words) && words.find_first_of("0123456789") == std::string::npos &&
           words.find("by definition") == std::string::npos;
  });
}

/// An absent airspeed correction is the reader's to say.
void note_missing(const Value& root, const Aircraft& a) {
  std::vector<std::string> missing;
  const auto note = [&](bool stated, const char* what) {
    if (!stated) missing.emplace_back(what);
  };
  note(a.climb_rate_v_x.stated(), "climb.v_x (no climb at v_x)");
  note(!a.limits.slip_allowed || a.polar.glide_ratio_slip, "glide.slip (no final in a slip)");
  note(a.landing_from_50ft.has_value(), "landing.from_50_ft (a landing with power is not assessed)");
  note(a.limits.crosswind.has_value(), "limits.crosswind (no warning of a crosswind)");
  note(a.limits.tailwind.has_value(), "limits.tailwind (no warning of a tailwind)");
  note(a.fuel && a.fuel->flow, "fuel.flow (no fuel burnt before a return)");
  note(a.loading.has_value(), "loading (no loads, balance is not checked)");
  if (a.one_engine_out) {
    note(a.one_engine_out->accelerate_stop.stated(), "one_engine_out.accelerate_stop (made up from the rolls)");
    note(a.one_engine_out->accelerate_go.stated(),
         "one_engine_out.accelerate_go (made up where it climbs before it is clean)");
  }
  if (!missing.empty()) root.assume("not stated: " + joined(missing));
}

}  // namespace

void lint_aircraft(const Value& root, const Aircraft& aircraft) {
  const Usual usual = usual_of(aircraft.kind);
  Speeds(root, aircraft).judge();
  lint_glide(root, aircraft, usual);
  lint_climb(root, aircraft, usual);
  lint_one_engine_out(root, aircraft);
  lint_validity(root, "");
  note_sources(root);
  note_missing(root, aircraft);
}

}  // namespace backfield::io
